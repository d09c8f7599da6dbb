"""Colours: whatever a file keeps them as, they come out as sRGB on white."""

import struct

import numpy as np
import pytest
from PIL import Image

from buildlog.media.stills import UnreadableError
from tests.media import pictures
from tests.media.readings import close, made, middles, pixels


@pytest.mark.parametrize("kind", ["jpg", "png", "webp", "heic", "avif"])
def test_display_p3_becomes_srgb(kind):
    # Expected values by the matrices of SMPTE RP 177 and the curve of IEC 61966-2-1, not by a colour library.
    for colour in ((200, 100, 50), (30, 160, 90), (120, 120, 120), (250, 10, 10)):
        data = pictures.encoded(
            Image.new("RGB", (32, 32), colour), kind, icc_profile=pictures.profile(pictures.P3)
        )
        close(pixels(data)[16, 16], pictures.as_srgb(colour, pictures.P3), 5)
    assert np.abs(pictures.as_srgb((200, 100, 50), pictures.P3) - (200, 100, 50)).max() > 10


def test_srgb_profile_changes_nothing():
    data = pictures.picture("png", icc_profile=pictures.profile(pictures.SRGB))
    close(middles(pixels(data)), middles(pictures.quadrants().astype(int)), 4)


def test_grey_and_profiles():
    grey = Image.new("L", (32, 32), 128)
    linear = pictures.profile(pictures.SRGB, space=b"GRAY")
    for icc in (pictures.profile(pictures.P3), linear, b"no profile", b"", linear[:200]):
        close(pixels(pictures.encoded(grey, "png", icc_profile=icc))[9, 9], (128, 128, 128), 3)
    # Of a coloured picture, a profile for greys, for a printer's inks or for who knows what says nothing.
    for space in (b"GRAY", b"CMYK", b"\xbd\x83\xff\xfe"):
        data = pictures.picture("png", icc_profile=pictures.profile(pictures.P3, space=space))
        close(middles(pixels(data)), middles(pictures.quadrants().astype(int)), 4)


def test_a_profile_that_opens_and_does_not_work():
    broken = pictures.profile(pictures.P3).replace(b"rXYZ", b"zzzz")
    data = pictures.picture("png", icc_profile=broken)
    close(middles(pixels(data)), middles(pictures.quadrants().astype(int)), 4)


def test_cmyk():
    # Ink on paper: cyan takes away red, and so on; the exact shade is the converter's.
    inks = {
        (0, 255, 255, 0): (255, 0, 0),
        (255, 0, 0, 0): (0, 255, 255),
        (0, 0, 0, 255): (0, 0, 0),
        (0, 0, 0, 0): (255, 255, 255),
    }
    for ink, rgb in inks.items():
        for kind in ("jpg", "tif"):
            close(pixels(pictures.encoded(Image.new("CMYK", (32, 32), ink), kind))[9, 9], rgb, 6)


def test_lab_tiff():
    # CIE 15: L* 50 with a* and b* of 0 is a middle grey, sRGB 119 (118.9).
    close(
        pixels(pictures.encoded(Image.new("LAB", (32, 32), (128, 128, 128)), "tif"))[9, 9], (119, 119, 119), 4
    )


def test_sixteen_bits():
    row = [0, 0x4000, 0x8000, 0xC000, 0xFFFF]
    expected = np.array([[round(each / 257)] * 3 for each in row])
    stripes = np.repeat(np.array(row), 16)
    big = b"".join(b"\0" + stripes.astype(">u2").tobytes() for _ in range(16))
    little = stripes.astype("<u2").tobytes() * 16
    for data in (pictures.png(80, 16, 16, 0, big), pictures.tiff(80, 16, bits=16, data=little)):
        close(pixels(data)[8, 8::16], expected, 4)
    coloured = np.repeat(np.array([(0xFFFF, 0x8000, 0)] * 5), 16, axis=0)
    big = b"".join(b"\0" + coloured.astype(">u2").tobytes() for _ in range(16))
    close(pixels(pictures.png(80, 16, 16, 2, big))[8, 40], (255, 128, 0), 6)


def test_sixteen_bits_with_a_value_not_to_be_seen():
    stripes = np.repeat(np.array([1000, 30000]), 32)
    rows = b"".join(b"\0" + stripes.astype(">u2").tobytes() for _ in range(16))
    data = pictures.png(64, 16, 16, 0, rows, chunks=[(b"tRNS", struct.pack(">H", 1000))])
    close(pixels(data)[8, [8, 56]], [[255] * 3, [117] * 3], 3)


@pytest.mark.parametrize("form", [2, 3])
def test_thirty_two_bits_are_refused_with_a_way_out(form):
    data = np.full((16, 16), 70_000 if form == 2 else 0.5, "<i4" if form == 2 else "<f4").tobytes()
    with pytest.raises(UnreadableError, match=r"32 bits a channel.*save it with 8 or 16"):
        made(pictures.tiff(16, 16, bits=32, form=form, data=data))


@pytest.mark.parametrize("kind", ["png", "webp", "avif", "heic"])
def test_colour_under_full_transparency_is_gone(kind):
    hidden = np.zeros((64, 64, 4), np.uint8)
    hidden[..., :3] = np.random.default_rng(5).integers(0, 256, (64, 64, 3))
    hidden[32:, :] = (200, 30, 30, 255)
    options = {"exact": True, "lossless": True} if kind == "webp" else {}
    found = pixels(pictures.encoded(Image.fromarray(hidden), kind, **options))
    close(found[:24], np.full((24, 64, 3), 255), 6)
    close(found[40:], np.full((24, 64, 3), (200, 30, 30)), 8)


def test_every_other_kind_of_transparency():
    palette = Image.new("P", (32, 32), 1)
    palette.putpalette([0, 0, 0, 10, 200, 10, 200, 10, 10])
    for kind in ("png", "gif"):
        close(pixels(pictures.encoded(palette, kind))[9, 9], (10, 200, 10), 6)
        close(pixels(pictures.encoded(palette, kind, transparency=1))[9, 9], (255, 255, 255), 3)
    half = Image.new("LA", (32, 32), (0, 128))
    close(pixels(pictures.encoded(half, "png"))[9, 9], (127, 127, 127), 3)
    for mode, seen in (("1", 0), ("L", 60), ("RGB", (60, 70, 80))):
        image = Image.new(mode, (32, 32), seen)
        key = 0 if mode == "1" else seen
        close(pixels(pictures.encoded(image, "png"))[9, 9], np.broadcast_to(seen, 3), 6)
        close(pixels(pictures.encoded(image, "png", transparency=key))[9, 9], (255, 255, 255), 3)

"""What comes out of one photo: right way up, right colours, nothing but pixels."""

import io
import struct
import threading
import time
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from PIL import Image

from buildlog.media import stills
from buildlog.media.recipe import widths_for
from buildlog.media.sorts import HEAD, content_of
from buildlog.media.stills import UnreadableError, prepare
from tests.media import pictures
from tests.media.readings import assert_bare, close, made, middles, pixels
from tests.outside import STRUCTURE, exiftool

ALL_KINDS = sorted(pictures.FORMATS)


@pytest.mark.parametrize(
    ("width", "widths"),
    [
        (1, (1,)), (479, (479,)), (480, (480,)), (481, (480, 481)), (1200, (480, 960, 1200)),
        (1920, (480, 960, 1920)), (1921, (480, 960, 1920)), (8000, (480, 960, 1920)),
    ],
)  # fmt: skip
def test_never_enlarged_and_always_at_least_one(width, widths):
    assert widths_for(width) == widths


@pytest.mark.parametrize(
    ("size", "sizes"),
    [
        ((4000, 3000), [(480, 360), (960, 720), (1920, 1440)]),
        ((3001, 2001), [(480, 320), (960, 640), (1920, 1280)]),
        ((1000, 10), [(480, 5), (960, 10), (1000, 10)]),
        ((5000, 1), [(480, 1), (960, 1), (1920, 1)]),
        ((7, 3000), [(7, 3000)]),
    ],
)
@pytest.mark.parametrize("kind", ["jpg", "png"])
def test_sizes_said_are_sizes_made(kind, size, sizes):
    data = pictures.encoded(Image.new("RGB", size, (90, 120, 60)), kind)
    found = made(data)
    assert [(each.width, each.height) for each in found] == sizes
    for each in found:
        with Image.open(io.BytesIO(each.data)) as image:
            assert (image.format, image.size) == ("JPEG", (each.width, each.height))
            assert image.info["progressive"]
            assert np.abs(np.asarray(image).astype(int) - (90, 120, 60)).max() <= 4


@pytest.mark.parametrize("kind", ALL_KINDS)
def test_each_format_keeps_its_picture(kind):
    close(middles(pixels(pictures.picture(kind))), middles(pictures.quadrants().astype(int)), 12)


# CIPA DC-008 (EXIF), tag 274: on which side of the picture as seen the 0th row and the 0th column are.
ORIENTATIONS = {
    1: ("top", "left"), 2: ("top", "right"), 3: ("bottom", "right"), 4: ("bottom", "left"),
    5: ("left", "top"), 6: ("right", "top"), 7: ("right", "bottom"), 8: ("left", "bottom"),
}  # fmt: skip


def as_seen(stored, row_0, column_0):
    """Place each stored pixel where the standard says; no image library takes part."""
    height, width, _ = stored.shape
    upright = row_0 in ("top", "bottom")
    seen = np.zeros_like(stored) if upright else np.zeros_like(stored.swapaxes(0, 1))
    for row in range(height):
        for column in range(width):
            along = row if row_0 in ("top", "left") else height - 1 - row
            across = column if column_0 in ("top", "left") else width - 1 - column
            seen[(along, across) if upright else (across, along)] = stored[row, column]
    return seen


@pytest.mark.parametrize("orientation", ORIENTATIONS)
@pytest.mark.parametrize("kind", ["jpg", "png", "webp", "tif", "heic", "avif"])
def test_right_way_up(kind, orientation):
    exif = pictures.exif(orientation)
    if kind == "tif":
        exif = Image.Exif()
        exif[274] = orientation
    stored = pictures.quadrants()
    found = pixels(pictures.picture(kind, exif=exif))
    expected = as_seen(stored, *ORIENTATIONS[orientation]).astype(int)
    assert found.shape == expected.shape
    close(middles(found), middles(expected), 12)


@pytest.mark.parametrize("orientation", ORIENTATIONS)
def test_right_way_up_when_scaled_while_decoding(orientation):
    found = made(pictures.picture(size=(3000, 2000), exif=pictures.exif(orientation)))
    expected = as_seen(pictures.quadrants(), *ORIENTATIONS[orientation]).astype(int)
    on_its_side = ORIENTATIONS[orientation][0] in ("left", "right")
    assert (found[-1].width, found[-1].height) == ((1920, 2880) if on_its_side else (1920, 1280))
    for each in found:
        close(middles(np.asarray(Image.open(io.BytesIO(each.data))).astype(int)), middles(expected), 12)


WORD_FOR_ORIENTATION = (
    b"Exif\0\0II*\0\x08\0\0\0\x01\0" + struct.pack("<HHI4s", 274, 2, 4, b"abc\0") + b"\0" * 4
)


@pytest.mark.parametrize(
    "exif",
    [
        b"Exif\0\0garbage",
        b"Exif\0\0II*\0\xff\xff\xff\xff",
        pictures.exif(0),
        pictures.exif(99),
        WORD_FOR_ORIENTATION,
    ],
)
@pytest.mark.filterwarnings("ignore::UserWarning")
def test_exif_in_disorder_loses_no_picture(exif):
    close(middles(pixels(pictures.picture(exif=exif))), middles(pictures.quadrants().astype(int)), 12)


@pytest.mark.parametrize("kind", ["png", "webp", "gif", "avif", "tif", "heic"])
def test_first_frame_of_several(kind):
    first, second = (
        Image.fromarray(quadrants := pictures.quadrants()),
        Image.new("RGB", pictures.SIZE, (1, 2, 3)),
    )
    data = pictures.encoded(first, kind, save_all=True, append_images=[second])
    assert getattr(Image.open(io.BytesIO(data)), "n_frames", 1) == 2
    close(middles(pixels(data)), middles(quadrants.astype(int)), 12)


def test_first_of_the_pictures_of_a_multi_picture_file():
    # CIPA DC-007.
    out = io.BytesIO()
    second = Image.new("RGB", pictures.SIZE, (1, 2, 3))
    Image.fromarray(pictures.quadrants()).save(out, "MPO", quality=95, save_all=True, append_images=[second])
    data = out.getvalue()
    assert Image.open(io.BytesIO(data)).format == "MPO"
    close(middles(pixels(data)), middles(pictures.quadrants().astype(int)), 12)
    assert_bare(made(data)[-1].data)


@pytest.mark.parametrize("kind", ALL_KINDS)
def test_nothing_survives_but_pixels(kind):
    data = pictures.loaded(kind)
    assert pictures.CANARY in data
    assert data.endswith(pictures.MOTION) or kind == "jpg"
    for each in made(data):
        assert pictures.CANARY not in each.data
        assert_bare(each.data)


def test_a_comment_does_not_survive_without_a_profile_either():
    for data in (pictures.picture(comment=b"CANARY"), pictures.picture("gif", comment=b"CANARY")):
        for each in made(data):
            assert_bare(each.data)


@pytest.mark.outside
def test_exiftool_finds_nothing_but_the_structure(tmp_path):
    """Judge: exiftool, which reads EXIF, GPS, maker notes, XMP, IPTC, profiles, comments and trailers."""
    before, after = tmp_path / "before", tmp_path / "after"
    before.mkdir()
    after.mkdir()
    for kind in ALL_KINDS:
        data = pictures.loaded(kind)
        (before / f"a.{kind}").write_bytes(data)
        for each in made(data):
            (after / f"{kind}-{each.width}.jpg").write_bytes(each.data)
    carried = exiftool(before)[str(before / "a.jpg")]
    groups = {tag.split(":")[0] for tag in carried}
    assert {"IFD0", "ExifIFD", "GPS", "IFD1", "XMP-dc", "IPTC", "ICC-header"} <= groups
    assert "File:Comment" in carried
    found = exiftool(after)
    assert len(found) == len(ALL_KINDS)
    for tags in found.values():
        assert tags <= STRUCTURE, tags - STRUCTURE


def test_same_photo_same_bytes():
    data = pictures.loaded_jpeg()
    assert made(data) == made(data)


def gif_header(width, height):
    frame = b"," + struct.pack("<HHHH", 0, 0, width, height) + b"\0\x08\x01\0\0"
    return b"GIF89a" + struct.pack("<HH", width, height) + b"\0\0\0" + frame


def jpeg_of_size(width, height):
    data = pictures.picture()
    at = data.index(b"\xff\xc0") + 5
    return data[:at] + struct.pack(">HH", height, width) + data[at + 4 :]


@pytest.mark.parametrize(
    "data",
    [
        pictures.png(60_000, 60_000, 8, 2, b"\0" * 99),
        pictures.png(11_000, 11_000, 1, 0),
        pictures.tiff(60_000, 60_000, data=b"\0" * 99),
        gif_header(65_535, 65_535),
        jpeg_of_size(65_000, 65_000),
    ],
    ids=["png", "png just over", "tiff", "gif", "jpeg"],
)
def test_bombs_are_refused_before_a_pixel_is_decoded(monkeypatch, data):
    monkeypatch.setattr(Image.Image, "load", lambda image: pytest.fail("decoded"))
    monkeypatch.setattr("PIL.ImageFile.ImageFile.load", lambda image: pytest.fail("decoded"))
    with pytest.raises(UnreadableError, match=r"pixels, more than the \d+ megapixels.*save a smaller copy"):
        made(data)


def test_heic_that_lies_about_its_size():
    data = pictures.picture("heic")
    at = data.index(b"ispe") + 8
    with pytest.raises(UnreadableError):
        made(data[:at] + struct.pack(">II", 50_000, 50_000) + data[at + 8 :])


def test_absurd_shapes_are_refused():
    with pytest.raises(UnreadableError, match="longer than the 60000"):
        made(pictures.png(70_000, 1, 8, 0, b"\0" * 70_001))


@pytest.mark.parametrize("kind", ALL_KINDS)
@pytest.mark.filterwarnings("ignore::UserWarning")
def test_cut_short_says_so(kind):
    data = pictures.encoded(Image.effect_noise((300, 200), 80).convert("RGB"), kind)
    for left in (HEAD // 10, len(data) // 2):
        with pytest.raises(UnreadableError, match="damaged or cut short; copy it again"):
            made(data[:left])


def test_no_memory_is_not_the_fault_of_the_file(monkeypatch):
    def full(*_args, **_options):
        raise MemoryError

    monkeypatch.setattr(Image, "open", full)
    with pytest.raises(MemoryError):
        made(pictures.picture())


def test_large_pictures_are_decoded_one_at_a_time(monkeypatch):
    inside, most = [0], [0]
    guard = threading.Lock()
    on_white = stills._on_white

    def watched(image):
        with guard:
            inside[0] += 1
            most[0] = max(most[0], inside[0])
        time.sleep(0.02)
        with guard:
            inside[0] -= 1
        return on_white(image)

    monkeypatch.setattr(stills, "_on_white", watched)
    turnstile = threading.Lock()
    photos = [pictures.picture(), pictures.picture("png")] * 4

    def make(data):
        return prepare(data, content_of(data[:HEAD]), turnstile)

    monkeypatch.setattr(stills, "_LARGE", 100)
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(make, photos))
    assert most[0] == 1
    monkeypatch.setattr(stills, "_LARGE", 10**9)
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(make, photos))
    assert most[0] > 1


def test_pictures_higher_than_a_strip():
    data = np.zeros((1300, 20, 4), np.uint8)
    data[..., 0] = np.arange(1300).reshape(-1, 1) // 6
    data[..., 3] = 255
    close(
        pixels(pictures.encoded(Image.fromarray(data), "png"))[::100, 9, 0], np.arange(0, 1300, 100) // 6, 4
    )

"""What a picture of static/ carries: every kind of metadata is named, and a bare picture is bare."""

import io
import struct
import zlib

import pytest
from PIL import Image, ImageCms, PngImagePlugin

from buildlog.media.traces import traces
from tests.media.pictures import XMP, exif, picture, quadrants, segment
from tests.outside import STRUCTURE, exiftool

IMAGE = Image.fromarray(quadrants())


def saved(kind, **options):
    out = io.BytesIO()
    IMAGE.save(out, kind, **options)
    return out.getvalue()


def with_segment(marker, payload):
    """A JPEG with one more segment behind its start (ITU-T T.81, annex B)."""
    data = picture()
    return data[:2] + segment(marker, payload) + data[2:]


def with_chunk(kind, payload):
    """A PNG with one more chunk before its end (W3C PNG, "Chunk layout")."""
    data = saved("PNG")
    chunk = struct.pack(">I", len(payload)) + kind + payload + struct.pack(">I", zlib.crc32(kind + payload))
    return data[:-12] + chunk + data[-12:]


def with_webp_chunk(kind, payload):
    """A WebP with one more chunk behind its picture (RFC 9649, "RIFF-Based Container")."""
    data = saved("WEBP") + struct.pack("<4sI", kind, len(payload)) + payload + b"\0" * (len(payload) % 2)
    return data[:4] + struct.pack("<I", len(data) - 8) + data[8:]


def ico(*pictures):
    """An ICO of these pictures, one behind the other."""
    head = struct.pack("<HHH", 0, 1, len(pictures))
    at = 6 + 16 * len(pictures)
    for each in pictures:
        head += struct.pack("<BBBBHHII", 64, 48, 0, 0, 1, 32, len(each), at)
        at += len(each)
    return head + b"".join(pictures)


def texts():
    info = PngImagePlugin.PngInfo()
    info.add_text("Comment", "CANARY")
    return info


PROFILE = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()

BARE = {
    "plain.jpg": saved("JPEG"),
    "progressive.JPEG": saved("JPEG", progressive=True),
    "grey.jpg": picture("jpg") and saved("JPEG", quality=40, optimize=True, subsampling=0),
    "restarts.jpg": saved("JPEG", restart_marker_blocks=2),
    "plain.png": saved("PNG"),
    "dpi.png": saved("PNG", dpi=(72, 72)),
    "palette.png": picture("png"),
    "plain.webp": saved("WEBP"),
    "lossless.webp": saved("WEBP", lossless=True),
    "plain.ico": saved("ICO", sizes=[(16, 16), (32, 32)]),
    "bitmaps.ico": saved("ICO", sizes=[(16, 16), (32, 32)], bitmap_format="bmp"),
}

CARRY = {
    "exif.jpg": (picture("jpg", exif=exif()), {"EXIF", "a position (GPS)"}),
    "exif.png": (picture("png", exif=exif()), {"EXIF", "a position (GPS)"}),
    "exif.webp": (picture("webp", exif=exif()), {"EXIF", "a position (GPS)"}),
    "thumbnail.jpg": (picture("jpg", exif=exif(thumbnail=picture())), {"EXIF", "a position (GPS)"}),
    "xmp.jpg": (with_segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0" + XMP), {"XMP"}),
    "more-xmp.jpg": (with_segment(0xE1, b"http://ns.adobe.com/xmp/extension/\0" + XMP), {"XMP"}),
    "xmp.png": (saved("PNG", pnginfo=texts()), {"text"}),
    "xmp.webp": (saved("WEBP", xmp=XMP), {"XMP"}),
    "profile.jpg": (picture("jpg", icc_profile=PROFILE), {"a colour profile"}),
    "profile.png": (picture("png", icc_profile=PROFILE), {"a colour profile"}),
    "profile.webp": (picture("webp", icc_profile=PROFILE), {"a colour profile"}),
    "comment.jpg": (picture("jpg", comment=b"CANARY"), {"a comment"}),
    "iptc.jpg": (with_segment(0xED, b"Photoshop 3.0\x008BIM\x04\x04CANARY"), {"an editor’s own data"}),
    "several.jpg": (with_segment(0xE2, b"MPF\x00MM\0*\0\0\0\x08\0\0\0\0\0\0"), {"further pictures"}),
    "jfxx.jpg": (with_segment(0xE0, b"JFXX\0\x10CANARY"), {"further pictures"}),
    "provenance.jpg": (with_segment(0xEB, b"JP\0\1CANARY"), {"data of a program’s own"}),
    "ducky.jpg": (with_segment(0xEC, b"Ducky CANARY"), {"data of a program’s own"}),
    "other.jpg": (with_segment(0xE1, b"CANARY"), {"data of a program’s own"}),
    "long-adobe.jpg": (with_segment(0xEE, b"Adobe\0d\0\0\0\0\0CANARY"), {"data of a program’s own"}),
    "motion.jpg": (picture() + b"\0\0\0\x18ftypmp42CANARY", {"bytes behind its end"}),
    "two.jpg": (picture() + picture(), {"bytes behind its end"}),
    "zip.png": (saved("PNG") + b"PK\3\4CANARY", {"bytes behind its end"}),
    "two.png": (saved("PNG") + saved("PNG"), {"bytes behind its end"}),
    "text.png": (with_chunk(b"tEXt", b"Comment\0CANARY"), {"text"}),
    "international.png": (with_chunk(b"iTXt", b"XML:com.adobe.xmp\0\0\0\0\0" + XMP), {"text"}),
    "time.png": (with_chunk(b"tIME", struct.pack(">HBBBBB", 2026, 1, 2, 3, 4, 5)), {"a time"}),
    "provenance.png": (with_chunk(b"caBX", b"CANARY"), {"data of a program’s own"}),
    "moving.png": (saved("PNG", save_all=True, append_images=[IMAGE.rotate(90)]), {"further pictures"}),
    "moving.webp": (saved("WEBP", save_all=True, append_images=[IMAGE.rotate(180)]), {"further pictures"}),
    "own.webp": (with_webp_chunk(b"CANA", b"RY!"), {"data of a program’s own"}),
    "trailing.webp": (saved("WEBP") + b"CANARY", {"bytes behind its end"}),
    "text.ico": (ico(with_chunk(b"tEXt", b"Comment\0CANARY")), {"text"}),
    "trailing.ico": (ico(saved("PNG")) + b"CANARY", {"bytes behind its end"}),
    "inside.ico": (ico(saved("PNG") + b"CANARY"), {"bytes behind its end"}),
}


@pytest.mark.parametrize("name", BARE)
def test_a_bare_picture_is_bare(name):
    assert traces(name, BARE[name]) == ()


@pytest.mark.parametrize("name", CARRY)
def test_what_a_picture_carries_is_named(name):
    data, carried = CARRY[name]
    assert set(traces(name, data)) >= carried


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("x.jpg", b""),
        ("x.jpg", b"no picture"),
        ("x.jpg", picture("png")),
        ("x.png", picture("jpg")),
        ("x.webp", picture("png")),
        ("x.ico", picture("png")),
        ("x.jpg", picture()[:200]),
        ("x.png", saved("PNG")[:-20]),
        ("x.webp", saved("WEBP")[:60]),
        ("x.png", b"\x89PNG\r\n\x1a\n<svg xmlns='http://www.w3.org/2000/svg'/>"),
    ],
)
def test_what_is_no_such_picture_is_an_error(name, data):
    with pytest.raises(ValueError, match="it is no"):
        traces(name, data)


@pytest.mark.parametrize("kind", ["jpg", "png", "webp"])
def test_no_byte_of_a_picture_can_be_put_anywhere_unseen(kind):
    """Eight bytes put in at any place: it is another picture, none at all, or one that carries something.

    But within the scan of a JPEG: what stands there is the picture, as far as anybody can tell.
    """
    data = saved({"jpg": "JPEG", "png": "PNG", "webp": "WEBP"}[kind])
    whole = Image.open(io.BytesIO(data)).convert("RGB").tobytes()
    scan = range(data.index(b"\xff\xda"), len(data) - 1) if kind == "jpg" else range(0)
    for at in range(0, len(data) + 1, max(1, len(data) // 150)):
        if at in scan:
            continue
        changed = data[:at] + b"CANARY!!" + data[at:]
        try:
            told = traces(f"x.{kind}", changed)
        except ValueError:
            continue
        if not told:
            assert Image.open(io.BytesIO(changed)).convert("RGB").tobytes() != whole, at


@pytest.mark.outside
def test_exiftool_finds_nothing_in_what_is_called_bare(tmp_path):
    """Judge: exiftool. In each of the others it finds something, or something behind the end."""
    for name, data in {**BARE, **{name: data for name, (data, _) in CARRY.items()}}.items():
        (tmp_path / name).write_bytes(data)
    found = {path.rpartition("/")[2]: tags - STRUCTURE for path, tags in exiftool(tmp_path).items()}
    form = ("PNG:", "RIFF:", "File:", "PNG-pHYs:", "Composite:")
    extra = {name: {tag for tag in tags if not tag.startswith(form)} for name, tags in found.items()}
    assert {name: tags for name, tags in extra.items() if name in BARE and tags} == {}
    assert sum(bool(extra[name]) for name in CARRY if name in extra) > 15

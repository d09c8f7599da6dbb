"""What a picture carries beside its pixels, in words for the person who is about to publish it.

A file is walked piece by piece as its format says, and every piece that no decoder needs is named: a list of
what may be there lets nothing through that nobody thought of. Formats: JPEG (ITU-T T.81, T.871), PNG (W3C),
WebP (RFC 9649) and ICO, whose pictures are PNG or bitmaps.
"""

from __future__ import annotations

import io
import struct
from collections.abc import Callable, Iterator
from pathlib import PurePosixPath

from PIL import Image

_GPS = 0x8825
"""The tag of the EXIF directory that holds a position (CIPA DC-008)."""

FORMATS = {".png": "PNG", ".jpg": "JPEG", ".jpeg": "JPEG", ".webp": "WEBP", ".ico": "ICO"}
"""The pictures that can be looked into, by the ending of their name."""

_CARRIED = {
    "icc_profile": "a colour profile",
    "xmp": "XMP",
    "XML:com.adobe.xmp": "XMP",
    "photoshop": "an editor’s own data",
    "comment": "a comment",
    "mp": "further pictures",
    "mpoffset": "further pictures",
}
"""What Pillow tells of a picture beside its form."""

_BEHIND = "bytes behind its end"
_FURTHER = "further pictures"
_TORN = "bytes that belong to no part of a picture"

_JPEG_NEEDS = {0xC4, 0xCC, 0xDB, 0xDC, 0xDD, *range(0xC0, 0xC4), *range(0xC5, 0xC8), *range(0xC9, 0xCC)}
_JPEG_NEEDS |= {0xCD, 0xCE, 0xCF}
"""Frames, and the tables that they are decoded with."""

_JPEG_CARRIES = (
    (0xE1, b"Exif\x00", "EXIF"),
    (0xE1, b"http://ns.adobe.com/", "XMP"),
    (0xE2, b"ICC_PROFILE\x00", "a colour profile"),
    (0xE2, b"MPF\x00", _FURTHER),
    (0xED, b"", "an editor’s own data"),
    (0xFE, b"", "a comment"),
)
_PNG_NEEDS = set("IHDR PLTE IDAT IEND tRNS gAMA cHRM sRGB sBIT bKGD hIST pHYs cICP".split())
_PNG_CARRIES = {
    **dict.fromkeys(("tEXt", "zTXt", "iTXt"), "text"),
    **dict.fromkeys(("acTL", "fcTL", "fdAT"), _FURTHER),
    "eXIf": "EXIF",
    "iCCP": "a colour profile",
    "tIME": "a time",
}
_WEBP_NEEDS = {"VP8 ", "VP8L", "VP8X", "ALPH"}
_WEBP_CARRIES = {
    **dict.fromkeys(("ANIM", "ANMF"), _FURTHER),
    "EXIF": "EXIF",
    "XMP ": "XMP",
    "ICCP": "a colour profile",
}


def traces(name: str, data: bytes) -> tuple[str, ...]:
    """What a picture carries beside its pixels; empty where it is bare.

    Args:
        name: the name of its file, for its ending: one of `FORMATS`.
        data: its bytes.

    Raises:
        ValueError: it is not the picture that its name says.
    """
    wanted = FORMATS[PurePosixPath(name).suffix.lower()]
    try:
        with Image.open(io.BytesIO(data), formats=[wanted]) as picture:
            position = bool(picture.getexif().get_ifd(_GPS))
            picture.load()
        told = list(_WALKS[wanted](data))
    except (OSError, SyntaxError, ValueError, struct.error, Image.DecompressionBombError) as error:
        raise ValueError(f"it is no {wanted} picture") from error
    return tuple(dict.fromkeys([*(["a position (GPS)"] if position else []), *told]))


def carried(data: bytes) -> tuple[str, ...]:
    """What the file of a photo carries beside its pixels, as far as its own decoder says; never an error.

    It is for a report of what was left behind. Nothing rests on it: renditions are made from pixels alone.
    """
    try:
        with Image.open(io.BytesIO(data)) as picture:
            return tuple(dict.fromkeys(_beside(picture)))
    except Exception:  # what damaged metadata raises has no common kind: the photo was read
        return ()


def _beside(picture: Image.Image) -> list[str]:
    """What stands in the head of a file."""
    exif = picture.getexif()
    told = [*(["a position (GPS)"] if exif.get_ifd(_GPS) else []), *(["EXIF"] if exif else [])]
    return told + [word for key, word in _CARRIED.items() if key in picture.info]


def _jpeg(data: bytes) -> Iterator[str]:
    at = 2
    while True:
        start = data.index(b"\xff", at)
        if start != at:
            yield _TORN
        at = start
        while data[at] == 0xFF:
            at += 1
        marker = data[at]
        at += 1
        if marker == 0xD9:
            break
        (length,) = struct.unpack_from(">H", data, at)
        yield from _segment(marker, data[at + 2 : at + length])
        at += length
        if marker == 0xDA:
            at = _scanned(data, at)
    if at != len(data):
        yield _BEHIND


def _scanned(data: bytes, at: int) -> int:
    """Where a scan that begins here ends: at a marker that is neither a stuffed byte nor a restart."""
    while True:
        at = data.index(b"\xff", at)
        if data[at + 1] != 0 and not 0xD0 <= data[at + 1] <= 0xD7:
            return at
        at += 2


def _segment(marker: int, held: bytes) -> Iterator[str]:
    if marker in _JPEG_NEEDS or marker == 0xDA:
        return
    # a header without a thumbnail, and the one by which Adobe tells how colours are turned
    if (marker == 0xE0 and held.startswith(b"JFIF\x00") and len(held) == 14) or (
        marker == 0xEE and held.startswith(b"Adobe") and len(held) == 12
    ):
        return
    known = (word for of, begins, word in _JPEG_CARRIES if of == marker and held.startswith(begins))
    yield next(known, _FURTHER if marker == 0xE0 else "data of a program’s own")


def _png(data: bytes) -> Iterator[str]:
    at = 8
    kind = ""
    while kind != "IEND":
        length, name = struct.unpack_from(">I4s", data, at)
        kind = name.decode("ascii")
        if kind not in _PNG_NEEDS:
            yield _PNG_CARRIES.get(kind, "data of a program’s own")
        at += 12 + length
    if at != len(data):
        yield _BEHIND


def _webp(data: bytes) -> Iterator[str]:
    (length,) = struct.unpack_from("<I", data, 4)
    end = 8 + length
    at = 12
    while at < end:
        name, size = struct.unpack_from("<4sI", data, at)
        kind = name.decode("ascii")
        if kind not in _WEBP_NEEDS:
            yield _WEBP_CARRIES.get(kind, "data of a program’s own")
        at += 8 + size + size % 2
    if at != len(data):
        yield _BEHIND


def _ico(data: bytes) -> Iterator[str]:
    (count,) = struct.unpack_from("<H", data, 4)
    at = 6 + 16 * count
    for size, start in sorted(
        (struct.unpack_from("<II", data, 6 + 16 * each + 8) for each in range(count)),
        key=lambda each: each[1],
    ):
        if start != at:
            yield _TORN
        held = data[start : start + size]
        if held.startswith(b"\x89PNG"):
            yield from _png(held)
        at = start + size
    if at != len(data):
        yield _BEHIND


_WALKS: dict[str, Callable[[bytes], Iterator[str]]] = {
    "JPEG": _jpeg,
    "PNG": _png,
    "WEBP": _webp,
    "ICO": _ico,
}

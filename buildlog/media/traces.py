"""What a picture carries beside its pixels, in words for the person who is about to publish it."""

from __future__ import annotations

import io
from pathlib import PurePosixPath

from PIL import Image

_GPS = 0x8825
"""The tag of the EXIF directory that holds a position (CIPA DC-008)."""

_CARRIED = {
    "icc_profile": "a colour profile",
    "xmp": "XMP",
    "XML:com.adobe.xmp": "XMP",
    "photoshop": "an editor’s own data",
    "comment": "a comment",
    "mp": "further pictures",
    "mpoffset": "further pictures",
}
_STRUCTURE = {
    *("jfif", "jfif_version", "jfif_unit", "jfif_density", "adobe", "adobe_transform", "progressive"),
    *("progression", "dpi", "gamma", "srgb", "transparency", "interlace", "background", "aspect", "sizes"),
    *("loop", "duration", "timestamp", "chromaticity", "exif"),
}
"""What Pillow tells of a picture that belongs to its form; `exif` is looked into by itself."""

_ENDS = {"JPEG": b"\xff\xd9", "PNG": b"IEND\xaeB`\x82"}

FORMATS = {".png": "PNG", ".jpg": "JPEG", ".jpeg": "JPEG", ".webp": "WEBP", ".ico": "ICO"}
"""The pictures that can be looked into, by the ending of their name."""


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
            told = dict.fromkeys(_told(picture))
    except (OSError, Image.DecompressionBombError) as error:
        raise ValueError(f"it is no {wanted} picture") from error
    end = _ENDS.get(wanted)
    if end is not None and not data.endswith(end):
        told["bytes behind its end"] = None
    return tuple(told)


def carried(data: bytes) -> tuple[str, ...]:
    """What the file of a photo carries beside its pixels, as far as its own decoder says; never an error.

    It is for a report of what was left behind. Nothing rests on it: renditions are made from pixels alone.
    """
    try:
        with Image.open(io.BytesIO(data)) as picture:
            return tuple(dict.fromkeys(_beside(picture)))
    except Exception:
        # any kind: a reader of damaged metadata may trip over anything, and the photo itself was read
        return ()


def _told(picture: Image.Image) -> list[str]:
    told = _beside(picture)
    picture.load()
    # a PNG's texts are known by name once all of it was read
    known = _STRUCTURE | _CARRIED.keys()
    told += ["text" for key in picture.info if key not in known]
    return told


def _beside(picture: Image.Image) -> list[str]:
    """What stands in the head of a file."""
    exif = picture.getexif()
    told = [*(["a position (GPS)"] if exif.get_ifd(_GPS) else []), *(["EXIF"] if exif else [])]
    return told + [word for key, word in _CARRIED.items() if key in picture.info]

"""One photo: from the bytes of its file to cleaned pixels in a few widths.

What is published is rebuilt from bare pixels: first frame, right way up, on white, in sRGB. Nothing else of
the file survives, because nothing else is carried over: no EXIF, GPS, maker notes, XMP, IPTC, comment,
profile, embedded preview, depth map, second picture or trailing data.

Sources: orientation as in CIPA DC-008 (EXIF), tag 274; JPEG as in ITU-T T.81, which every browser reads.
"""

from __future__ import annotations

import contextlib
import io
from contextlib import AbstractContextManager
from typing import cast

import msgspec
import pillow_heif
from PIL import ExifTags, Image, ImageCms

from buildlog.media.recipe import QUALITY, widths_for
from buildlog.media.sorts import Content

MEGAPIXEL = 1_000_000
MOST_PIXELS = 120 * MEGAPIXEL
"""The largest picture that is decoded in full: four bytes a pixel, twice over while it is put on white."""

MOST_PIXELS_SCALED = 250 * MEGAPIXEL
"""The largest JPEG: it is scaled down while it is decoded. Phones make 200 megapixels."""

LONGEST_SIDE = 60_000
"""Pixels. A JPEG can be 65,500 across; a photo of that shape is none."""

_LARGE = 24 * MEGAPIXEL
"""Pictures above this are decoded one at a time, whatever the number of workers."""

_STRIP = 512
"""Rows put on white at a time."""

_PLAIN = ("L", "RGB", "CMYK", "LAB")
_GREYS = ("1", "L", "LA", "La", "I", "I;16", "I;16B", "I;16L", "I;16N")
_MOST_OF_16_BITS = 65535

# The limits above come before any pixel is decoded, and say what to do; Pillow's refuse
# what phones make.
Image.MAX_IMAGE_PIXELS = None
# Embedded thumbnails may show what was cropped away since; they are never to stand in for the picture.
pillow_heif.register_heif_opener(thumbnails=False, depth_images=False, aux_images=False)

_OPENS = {
    Content.JPEG: "JPEG",
    Content.PNG: "PNG",
    Content.WEBP: "WEBP",
    Content.TIFF: "TIFF",
    Content.GIF: "GIF",
    Content.HEIC: "HEIF",
    Content.AVIF: "AVIF",
}

# CIPA DC-008, tag 274: where row 0 and column 0 of the stored pixels belong, and what brings them there.
_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,  # row 0 top, column 0 right
    3: Image.Transpose.ROTATE_180,  # bottom, right
    4: Image.Transpose.FLIP_TOP_BOTTOM,  # bottom, left
    5: Image.Transpose.TRANSPOSE,  # left, top
    6: Image.Transpose.ROTATE_270,  # right, top
    7: Image.Transpose.TRANSVERSE,  # right, bottom
    8: Image.Transpose.ROTATE_90,  # left, bottom
}
_ON_ITS_SIDE = (5, 6, 7, 8)

_PROFILE_MODES = {"RGB": "RGB", "GRAY": "L", "CMYK": "CMYK", "Lab": "LAB"}
"""The colour space that a profile is for, in ICC.1's words, and Pillow's mode for such pixels."""


class Still(msgspec.Struct, frozen=True):
    """One prepared size of a photo: JPEG bytes and their size in pixels."""

    data: bytes
    width: int
    height: int


class UnreadableError(Exception):
    """A photo that cannot be shown. The message says what is wrong with the file and what to do."""


def prepare(data: bytes, content: Content, turnstile: AbstractContextManager[object]) -> tuple[Still, ...]:
    """Make the sizes of a photo from the bytes of its file, small first.

    Args:
        data: the whole file.
        content: the kind of picture that its first bytes announce.
        turnstile: held while a large picture is decoded, which bounds the memory of those at work together.

    Raises:
        UnreadableError: it is damaged, cut short, too large, or not what it says.
        MemoryError: the machine has not memory enough; that says nothing about the file.
    """
    try:
        return _prepared(data, content, turnstile)
    except (UnreadableError, MemoryError):
        raise
    except Exception as error:  # decoders' errors have no common kind: the file is to blame
        raise UnreadableError(
            f"the {content.value} file is damaged or cut short; copy it again from the camera or phone"
        ) from error


def _prepared(data: bytes, content: Content, turnstile: AbstractContextManager[object]) -> tuple[Still, ...]:
    with Image.open(io.BytesIO(data), formats=[_OPENS[content]]) as image:
        _refuse_too_large(image, content)
        stored = image.size
        if content is Content.JPEG:
            _scale_while_decoding(image)
        large = image.width * image.height > _LARGE
        with turnstile if large else contextlib.nullcontext():
            image.load()
            if content is not Content.JPEG:
                stored = image.size
            # After loading, because some decoders turn the picture themselves and then say so.
            turn = _orientation(image)
            width, height = _as_seen(stored, turn)
            sizes = [(each, max(1, (2 * height * each + width) // (2 * width))) for each in widths_for(width)]
            profile = image.info.get("icc_profile")
            picture = _resized(_on_white(image), _as_seen(sizes[-1], turn))
    if turn in _TURNS:
        picture = picture.transpose(_TURNS[turn])
    picture = _in_srgb(picture, profile)
    stills: list[Still] = []
    for size in reversed(sizes):
        # Each size from the next larger one: a halving costs little and keeps the edges.
        picture = _resized(picture, size)
        stills.append(Still(_jpeg(picture), *size))
    return tuple(reversed(stills))


def _refuse_too_large(image: Image.Image, content: Content) -> None:
    width, height = image.size
    most = MOST_PIXELS_SCALED if content is Content.JPEG else MOST_PIXELS
    if width * height > most:
        raise UnreadableError(
            f"the picture is {width} × {height} pixels, more than the {most // MEGAPIXEL} megapixels that "
            f"are read of a {content.value} file; save a smaller copy"
        )
    if max(width, height) > LONGEST_SIDE:
        raise UnreadableError(
            f"the picture is {width} × {height} pixels, longer than the {LONGEST_SIDE} that are read; "
            "crop it or save a smaller copy"
        )


def _scale_while_decoding(image: Image.Image) -> None:
    """Let the JPEG decoder leave out detail that no size needs, in eighths, quarters or halves."""
    turn = _orientation(image)
    widest = widths_for(_as_seen(image.size, turn)[0])[-1]
    # Only the width matters: 1 in the other direction leaves the choice of scale to it.
    image.draft(None, _as_seen((widest, 1), turn))


def _as_seen(size: tuple[int, int], turn: int) -> tuple[int, int]:
    """Width and height of stored pixels once they are turned; its own inverse."""
    return size[::-1] if turn in _ON_ITS_SIDE else size


def _orientation(image: Image.Image) -> int:
    try:
        return int(image.getexif().get(ExifTags.Base.Orientation, 1))
    except Exception:  # what damaged metadata raises has no common kind: the picture is sound
        # without an orientation it stands as stored
        return 1


def _on_white(image: Image.Image) -> Image.Image:
    """Eight bits a channel, no palette and no alpha: colour under full transparency is gone."""
    if image.mode in _PLAIN and not image.has_transparency_data:
        return image
    if image.mode == "F" or (image.mode == "I" and _extent(image) > _MOST_OF_16_BITS):
        raise UnreadableError("the picture has 32 bits a channel, which is not read; save it with 8 or 16")
    mode = "L" if image.mode in _GREYS else "RGB"
    flat = Image.new(mode, image.size, "white")
    # In strips, so that a large picture is not held three times over.
    for top in range(0, image.height, _STRIP):
        strip = image.crop((0, top, image.width, min(top + _STRIP, image.height)))
        flat.paste(_strip_on_white(strip, mode), (0, top))
    return flat


def _strip_on_white(strip: Image.Image, mode: str) -> Image.Image:
    if strip.mode.startswith("I"):
        strip = _in_eight_bits(strip)
    if not strip.has_transparency_data:
        return strip.convert(mode)
    clear = strip.convert(f"{mode}A")
    flat = Image.new(mode, strip.size, "white")
    flat.paste(clear.convert(mode), mask=clear.getchannel("A"))
    return flat


def _in_eight_bits(grey: Image.Image) -> Image.Image:
    """Grey of 16 bits in 8, with alpha where the file names a value that is not to be seen."""
    wide = grey.convert("I")
    narrow = wide.point([(value * 255 + 32767) // 65535 for value in range(65536)], "L")
    unseen = grey.info.get("transparency")
    if unseen is not None:
        narrow.putalpha(wide.point([0 if value == unseen else 255 for value in range(65536)], "L"))
    return narrow


def _extent(image: Image.Image) -> float:
    low, high = image.getextrema()
    return max(abs(cast("float", low)), abs(cast("float", high)))


def _in_srgb(picture: Image.Image, profile: bytes | None) -> Image.Image:
    if picture.mode == "LAB":
        return _converted(picture, ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")))
    source, meant_for = _profile(profile or b"")
    if source is None:
        return picture.convert("RGB")
    if picture.mode == "L" and meant_for == "RGB":
        picture = picture.convert("RGB")
    return _converted(picture, source) if picture.mode == meant_for else picture.convert("RGB")


def _profile(profile: bytes) -> tuple[ImageCms.ImageCmsProfile | None, str]:
    """A profile, and the mode of the pictures that it is for."""
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        return source, _PROFILE_MODES.get(source.profile.xcolor_space.strip(), "")
    except (OSError, ValueError):
        # A profile that cannot be read is one that says nothing; sRGB is then what every program assumes.
        return None, ""


def _converted(picture: Image.Image, source: ImageCms.ImageCmsProfile) -> Image.Image:
    target = ImageCms.createProfile("sRGB")
    try:
        converted = ImageCms.profileToProfile(picture, source, target, outputMode="RGB")
    except ImageCms.PyCMSError:
        return picture.convert("RGB")
    return cast("Image.Image", converted)


def _resized(picture: Image.Image, size: tuple[int, int]) -> Image.Image:
    if picture.size == size:
        return picture
    return picture.resize(size, Image.Resampling.LANCZOS, reducing_gap=2.0)


def _jpeg(picture: Image.Image) -> bytes:
    # Pixels are pasted into a new picture, because what a file said about itself travels with the old one.
    bare = Image.new("RGB", picture.size)
    bare.paste(picture)
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=QUALITY, subsampling="4:2:0", progressive=True, optimize=True)
    return out.getvalue()

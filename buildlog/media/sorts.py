"""What sort of file one is: by its first bytes, and by the ending of its name where those leave a choice."""

from __future__ import annotations

import enum

import msgspec

HEAD = 1100
"""Bytes from the front of a file that are enough to tell. A PDF may begin up to 1,024 bytes in."""


class Content(enum.Enum):
    """What the first bytes announce; the value is the word for it in a message."""

    JPEG = "JPEG"
    PNG = "PNG"
    WEBP = "WebP"
    TIFF = "TIFF"
    GIF = "GIF"
    HEIC = "HEIC"
    AVIF = "AVIF"
    SVG = "SVG"
    ISO_MEDIA = "MP4 or MOV"
    WEBM = "WebM"
    MP3 = "MP3"
    WAV = "WAV"
    PDF = "PDF"
    NOTHING = "empty"
    OTHER = "unknown"


PICTURES = frozenset(
    {Content.JPEG, Content.PNG, Content.WEBP, Content.TIFF, Content.GIF, Content.HEIC, Content.AVIF}
)


class Sorted(msgspec.Struct, frozen=True):
    """A file's sort (`photo`, `clip`, `sound` or `document`), and what is wrong with it, if anything."""

    sort: str
    problem: str = ""


_PHOTO_NAMES = ".jpg .jpeg .jpe .jfif .png .apng .webp .tif .tiff .gif .heic .heif .hif .avif"
_PHOTO_ENDINGS = frozenset(_PHOTO_NAMES.split())

_UNREAD_NAMES = ".svg .svgz .bmp .jxl .jp2 .psd .dng .cr2 .cr3 .nef .arw .orf .rw2 .raf .pef .srw .raw"
_UNREAD_ENDINGS = frozenset(_UNREAD_NAMES.split())
"""Pictures that are not read. Raw files are TIFF inside, but the first picture in them is a thumbnail."""

_CLIPS = {".mp4": Content.ISO_MEDIA, ".mov": Content.ISO_MEDIA, ".webm": Content.WEBM}
_SOUNDS = {".m4a": Content.ISO_MEDIA, ".mp3": Content.MP3, ".wav": Content.WAV}

_KEPT_NAMES = """
    .mp4 .mov .webm .m4a .mp3 .wav .avi .mkv .mts .m4v .3gp .ogg .flac .aac
    .pdf .txt .md .log .rtf .odt .ods .odp .doc .docx .xls .xlsx .ppt .pptx .csv .tsv .eml .vcf .ics
    .dxf .dwg .step .stp .iges .igs .stl .3mf .obj .f3d .fcstd .skp .gcode .nc .zip .7z .gz .tar
"""
_KEPT_ENDINGS = frozenset(_KEPT_NAMES.split())
"""Endings that a copy keeps. None of them is a page or a program that a browser or a desktop would run."""

_HEIC_BRANDS = frozenset({b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1"})
_AVIF_BRANDS = frozenset({b"avif", b"avis"})
_OLD_MOV_ATOMS = frozenset({b"moov", b"mdat", b"wide", b"free", b"skip", b"pnot"})


def ending_of(file: str) -> str:
    """The ending of a file's name in small letters, with its dot; empty if it has none."""
    stem, dot, ending = file.rpartition("/")[2].rpartition(".")
    return f"{dot}{ending}".lower() if stem else ""


def safe_ending(file: str) -> str:
    """The ending for a copy: its own if it is one that nothing runs, else `.bin`."""
    ending = ending_of(file)
    return ending if ending in _KEPT_ENDINGS else ".bin"


def sort_by_name(file: str) -> str:
    """The sort that a name alone announces, for a file that cannot be looked into."""
    ending = ending_of(file)
    if ending in _PHOTO_ENDINGS or ending in _UNREAD_ENDINGS:
        return "photo"
    if ending in _CLIPS:
        return "clip"
    return "sound" if ending in _SOUNDS else "document"


def sort_of(file: str, content: Content) -> Sorted:
    """Sort a file by its content and its name.

    A picture is a photo whatever it is called: a photo is rebuilt, anything else is copied as it stands.
    """
    ending = ending_of(file)
    sort = sort_by_name(file)
    if content is Content.NOTHING:
        return Sorted(sort, "the file is empty (0 bytes); copy it again from where it came from")
    if ending in _UNREAD_ENDINGS or content is Content.SVG:
        kind = ending.removeprefix(".").upper() if ending in _UNREAD_ENDINGS else content.value
        return Sorted("photo", f"pictures of the kind {kind} are not read; save it as JPEG or PNG")
    if content in PICTURES:
        return Sorted("photo")
    expected = _CLIPS.get(ending) or _SOUNDS.get(ending)
    if sort == "document" or content is expected:
        return Sorted(sort)
    if content is Content.OTHER:
        noun = "picture" if sort == "photo" else sort
        return Sorted(sort, f"the name ends in {ending}, but the file is no {noun}; copy it again")
    return Sorted(sort, f"the name ends in {ending}, but the file is {content.value}; rename it to fit")


def content_of(head: bytes) -> Content:
    """What the first bytes of a file announce.

    Sources: ITU-T T.81 (JPEG), ISO/IEC 15948 (PNG), RFC 9649 (WebP), TIFF 6.0, GIF89a, ISO/IEC 14496-12 (file
    types and brands), ISO/IEC 23008-12 (HEIC), AV1 Image File Format, RFC 8794 (EBML), ISO 32000 (PDF).
    """
    if not head:
        return Content.NOTHING
    for magic, content in (
        (b"\xff\xd8\xff", Content.JPEG),
        (b"\x89PNG\r\n\x1a\n", Content.PNG),
        (b"GIF87a", Content.GIF),
        (b"GIF89a", Content.GIF),
        (b"II*\0", Content.TIFF),
        (b"MM\0*", Content.TIFF),
        (b"II+\0", Content.TIFF),
        (b"MM\0+", Content.TIFF),
        (b"\x1a\x45\xdf\xa3", Content.WEBM),
        (b"ID3", Content.MP3),
    ):
        if head.startswith(magic):
            return content
    if head[:4] == b"RIFF":
        return {b"WEBP": Content.WEBP, b"WAVE": Content.WAV}.get(head[8:12], Content.OTHER)
    if head[4:8] == b"ftyp":
        return _branded(head)
    if head[4:8] in _OLD_MOV_ATOMS:
        return Content.ISO_MEDIA
    # A frame of MPEG audio, layer III: eleven bits set, then two for the version, then 01 (ISO/IEC 11172-3).
    if head[0] == 0xFF and head[1:2] >= b"\xe0" and head[1] & 0x06 == 0x02:
        return Content.MP3
    if b"%PDF-" in head[:1024]:
        return Content.PDF
    return Content.SVG if b"<svg" in head.lower() else Content.OTHER


def _branded(head: bytes) -> Content:
    length = int.from_bytes(head[:4], "big")
    brands = {head[8:12], *(head[at : at + 4] for at in range(16, min(length, len(head)), 4))}
    if brands & _AVIF_BRANDS:
        return Content.AVIF
    return Content.HEIC if brands & _HEIC_BRANDS else Content.ISO_MEDIA

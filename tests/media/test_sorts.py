"""Which sort a file is, by its first bytes and its name."""

import pytest

from buildlog.media.sorts import HEAD, Content, content_of, safe_ending, sort_by_name, sort_of
from tests.media import pictures

MP4 = b"\0\0\0\x18ftypisom\0\0\2\0isommp42"
EMPTY = "the file is empty (0 bytes); copy it again from where it came from"
HEADS = {
    Content.ISO_MEDIA: [
        MP4, b"\0\0\0\x14ftypqt  \0\0\0\0qt  ", b"\0\0\0\x08wide\0\0\0\0mdat",
        b"\0\0\0\x18ftypM4A \0\0\0\0M4A mp42",
    ],
    Content.WEBM: [b"\x1a\x45\xdf\xa3\x9f\x42\x86"],
    Content.MP3: [b"ID3\4\0", b"\xff\xfb\x90\x64", b"\xff\xf3\x90\x64"],
    Content.WAV: [b"RIFF\x24\0\0\0WAVEfmt "],
    Content.PDF: [b"%PDF-1.7\n", b"junk" * 200 + b"%PDF-1.4"],
    Content.SVG: [b"<svg xmlns=", b'<?xml version="1.0"?>\n<!-- a -->\n<SVG>'],
    Content.NOTHING: [b""],
    Content.OTHER: [
        b"#EXTM3U\nfile:///etc/passwd\n", b"plain text", b"\xff", b"\xff\xfe\x41\0", b"RIFF\0\0\0\0AVI ",
        b"\0", b"BM", b"RIFF",
    ],
    Content.AVIF: [b"\0\0\0\x1cftypmif1\0\0\0\0mif1avifmiaf"],
    Content.HEIC: [b"\0\0\0\x18ftypmif1\0\0\0\0mif1heic", b"\0\0\0\x18ftypheix\0\0\0\0"],
    Content.TIFF: [b"II+\0\x08\0\0\0", b"MM\0*\0\0\0\x08"],
}  # fmt: skip


@pytest.mark.parametrize(
    ("content", "head"), [(content, head) for content in HEADS for head in HEADS[content]]
)
def test_content_by_first_bytes(content, head):
    assert content_of(head) is content


@pytest.mark.parametrize("kind", pictures.FORMATS)
def test_real_pictures_are_told(kind):
    names = {
        "jpg": "JPEG",
        "png": "PNG",
        "webp": "WebP",
        "tif": "TIFF",
        "heic": "HEIC",
        "avif": "AVIF",
        "gif": "GIF",
    }
    assert content_of(pictures.picture(kind)[:HEAD]).value == names[kind]


@pytest.mark.parametrize(
    ("file", "content", "sort", "problem"),
    [
        ("a.jpg", Content.JPEG, "photo", ""),
        ("a.jpg", Content.HEIC, "photo", ""),  # phones do that
        ("a.pdf", Content.JPEG, "photo", ""),
        ("a", Content.PNG, "photo", ""),
        ("a.JPG", Content.OTHER, "photo", "the name ends in .jpg, but the file is no picture; copy it again"),
        ("a.jpg", Content.PDF, "photo", "the name ends in .jpg, but the file is PDF; rename it to fit"),
        ("a.png", Content.MP3, "photo", "the name ends in .png, but the file is MP3; rename it to fit"),
        ("a.svg", Content.SVG, "photo", "pictures of the kind SVG are not read; save it as JPEG or PNG"),
        ("a.txt", Content.SVG, "photo", "pictures of the kind SVG are not read; save it as JPEG or PNG"),
        ("a.nef", Content.TIFF, "photo", "pictures of the kind NEF are not read; save it as JPEG or PNG"),
        ("a.jpg", Content.NOTHING, "photo", EMPTY),
        ("a.mp4", Content.ISO_MEDIA, "clip", ""),
        ("a.mov", Content.ISO_MEDIA, "clip", ""),
        ("a.webm", Content.WEBM, "clip", ""),
        ("a.mp4", Content.OTHER, "clip", "the name ends in .mp4, but the file is no clip; copy it again"),
        ("a.mp4", Content.WEBM, "clip", "the name ends in .mp4, but the file is WebM; rename it to fit"),
        ("a.m4a", Content.ISO_MEDIA, "sound", ""),
        ("a.mp3", Content.MP3, "sound", ""),
        ("a.wav", Content.WAV, "sound", ""),
        ("a.wav", Content.OTHER, "sound", "the name ends in .wav, but the file is no sound; copy it again"),
        ("a.pdf", Content.PDF, "document", ""),
        ("a.pdf", Content.OTHER, "document", ""),
        ("notes.txt", Content.OTHER, "document", ""),
        ("film.mkv", Content.WEBM, "document", ""),
        ("noending", Content.OTHER, "document", ""),
    ],
)  # fmt: skip
def test_sort_by_content_and_name(file, content, sort, problem):
    found = sort_of(file, content)
    assert (found.sort, found.problem) == (sort, problem)


def test_sort_by_name_alone():
    names = {
        "x/a.HEIC": "photo",
        "a.svg": "photo",
        "a.mov": "clip",
        "a.wav": "sound",
        "a.pdf": "document",
        "a": "document",
    }
    assert {name: sort_by_name(name) for name in names} == names


def test_copies_keep_no_ending_that_something_runs():
    assert [safe_ending(name) for name in ("a.PDF", "b/c.step", "clip.mov")] == [".pdf", ".step", ".mov"]
    for name in (
        "a.html",
        "a.htm",
        "a.xhtml",
        "a.svg",
        "a.js",
        "a.xml",
        "a.exe",
        "a.bat",
        "a.lnk",
        "a",
        "a.pdf.hta",
        ".pdf",
    ):
        assert safe_ending(name) == ".bin"

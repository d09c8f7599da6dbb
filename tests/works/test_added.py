"""The files of static/: what is added to the public edition by hand, and what is refused, with what to do."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

from buildlog.works.added import MOST_BYTES
from tests.media.pictures import exif, picture
from tests.works.test_public import equals_a_clean_compile, holds, laid, made, refused


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return laid(tmp_path)


def put(root: Path, name: str, data: bytes | str) -> None:
    path = root / "static" / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data if isinstance(data, bytes) else data.encode())


GOOD: dict[str, bytes | str] = {
    "robots.txt": "User-agent: *\n",
    ".well-known/security.txt": "Contact: https://example.org/\n",
    "CNAME": "tansy.example.org\n",
    "_headers": "/*\n  X-Content-Type-Options: nosniff\n",
    ".nojekyll": "",
    "check.html": "owner-verification: 4711\n",
    "site.webmanifest": "{}",
    "favicon.png": picture("png"),
    "deep/er/banner.jpg": picture("jpg"),
    "letters.woff2": b"wOF2 and so on",
    "known.xml": "<?xml version='1.0'?><users><user>4711</user></users>",
}


def test_files_of_static_are_added_and_go_again(root: Path, tmp_path: Path) -> None:
    for name, data in GOOD.items():
        put(root, name, data)
    told = made(root)
    assert set(told.added) == set(GOOD)
    for name, data in GOOD.items():
        assert (root / "site" / name).read_bytes() == (data if isinstance(data, bytes) else data.encode())
    equals_a_clean_compile(root, tmp_path)
    shutil.rmtree(root / "static")
    assert set(GOOD) <= set(made(root).withdrawn)
    equals_a_clean_compile(root, tmp_path)
    assert not (root / "site" / "deep").exists()


BAD: dict[str, tuple[bytes | str, str]] = {
    "exif.jpg": (picture("jpg", exif=exif()), "it carries a position (GPS), EXIF; export it without"),
    "exif.webp": (picture("webp", exif=exif()), "it carries a position (GPS), EXIF"),
    "motion.jpg": (picture() + b"ftypmp42", "it carries bytes behind its end"),
    "two.jpg": (picture() + picture(), "it carries bytes behind its end"),
    "not.png": (b"no picture", "it is no PNG picture"),
    "drawing.svg": ("<svg/>", "cannot be checked"),
    "drawing.svgz": (b"\x1f\x8b", "cannot be checked"),
    "page.html": ("<p>Hello", "pages of your own cannot be checked"),
    "page.htm": ("<p>Hello", "pages of your own cannot be checked"),
    "page.xhtml": ("<html/>", "cannot be checked"),
    "page.xml": ('<html xmlns="http://www.w3.org/1999/xhtml"><script>1</script></html>', "pages of your own"),
    "drawing.xml": ('<a:b xmlns:a="http://www.w3.org/2000/svg"/>', "pages of your own"),
    "entity.xml": ('<!DOCTYPE a [<!ENTITY b "Kleiv">]><a>&b;dal</a>', "pages of your own"),
    "page": ("<!doctype html><script>1</script>", "pages of your own"),
    "script.js": ("1", "cannot be checked"),
    "paper.pdf": (b"%PDF-", "cannot be checked"),
    "photo.heic": (picture("heic"), "cannot be checked"),
    "photo.gif": (picture("gif"), "cannot be checked"),
    "clip.mp4": (b"ftyp", "cannot be checked"),
    "thing.zip": (b"PK", "cannot be checked"),
    "letters.woff2": (b"OTTO", "it is no WOFF2 font"),
    "latin.txt": (b"\xe6\xf8\xe5", "not text in UTF-8"),
    ".DS_Store": (b"\0\0\0\1Bud1\xff", "not text in UTF-8"),
    "index.html": ("x", "the edition has a file or folder of that name"),
    "INDEX.html": ("x", "the edition has a file or folder of that name"),
    "Parts/tn-1.html": ("x", "the edition has a file or folder of that name"),
    "sheet.css": ("x", "the edition has a file or folder of that name"),
    "SHA256SUMS": ("x", "the edition has a file or folder of that name"),
    "sha256sums": ("x", "the edition has a file or folder of that name"),
    "entries": ("x", "the edition has a file or folder of that name"),
    "feed.xml": ("x", "the edition has a file or folder of that name"),
    "a name.txt": ("x", "its name would not be the same everywhere"),
    "Ø.txt": ("x", "its name would not be the same everywhere"),
    "a:b.txt": ("x", "its name would not be the same everywhere"),
    "large.txt": (b"x" * (MOST_BYTES + 1), "it has more than 20 MB"),
}


def test_what_may_not_be_added_is_refused_and_says_why_all_at_once(root: Path) -> None:
    made(root)
    put(root, "robots.txt", "fine")
    for name, (data, _) in BAD.items():
        put(root, name, data)
    told = dict(line.strip().split(": ", 1) for line in refused(root).split("\n")[1:])
    assert set(told) == {f"static/{name}" for name in BAD}
    assert {name: why for name, (_, why) in BAD.items() if why not in told[f"static/{name}"]} == {}


def test_one_bad_file_is_enough(root: Path) -> None:
    made(root)
    put(root, "robots.txt", "fine")
    put(root, "index.html/x.txt", "x")
    assert "static/index.html/x.txt: the edition has a file or folder of that name" in refused(root)
    assert not (root / "site" / "robots.txt").exists()


def test_two_files_that_differ_by_case_alone_are_refused(root: Path) -> None:
    put(root, "notes.txt", "x")
    put(root, "Notes.txt", "x")
    assert "the edition has a file or folder of that name" in refused(root)


@pytest.mark.parametrize("how", ["file", "folder", "static itself", "pipe", "dangling"])
def test_a_link_or_what_is_no_file_is_refused(root: Path, tmp_path: Path, how: str) -> None:
    made(root)
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "letter.txt").write_text("Dear", "utf-8")
    static = root / "static"
    if how == "static itself":
        static.symlink_to(outside)
    else:
        static.mkdir()
    if how == "file":
        (static / "letter.txt").symlink_to(outside / "letter.txt")
    elif how == "folder":
        (static / "letters").symlink_to(outside)
    elif how == "dangling":
        (static / "letter.txt").symlink_to(outside / "nothing")
    elif how == "pipe":
        os.mkfifo(static / "letter.txt")
    told = refused(root)
    assert "it is no file" in told if how == "pipe" else "link, which may lead out of the log" in told
    assert holds(root / "site", "Dear") == []


def test_what_cannot_be_read_is_refused(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made(root)
    put(root, "robots.txt", "x")
    read = Path.read_bytes

    def broken(path: Path) -> bytes:
        if path.name == "robots.txt":
            raise PermissionError(13, "Permission denied")
        return read(path)

    monkeypatch.setattr(Path, "read_bytes", broken)
    assert "static/robots.txt: it cannot be read (permission denied)" in refused(root)


TOLD = {
    "humans.txt": "Thanks to Kleivdal.",
    "more-humans.txt": "Thanks to KLEIV\u00addal.",
    "humans": "bram lie",
    "team.json": '{"who": "Bram\\u0020Lie"}',
    "team.xml": "<who>Bram &#76;ie</who>",
    "kleivdal.txt": "x",
    "bram-lie/photo.txt": "x",
}


def test_the_gate_looks_into_static(root: Path) -> None:
    made(root)
    for name, text in TOLD.items():
        put(root, name, text)
        told = refused(root)
        assert "Kleivdal" in told or "Bram Lie" in told, name
        assert name in told
        (root / "static" / name).unlink()
    assert made(root).added == ()

"""The files of LOG/static: what the builder adds to the public edition by hand, as far as it is checked."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from buildlog.works.standing import LIST, Refused

FOLDER = "static"
MOST_BYTES = 20_000_000
"""The largest file that is added: a picture for the front, not a film."""

_TEXTS = {"", ".txt", ".xml", ".json", ".webmanifest", ".css", ".md", ".asc"}
_PAGES = {".html", ".htm"}
_FONTS = {".woff2"}
_SHOWN = re.compile(
    r"<\s*(?:!doctype|!entity|html|head|body|script|svg|iframe|\?xml-stylesheet)\b|www\.w3\.org/(?:1999/xhtml|2000/svg)",
    re.IGNORECASE,
)
"""What makes a browser show a text as a page, or write a word in a way of its own.

WHATWG, MIME Sniffing: a file without an ending may come without a type; XML may be XHTML or SVG.
"""

_NAME = re.compile(r"[\w.~-]+(?:/[\w.~-]+)*", re.ASCII)
"""Names that are the same on every file system and in every address."""


def added(root: Path, taken: Iterable[str]) -> dict[str, bytes]:
    """The files of the folder by their address in the edition.

    Args:
        root: the folder of the log.
        taken: addresses that the edition's own files have.

    Raises:
        Refused: something in it may not be published, or would take the place of a page; all are named.
    """
    folder = root / FOLDER
    if folder.is_symlink():
        raise Refused(f"{FOLDER} is a link, which may lead out of the log; make it a folder")
    files: dict[str, bytes] = {}
    wrong: list[str] = []
    places = _Places(taken)
    for path in sorted(_files(folder)):
        address = path.relative_to(folder).as_posix()
        data = b""
        found = places.wrong_with(address)
        if not found:
            try:
                found = _wrong_outside(folder, path)
                data = b"" if found else path.read_bytes()
                found = found or _wrong_with(address, data)
            except OSError as error:
                found = f"it cannot be read ({(error.strerror or 'for no stated reason').lower()})"
        if found:
            wrong.append(f"{FOLDER}/{_shown(address)}: {found}")
        files[address] = data
    if wrong:
        raise Refused("\n  ".join(["the public edition cannot take what lies in static", *wrong]))
    return files


def _shown(address: str) -> str:
    return address.encode("utf-8", "replace").decode()


class _Places:
    """The places of an edition that are taken, in any case: some file systems and servers know none."""

    def __init__(self, taken: Iterable[str]) -> None:
        # the list of digests is written when the edition is published
        self._files = {address.lower() for address in (*taken, LIST)}
        self._folders = {each for address in self._files for each in _above(address)}

    def wrong_with(self, address: str) -> str:
        """Why a file may not lie there; empty where it may, and then the place is taken."""
        lower = address.lower()
        above = set(_above(lower))
        if not _NAME.fullmatch(address):
            return "its name would not be the same everywhere; name it in a-z, 0-9, `.`, `-` and `_`"
        if lower in self._files | self._folders or above & self._files:
            return "the edition has a file or folder of that name; rename yours"
        self._files.add(lower)
        self._folders |= above
        return ""


def _above(address: str) -> Iterator[str]:
    """The folders that a file lies in."""
    while "/" in address:
        address = address.rpartition("/")[0]
        yield address


def _files(folder: Path) -> Iterator[Path]:
    if folder.is_dir():
        for path in folder.rglob("*"):
            if path.is_symlink() or not path.is_dir():
                yield path


def _wrong_outside(folder: Path, path: Path) -> str:
    """Why a file may not even be read; empty where it may."""
    if path.is_symlink() or not path.resolve().is_relative_to(folder.resolve()):
        return "it is a link, which may lead out of the log; copy the file"
    if not path.is_file():
        return "it is no file; take it out"
    if path.stat().st_size > MOST_BYTES:
        return f"it has more than {MOST_BYTES // 1_000_000} MB; make it smaller"
    return ""


def _wrong_with(address: str, data: bytes) -> str:
    """Why a file may not be published, and what to do; empty where it may."""
    from buildlog.media.traces import FORMATS, traces  # noqa: PLC0415 - most logs add nothing, and need no Pillow

    ending = Path(address).suffix.lower()
    if ending in FORMATS:
        try:
            carried = traces(address, data)
        except ValueError as error:
            return f"{error}; take it out, or export it anew"
        if carried:
            return (
                f"it carries {', '.join(carried)}; export it without, or show it through an entry’s `media`"
            )
        return ""
    if ending in _FONTS:
        return "" if data.startswith(b"wOF2") else "it is no WOFF2 font; take it out"
    if ending in _TEXTS | _PAGES:
        try:
            text = data.decode("utf-8")
        except UnicodeDecodeError:
            return "it is not text in UTF-8; save it as that"
        shown = "<" in text if ending in _PAGES else ending in ("", ".xml") and _SHOWN.search(text)
        if shown:
            return "pages of your own cannot be checked; write an entry, or a text file"
        return ""
    return (
        "what such a file carries cannot be checked; texts, .png, .jpg, .webp, .ico and .woff2 can be added"
    )

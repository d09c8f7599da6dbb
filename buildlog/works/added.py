"""The files of LOG/static: what the builder adds to the public edition by hand, as far as it is checked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from buildlog.works.standing import Refused

FOLDER = "static"
MOST_BYTES = 20_000_000
"""The largest file that is added: a picture for the front, not a film."""

_TEXTS = {"", ".txt", ".xml", ".json", ".webmanifest", ".css", ".md", ".asc"}
_PAGES = {".html", ".htm"}
_FONTS = {".woff2"}


def added(root: Path, taken: Iterable[str]) -> dict[str, bytes]:
    """The files of the folder by their address in the edition.

    Args:
        root: the folder of the log.
        taken: addresses that the edition's own files have.

    Raises:
        Refused: something in it may not be published, or would take the place of a page; all are named.
    """
    folder = root / FOLDER
    files: dict[str, bytes] = {}
    wrong: list[str] = []
    lower = {address.lower() for address in taken}
    for path in sorted(_files(folder)):
        address = path.relative_to(folder).as_posix()
        try:
            if address.lower() in lower:
                wrong.append(f"{FOLDER}/{address}: the edition has a file of that name; rename yours")
                continue
            data = _read(folder, path)
            found = _wrong_with(address, data)
        except OSError as error:
            found, data = f"it cannot be read ({(error.strerror or 'for no stated reason').lower()})", b""
        if found:
            wrong.append(f"{FOLDER}/{address}: {found}")
        files[address] = data
    if wrong:
        raise Refused("\n  ".join(["the public edition cannot take what lies in static", *wrong]))
    return files


def _files(folder: Path) -> Iterator[Path]:
    if folder.is_dir() and not folder.is_symlink():
        for path in folder.rglob("*"):
            if path.is_symlink() or not path.is_dir():
                yield path


def _read(folder: Path, path: Path) -> bytes:
    if path.is_symlink() or not path.resolve().is_relative_to(folder.resolve()):
        raise OSError(0, "it is a link, which may lead out of the log; copy the file")
    if path.stat().st_size > MOST_BYTES:
        raise OSError(0, f"it has more than {MOST_BYTES // 1_000_000} MB")
    return path.read_bytes()


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
        if ending in _PAGES and "<" in text:
            return "pages of your own cannot be checked; write an entry, or a text file"
        return ""
    return (
        "what such a file carries cannot be checked; texts, .png, .jpg, .webp, .ico and .woff2 can be added"
    )

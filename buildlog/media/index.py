"""What is kept between runs: one small file that says what every original and every rendition was.

It is believed only as far as it can be checked: it carries its own digest, and what it says of a file on disk
holds only while that file has the size and time that were written down.
"""

from __future__ import annotations

import hashlib
import os
import re
from pathlib import Path
from typing import TypeVar

import msgspec

from buildlog.media.sorts import Content

_FILE = "index.json"
_STILLS = "stills"
_CLEANED = "cleaned"
_RENDITION_NAME = re.compile(r"[0-9a-f]{20}\.jpg")
_CLEANED_NAME = re.compile(r"[0-9a-f]{20}\.(mp4|m4a|pdf)")
_PART_NAME = re.compile(r"[0-9a-f]{20}\.(jpg|mp4|m4a|pdf)\.\d+-[0-9a-f]{12}\.part")


class Seen(msgspec.Struct, frozen=True, array_like=True):
    """One original, by its name below media/: what it was when it had this size and this time."""

    size: int
    mtime_ns: int
    digest: str
    content: Content


class KeptRendition(msgspec.Struct, frozen=True, array_like=True):
    """One rendition on the shelf, and the size and time of its file when its digest was last checked."""

    name: str
    width: int
    height: int
    size: int
    mtime_ns: int


class Made(msgspec.Struct, frozen=True, array_like=True):
    """What came of a photo by a recipe: renditions, small first, or a problem; `carried` was left behind."""

    renditions: tuple[KeptRendition, ...] = ()
    problem: str = ""
    carried: tuple[str, ...] = ()


class Cleaned(msgspec.Struct, frozen=True, array_like=True):
    """What came of a clip, sound or document by a recipe: the copy made anew and its poster, or a problem.

    The size and time are those of the copy's file when its digest was last checked.
    """

    name: str = ""
    size: int = 0
    mtime_ns: int = 0
    width: int = 0
    height: int = 0
    milliseconds: int = 0
    poster: tuple[KeptRendition, ...] = ()
    problem: str = ""


KeptFile = TypeVar("KeptFile", KeptRendition, Cleaned)


class Index(msgspec.Struct):
    """Originals by name, and what was made of them by `made_key`."""

    seen: dict[str, Seen] = msgspec.field(default_factory=dict)
    made: dict[str, Made] = msgspec.field(default_factory=dict)
    cleaned: dict[str, Cleaned] = msgspec.field(default_factory=dict)


def made_key(digest: str, recipe: str) -> str:
    """The key of what a recipe makes of the original with this digest."""
    return f"{digest} {recipe}"


def name_of(data: bytes, ending: str) -> str:
    """The file name of what was made: the first 20 digits of the SHA-256 (FIPS 180-4) of its own bytes."""
    return hashlib.sha256(data).hexdigest()[:20] + ending


def rendition_name(data: bytes) -> str:
    """The file name of a rendition."""
    return name_of(data, ".jpg")


def stills_folder(shelf: Path) -> Path:
    """The folder of the shelf that holds renditions."""
    return shelf / _STILLS


def cleaned_folder(shelf: Path) -> Path:
    """The folder of the shelf that holds clips, sounds and documents made anew."""
    return shelf / _CLEANED


def own_files(shelf: Path) -> tuple[Path, ...]:
    """What was made, and what a killed run left of one half written, by name."""
    return (
        *_own(stills_folder(shelf), _RENDITION_NAME),
        *_own(cleaned_folder(shelf), _CLEANED_NAME),
    )


def _own(folder: Path, made: re.Pattern[str]) -> tuple[Path, ...]:
    names = sorted(path.name for path in folder.iterdir()) if folder.is_dir() else []
    return tuple(folder / name for name in names if made.fullmatch(name) or _PART_NAME.fullmatch(name))


def load(shelf: Path) -> Index:
    """Read the index of a shelf; an empty one if there is none, or if it is not whole or not ours."""
    try:
        digest, _, body = (shelf / _FILE).read_bytes().partition(b"\n")
        if hashlib.sha256(body).hexdigest().encode() != digest:
            return Index()
        index = msgspec.json.decode(body, type=Index)
    except (OSError, msgspec.MsgspecError):
        return Index()
    renditions = [each for made in index.made.values() for each in made.renditions]
    renditions += [each for cleaned in index.cleaned.values() for each in cleaned.poster]
    copies = [each.name for each in index.cleaned.values() if each.name]
    sound = all(_RENDITION_NAME.fullmatch(each.name) for each in renditions)
    return index if sound and all(map(_CLEANED_NAME.fullmatch, copies)) else Index()


def save(shelf: Path, index: Index) -> None:
    """Write the index, all or nothing.

    Raises:
        OSError: the shelf cannot be written.
    """
    body = msgspec.json.encode(index, order="sorted")
    put(shelf / _FILE, hashlib.sha256(body).hexdigest().encode() + b"\n" + body)


def put(path: Path, data: bytes) -> None:
    """Write a file so that under its name there is only ever the old or the new one, whole.

    Raises:
        OSError: it cannot be written.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_name(f"{path.name}.{os.getpid()}-{os.urandom(6).hex()}.part")
    try:
        part.write_bytes(data)
        part.replace(path)
    except BaseException:
        part.unlink(missing_ok=True)
        raise


def checked(shelf: Path, made: Made) -> Made | None:
    """What was made, if its renditions are still on the shelf as they were; else None.

    A rendition whose size and time are as written down is taken as it is. One with another time is read again
    and must still have the digest that it is named by.
    """
    present = _checked_all(shelf, made.renditions)
    return msgspec.structs.replace(made, renditions=present) if present is not None else None


def checked_copy(shelf: Path, cleaned: Cleaned) -> Cleaned | None:
    """What was made anew, if its file and its poster are still on the shelf as they were; else None."""
    poster = _checked_all(shelf, cleaned.poster)
    copy = _checked(f"{cleaned_folder(shelf)}/{cleaned.name}", cleaned) if cleaned.name else cleaned
    return None if poster is None or copy is None else msgspec.structs.replace(copy, poster=poster)


def _checked_all(shelf: Path, kept: tuple[KeptRendition, ...]) -> tuple[KeptRendition, ...] | None:
    folder = stills_folder(shelf)
    present = tuple(_checked(f"{folder}/{each.name}", each) for each in kept)
    whole = tuple(each for each in present if each is not None)
    return whole if len(whole) == len(kept) else None


def _checked(path: str, kept: KeptFile) -> KeptFile | None:
    try:
        state = os.lstat(path)
        if (state.st_size, state.st_mtime_ns) == (kept.size, kept.mtime_ns):
            return kept
        with Path(path).open("rb") as file:
            digest = hashlib.file_digest(file, "sha256").hexdigest()
    except OSError:
        return None
    if not digest.startswith(kept.name.partition(".")[0]):
        return None
    return msgspec.structs.replace(kept, size=state.st_size, mtime_ns=state.st_mtime_ns)

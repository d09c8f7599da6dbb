"""What is kept between runs: one small file that says what every original and every rendition was.

It is believed only as far as it can be checked: it carries its own digest, and what it says of a file on disk
holds only while that file has the size and time that were written down.
"""

from __future__ import annotations

import hashlib
import os
import re
from pathlib import Path

import msgspec

from buildlog.media.sorts import Content

_FILE = "index.json"
_STILLS = "stills"
_CLEANED = "cleaned"
_RENDITION_NAME = re.compile(r"[0-9a-f]{20}\.jpg")
_PART_NAME = re.compile(r"[0-9a-f]{20}\.jpg\.\d+-[0-9a-f]{12}\.part")


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
    """What came of a photo by a recipe: renditions, small first, or a problem."""

    renditions: tuple[KeptRendition, ...] = ()
    problem: str = ""


class Index(msgspec.Struct):
    """Originals by name, and what was made by `made_key`."""

    seen: dict[str, Seen] = msgspec.field(default_factory=dict)
    made: dict[str, Made] = msgspec.field(default_factory=dict)


def made_key(digest: str, recipe: str) -> str:
    """The key of what a recipe makes of the original with this digest."""
    return f"{digest} {recipe}"


def rendition_name(data: bytes) -> str:
    """The file name of a rendition: the first 20 digits of the SHA-256 (FIPS 180-4) of its own bytes."""
    return hashlib.sha256(data).hexdigest()[:20] + ".jpg"


def stills_folder(shelf: Path) -> Path:
    """The folder of the shelf that holds renditions."""
    return shelf / _STILLS


def cleaned_folder(shelf: Path) -> Path:
    """The folder of the shelf that holds clips, sounds and documents made anew."""
    return shelf / _CLEANED


def own_files(shelf: Path) -> tuple[Path, ...]:
    """The renditions on the shelf, and what a killed run left of one half written, by name."""
    folder = stills_folder(shelf)
    names = sorted(path.name for path in folder.iterdir()) if folder.is_dir() else []
    return tuple(
        folder / name for name in names if _RENDITION_NAME.fullmatch(name) or _PART_NAME.fullmatch(name)
    )


def load(shelf: Path) -> Index:
    """Read the index of a shelf; an empty one if there is none, or if it is not whole or not ours."""
    try:
        digest, _, body = (shelf / _FILE).read_bytes().partition(b"\n")
        if hashlib.sha256(body).hexdigest().encode() != digest:
            return Index()
        index = msgspec.json.decode(body, type=Index)
    except (OSError, msgspec.MsgspecError):
        return Index()
    sound = all(
        _RENDITION_NAME.fullmatch(each.name) for made in index.made.values() for each in made.renditions
    )
    return index if sound else Index()


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
    folder = stills_folder(shelf)
    renditions = tuple(_checked(f"{folder}/{each.name}", each) for each in made.renditions)
    present = tuple(each for each in renditions if each is not None)
    return Made(present, made.problem) if len(present) == len(renditions) else None


def _checked(path: str, kept: KeptRendition) -> KeptRendition | None:
    try:
        state = os.lstat(path)
        if (state.st_size, state.st_mtime_ns) == (kept.size, kept.mtime_ns):
            return kept
        data = Path(path).read_bytes()
    except OSError:
        return None
    if rendition_name(data) != kept.name:
        return None
    return msgspec.structs.replace(kept, size=len(data), mtime_ns=state.st_mtime_ns)

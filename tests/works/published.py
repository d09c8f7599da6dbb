"""Small editions, published, and what then stands: for the tests of publishing."""

from __future__ import annotations

import errno
from collections.abc import Mapping
from pathlib import Path

from buildlog.works import disk
from buildlog.works.generations import Leaf, Published, leaf_of, publish
from buildlog.works.seen import NOTHING_SEEN, Sightings
from buildlog.works.standing import stand

DAY, NEXT_DAY = 1_773_446_400, 1_773_532_800

FIRST = {
    "index.html": b"home",
    "404.html": b"home",
    "parts/TN-57-1100/index.html": b"spar",
    "parts/TN-57-1200/index.html": b"rib",
    "tasks/WING-12.html": b"splice",
    "media/a.jpg": b"\xff\xd8",
    "deep/er/and/deeper.txt": b"",
}
SECOND = {
    "index.html": b"home, changed",
    "404.html": b"home",
    "parts/TN-57-1100/index.html": b"spar",
    "parts/TN-57-1300/index.html": b"rib",
    "tasks": b"now a file",
    "media/a.jpg/index.html": b"now in a folder",
}

Tree = dict[str, tuple[bytes | None, int, int]]


def tree(folder: Path) -> Tree:
    """Every file and folder with its bytes, time in nanoseconds and permissions."""
    return {
        path.relative_to(folder).as_posix(): (
            path.read_bytes() if path.is_file() else None,
            path.lstat().st_mtime_ns,
            path.lstat().st_mode & 0o7777,
        )
        for path in (folder, *sorted(folder.rglob("*")))
    }


def contents(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


def leaves(files: Mapping[str, bytes]) -> dict[str, Leaf]:
    return {path: leaf_of(data) for path, data in files.items()}


def put(
    place: Path, files: Mapping[str, bytes], stamp: int = DAY, known: Sightings = NOTHING_SEEN
) -> Published:
    """Publish into `place/out`, with the generation behind it in `place/kept/back`."""
    return publish(stand(place / "out", place / "kept/back", known), leaves(files), stamp=stamp)


def clean(place: Path, files: Mapping[str, bytes], stamp: int = DAY) -> Tree:
    """The tree that publishing into an empty folder gives."""
    put(place, files, stamp)
    return tree(place / "out")


def no_links(*_: object) -> None:
    raise OSError(errno.EPERM, "no hard links here")


def no_exchange(*_: object) -> None:
    raise disk.ExchangeError(errno.ENOSYS, "no exchange here")

"""What a file looked like when its bytes were last read, so that they need not be read again.

A file is known by its size, times and place on the disk, as any build tool knows it. Two things make that
sound. The time of the last change of the file's own entry (`ctime`) is part of it, which no program can set
back. And a file that was written in the very moment the table was made is not trusted: a second write within
the disk's resolution of time would leave no trace (the trap is well known among build and version tools).
"""

from __future__ import annotations

import hashlib
import os
import stat
from collections.abc import Collection, Mapping
from pathlib import Path
from types import MappingProxyType

import msgspec

SECOND = 1_000_000_000
"""Nanoseconds."""

FINE, COARSE = SECOND // 20, 2 * SECOND
"""How far apart two changes must be to show: 50 ms where times have fractions (the kernel's tick is at most
10 ms), 2 s where they have not (FAT, as Microsoft documents it; from memory)."""


class Look(msgspec.Struct, frozen=True, gc=False):
    """A file from the outside. Times in nanoseconds; `mode` holds the permission bits."""

    size: int
    mtime: int
    ctime: int
    inode: int
    mode: int
    links: int


class Seen(msgspec.Struct, frozen=True, array_like=True, gc=False):
    """A file whose bytes were read: how it looked then, and their SHA-256, hexadecimal."""

    size: int
    mtime: int
    ctime: int
    inode: int
    digest: str

    def is_still(self, look: Look) -> bool:
        """Whether a file that looks like this has not changed since."""
        return (
            self.size == look.size
            and self.mtime == look.mtime
            and self.ctime == look.ctime
            and self.inode == look.inode
        )


class Sightings(msgspec.Struct, frozen=True):
    """The files of one folder as they were seen, by path below it, and the disk's time when that began."""

    taken: int = 0
    files: dict[str, Seen] = {}


NOTHING_SEEN = Sightings()
"""For a first run: every file is read."""


NOTHING_READ: Mapping[str, str] = MappingProxyType({})
"""No file was read yet."""


class Survey(msgspec.Struct, frozen=True):
    """Everything in one folder, by path below it, with `/`. The folder itself is the folder named ``""``.

    `odd` are symbolic links, devices, and folders that cannot be read; none of them is followed.
    """

    files: dict[str, Look]
    folders: dict[str, Look]
    odd: tuple[str, ...] = ()


def look_at(status: os.stat_result) -> Look:
    """The part of a file's status that matters here."""
    return Look(
        status.st_size,
        status.st_mtime_ns,
        status.st_ctime_ns,
        status.st_ino,
        stat.S_IMODE(status.st_mode),
        status.st_nlink,
    )


def survey(root: Path, leave_out: Collection[str] = ()) -> Survey:
    """Look at every file and folder below `root`, but for the folders named in `leave_out`.

    A folder that vanishes meanwhile counts as not there.

    Raises:
        OSError: where `root` itself cannot be read.
    """
    files: dict[str, Look] = {}
    folders = {"": look_at(root.stat())}
    odd: list[str] = []
    waiting = [("", os.scandir(root))]
    while waiting:
        prefix, listing = waiting.pop()
        with listing:
            for found in listing:
                name = prefix + found.name
                try:
                    status = os.lstat(found.path)
                    if stat.S_ISREG(status.st_mode):
                        files[name] = look_at(status)
                    elif not stat.S_ISDIR(status.st_mode):
                        odd.append(name)
                    elif name not in leave_out:
                        waiting.append((name + "/", os.scandir(found.path)))
                        folders[name] = look_at(status)
                except FileNotFoundError:
                    continue
                except OSError:
                    odd.append(name)
    return Survey(files, folders, tuple(sorted(odd)))


def digest_of(path: Path | str) -> str:
    """The SHA-256 of a file's bytes, hexadecimal."""
    with open(path, "rb", buffering=0) as file:  # noqa: PTH123 - a str saves building 20,000 paths
        return hashlib.file_digest(file, "sha256").hexdigest()


def identify(
    root: Path, looks: Mapping[str, Look], known: Sightings, read: Mapping[str, str] = NOTHING_READ
) -> dict[str, Seen]:
    """Give each file its digest: the known one where it still looks the same, else by reading it.

    A file that vanishes meanwhile is left out.

    Args:
        root: the folder of the files.
        looks: what each looks like.
        known: files as they were seen before.
        read: the digests of files that were read after these looks. One that changed in between gets that
            of its new bytes with its old looks, and so will be read again.

    Raises:
        OSError: where a file cannot be read.
    """
    before = f"{root}{os.sep}"
    files: dict[str, Seen] = {}
    for name, look in looks.items():
        seen = known.files.get(name)
        if seen is not None and seen.is_still(look) and _settled(look.mtime, known.taken):
            files[name] = seen
            continue
        try:
            digest = read.get(name) or digest_of(before + name)
        except FileNotFoundError:
            continue
        files[name] = Seen(look.size, look.mtime, look.ctime, look.inode, digest)
    return files


def _settled(mtime: int, taken: int) -> bool:
    """Whether a file was last written long enough before the table was begun."""
    return mtime + (FINE if mtime % SECOND else COARSE) < taken


def sight(root: Path, known: Sightings, taken: int, leave_out: Collection[str] = ()) -> Sightings:
    """See every file below `root` but those in the folders named in `leave_out`; read only what changed.

    `taken` is the disk's time before this began, in nanoseconds.

    Raises:
        OSError: where `root` or a file in it cannot be read.
    """
    return Sightings(taken, identify(root, survey(root, leave_out).files, known))

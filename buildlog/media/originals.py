"""The files that a log refers to: found without leaving its media folder, and known by their digest."""

from __future__ import annotations

import contextlib
import hashlib
import os
import stat
import time
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

import msgspec

from buildlog.media.index import Seen
from buildlog.media.sorts import HEAD, content_of

MISSING = "missing"
"""The problem of a file that is not there."""

_SETTLED_NS = 2_000_000_000
"""A file younger than this may change again within the same tick of a coarse file system's clock."""

_CHANGED = "the file changed while it was read; compile again once it is copied whole"


class LostError(Exception):
    """A file that cannot be read now. The message says why and what to do; the next run asks again."""


class Found(msgspec.Struct, frozen=True):
    """A regular file inside the media folder, with the size and time it has now."""

    file: str
    path: str
    size: int
    mtime_ns: int


class Order(msgspec.Struct, frozen=True):
    """A file of which something is to be made: where it is, what it was seen to be, and its sort."""

    found: Found
    seen: Seen
    sort: str


class MediaFolder:
    """The media folder of a log; nothing is opened that does not lie inside it, links followed."""

    def __init__(self, root: Path) -> None:
        self._base = (root / "media").resolve()
        self._inside: dict[str, bool] = {}

    def find(self, file: str) -> Found:
        """Find a file by its name as the log writes it.

        Raises:
            LostError: it is missing, lies outside, is no regular file, or cannot be reached.
        """
        try:
            # Text, because a log may have very many files; put behind the folder, not joined to it, so that
            # an absolute name leads nowhere.
            path = f"{self._base}/{file}"
            self._enter(path.rpartition("/")[0])
            state = os.lstat(path)
            if stat.S_ISLNK(state.st_mode):
                path = str(Path(path).resolve(strict=True))
                self._enter(path)
                state = os.lstat(path)
        except (FileNotFoundError, NotADirectoryError):
            raise LostError(MISSING) from None
        except OSError as error:
            raise LostError(_unreachable(error)) from error
        except (ValueError, RuntimeError):
            # NUL in a name, or links that go round in a ring (RuntimeError before Python 3.13).
            raise LostError("the name leads to no file; correct it") from None
        if not stat.S_ISREG(state.st_mode):
            raise LostError("this is not a file; name a file in media/")
        return Found(file, path, state.st_size, state.st_mtime_ns)

    def _enter(self, path: str) -> None:
        inside = self._inside.get(path)
        if inside is None:
            inside = self._inside[path] = Path(path).resolve().is_relative_to(self._base)
        if not inside:
            raise LostError("the file lies outside media/; copy it into media/ and name it there")


def look(found: Found) -> Seen:
    """Read an original through, for its digest and content.

    Raises:
        LostError: it cannot be read, or was written to meanwhile.
    """
    try:
        with Path(found.path).open("rb") as file:
            head = file.read(HEAD)
            file.seek(0)
            digest = hashlib.file_digest(file, "sha256").hexdigest()
            state = os.fstat(file.fileno())
    except OSError as error:
        raise LostError(_unreachable(error)) from error
    if (state.st_size, state.st_mtime_ns) != (found.size, found.mtime_ns):
        raise LostError(_CHANGED)
    return Seen(found.size, found.mtime_ns, digest, content_of(head))


def settled(seen: Seen) -> bool:
    """Whether an original is old enough that another change would show in its time."""
    return abs(time.time_ns() - seen.mtime_ns) > _SETTLED_NS


def read(found: Found, digest: str) -> bytes:
    """The bytes of an original that has this digest.

    Raises:
        LostError: it cannot be read, or no longer has it.
    """
    try:
        data = Path(found.path).read_bytes()
    except OSError as error:
        raise LostError(_unreachable(error)) from error
    if hashlib.sha256(data).hexdigest() != digest:
        raise LostError(_CHANGED)
    return data


@contextlib.contextmanager
def opened(found: Found, digest: str) -> Iterator[BinaryIO]:
    """An original that has this digest, open at its beginning; for those too large to be held.

    Raises:
        LostError: it cannot be read, no longer has it, or was written to while it was open.
    """
    try:
        with Path(found.path).open("rb") as file:
            if hashlib.file_digest(file, "sha256").hexdigest() != digest:
                raise LostError(_CHANGED)
            file.seek(0)
            before = os.fstat(file.fileno())
            yield file
            after = os.fstat(file.fileno())
    except OSError as error:
        raise LostError(_unreachable(error)) from error
    if (before.st_size, before.st_mtime_ns) != (after.st_size, after.st_mtime_ns):
        raise LostError(_CHANGED)


def _unreachable(error: OSError) -> str:
    reason = (error.strerror or "for no stated reason").lower()
    return f"the file cannot be read ({reason}); see that it can be opened, then compile again"

"""One compile of a log at a time: who holds the folder of kept things, and for how long the next one waits.

The lock is the operating system's, on an open file. It ends with the process that has it, however that ends,
so there is never a stale one to be cleared away by hand.
"""

from __future__ import annotations

import contextlib
import errno
import os
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

LOCK = "in-use"
"""The file in the folder that is locked. It holds the number of the process that has it, and stays."""

PAUSE = 0.05
"""Seconds between two tries."""

_BYTE = 1 << 30  # what Windows locks cannot be read by others, so a byte far behind the text is locked
_TAKEN = {errno.EACCES, errno.EAGAIN, errno.EDEADLK}


class Held(Exception):  # noqa: N818 - a state of affairs, told to a person
    """Another process is at work on the log. The text names it and says what to do."""


@contextlib.contextmanager
def hold(folder: Path, patience: float = 5.0, pause: Callable[[float], None] = time.sleep) -> Iterator[int]:
    """Hold the folder for the time of a `with`; yield the disk's time when it began, in nanoseconds.

    Waits for as many seconds as `patience` says. Where nothing can be written there is nothing to hold, and
    the clock's time is the answer.

    Raises:
        Held: where another process still had it then.
    """
    try:
        # No further up: a log that was moved away meanwhile must not be found there again, empty.
        for each in (folder.parent, folder):
            each.mkdir(exist_ok=True)
        handle = os.open(folder / LOCK, os.O_RDWR | os.O_CREAT, 0o644)
    except OSError:
        yield time.time_ns()
        return
    try:
        for _ in range(max(1, round(patience / PAUSE))):
            if _take(handle):
                break
            pause(PAUSE)
        else:
            raise Held(
                f"{_holder(handle)} is at work on this log ({folder / LOCK} is locked)."
                " Let it finish, or end it, and try again"
            )
        os.ftruncate(handle, 0)
        os.write(handle, str(os.getpid()).encode())
        yield os.fstat(handle).st_mtime_ns
    finally:
        os.close(handle)


def _holder(handle: int) -> str:
    os.lseek(handle, 0, os.SEEK_SET)
    number = os.read(handle, 20).decode("ascii", "replace")
    return f"another buildlog, process {number}," if number.isdecimal() else "another buildlog"


def _take(handle: int) -> bool:
    """Try once to lock the file; a file system that knows no locks lets everyone have it."""
    try:
        if sys.platform == "win32":
            import msvcrt  # noqa: PLC0415 - exists on Windows alone

            os.lseek(handle, _BYTE, os.SEEK_SET)
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl  # noqa: PLC0415 - exists elsewhere alone

            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        return error.errno not in _TAKEN
    finally:
        os.lseek(handle, 0, os.SEEK_SET)
    return True

"""The few things done to files and folders when an edition is put in its place.

All of it goes through `os`, one call a step, so that a test can end the process between any two of them.
"""

# ruff: noqa: PTH101, PTH102, PTH104, PTH106, PTH108, PTH208 - strings and plain calls: there are 20,000 files to go through

from __future__ import annotations

import contextlib
import ctypes
import errno
import hashlib
import os
import stat
import sys
from pathlib import Path

FILE_MODE = 0o644
FOLDER_MODE = 0o755
CHUNK = 1 << 20

_O_BINARY = getattr(os, "O_BINARY", 0)
_NEW = os.O_WRONLY | os.O_CREAT | os.O_EXCL | _O_BINARY

_LINUX_AT_FDCWD = -100
_LINUX_RENAME_EXCHANGE = 2
_MACOS_RENAME_SWAP = 2


class ExchangeError(OSError):
    """This system or file system cannot exchange two folders in one step."""


def write(path: str, data: bytes, stamp: int) -> None:
    """Write a new file, at time `stamp` (seconds since 1970), readable by all.

    A file there already is never opened: it may be the same file as one of the other generation.
    """
    target = os.open(path, _NEW, FILE_MODE)
    try:
        _write_all(target, data)
        dressed = _dress_open(target, stamp)
    finally:
        os.close(target)
    if not dressed:
        dress(path, FILE_MODE, stamp)


def copy(source: str, path: str, stamp: int) -> str:
    """Copy a file's bytes to a new file and return their SHA-256, hexadecimal."""
    digest = hashlib.sha256()
    origin = os.open(source, os.O_RDONLY | _O_BINARY)
    try:
        target = os.open(path, _NEW, FILE_MODE)
        try:
            while chunk := os.read(origin, CHUNK):
                digest.update(chunk)
                _write_all(target, chunk)
        finally:
            os.close(target)
    finally:
        os.close(origin)
    dress(path, FILE_MODE, stamp)
    return digest.hexdigest()


def move(source: str, path: str, stamp: int) -> None:
    """Move a file of ours to a new place; across file systems, copy it and remove it."""
    try:
        os.rename(source, path)
    except OSError as error:
        if error.errno != errno.EXDEV:
            raise
        copy(source, path, stamp)
        os.unlink(source)
    else:
        there = os.lstat(path)
        if stat.S_IMODE(there.st_mode) != FILE_MODE or there.st_mtime_ns != stamp * 1_000_000_000:
            dress(path, FILE_MODE, stamp)


def dress(path: str, mode: int, stamp: int) -> None:
    """Give a file or folder its permissions, whatever the umask, and its time.

    A disk that knows no permissions (FAT, say) may refuse either; what it shows of them is its own affair.
    """
    with contextlib.suppress(PermissionError):
        os.chmod(path, mode)
        os.utime(path, (stamp, stamp))


def empty(folder: str) -> None:
    """Remove everything in a folder, following no link. A folder that is not there is empty."""
    try:
        listing = list(os.scandir(folder))
    except FileNotFoundError:
        return
    for found in listing:
        if found.is_dir(follow_symlinks=False):
            empty(found.path)
            os.rmdir(found.path)
        else:
            os.unlink(found.path)


def make_folder(path: str) -> None:
    """Make a folder, to be dressed when all is in it."""
    os.mkdir(path)


def remove_folder(path: str) -> None:
    """Remove a folder with nothing in it."""
    os.rmdir(path)


def rename(path: str, to: str) -> None:
    """Give a file another name on its own disk; its bytes and time stay."""
    os.rename(path, to)


def count(folder: str) -> int:
    """How many files and folders are in a folder."""
    return len(os.listdir(folder))


def exchange(one: Path, other: Path) -> None:
    """Let two folders change places in one step, which nobody can see half done.

    Raises:
        ExchangeError: where the system or the file system has no such step.
        OSError: where it failed; with `errno.EXDEV` the two are on different file systems.
    """
    first, second = os.fsencode(one), os.fsencode(other)
    try:
        if sys.platform == "linux":
            failed = _libc().renameat2(
                _LINUX_AT_FDCWD, first, _LINUX_AT_FDCWD, second, ctypes.c_uint(_LINUX_RENAME_EXCHANGE)
            )
        elif sys.platform == "darwin":
            failed = _libc().renamex_np(first, second, ctypes.c_uint(_MACOS_RENAME_SWAP))
        else:
            raise ExchangeError(errno.ENOSYS, "no exchange of folders", str(one))
    except AttributeError:
        raise ExchangeError(errno.ENOSYS, "no exchange of folders", str(one)) from None
    if failed:
        code = ctypes.get_errno()
        kind = ExchangeError if code in {errno.ENOSYS, errno.EINVAL, errno.ENOTSUP, errno.EPERM} else OSError
        raise kind(code, os.strerror(code), str(one))


def _libc() -> ctypes.CDLL:
    return ctypes.CDLL(None, use_errno=True)


def _dress_open(target: int, stamp: int) -> bool:
    """Give an open file its time, where the system can; whether its permissions are right already.

    By its handle, and without a change of permissions that the umask makes unneeded: the path is not looked
    up again and the disk has less to note, which is half the cost of writing a small file.
    """
    if os.utime not in os.supports_fd or os.fstat(target).st_mode & 0o777 != FILE_MODE:
        return False
    with contextlib.suppress(PermissionError):
        os.utime(target, (stamp, stamp))
    return True


def _write_all(target: int, data: bytes) -> None:
    view = memoryview(data)
    while view:
        view = view[os.write(target, view) :]

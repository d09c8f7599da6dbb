"""What is kept on disk between runs, outside every edition: to save time, never as a source.

Everything kept is bound by its checksum to its name and to the tool and theme that made it. What is damaged,
half written, of another version or somebody else's is as good as not there. Where nothing can be written,
every run starts from nothing and works all the same.

There are two forms. A *sheet* is one value, read and written whole: what files looked like, which pages were
made from what. A *shelf* holds many blobs by key, thousands of files' facts for instance, and a save appends
only what is new.
"""

from __future__ import annotations

import hashlib
import struct
from collections.abc import Collection
from pathlib import Path
from typing import Any, TypeVar

import msgspec

T = TypeVar("T")

MARK = b"buildlog kept 1\n"
SUFFIX = ".kept"

# A batch on a shelf begins with the length of its index and the index's checksum.
_HEAD = struct.Struct("<I32s")

# So many bytes of a shelf may lie fallow, beside as many as are in use, before it is written anew. A blob
# takes about so many in the index beside its key and tag.
_SPARE = 1 << 20
_LINE = 24


class PageRecord(msgspec.Struct, frozen=True, array_like=True, gc=False):
    """Of one page: the digest of the arguments it was made from, and of the bytes that came of them.

    `passed` is the digest of what the gate looked for when it let them pass.
    """

    arguments: str
    output: str
    passed: str = ""


class Kept:
    """The kept things of one log. `tool` and `theme` are digests of what makes the pages.

    One process at a time may save: see `buildlog.works.holding`.
    """

    def __init__(self, folder: Path, tool: str, theme: str) -> None:
        self._folder = folder
        self._maker = f"{tool}\n{theme}\n"
        self._shelves: dict[str, Shelf] = {}
        self._unsaved: dict[str, Any] = {}

    def shelf(self, name: str) -> Shelf:
        """The shelf of this name; it is read at the first call."""
        if name not in self._shelves:
            self._shelves[name] = Shelf(self._path(name), self._bond(name))
        return self._shelves[name]

    def read(self, name: str, kind: type[T]) -> T | None:
        """The sheet of this name as the type it was written from, or None where there is no sound one."""
        bond = self._bond(name)
        try:
            whole = self._path(name).read_bytes()
        except OSError:
            return None
        start = len(MARK) + 32
        payload = memoryview(whole)[start:]
        if whole[:start] != MARK + _checksum(bond, payload):
            return None
        try:
            return msgspec.msgpack.decode(payload, type=kind)
        except msgspec.DecodeError:
            return None

    def write(self, name: str, value: object) -> None:
        """Have a sheet written at the next `save`. The value is one that msgspec can encode."""
        self._unsaved[name] = value

    def save(self) -> str:
        """Write what is new. Return why it could not be kept, in words for a person, or nothing."""
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            for name, value in self._unsaved.items():
                payload = msgspec.msgpack.encode(value)
                _replace(self._path(name), MARK, _checksum(self._bond(name), payload), payload)
            self._unsaved = {}
            for shelf in self._shelves.values():
                shelf.save()
        except OSError as error:
            return f"nothing is kept for the next run ({error})"
        return ""

    def _path(self, name: str) -> Path:
        return self._folder / (name + SUFFIX)

    def _bond(self, name: str) -> bytes:
        return hashlib.sha256(f"{self._maker}{name}".encode()).digest()


class _Line(msgspec.Struct, frozen=True, array_like=True, gc=False):
    """One blob of a batch in its index. The blobs follow the index in the same order."""

    key: str
    tag: str
    length: int
    check: bytes


class _Blob(msgspec.Struct, frozen=True, gc=False):
    """Where a blob lies: in memory if it is new, else in the file as it was read."""

    tag: str
    start: int
    length: int
    check: bytes
    data: bytes | None = None


_INDEX = msgspec.msgpack.Decoder(list[_Line])


class Shelf:
    """Blobs by key, each under a tag that says what it was made from: a file's digest, say."""

    def __init__(self, path: Path, bond: bytes) -> None:
        self._path = path
        self._bond = bond
        self._blobs: dict[str, _Blob] = {}
        self._fresh: set[str] = set()
        self._sound = 0
        try:
            self._file = path.read_bytes()
        except OSError:
            self._file = b""
        self._read()

    def __len__(self) -> int:
        return len(self._blobs)

    def get(self, key: str, tag: str) -> bytes | None:
        """The blob put under this key with this tag, or None where there is no sound one."""
        blob = self._blobs.get(key)
        if blob is None or blob.tag != tag:
            return None
        if blob.data is not None:
            return blob.data
        data = self._file[blob.start : blob.start + blob.length]
        if _check(self._bond, key, tag, data) != blob.check:
            del self._blobs[key]
            return None
        return data

    def put(self, key: str, tag: str, data: bytes) -> None:
        """Put a blob under a key, in place of what was there."""
        self._blobs[key] = _Blob(tag, 0, len(data), _check(self._bond, key, tag, data), data)
        self._fresh.add(key)

    def retain(self, keys: Collection[str]) -> None:
        """Drop every blob whose key is not among these."""
        for key in self._blobs.keys() - set(keys):
            del self._blobs[key]
            self._fresh.discard(key)

    def save(self) -> None:
        """Append what is new, or write the whole shelf anew where much of it is no longer in use.

        Raises:
            OSError: where it cannot be written.
        """
        start = len(MARK) + len(self._bond)
        used = sum(
            blob.length + len(key) + len(blob.tag) + _LINE
            for key, blob in self._blobs.items()
            if key not in self._fresh
        )
        wasteful = self._sound - start > 2 * used + _SPARE
        if not self._fresh and not wasteful:
            return
        if wasteful or not self._sound or self._size() != self._sound:
            whole = self._batch(self._blobs.keys())
            _replace(self._path, MARK, self._bond, whole)
            self._sound = start + len(whole)
        else:
            batch = self._batch(self._fresh)
            with self._path.open("ab") as file:
                file.write(batch)
            self._sound += len(batch)
        self._fresh = set()

    def _size(self) -> int:
        return self._path.stat().st_size if self._path.exists() else 0

    def _batch(self, keys: Collection[str]) -> bytes:
        lines: list[_Line] = []
        blobs: list[bytes] = []
        for key in sorted(keys):
            blob = self._blobs[key]
            data = self.get(key, blob.tag)
            if data is not None:
                lines.append(_Line(key, blob.tag, blob.length, blob.check))
                blobs.append(data)
        index = msgspec.msgpack.encode(lines)
        return b"".join([_HEAD.pack(len(index), _checksum(self._bond, index)), index, *blobs])

    def _read(self) -> None:
        """Read the index of every batch that is whole; stop at the first that is not."""
        file, bond, end = self._file, self._bond, len(self._file)
        at = len(MARK) + len(bond)
        if file[:at] != MARK + bond:
            return
        self._sound = at
        while at + _HEAD.size <= end:
            length, check = _HEAD.unpack_from(file, at)
            index = file[at + _HEAD.size : at + _HEAD.size + length]
            if _checksum(bond, index) != check:
                return
            at += _HEAD.size + length
            lines = _INDEX.decode(index)
            if at + sum(line.length for line in lines) > end:
                return
            for line in lines:
                self._blobs[line.key] = _Blob(line.tag, at, line.length, line.check)
                at += line.length
            self._sound = at


def _checksum(bond: bytes, data: bytes | memoryview) -> bytes:
    checksum = hashlib.sha256(bond)
    checksum.update(data)
    return checksum.digest()


def _check(bond: bytes, key: str, tag: str, data: bytes) -> bytes:
    """The first half of the checksum of one blob, bound to its key and tag."""
    return hashlib.sha256(b"".join([bond, f"{key}\0{tag}\0".encode(), data])).digest()[:16]


def _replace(path: Path, *pieces: bytes) -> None:
    """Write a file beside the one it replaces, then put it there in one step."""
    new = path.with_name(path.name + ".new")
    with new.open("wb") as file:
        file.writelines(pieces)
    new.replace(path)

"""The log's files to sheets: each file is read once, and again when its bytes change."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Mapping
from pathlib import Path

import msgspec

from buildlog.reader.read import read_sheet
from buildlog.reader.sheets import Sheet, decode, encode
from buildlog.reader.survey import Source
from buildlog.works.crowd import FEW, Crowd, spread
from buildlog.works.kept import Shelf
from buildlog.works.seen import Seen

Tell = Callable[[int, int], None]


class Sources:
    """The sheets of a log's files, kept in memory from run to run and on a shelf between processes."""

    def __init__(self, root: Path, shelf: Shelf | None) -> None:
        self._root = root
        self._shelf = shelf
        self._sheets: dict[str, tuple[str, Sheet]] = {}
        self._begun: tuple[list[str], Crowd[str]] | None = None

    def begin(self, files: tuple[Source, ...], workers: int) -> None:
        """Let other processes begin to read, where nothing is known of any file yet."""
        if workers < 2 or len(files) < FEW or self._sheets or self._shelf:
            return
        names = [source.file for source in files]
        self._begun = names, Crowd(names, self._read, workers)

    def finish(self, tell: Tell) -> dict[str, str]:
        """Wait for what was begun; return the digests of the files that were read."""
        if self._begun is None:
            return {}
        (names, crowd), self._begun = self._begun, None
        crowd.results(
            lambda done: tell(done, len(names)), lambda place, answer: self._take(names[place], answer)
        )
        return {file: digest for file, (digest, _) in self._sheets.items()}

    def read(
        self, files: tuple[Source, ...], seen: Mapping[str, Seen], workers: int, tell: Tell
    ) -> tuple[Sheet, ...]:
        """The sheet of each file, in the order of the files. A file that vanishes meanwhile is left out.

        Args:
            files: the files of the log.
            seen: their digests, as far as they are known.
            workers: how many processes may read.
            tell: is told how many files are read, of how many that must be.
        """
        missing = []
        for source in files:
            digest = seen[source.file].digest if source.file in seen else ""
            if not self._is_known(source.file, digest):
                missing.append(source.file)
        read = spread(missing, self._read, workers, lambda done: tell(done, len(missing)))
        for file, answer in zip(missing, read, strict=True):
            self._take(file, answer)
        here = {source.file for source in files}
        self._sheets = {file: kept for file, kept in self._sheets.items() if file in here}
        if self._shelf is not None:
            self._shelf.retain(here)
        return tuple(self._sheets[source.file][1] for source in files if source.file in self._sheets)

    def _is_known(self, file: str, digest: str) -> bool:
        held = self._sheets.get(file)
        if held is not None and held[0] == digest:
            return True
        data = self._shelf.get(file, digest) if self._shelf is not None and digest else None
        if data is None:
            return False
        try:
            self._sheets[file] = (digest, decode(data))
        except (msgspec.DecodeError, msgspec.ValidationError):
            return False
        return True

    def _read(self, file: str) -> bytes:
        """A file's digest and encoded sheet; nothing where it is gone."""
        try:
            with open(f"{self._root}{os.sep}{file}", "rb", buffering=0) as opened:  # noqa: PTH123 - a Path doubles it
                data = opened.read()
        except OSError:
            return b""
        return hashlib.sha256(data).hexdigest().encode() + encode(read_sheet(file, data))

    def _take(self, file: str, answer: bytes) -> None:
        if not answer:
            self._sheets.pop(file, None)
            return
        digest, data = answer[:64].decode(), answer[64:]
        self._sheets[file] = (digest, decode(data))
        if self._shelf is not None:
            self._shelf.put(file, digest, data)

"""Where in a TOML text its keys and values stand: a second look, for the parser gives no places."""

from __future__ import annotations

import re

from buildlog.reader.nodes import Text

_PART = r"""(?:[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*')"""
_PATH = rf"{_PART}(?:\s*\.\s*{_PART})*"
_HEAD = re.compile(rf"\s*\[\[?\s*(?P<path>{_PATH})\s*\]")
_KEY = re.compile(rf"\s*(?P<path>{_PATH})\s*=\s*")
_PARTS = re.compile(_PART)
_TRIPLE = re.compile(r'"""|\'\'\'')

Path = tuple[str, ...]


class Places:
    """The places of the keys of a text that a TOML parser has accepted."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._keys: dict[Path, tuple[int, int]] = {}
        self._values: dict[Path, tuple[int, int]] = {}
        self._open: Path | None = None
        self._starts = [0]
        table: Path = ()
        begun = ""
        for line in text.split("\n"):
            start = self._starts[-1]
            self._starts.append(start + len(line) + 1)
            if not begun:
                table = self._look(line, start, table)
            for mark in _TRIPLE.findall(line):
                begun = "" if begun == mark else begun or mark

    def key(self, path: Path) -> Text:
        """The place of a key, or of the nearest table around it that can be found."""
        for length in range(len(path), 0, -1):
            found = self._keys.get(path[:length])
            if found:
                return Text(path[-1], *found)
        return Text(path[-1] if path else "", 1, 1)

    def value(self, path: Path, text: str) -> Text:
        """The place of a text in the value of a key; of the key itself where it is written otherwise."""
        start, end = self._values.get(path, (-1, -1))
        if start < 0:
            key = self.key(path)
            return Text(text, key.line, key.column)
        for quote in "\"'":
            at = self._text.find(f"{quote}{text}{quote}", start, end)
            if at >= 0:
                return Text(text, *self._place(at))
        return Text(text, *self._place(start))

    def _look(self, line: str, start: int, table: Path) -> Path:
        if head := _HEAD.match(line):
            path = _path(head["path"])
            self._note(path, start + head.start("path"))
            return path
        if key := _KEY.match(line):
            path = (*table, *_path(key["path"]))
            self._note(path, start + key.start("path"))
            if path not in self._values:
                self._values[path] = (start + key.end(), len(self._text))
                self._open = path
        return table

    def _note(self, path: Path, at: int) -> None:
        if self._open is not None:
            # a value ends at the latest where the next key begins
            self._values[self._open] = (self._values[self._open][0], at)
            self._open = None
        place = self._place(at)
        for length in range(1, len(path) + 1):
            self._keys.setdefault(path[:length], place)

    def _place(self, at: int) -> tuple[int, int]:
        low, high = 0, len(self._starts) - 1
        while low < high:
            middle = (low + high + 1) // 2
            if self._starts[middle] <= at:
                low = middle
            else:
                high = middle - 1
        return low + 1, at - self._starts[low] + 1


def _path(written: str) -> Path:
    return tuple(each[1:-1] if each[0] in "\"'" else each for each in _PARTS.findall(written))

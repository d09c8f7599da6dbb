"""Bytes to text: UTF-8 only, line ends as editors count them, nothing in it that no editor shows."""

from __future__ import annotations

import re

from buildlog.reader.limits import MIB
from buildlog.reader.nodes import Text
from buildlog.reader.reading import Reading

_CONTROLS = bytes([*range(0x09), 0x0B, 0x0C, *range(0x0E, 0x20), 0x7F])
_UNSHOWN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ufffe\uffff]")
_UNSHOWN_BYTES = (
    (b"\xc2", re.compile(rb"\xc2[\x80-\x84\x86-\x9f]")),
    (b"\xef", re.compile(rb"\xef\xbf[\xbe\xbf]")),
)
"""Those of them beyond ASCII as UTF-8, by their first byte. One pattern of both is 30 times slower."""

_WIDE = (b"\xff\xfe", b"\xfe\xff")
_SAVE = "save the file as UTF-8"
_SHOWN = 5


def decode(reading: Reading, data: bytes, limit: int) -> str | None:
    """The text of a file, line feeds for its line ends, no byte order mark; None where it cannot be read."""
    if len(data) > limit:
        found = f"the file holds {len(data):,} bytes; the limit is {limit // MIB} MiB"
        reading.problem(None, found, "split it, or move what is not text out of it")
        return None
    if data.startswith(_WIDE):
        reading.problem(None, "the file is UTF-16, not UTF-8", _SAVE)
        return None
    data = data.removeprefix(b"\xef\xbb\xbf")
    try:
        text = data.decode()
    except UnicodeDecodeError as broken:
        before = _lines(data[: broken.start].decode())
        found = f"the byte 0x{data[broken.start]:02X} is not UTF-8"
        reading.problem(_end(before), found, f'{_SAVE} (in a spreadsheet: "CSV UTF-8")')
        return None
    if "\r" in text:
        text = _lines(text)
    return _without_unshown(reading, text) if _holds_unshown(data) else text


def _holds_unshown(data: bytes) -> bool:
    if len(data.translate(None, _CONTROLS)) != len(data):
        return True
    return any(first in data and pattern.search(data) for first, pattern in _UNSHOWN_BYTES)


def _lines(text: str) -> str:
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _end(before: str) -> Text:
    return Text("", before.count("\n") + 1, len(before) - before.rfind("\n"))


def _without_unshown(reading: Reading, text: str) -> str:
    found = list(_UNSHOWN.finditer(text))
    for each in found[:_SHOWN]:
        place = _end(text[: each.start()])
        if each[0] == "\0":
            # a wide encoding without its mark is full of them
            wide = text.count("\0") > len(text) // 4
            todo = f"the file may be UTF-16: {_SAVE}" if wide else "take it out"
            reading.problem(place, "a NUL byte stands here", todo)
        else:
            reading.problem(place, f"the control character U+{ord(each[0]):04X} stands here", "take it out")
    if len(found) > _SHOWN:
        last = _end(text[: found[_SHOWN].start()])
        reading.problem(last, f"{len(found) - _SHOWN} more such characters follow", "take them out")
    return _UNSHOWN.sub("\ufffd", text)

"""What a WebM file says of its tracks that no decoder acts on: what is cropped, switched off or left out.

Sources: RFC 8794 (EBML), RFC 9559 (Matroska).
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import BinaryIO

from buildlog.media.refusal import UncleanableError

MOST_TABLE_BYTES = 16_000_000
BROKEN = "the clip's tables are damaged or cut short; copy it again from where it came from"
_CROPPED = "the clip hides the edges of its picture; export it anew from an editor"
_OFF = "the clip has a track that is switched off; export it anew from an editor"

_ORDERED = "the clip leaves out pieces of itself by its list of chapters; export it anew from an editor"

_SEGMENT = 0x18538067
_TRACKS, _TRACK_ENTRY, _ENABLED, _VIDEO = 0x1654AE6B, 0xAE, 0xB9, 0xE0
_CROPS = {0x54AA, 0x54BB, 0x54CC, 0x54DD}
_CHAPTERS, _EDITION, _IN_ORDER = 0x1043A770, 0x45B9, 0x45DD


def refuse_hidden(file: BinaryIO) -> None:
    """Stop at a file that hides part of its picture, a track, or pieces of itself.

    Raises:
        UncleanableError: it does, or no tracks are found before the first cluster.
    """
    found = False
    for kind, content in _tables(file):
        for part, inside in _elements(content):
            if kind == _TRACKS and part == _TRACK_ENTRY:
                _refuse_hidden_track(inside)
            if kind == _CHAPTERS and part == _EDITION:
                _refuse(inside, _IN_ORDER, _ORDERED)
        found = found or kind == _TRACKS
    if not found:
        raise UncleanableError(BROKEN)


def _refuse_hidden_track(content: bytes) -> None:
    for part, value in _elements(content):
        if part == _ENABLED and not any(value):
            raise UncleanableError(_OFF)
        if part == _VIDEO:
            for crop in _CROPS:
                _refuse(value, crop, _CROPPED)


def _refuse(content: bytes, kind: int, message: str) -> None:
    if any(part == kind and any(value) for part, value in _elements(content)):
        raise UncleanableError(message)


def _tables(file: BinaryIO) -> Iterator[tuple[int, bytes]]:
    """The tracks and the chapters of a file, as far as it can be walked along."""
    at, length = 0, file.seek(0, io.SEEK_END)
    while at < length:
        file.seek(at)
        head = file.read(12)
        try:
            kind, begin = _number(head, 0, marker=True)
            size, begin = _number(head, begin, marker=False)
        except UncleanableError:
            # What follows is in no table; the demuxer reads on for itself.
            return
        if kind in (_TRACKS, _CHAPTERS):
            if size is None or size > MOST_TABLE_BYTES:
                raise UncleanableError(BROKEN)
            file.seek(at + begin)
            yield kind, file.read(size)
        if kind != _SEGMENT and size is None:
            # A cluster of a recording that went on while it was written; there is no table behind it.
            return
        # A segment is gone into, anything else is passed over.
        at += begin if kind == _SEGMENT else begin + (size or 0)


def _elements(data: bytes) -> Iterator[tuple[int, bytes]]:
    at = 0
    while at < len(data):
        kind, at = _number(data, at, marker=True)
        size, at = _number(data, at, marker=False)
        if size is None or at + size > len(data):
            raise UncleanableError(BROKEN)
        yield kind or 0, data[at : at + size]
        at += size


def _number(data: bytes, at: int, *, marker: bool) -> tuple[int | None, int]:
    """A number of one to eight bytes and where it ends; None where all its bits are set: size unknown."""
    if at >= len(data) or not data[at]:
        raise UncleanableError(BROKEN)
    length = 9 - data[at].bit_length()
    if at + length > len(data):
        raise UncleanableError(BROKEN)
    value = int.from_bytes(data[at : at + length], "big")
    if marker:
        return value, at + length
    value -= 1 << 7 * length
    return (None if value == (1 << 7 * length) - 1 else value), at + length

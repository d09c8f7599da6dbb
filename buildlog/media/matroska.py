"""What a WebM file says of its tracks that no decoder acts on: what is cropped, and what is switched off.

Sources: RFC 8794 (EBML), RFC 9559 (Matroska).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import BinaryIO

from buildlog.media.refusal import UncleanableError

MOST_TRACKS_BYTES = 16_000_000
BROKEN = "the clip's tables are damaged or cut short; copy it again from where it came from"
_CROPPED = "the clip hides the edges of its picture; export it anew from an editor"
_OFF = "the clip has a track that is switched off; export it anew from an editor"

_SEGMENT, _CLUSTER, _TRACKS = 0x18538067, 0x1F43B675, 0x1654AE6B
_TRACK_ENTRY, _ENABLED, _VIDEO = 0xAE, 0xB9, 0xE0
_CROPS = {0x54AA, 0x54BB, 0x54CC, 0x54DD}


def refuse_hidden(file: BinaryIO) -> None:
    """Stop at a file whose tracks hide part of the picture, or are not to be played.

    Raises:
        UncleanableError: they are, or no tracks are found before the first cluster.
    """
    for kind, content in _elements(_tracks(file)):
        if kind != _TRACK_ENTRY:
            continue
        for part, value in _elements(content):
            if part == _ENABLED and not any(value):
                raise UncleanableError(_OFF)
            if part == _VIDEO and any(crop in _CROPS and any(by) for crop, by in _elements(value)):
                raise UncleanableError(_CROPPED)


def _tracks(file: BinaryIO) -> bytes:
    file.seek(0)
    while True:
        head = file.read(12)
        kind, at = _number(head, 0, marker=True)
        size, after = _number(head, at, marker=False)
        here = file.tell() - len(head) + after
        if kind == _TRACKS:
            if size is None or size > MOST_TRACKS_BYTES:
                raise UncleanableError(BROKEN)
            file.seek(here)
            return file.read(size)
        if kind == _CLUSTER or (kind != _SEGMENT and size is None):
            raise UncleanableError(BROKEN)
        # A segment is gone into, anything else is passed over.
        file.seek(here if kind == _SEGMENT else here + (size or 0))


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

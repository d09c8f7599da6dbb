"""Boxes of an MP4 or MOV file: walked over strictly, and put together again with none but those that play it.

Sources: ISO/IEC 14496-12 (boxes, and what each is for), ISO/IEC 14496-14 and -15 (MP4, AVC), and for the old
atoms Apple's QuickTime File Format.
"""

from __future__ import annotations

import io
import struct
from collections.abc import Iterator
from typing import BinaryIO

import msgspec

from buildlog.media.refusal import UncleanableError

BROKEN = "the clip's tables are damaged or cut short; copy it again from the camera or phone"

MOST_TABLES = 256_000_000
"""Bytes. The tables of an hour of clip take a few megabytes."""

_PARENTS = (b"moov", b"trak", b"mdia", b"minf", b"dinf", b"stbl")
_PLAYING = frozenset(
    b"mvhd tkhd mdhd hdlr vmhd smhd dref stsd stts stss ctts stsc stsz stco sgpd sbgp".split()
)
"""What a player needs: times, sizes and places of samples, and how they are coded."""

_DROPPED = (b"udta", b"free")
"""What our own encoder writes beside that: an empty list of tags, and a hole."""


class Box(msgspec.Struct, frozen=True):
    """One box: its kind, and where its content begins and ends."""

    kind: bytes
    begin: int
    end: int


def boxes(data: bytes, begin: int = 0, end: int | None = None) -> Iterator[Box]:
    """The boxes that lie side by side in this stretch, which they fill to the last byte.

    QuickTime may close a list with four bytes of nothing.

    Raises:
        UncleanableError: they do not.
    """
    upto = len(data) if end is None else end
    at = begin
    while at < upto and not (upto - at == 4 and data[at:upto] == bytes(4)):
        size, kind, head = _head(data[at : min(at + 16, upto)])
        size = size or upto - at
        if size < head or at + size > upto:
            raise UncleanableError(BROKEN)
        yield Box(kind, at + head, at + size)
        at += size


def tables(file: BinaryIO) -> tuple[bytes, bool]:
    """The content of the one `moov` of a file, and whether samples lie in fragments of their own (`moof`).

    Raises:
        UncleanableError: the file has not exactly one, or is not made of boxes.
    """
    file.seek(0, io.SEEK_END)
    length = file.tell()
    found: list[bytes] = []
    fragmented = False
    at = 0
    while at + 8 <= length:
        file.seek(at)
        size, kind, head = _head(file.read(16))
        size = size or length - at
        if size < head or at + size > length:
            if found:
                # Some cameras leave something of their own behind the last box. It is not read.
                break
            raise UncleanableError(BROKEN)
        if kind == b"moov":
            if size > MOST_TABLES:
                raise UncleanableError(BROKEN)
            file.seek(at + head)
            found.append(file.read(size - head))
        fragmented = fragmented or kind == b"moof"
        at += size
    if len(found) != 1:
        raise UncleanableError(BROKEN)
    return found[0], fragmented


def _head(data: bytes) -> tuple[int, bytes, int]:
    """The size of a box, 0 for all that is left; its kind; and how long its head is."""
    if len(data) < 8:
        raise UncleanableError(BROKEN)
    size, kind = struct.unpack_from(">I4s", data)
    if size != 1:
        return size, kind, 8
    if len(data) < 16:
        raise UncleanableError(BROKEN)
    return int(struct.unpack_from(">Q", data, 8)[0]), kind, 16


def only_what_plays(data: bytes) -> bytes:
    """A file of our own encoder, its tables in front, so that it plays while it loads, and nothing beside.

    A kind of box that is not known here stops it: another release of the encoder's library may write more.

    Args:
        data: an MP4 of one `moov` and one `mdat`, its chunks' places in boxes `stco`.

    Raises:
        UncleanableError: it holds anything else.
    """
    top = {box.kind: box for box in boxes(data)}
    if len(top) != len(list(boxes(data))) or not {b"ftyp", b"moov", b"mdat"} <= top.keys():
        raise UncleanableError(BROKEN)
    if top.keys() - {b"ftyp", b"moov", b"mdat", *_DROPPED}:
        raise UncleanableError(_unknown(top.keys() - {b"ftyp", b"moov", b"mdat", *_DROPPED}))
    media = top[b"mdat"]
    kind = _box(b"ftyp", data[top[b"ftyp"].begin : top[b"ftyp"].end])
    # The tables are as long whatever they say, so that their length tells where the samples will begin.
    before = len(kind) + len(_playing(data, top[b"moov"], 0)) + 8
    moved = _playing(data, top[b"moov"], before - media.begin)
    samples = memoryview(data)[media.begin : media.end]
    return b"".join((kind, moved, struct.pack(">I4s", len(samples) + 8, b"mdat"), samples))


def _playing(data: bytes, box: Box, shift: int) -> bytes:
    """A box with only what plays in it, chunks moved by so many bytes."""
    if box.kind == b"stco":
        count = int.from_bytes(data[box.begin + 4 : box.begin + 8], "big")
        places = struct.unpack_from(f">{count}I", data, box.begin + 8)
        moved = struct.pack(f">{count}I", *(place + shift if shift else place for place in places))
        return _box(b"stco", data[box.begin : box.begin + 8] + moved)
    if box.kind in _PLAYING:
        return _box(box.kind, data[box.begin : box.end])
    if box.kind not in _PARENTS:
        raise UncleanableError(_unknown({box.kind}))
    inside = [each for each in boxes(data, box.begin, box.end) if each.kind not in _DROPPED]
    return _box(box.kind, b"".join(_playing(data, each, shift) for each in inside))


def _box(kind: bytes, content: bytes) -> bytes:
    return struct.pack(">I4s", len(content) + 8, kind) + content


def _unknown(kinds: set[bytes]) -> str:
    names = ", ".join(sorted(kind.decode("latin-1") for kind in kinds))
    return (
        f"the encoder wrote boxes that are not known ({names}); install the release of PyAV before this one"
    )

"""What of a clip's samples is shown, and when: an edit list hides the rest, and what it hides stays hidden.

The samples that somebody trimmed off are still in the file. They are decoded, because others rest on them,
but only what the edit list shows goes further, by the times worked out here and not by a player's habits.

Sources: ISO/IEC 14496-12, 8.6.6 (edit list), 8.3.2 (track header), 12.1.4 (clean aperture); Apple's QuickTime
File Format for the clipping and matte atoms.
"""

from __future__ import annotations

import math
import struct
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import BinaryIO

import msgspec

from buildlog.media.boxes import BROKEN, Box, boxes, tables
from buildlog.media.refusal import UncleanableError

MOST_EDITS = 10_000
_PLAIN_RATE = 0x0001_0000
_ENABLED = 1
_CUT_OUT = (b"clip", b"crgn", b"matt")
_PARTLY = "the clip hides part of its picture behind a mask; export it anew from an editor"
_SPEED = "the clip plays a piece faster, slower or standing still; export it anew from an editor"
_ORDER = "the clip plays its pieces in another order than they lie in; export it anew from an editor"


class Edit(msgspec.Struct, frozen=True):
    """A stretch of a track's own time, in seconds, and when it is shown; `end` None is to the end."""

    begin: Fraction
    end: Fraction | None
    shown: Fraction


class Aperture(msgspec.Struct, frozen=True):
    """The part of the stored picture that is shown, in pixels: left, top, right and bottom edge."""

    stored: tuple[int, int]
    left: int
    top: int
    right: int
    bottom: int


class Track(msgspec.Struct, frozen=True, kw_only=True):
    """What is shown of one track. `tick` is the exactness of its edit list, in seconds."""

    enabled: bool = True
    edits: tuple[Edit, ...] = (Edit(Fraction(0), None, Fraction(0)),)
    tick: Fraction = Fraction(0)
    aperture: Aperture | None = None

    def when(self, time: Fraction) -> Fraction | None:
        """When the picture that begins at this time of the track is shown; None if it is not.

        A picture that begins before an edit and reaches into it is not, nor is one that would be seen for no
        longer than the edit list is exact.
        """
        for edit in self.edits:
            if edit.begin <= time and (edit.end is None or time + self.tick < edit.end):
                return edit.shown + time - edit.begin
        return None

    def pieces(self, time: Fraction, rate: int, samples: int) -> list[tuple[int, int, Fraction]]:
        """The runs of sound samples that are heard: first, last + 1, and when.

        Args:
            time: of the first sample.
            rate: samples a second.
            samples: how many there are.
        """
        found: list[tuple[int, int, Fraction]] = []
        for edit in self.edits:
            first = max(0, math.ceil((edit.begin - time) * rate))
            last = samples if edit.end is None else min(samples, math.floor((edit.end - time) * rate))
            if first < last:
                found.append((first, last, edit.shown + time + Fraction(first, rate) - edit.begin))
        return found


def tracks_of(file: BinaryIO) -> dict[int, Track]:
    """The tracks of an MP4 or MOV file by their number.

    Raises:
        UncleanableError: the tables are damaged, or hide something in a way that cannot be kept.
    """
    moov, fragmented = tables(file)
    found = list(boxes(moov))
    head = _one(found, b"mvhd")
    scale = _scale(moov, head)
    if any(box.kind in _CUT_OUT for box in found):
        raise UncleanableError(_PARTLY)
    tracks: dict[int, Track] = {}
    for box in found:
        if box.kind == b"trak":
            number, track = _track(moov, box, scale, fragmented=fragmented)
            if number in tracks:
                raise UncleanableError(BROKEN)
            tracks[number] = track
    return tracks


def _track(moov: bytes, box: Box, movie: int, *, fragmented: bool) -> tuple[int, Track]:
    inside = list(boxes(moov, box.begin, box.end))
    head = _one(inside, b"tkhd")
    media = list(boxes(moov, *_span(inside, b"mdia")))
    own = _scale(moov, _one(media, b"mdhd"))
    number = _number(moov, head, 20 if moov[head.begin] == 1 else 12)
    enabled = bool(moov[head.begin + 3] & _ENABLED)
    if enabled and any(each.kind in _CUT_OUT for each in inside):
        raise UncleanableError(_PARTLY)
    lists = [each for each in inside if each.kind == b"edts"]
    edits = [each for edts in lists for each in boxes(moov, edts.begin, edts.end) if each.kind == b"elst"]
    if len(lists) > 1 or len(edits) > 1:
        raise UncleanableError(BROKEN)
    if not enabled:
        # It is never shown, so what it says of its times is not asked.
        return number, Track(enabled=False)
    aperture = _aperture(moov, media)
    if not edits:
        return number, Track(aperture=aperture)
    entries = _entries(moov, edits[0])
    return number, Track(
        edits=_edits(entries, movie, own, fragmented=fragmented),
        tick=Fraction(1, movie),
        aperture=aperture,
    )


def _entries(moov: bytes, box: Box) -> list[tuple[int, int, int]]:
    """The rows of an edit list: duration, media time, rate."""
    row = struct.Struct(">QqI" if moov[box.begin] == 1 else ">IiI")
    count = _number(moov, box, 4)
    if count > MOST_EDITS or box.begin + 8 + count * row.size > box.end:
        raise UncleanableError(BROKEN)
    return [row.unpack_from(moov, box.begin + 8 + each * row.size) for each in range(count)]


def _edits(
    entries: Sequence[tuple[int, int, int]], movie: int, own: int, *, fragmented: bool
) -> tuple[Edit, ...]:
    shown, reached = Fraction(0), Fraction(0)
    edits: list[Edit] = []
    for place, (duration, media_time, rate) in enumerate(entries):
        length = Fraction(duration, movie)
        if media_time >= 0:
            if rate != _PLAIN_RATE:
                raise UncleanableError(_SPEED)
            begin = Fraction(media_time, own)
            # In a fragmented file, and as some cameras write it in any, no length is all that is left.
            endless = duration == 0 and place == len(entries) - 1
            if begin < reached or (duration == 0 and not endless and not fragmented):
                raise UncleanableError(_ORDER)
            edits.append(Edit(begin, None if endless else begin + length, shown))
            reached = begin + length
        shown += length
    return tuple(edits)


def _aperture(moov: bytes, media: Sequence[Box]) -> Aperture | None:
    """The clean aperture of a track of pictures, if it has one; odd edges are drawn in."""
    handler = _one(media, b"hdlr")
    if moov[handler.begin + 8 : handler.begin + 12] != b"vide":
        return None
    inside = list(boxes(moov, *_span(media, b"minf")))
    table = _one(list(boxes(moov, *_span(inside, b"stbl"))), b"stsd")
    entries = list(boxes(moov, table.begin + 8, table.end))
    found = [each for entry in entries for each in [_clap(moov, entry)] if each is not None]
    if any(each != found[0] for each in found) or (found and len(found) != len(entries)):
        raise UncleanableError(_PARTLY)
    return found[0] if found else None


def _clap(moov: bytes, entry: Box) -> Aperture | None:
    # A visual sample entry is 78 bytes, its width and height 24 bytes in, and boxes after that.
    if entry.end - entry.begin < 78:
        raise UncleanableError(BROKEN)
    width, height = struct.unpack_from(">HH", moov, entry.begin + 24)
    for box in boxes(moov, entry.begin + 78, entry.end):
        if box.kind == b"clap":
            wide, high, across, down = _fractions(moov, box)
            left, right = _edges(width, wide, across)
            top, bottom = _edges(height, high, down)
            return Aperture((width, height), left, top, right, bottom)
    return None


def _fractions(moov: bytes, box: Box) -> list[Fraction]:
    if box.end - box.begin < 32:
        raise UncleanableError(BROKEN)
    numbers = struct.unpack_from(">IIIIiIiI", moov, box.begin)
    if not all(numbers[1::2]):
        raise UncleanableError(BROKEN)
    return [Fraction(above, below) for above, below in zip(numbers[::2], numbers[1::2], strict=True)]


def _edges(stored: int, shown: Fraction, off: Fraction) -> tuple[int, int]:
    """Where the picture begins and ends in one direction, drawn in to even pixels: colour lies in pairs."""
    first = Fraction(stored - 1, 2) + off - (shown - 1) / 2
    low, high = math.ceil(first), math.floor(first + shown)
    low, high = low + low % 2, high - (high % 2 if high < stored else 0)
    if not 0 <= low < high <= stored:
        raise UncleanableError(_PARTLY)
    return low, high


def _one(found: Sequence[Box], kind: bytes) -> Box:
    of_kind = [box for box in found if box.kind == kind]
    # All that are asked for one by one have at least this much in them.
    if len(of_kind) != 1 or of_kind[0].end - of_kind[0].begin < 8:
        raise UncleanableError(BROKEN)
    return of_kind[0]


def _span(found: Sequence[Box], kind: bytes) -> tuple[int, int]:
    of_kind = [box for box in found if box.kind == kind]
    if len(of_kind) != 1:
        raise UncleanableError(BROKEN)
    return of_kind[0].begin, of_kind[0].end


def _scale(moov: bytes, head: Box) -> int:
    """Ticks a second, by a movie's or a track's header."""
    scale = _number(moov, head, 20 if moov[head.begin] == 1 else 12)
    if not scale:
        raise UncleanableError(BROKEN)
    return scale


def _number(moov: bytes, box: Box, at: int) -> int:
    if box.begin + at + 4 > box.end:
        raise UncleanableError(BROKEN)
    return int.from_bytes(moov[box.begin + at : box.begin + at + 4], "big")


Tracks = Mapping[int, Track]

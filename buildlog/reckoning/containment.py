"""What was inside what, at any moment, and which events happened inside an item.

An event climbs: from the item it happened to, through whatever that item was inside of at that moment, to
the top. So a child changed before it was put in does not count for the assembly, and a grandchild does.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import msgspec

from buildlog.model.names import Item
from buildlog.reckoning.events import MOVES, Event
from buildlog.reckoning.knowledge import Chronicle, Inside
from buildlog.reckoning.order import Moment, Order, compare


class Span(msgspec.Struct, frozen=True):
    """A time in one place, by its ends alone; None is an open end."""

    within: Item | None
    since: Moment | None
    until: Moment | None


class Track(msgspec.Struct, frozen=True):
    """The places an item's articles were in, one after the other."""

    item: Item
    spans: tuple[Span, ...]


Climb = dict[Item, tuple[Inside, ...]]


def track(chronicle: Chronicle) -> Track:
    """An item's track: all that containment needs to know of it."""
    spans: list[Span] = []
    started: Moment | None = None
    for article in chronicle.articles:
        for stay in article.stays:
            since = stay.begun.moment if stay.begun else started
            spans.append(Span(stay.within, since, stay.ended.moment if stay.ended else None))
        started = article.ended.moment if article.ended else None
    return Track(chronicle.item, tuple(spans))


def covers(span: Span, moment: Moment) -> bool | None:
    """Whether a moment lies in a span; None where the log leaves the order open."""
    begun = Order.BEFORE if span.since is None else compare(span.since, moment)
    ended = Order.BEFORE if span.until is None else compare(moment, span.until)
    if begun is Order.AFTER or ended is Order.AFTER:
        return False
    return None if Order.UNCLEAR in (begun, ended) else True


def lineage(item: Item, tracks: Mapping[Item, Track]) -> tuple[Track, ...]:
    """The tracks of an item and of everything it was ever inside of, near ones first."""
    found: dict[Item, Track] = {}
    todo = [item]
    while todo:
        each = todo.pop(0)
        if each in found:
            continue
        known = tracks.get(each)
        found[each] = known if known is not None else Track(each, ())
        todo.extend(span.within for span in found[each].spans if span.within is not None)
    return tuple(found.values())


def above(item: Item, moment: Moment, tracks: Mapping[Item, Track]) -> Iterator[tuple[Item, bool]]:
    """What an item was inside of at a moment, nearest first, each with whether that is sure."""
    seen = {item}
    todo = [(item, True)]
    while todo:
        each, sure = todo.pop(0)
        for span in tracks[each].spans if each in tracks else ():
            if span.within is None or span.within in seen:
                continue
            inside = covers(span, moment)
            if inside is False:
                continue
            seen.add(span.within)
            todo.append((span.within, sure and inside is True))
            yield todo[-1]


def climb(chronicle: Chronicle, line: tuple[Track, ...], kinds: tuple[str, ...]) -> Climb:
    """An item's events as seen from everything above it.

    Args:
        chronicle: the item's.
        line: its `lineage`.
        kinds: the kinds of record that some stage names in `undone_by_inside`.
    """
    tracks = {each.item: each for each in line}
    found: dict[Item, list[Inside]] = {}

    def tell(event: Event, kind: str, of: Item, sure: bool) -> None:
        found.setdefault(of, []).append(Inside(event, kind, sure))

    for event in _own(chronicle, kinds):
        for item, sure in above(chronicle.item, event.moment, tracks):
            tell(event, event.kind, item, sure)
    for move, kind, place in _moves(chronicle, kinds):
        tell(move, kind, place, True)
        for item, sure in above(place, move.moment, tracks):
            if item != chronicle.item:
                tell(move, kind, item, sure)
    return {item: tuple(each) for item, each in found.items()}


def _own(chronicle: Chronicle, kinds: tuple[str, ...]) -> Iterator[Event]:
    """Its events that count for what it is inside of, moves apart."""
    for event in chronicle.events:
        if not event.struck and event.kind in kinds and event.kind not in MOVES:
            yield event


def _moves(chronicle: Chronicle, kinds: tuple[str, ...]) -> Iterator[tuple[Event, str, Item]]:
    """Each time it was put into something or taken out of it, by whatever record."""
    for article in chronicle.articles:
        for stay in article.stays:
            for event, kind in ((stay.begun, "installed"), (stay.ended, "removed")):
                if event is not None and stay.within is not None and kind in kinds:
                    yield event, kind, stay.within


def inside_at(line: Sequence[Track], moment: Moment, whole: Item) -> bool | None:
    """Whether the first item of a lineage was inside `whole` at a moment; None where that is open."""
    tracks = {each.item: each for each in line}
    for item, sure in above(line[0].item, moment, tracks):
        if item == whole:
            return True if sure else None
    return False

"""Records of an item's place that cannot all be so, for certain."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import msgspec

from buildlog.model.lists import Part
from buildlog.model.names import Item, Names
from buildlog.model.records import Installed, Removed
from buildlog.model.remember import Remember
from buildlog.reckoning.chronicle import assumed_place, one_item
from buildlog.reckoning.clashes import Clash, Contradiction
from buildlog.reckoning.containment import Life, Line, Track, above, existed, lives, places
from buildlog.reckoning.events import BEGINS, LEAVES, Event
from buildlog.reckoning.knowledge import Article, Chronicle
from buildlog.reckoning.order import Moment, Order, compare


class Gone(msgspec.Struct, frozen=True):
    """An item of which articles are gone: when its articles existed, and what ended those."""

    lives: tuple[Life, ...]
    ends: tuple[Event, ...]


def gone_in(told: Mapping[Item, Chronicle]) -> dict[Item, Gone]:
    """The items of a drawer of which an article was scrapped or returned."""
    found = {}
    for item, each in told.items():
        ends = tuple(a.ended for a in each.articles if a.ended is not None and a.ended.kind in LEAVES)
        if ends:
            found[item] = Gone(lives(each), ends)
    return found


def joined_gone(drawers: Sequence[Mapping[Item, Gone]]) -> dict[Item, Gone]:
    """Those of all drawers."""
    return {item: each for some in drawers for item, each in some.items()}


def contradictions_in(
    told: Mapping[Item, Chronicle],
    lines: Mapping[Item, Line],
    gone: Mapping[Item, Gone],
    names: Names,
    parts: Mapping[str, Part],
    remember: Remember,
) -> dict[Item, tuple[Contradiction, ...]]:
    """The contradictions of each item of a drawer that has any."""
    found = {}
    for item, each in told.items():
        article = each.present
        if article is not None and _may_contradict(article):
            twins = _twins(item, told, lines, names, parts)
            clashes = remember(contradictions, item, each, lines[item], gone, twins, names)
            if clashes:
                found[item] = clashes
    return found


def _may_contradict(article: Article) -> bool:
    moved = any(stay.begun is not None for stay in article.stays)
    return moved or sum(event.kind in BEGINS for event in article.events) > 1


Twin = tuple[Track, tuple[Life, ...], Item]
"""Another item of the part: its track, when it existed, and the place that is its own by the parts list."""


def _twins(
    item: Item,
    told: Mapping[Item, Chronicle],
    lines: Mapping[Item, Line],
    names: Names,
    parts: Mapping[str, Part],
) -> tuple[Twin, ...]:
    """The others of a part of which each has a place of its own, and that exist."""
    part = parts.get(item.number)
    own = assumed_place(item, part, names)
    if own is None:
        return ()
    found = []
    for each in names.items.get(item.number, ()):
        place = assumed_place(each, part, names)
        if each != item and place not in (None, own) and each in told and told[each].articles:
            found.append((lines[each][0], lives(told[each]), place))
    return tuple(found)


def contradictions(
    chronicle: Chronicle,
    line: Line,
    gone: Mapping[Item, Gone],
    twins: tuple[Twin, ...],
    names: Names,
) -> tuple[Contradiction, ...]:
    """What of an item's present article cannot be so, in order; what the log leaves open is let pass.

    Args:
        chronicle: the item's.
        line: its lineage.
        gone: the items of which articles are gone.
        twins: the others of its part of which each has a place of its own.
        names: the parts list's names.
    """
    article = chronicle.present
    if article is None:
        return ()
    tracks = {track.item: track for track in line}
    found = list(_second_ones(article, chronicle.item))
    for stay in article.stays:
        event = stay.begun
        if event is None or event.item != chronicle.item:
            continue
        if isinstance(event.record, Installed):
            clash = _put(event, stay.within, article, tracks, gone, twins)
        else:
            clash = _taken(event, article, tracks, names)
        if clash is not None and not (found and _answers(clash, found[-1], names)):
            found.append(clash)
    return tuple(sorted(found, key=lambda each: each.event.moment.show))


def _answers(clash: Contradiction, last: Contradiction, names: Names) -> bool:
    """Whether a removal is only the one that the last contradiction misses, written after it: one cause."""
    record = clash.event.record
    told = one_item(names, record.from_) if isinstance(record, Removed) and record.from_ else None
    return clash.clash is Clash.NOT_THERE and last.clash is Clash.ELSEWHERE and told == last.place


def _second_ones(article: Article, item: Item) -> Iterator[Contradiction]:
    """Each beginning with another serial number than the one before it, which nothing ended."""
    last: Event | None = None
    for event in article.events:
        if event.struck or event.kind not in BEGINS or not getattr(event.record, "serial", ""):
            continue
        other = last is not None and getattr(last.record, "serial", "") != getattr(event.record, "serial", "")
        if other and event.item == item:
            yield Contradiction(event, Clash.TWO, item, last)
        last = event


def _put(
    event: Event,
    target: Item | None,
    article: Article,
    tracks: Mapping[Item, Track],
    gone: Mapping[Item, Gone],
    twins: tuple[Twin, ...],
) -> Contradiction | None:
    item, moment = event.item, event.moment
    if target is None:
        return None
    around = above(target, moment, tracks)
    if target == item or any(each == item and sure for each, sure in around):
        return Contradiction(event, Clash.IN_ITSELF, target)
    left = gone.get(target)
    if left is not None and existed(left.lives, moment) is False:
        ends = [end for end in left.ends if compare(end.moment, moment) is Order.BEFORE]
        if ends:
            return Contradiction(event, Clash.ON_GONE, target, ends[-1])
    before = places(tracks[item], moment)
    if before and None not in before and target not in before:
        return Contradiction(event, Clash.ELSEWHERE, before[0], _putting(article, before[0], moment))
    for track, known, own in twins:
        if own == target and existed(known, moment) and places(track, moment) == (target,):
            return Contradiction(event, Clash.TWO, target, beside=track.item)
    return None


def _taken(
    event: Event, article: Article, tracks: Mapping[Item, Track], names: Names
) -> Contradiction | None:
    record, moment = event.record, event.moment
    moved = [
        stay.begun
        for stay in article.stays
        if stay.begun is not None and compare(stay.begun.moment, moment) is Order.BEFORE
    ]
    if not moved or not isinstance(record, Removed):
        return None
    before = places(tracks[event.item], moment)
    told = one_item(names, record.from_) if record.from_ else None
    if told is None:
        there = record.from_ != "" or any(place is not None for place in before)
    else:
        there = told in before or any(
            each == told for place in before if place is not None for each, _ in above(place, moment, tracks)
        )
    if there:
        return None
    place = before[0] if before else None
    other = moved[-1] if place is None else _putting(article, place, moment)
    return Contradiction(event, Clash.NOT_THERE, place, other)


def _putting(article: Article, place: Item | None, moment: Moment) -> Event | None:
    """The last record surely before a moment that put the article in a place."""
    found = [
        stay.begun
        for stay in article.stays
        if stay.begun is not None
        and stay.within == place
        and compare(stay.begun.moment, moment) is Order.BEFORE
    ]
    return found[-1] if found else None

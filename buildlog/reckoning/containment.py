"""What was inside what, at any moment, and which events happened inside an item.

An event climbs: from the item it happened to, through whatever that item was inside of at that moment, to
the top. So a child changed before it was put in does not count for the assembly, and a grandchild does.

Moves of one day may have no order between them. Each may then have been the last, and the item may be in
the place of any: it is surely in a place only where all that may be so agree.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

import msgspec

from buildlog.model.names import Item, Names
from buildlog.model.records import Installed, Removed
from buildlog.reckoning.chronicle import goes_on_as, one_item, place_before
from buildlog.reckoning.events import BEGINS_NOTHING, LEAVES, MOVES, Event
from buildlog.reckoning.knowledge import Article, Chronicle, Inside, Stay
from buildlog.reckoning.order import Moment, Order, compare

_MANY_WAYS = 64
"""More ways than a day's records without times leave open to anybody who keeps a log."""


class Span(msgspec.Struct, frozen=True):
    """A time in one place: from `since`, until one of `next` at the latest.

    `since` is None from the first; `next` are the moments of whatever came surely after and took it away.
    """

    within: Item | None
    since: Moment | None = None
    next: tuple[Moment, ...] = ()


class Life(msgspec.Struct, frozen=True):
    """An article's time: what may have been its first sign, and its end."""

    begun: tuple[Moment, ...]
    ended: Moment | None


class Track(msgspec.Struct, frozen=True):
    """The places an item's articles were in. `also` are those that a removal names, rightly or not.

    Where an article went on under another name, the old name is from then on as if inside the new: what sits
    in it, and is not logged again, sits in that.
    """

    item: Item
    spans: tuple[Span, ...]
    also: tuple[Item, ...] = ()


Line = tuple[Track, ...]
Ways = tuple[tuple[Moment, ...], ...]
Climb = dict[Item, tuple[Inside, ...]]


def track(chronicle: Chronicle, assumed: Item | None, names: Names) -> Track:
    """An item's track: all that containment needs to know of it.

    An item that no record names is where the parts list has it: it may still hold others.
    """
    if not chronicle.articles:
        return Track(chronicle.item, (Span(assumed),))
    spans: list[Span] = []
    started: Moment | None = None
    for article in chronicle.articles:
        ended = article.ended.moment if article.ended else None
        end = () if ended is None else (ended,)
        stays = article.stays if article.carried is None else _own_stays(article, chronicle.item)
        started = started if article.carried is None else article.carried.moment
        moves = [stay.begun for stay in stays if stay.begun is not None]
        firsts = [m for m in moves if not any(_surely_before(other, m) for other in moves)]
        before = dict.fromkeys(place_before(move, names, assumed)[0] for move in firsts)
        put = [_put_into(stay.begun, names) for stay in stays if stay.begun is not None]
        if assumed is not None and put[:1] == [assumed]:
            # it may have sat there all along, and been written down late: then nothing gets better by that
            before[assumed] = None
        if article.carried is not None or not before:
            before = {stays[0].within: None}
        spans.extend(Span(place, started, (*(m.moment for m in moves), *end)) for place in before)
        for stay in stays:
            if stay.begun is not None:
                after = (m.moment for m in moves if _surely_before(stay.begun, m))
                spans.append(Span(stay.within, stay.begun.moment, (*after, *end)))
        started = ended
    spans.extend(
        Span(new, article.ended.moment)
        for article in chronicle.articles
        if article.ended is not None
        and (new := goes_on_as(article.ended, names)) not in (None, chronicle.item)
    )
    told = [_told(event, names) for event in chronicle.events if not event.struck]
    also = dict.fromkeys(place for place in told if place is not None)
    return Track(chronicle.item, tuple(spans), tuple(also))


def _put_into(event: Event, names: Names) -> Item | None:
    """The place that an installation puts something into."""
    record = event.record
    return one_item(names, record.on) if isinstance(record, Installed) else None


def _own_stays(article: Article, item: Item) -> tuple[Stay, ...]:
    """The stays of an article that came over from another name, from then on: the first has no begin."""
    own = [stay for stay in article.stays if stay.begun is not None and stay.begun.item == item]
    there = [stay for stay in article.stays if stay not in own]
    return (Stay(there[-1].within, assumed=there[-1].assumed), *own)


def _told(event: Event, names: Names) -> Item | None:
    """The place that a removal says it was from."""
    record = event.record
    return one_item(names, record.from_) if isinstance(record, Removed) and record.from_ else None


def _surely_before(one: Event, other: Event) -> bool:
    return compare(one.moment, other.moment) is Order.BEFORE


def lives(chronicle: Chronicle) -> tuple[Life, ...]:
    """When each of an item's articles existed."""
    return tuple(
        Life(_first_signs(each), each.ended.moment if each.ended else None) for each in chronicle.articles
    )


def _first_signs(article: Article) -> tuple[Moment, ...]:
    if article.carried is not None:
        return (article.carried.moment,)
    signs = [
        event.moment for event in article.events if not event.struck and event.kind not in BEGINS_NOTHING
    ]
    signs.extend(work.moment for work in article.labour)
    first = min(sign.day for sign in signs)
    return tuple(sign for sign in signs if sign.day == first)


def existed(known: tuple[Life, ...], moment: Moment) -> bool | None:
    """Whether one of an item's articles existed at a moment; None where the log leaves it open."""
    maybe = False
    for life in known:
        ended = Order.BEFORE if life.ended is None else compare(moment, life.ended)
        begun = {compare(sign, moment) for sign in life.begun}
        if ended is Order.AFTER or begun == {Order.AFTER}:
            continue
        maybe = True
        if ended is not Order.UNCLEAR and not begun.isdisjoint((Order.BEFORE, Order.SAME)):
            return True
    return None if maybe else False


def covers(span: Span, moment: Moment) -> bool:
    """Whether the item may have been in a span just before a moment."""
    if span.since is not None and compare(span.since, moment) in (Order.AFTER, Order.SAME):
        return False
    return not any(compare(taken, moment) is Order.BEFORE for taken in span.next)


def places(known: Track, moment: Moment) -> tuple[Item | None, ...]:
    """Where an item may have been just before a moment; surely there, if only one place is given."""
    return tuple(dict.fromkeys(span.within for span in known.spans if covers(span, moment)))


def lineage(item: Item, tracks: Mapping[Item, Track]) -> Line:
    """The tracks of an item and of everything it was ever inside of, near ones first."""
    found: dict[Item, Track] = {}
    todo = [item]
    for each in todo:
        if each in found:
            continue
        known = tracks.get(each)
        found[each] = known if known is not None else Track(each, ())
        todo.extend(span.within for span in found[each].spans if span.within is not None)
        todo.extend(found[each].also)
    return tuple(found.values())


def above(item: Item, moment: Moment, tracks: Mapping[Item, Track]) -> Iterator[tuple[Item, bool]]:
    """What an item was inside of at a moment, nearest first, each with whether that is sure."""
    seen = {item}
    todo = [(item, True)]
    for each, sure in todo:
        may_be = places(tracks[each], moment) if each in tracks else ()
        for place in may_be:
            if place is not None and place not in seen:
                seen.add(place)
                todo.append((place, sure and len(may_be) == 1))
                yield todo[-1]


def climb(chronicle: Chronicle, line: Line, kinds: tuple[str, ...], names: Names) -> Climb:
    """An item's events as seen from everything above it.

    Args:
        chronicle: the item's.
        line: its `lineage`.
        kinds: the kinds of record that some stage names in `undone_by_inside`.
        names: the parts list's names.
    """
    tracks = {each.item: each for each in line}
    found: dict[Item, dict[tuple[Moment, str], Inside]] = {}

    def tell(event: Event, kind: str, of: Item, sure: bool, ways: Ways = (), late: bool = False) -> None:
        told = found.setdefault(of, {})
        before = told.get((event.moment, kind))
        if before is None or not before.sure:
            told[event.moment, kind] = Inside(event, kind, sure, ways, late)

    for event in _own(chronicle, kinds):
        for item, sure in above(chronicle.item, event.moment, tracks):
            ways = () if sure else _ways(chronicle.item, item, event.moment, tracks)
            tell(event, event.kind, item, sure, ways)
    first = _first_into_place(chronicle, line[0])
    for move, kind, place, there in _moves(chronicle, line[0], kinds, names):
        late = kind == "installed" and (move.moment, place) in first
        tell(move, kind, place, there, late=late)
        for item, sure in above(place, move.moment, tracks):
            if item != chronicle.item:
                tell(move, kind, item, sure and there, late=late)
    return {item: tuple(told.values()) for item, told in found.items()}


def _ways(item: Item, whole: Item, moment: Moment, tracks: Mapping[Item, Track]) -> Ways:
    """The ways by which an item may have been inside a whole at a moment, as `Inside` has them.

    None where there are more than anybody logs of a day: then all of them are taken to be open.
    """
    found: list[tuple[Moment, ...]] = []
    todo: list[tuple[tuple[Item, ...], tuple[Moment, ...]]] = [((item,), ())]
    for way, ends in todo:
        if len(todo) > _MANY_WAYS:
            return ()
        for span in tracks[way[-1]].spans if way[-1] in tracks else ():
            if span.within is None or span.within in way or not covers(span, moment):
                continue
            ended = (*ends, *(taken for taken in span.next if compare(taken, moment) is Order.UNCLEAR))
            if span.within == whole:
                found.append(ended)
            else:
                todo.append(((*way, span.within), ended))
    return tuple(dict.fromkeys(found))


def _own(chronicle: Chronicle, kinds: tuple[str, ...]) -> Iterator[Event]:
    """Its events that count for what it is inside of, moves apart."""
    for event in chronicle.events:
        if not event.struck and event.kind in kinds and event.kind not in MOVES:
            yield event


def _first_into_place(chronicle: Chronicle, own: Track) -> frozenset[tuple[Moment, Item | None]]:
    """The moves that come before any other of their article, into where it may have been all along."""
    found = []
    for article in chronicle.articles:
        begun = [(stay.begun.moment, stay.within) for stay in article.stays if stay.begun is not None]
        for moment, place in begun:
            first = all(each == moment or compare(moment, each) is Order.BEFORE for each, _ in begun)
            sat = any(
                span.within == place and (span.since is None or compare(span.since, moment) is Order.BEFORE)
                for span in own.spans
            )
            if first and sat:
                found.append((moment, place))
    return frozenset(found)


def _moves(
    chronicle: Chronicle, own: Track, kinds: tuple[str, ...], names: Names
) -> Iterator[tuple[Event, str, Item, bool]]:
    """Each time it was put into something or taken out of it, by whatever record, and whether surely so."""
    ends = {each.ended.moment for each in chronicle.articles if each.ended and each.ended.kind in LEAVES}
    now = {
        stay.begun.moment: stay.within
        for article in chronicle.articles
        for stay in article.stays
        if stay.begun
    }
    for event in chronicle.events:
        place = now.get(event.moment)
        if "installed" in kinds and place not in (None, chronicle.item):
            yield event, "installed", place, True
        # A removal written up after the article was scrapped moves it no more, but still says something.
        moves = event.moment in now or event.moment in ends or event.kind == "removed"
        if "removed" in kinds and moves and not event.struck:
            for left, sure in _left(event, place, own, names):
                yield event, "removed", left, sure


def _left(move: Event, now: Item | None, own: Track, names: Names) -> list[tuple[Item, bool]]:
    """The places that a move took the item out of. What the record itself says is believed too."""
    before = places(own, move.moment)
    told = _told(move, names)
    if told is not None and told in before:
        before = (told,)
    found = {place: len(before) == 1 for place in before if place not in (None, now, own.item)}
    if told is not None and told != own.item:
        found[told] = True
    return [(place, sure) for place, sure in found.items() if place is not None]


def inside_at(line: Sequence[Track], moment: Moment, whole: Item) -> bool | None:
    """Whether the first item of a lineage was inside `whole` at a moment; None where that is open."""
    tracks = {each.item: each for each in line}
    for item, sure in above(line[0].item, moment, tracks):
        if item == whole:
            return True if sure else None
    return False


def inside_any(line: Sequence[Track], moment: Moment, wholes: Iterable[Item]) -> bool | None:
    """Whether the first item of a lineage is one of `wholes`, or was inside one; None where that is open."""
    found: set[bool | None] = {line[0].item == whole or inside_at(line, moment, whole) for whole in wholes}
    return True if True in found else None if None in found else False

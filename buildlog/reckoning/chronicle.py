"""An item's own history: in order, split into articles, with the places each article was in."""

from __future__ import annotations

from collections.abc import Sequence

from buildlog.model.lists import Part
from buildlog.model.names import Item, Names
from buildlog.model.records import Disposition, Installed, Reidentified, Removed
from buildlog.reckoning.events import BEGINS, BEGINS_NOTHING, ENDS, OF_THE_OLD, Event, Labour
from buildlog.reckoning.knowledge import Article, Chronicle, Stay
from buildlog.reckoning.nonconformance import Deciders
from buildlog.reckoning.order import BY_TIME, Order, compare


def chronicle(
    item: Item,
    events: tuple[Event, ...],
    labour: tuple[Labour, ...],
    names: Names,
    assumed: Item | None,
    deciders: Deciders,
) -> Chronicle:
    """Fold an item's events and work into its chronicle.

    `assumed` is where the parts list has it, for articles that no record installs or removes. `deciders`
    are the people who may disposition a nonconformance.
    """
    ordered = tuple(sorted(events, key=BY_TIME))
    worked = tuple(sorted(labour, key=BY_TIME))
    return Chronicle(item, ordered, worked, fold(ordered, worked, names, assumed, deciders))


def assumed_place(item: Item, part: Part | None, names: Names) -> Item | None:
    """Where the parts list has an item: in the parent's item of the same designator, or its only item."""
    if part is None or not part.parent:
        return None
    above = names.items.get(part.parent, ())
    if len(above) == 1:
        return above[0]
    return next((each for each in above if each.designator == item.designator), None)


def fold(
    events: Sequence[Event],
    labour: Sequence[Labour],
    names: Names,
    assumed: Item | None,
    deciders: Deciders,
) -> tuple[Article, ...]:
    """The articles that an item's events and work, both in order, come to. Arguments as for `chronicle`."""
    articles: list[Article] = []
    before: Event | None = None
    rest, left = list(events), list(labour)
    end = _end(rest, names, deciders)
    begun = bool(left) or any(not e.struck and e.kind not in BEGINS_NOTHING for e in rest)
    while begun:
        follows = () if end is None else _follows(end, rest, left)
        mine = [event for event in rest if event not in follows]
        work = [w for w in left if end is None or compare(end.moment, w.moment) is not Order.BEFORE]
        left = [w for w in left if end is not None and compare(w.moment, end.moment) is not Order.BEFORE]
        begun = any(_begins_again(event) for event in follows) or any(
            end is not None and not w.harmless and compare(end.moment, w.moment) is Order.BEFORE for w in left
        )
        if not begun:
            mine, work = rest, [*work, *(w for w in left if w not in work)]
        stays = _stays(mine, end, names, assumed)
        articles.append(Article(len(articles) + 1, tuple(mine), tuple(work), stays, end, after=before))
        before, rest = end, list(follows)
        end = _end(rest, names, deciders)
    return tuple(articles)


def _begins_again(event: Event) -> bool:
    """Whether an event after an article's end is the next one's: not if it speaks of what went before."""
    return not event.struck and event.kind not in OF_THE_OLD


def _end(events: Sequence[Event], names: Names, deciders: Deciders) -> Event | None:
    """The event that ends the first article: it was scrapped or returned, or was to be and another came.

    Or it goes on under another item's name.

    A decision to scrap leaves the article on hold until it is done; when the item is made or received again
    without a word about it, it was done.
    """
    decided: dict[str, Event] = {}
    for event in events:
        record, kind = event.record, event.kind
        if event.struck:
            continue
        if kind in ENDS or (kind == "reidentified" and goes_on_as(event, names) is not None):
            return event
        if kind in BEGINS:
            for scrap in decided.values():
                if compare(scrap.moment, event.moment) is Order.BEFORE:
                    return scrap
        if kind == "disposition" and isinstance(record, Disposition) and deciders.decided(event):
            decided.pop(record.id, None)
            if record.decision in ("scrap", "return"):
                decided[record.id] = event
    return None


def _follows(end: Event, events: Sequence[Event], labour: Sequence[Labour]) -> tuple[Event, ...]:
    """What comes after an article's end.

    "Scrapped" and "made again" in two entries of one evening have no times. What makes sense of both, once
    something existed, is that the old article ended first; whatever else happened that day with no order to
    either may have happened to the new one. Without a new beginning, it happened to the old one.
    """
    born = [
        event
        for event in events
        if not event.struck and event.kind in BEGINS and compare(event.moment, end.moment) is Order.UNCLEAR
    ]
    existed = any(work.moment.day < end.moment.day for work in labour) or any(
        not event.struck
        and event.kind not in BEGINS_NOTHING
        and (
            event.moment.day < end.moment.day
            or (event.kind in BEGINS and compare(event.moment, end.moment) is Order.BEFORE)
        )
        for event in events
    )

    def later(event: Event) -> bool:
        order = compare(end.moment, event.moment)
        if order is not Order.UNCLEAR or event.kind in OF_THE_OLD:
            return order is Order.BEFORE
        return existed and any(compare(event.moment, new.moment) is not Order.BEFORE for new in born)

    new = [event.moment for event in events if later(event) and _begins_again(event)]
    new.extend(w.moment for w in labour if not w.harmless and compare(end.moment, w.moment) is Order.BEFORE)

    def of_the_new(event: Event) -> bool:
        return event.kind not in OF_THE_OLD or any(
            compare(begun, event.moment) is Order.BEFORE for begun in new
        )

    return tuple(event for event in events if later(event) and of_the_new(event))


def _stays(
    events: Sequence[Event], end: Event | None, names: Names, assumed: Item | None
) -> tuple[Stay, ...]:
    moves = [
        event
        for event in events
        if not event.struck
        and isinstance(event.record, Installed | Removed)
        and (end is None or compare(end.moment, event.moment) is not Order.BEFORE)
    ]
    if not moves:
        return (Stay(assumed, ended=end, assumed=assumed is not None),)
    stays: list[Stay] = []
    begun: Event | None = None
    within, guessed = place_before(moves[0], names, assumed)
    for move in moves:
        stays.append(Stay(within, begun, move, guessed))
        record = move.record
        within = one_item(names, record.on) if isinstance(record, Installed) else None
        begun, guessed = move, False
    stays.append(Stay(within, begun, end))
    return tuple(stays)


def place_before(move: Event, names: Names, assumed: Item | None) -> tuple[Item | None, bool]:
    """Where an article was before its first move, and whether that is assumed.

    A removal says somewhere, an installation nowhere.
    """
    record = move.record
    if not isinstance(record, Removed):
        return None, False
    if record.from_:
        return one_item(names, record.from_), False
    return assumed, assumed is not None


def goes_on_as(event: Event, names: Names) -> Item | None:
    """The other item that an article goes on as by a record `reidentified`; None by any other record."""
    if not isinstance(event.record, Reidentified):
        return None
    new = one_item(names, event.record.as_)
    return new if event.record.as_ and new != event.item else None


def one_item(names: Names, text: str) -> Item | None:
    """The only item that a text stands for, or None."""
    items = names.of(text).items
    return items[0] if len(items) == 1 else None

"""Closing up: which areas of an item are closed, and what each closing hides."""

from __future__ import annotations

from collections.abc import Iterable

from buildlog.model.names import Item, Names
from buildlog.model.records import Closed, Opened
from buildlog.reckoning.containment import Life, Line, existed, inside_any, inside_at
from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Article, Chronicle, Closing
from buildlog.reckoning.order import Moment, Order, compare

Below = tuple[Line, tuple[Life, ...]]


def closings(chronicle: Chronicle, below: tuple[Below, ...], names: Names) -> tuple[Closing, ...]:
    """The closings of an item's present article, in order.

    Args:
        chronicle: the item's.
        below: the lineage of each item that was ever inside it, and when its articles existed.
        names: the parts list's names.
    """
    article = chronicle.present
    return () if article is None else closings_of(article, below, names)


def closings_of(article: Article, below: tuple[Below, ...], names: Names) -> tuple[Closing, ...]:
    """The closings of one article, present or not, in order. Arguments as for `closings`."""
    found = []
    for event in article.events:
        if not event.struck and isinstance(event.record, Closed):
            hidden = _hidden(event, event.record, below, names)
            openings = _openings(event, event.record.area, article.events)
            opened = next((o for o in openings if o.moment.show > event.moment.show), None)
            perhaps = tuple(o for o in openings if compare(event.moment, o.moment) is Order.UNCLEAR)
            unsure = tuple(item for item, sure in hidden.items() if not sure)
            found.append(Closing(event, event.record.area, tuple(hidden), opened, unsure, perhaps))
    return tuple(found)


def in_force(closing: Closing, moment: Moment) -> bool | None:
    """Whether a closing held at a moment; None where the log leaves the order open."""
    begun = compare(closing.event.moment, moment)
    if begun is Order.AFTER:
        return False
    open_again = set()
    for opened in (*closing.perhaps_opened, *([closing.opened] if closing.opened else ())):
        order = compare(opened.moment, moment)
        if order is not Order.AFTER:
            sure = order is Order.BEFORE and opened not in closing.perhaps_opened
            open_again.add(sure)
    if True in open_again:
        return False
    return None if begun is Order.UNCLEAR or open_again else True


def _hidden(event: Event, record: Closed, below: Iterable[Below], names: Names) -> dict[Item, bool]:
    """What a closing hides, each with whether that is sure: to look twice hurts nobody."""
    hides, spared = _items(record.hides, names), _items(record.except_, names)
    found: dict[Item, bool] = {}
    for line, known in below:
        item, moment = line[0].item, event.moment
        inside = inside_at(line, moment, event.item)
        if inside is False:
            continue
        answers = {
            inside,
            existed(known, moment),
            not record.hides or inside_any(line, moment, hides - {event.item}),
            _not(inside_any(line, moment, spared - {event.item})),
        }
        if False not in answers:
            found[item] = answers == {True}
    for item in sorted(hides - spared - {event.item}):
        found[item] = True
    return found


def _not(answer: bool | None) -> bool | None:
    return None if answer is None else not answer


def _items(texts: Iterable[str], names: Names) -> set[Item]:
    return {item for text in texts for item in names.of(text).items}


def _openings(closed: Event, area: str, events: Iterable[Event]) -> list[Event]:
    """What may have opened it again, in order. An opening of one area leaves a whole that was closed shut."""
    return [
        event
        for event in events
        if not event.struck
        and isinstance(event.record, Opened)
        and event.record.area in ("", area)
        and compare(event.moment, closed.moment) is not Order.BEFORE
    ]

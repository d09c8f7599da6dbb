"""Closing up: which areas of an item are closed, and what each closing hides."""

from __future__ import annotations

from collections.abc import Iterable

from buildlog.model.names import Item, Names
from buildlog.model.records import Closed, Opened
from buildlog.reckoning.containment import Track, inside_at
from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Chronicle, Closing
from buildlog.reckoning.order import Moment, Order, compare

Line = tuple[Track, ...]


def closings(chronicle: Chronicle, below: tuple[Line, ...], names: Names) -> tuple[Closing, ...]:
    """The closings of an item's present article, in order.

    Args:
        chronicle: the item's.
        below: the lineage of each item that was ever inside it.
        names: the parts list's names.
    """
    article = chronicle.present
    if article is None:
        return ()
    found = []
    for event in article.events:
        if not event.struck and isinstance(event.record, Closed):
            hidden = _hidden(event, event.record, below, names)
            opened = _opened(event, event.record.area, article.events)
            found.append(Closing(event, event.record.area, hidden, opened))
    return tuple(found)


def in_force(closing: Closing, moment: Moment) -> bool | None:
    """Whether a closing held at a moment; None where the log leaves the order open."""
    begun = compare(closing.event.moment, moment)
    ended = Order.BEFORE if closing.opened is None else compare(moment, closing.opened.moment)
    if begun is Order.AFTER or ended is Order.AFTER:
        return False
    return None if Order.UNCLEAR in (begun, ended) else True


def _hidden(event: Event, record: Closed, below: Iterable[Line], names: Names) -> tuple[Item, ...]:
    """What a closing hides. What may have been inside counts as hidden: to look twice hurts nobody."""
    inside = [line for line in below if inside_at(line, event.moment, event.item) is not False]
    hides, spared = _items(record.hides, names), _items(record.except_, names)

    def within(line: Line, items: set[Item]) -> bool:
        return line[0].item in items or any(
            inside_at(line, event.moment, item) is not False for item in items if item != event.item
        )

    chosen = [
        line[0].item
        for line in inside
        if (not record.hides or within(line, hides)) and not within(line, spared)
    ]
    return tuple(dict.fromkeys((*chosen, *sorted(hides - set(chosen) - spared))))


def _items(texts: Iterable[str], names: Names) -> set[Item]:
    return {item for text in texts for item in names.of(text).items}


def _opened(closed: Event, area: str, events: Iterable[Event]) -> Event | None:
    for event in events:
        record = event.record
        if event.struck or not isinstance(record, Opened) or record.area not in ("", area):
            continue
        if event.moment.show > closed.moment.show:
            return event
    return None

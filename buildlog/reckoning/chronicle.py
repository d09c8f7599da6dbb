"""An item's own history: in order, split into articles, with the places each article was in."""

from __future__ import annotations

from collections.abc import Sequence

from buildlog.model.lists import Part
from buildlog.model.names import Item, Names
from buildlog.model.records import Installed, Removed
from buildlog.reckoning.events import BEGINS_NOTHING, ENDS, Event, Labour
from buildlog.reckoning.knowledge import Article, Chronicle, Stay
from buildlog.reckoning.order import Order, compare


def chronicle(
    item: Item,
    events: tuple[Event, ...],
    labour: tuple[Labour, ...],
    names: Names,
    assumed: Item | None,
) -> Chronicle:
    """Fold an item's events and work into its chronicle.

    `assumed` is where the parts list has it, for articles that no record installs or removes.
    """
    ordered = tuple(sorted(events, key=lambda event: event.moment.show))
    worked = tuple(sorted(labour, key=lambda work: work.moment.show))
    return Chronicle(item, ordered, worked, _articles(ordered, worked, names, assumed))


def assumed_place(item: Item, part: Part | None, names: Names) -> Item | None:
    """Where the parts list has an item: in the parent's item of the same designator, or its only item."""
    if part is None or not part.parent:
        return None
    above = names.items.get(part.parent, ())
    if len(above) == 1:
        return above[0]
    return next((each for each in above if each.designator == item.designator), None)


def _articles(
    events: Sequence[Event], labour: Sequence[Labour], names: Names, assumed: Item | None
) -> tuple[Article, ...]:
    runs: list[list[Event]] = [[]]
    for event in _ends_first_where_open(events):
        runs[-1].append(event)
        if not event.struck and event.kind in ENDS:
            runs.append([])
    articles: list[Article] = []
    left = list(labour)
    for number, run in enumerate(runs, start=1):
        end = run[-1] if run and not run[-1].struck and run[-1].kind in ENDS else None
        mine = left if end is None else [w for w in left if compare(w.moment, end.moment) is not Order.AFTER]
        left = [] if end is None else [w for w in left if compare(w.moment, end.moment) is Order.AFTER]
        begun = any(not e.struck and e.kind not in BEGINS_NOTHING for e in run)
        if begun or mine:
            articles.append(Article(number, tuple(run), tuple(mine), _stays(run, names, assumed), end))
    return tuple(articles)


def _ends_first_where_open(events: Sequence[Event]) -> list[Event]:
    """Of one day and without order between them, an end goes before a beginning once something exists.

    "Scrapped" and "made again" in two entries of one evening have no times; what makes sense of both is
    that the old article ended before the new one began.
    """
    found = list(events)
    exists = False
    for at, event in enumerate(found):
        if event.struck:
            continue
        if event.kind in ("made", "received") and exists:
            for later in range(at + 1, len(found)):
                end = found[later]
                if end.moment.day != event.moment.day:
                    break
                if not end.struck and end.kind in ENDS and compare(event.moment, end.moment) is Order.UNCLEAR:
                    found.insert(at, found.pop(later))
                    break
        current = event
        exists = current.kind not in ENDS and (exists or current.kind not in BEGINS_NOTHING)
    return found


def _stays(events: Sequence[Event], names: Names, assumed: Item | None) -> tuple[Stay, ...]:
    moves = [event for event in events if not event.struck and isinstance(event.record, Installed | Removed)]
    end = next((event for event in events if not event.struck and event.kind in ENDS), None)
    if not moves:
        return (Stay(assumed, ended=end, assumed=True),) if assumed is not None else (Stay(None, ended=end),)
    stays: list[Stay] = []
    within, begun, guessed = _before(moves[0], names, assumed)
    for move in moves:
        stays.append(Stay(within, begun, move, guessed))
        record = move.record
        within = _one(names, record.on) if isinstance(record, Installed) else None
        begun, guessed = move, False
    stays.append(Stay(within, begun, end))
    return tuple(stays)


def _before(move: Event, names: Names, assumed: Item | None) -> tuple[Item | None, Event | None, bool]:
    """Where an article was before its first move: a removal says somewhere, an installation nowhere."""
    record = move.record
    if not isinstance(record, Removed):
        return None, None, False
    if record.from_:
        return _one(names, record.from_), None, False
    return assumed, None, assumed is not None


def _one(names: Names, text: str) -> Item | None:
    items = names.of(text).items
    return items[0] if len(items) == 1 else None

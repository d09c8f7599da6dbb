"""Articles that go on under another item's name.

A record `reidentified` ends the old item's article as that item. The new item's article begins with its
history: who made it, what undid what, what holds it. Acceptances count on for the stages that the record
carries; for the others the new name undoes them. What was logged stays with the item that it was logged of:
events, hours, places until then.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TypeVar

import msgspec

from buildlog.model.lists import Part
from buildlog.model.names import Item, Names
from buildlog.model.records import Deferred, Reidentified
from buildlog.reckoning.chronicle import assumed_place, fold, goes_on_as
from buildlog.reckoning.containment import Line, inside_any
from buildlog.reckoning.drawers import drawer
from buildlog.reckoning.events import Event, Labour
from buildlog.reckoning.knowledge import Article, Chronicle, Closing, Stay
from buildlog.reckoning.nonconformance import Deciders
from buildlog.reckoning.order import BY_TIME, Moment, Order, compare

T = TypeVar("T")

Told = dict[Item, Chronicle]
Renamed = Mapping[Item, Sequence[tuple[Moment, Item]]]
"""For an old name, in order of time, when its article went on and under which."""


def renamings(told: Mapping[Item, Chronicle], names: Names) -> tuple[Event, ...]:
    """The records of a drawer's items that say that an article goes on under another name."""
    return tuple(
        event
        for each in told.values()
        for event in each.events
        if isinstance(event.record, Reidentified) and not event.struck and goes_on_as(event, names)
    )


def carried_on(
    told: Sequence[Told],
    events: Iterable[Event],
    names: Names,
    parts: Mapping[str, Part],
    may_decide: Deciders,
) -> tuple[tuple[Told, ...], Renamed]:
    """The chronicles of all drawers with each article handed on to the item that it goes on as.

    In order of time, so that what was renamed twice, or renamed back, takes all of its history along.
    """
    handed = tuple(dict(each) for each in told)
    arrived: dict[Item, list[tuple[Article, Event]]] = {}
    renamed: dict[Item, list[tuple[Moment, Item]]] = {}
    for event in sorted(events, key=BY_TIME):
        new = goes_on_as(event, names)
        old = handed[drawer(event.item.number)][event.item]
        article = next((each for each in old.articles if each.ended == event), None)
        if new is None or article is None:
            continue
        arrived.setdefault(new, []).append((article, event))
        renamed.setdefault(event.item, []).append((event.moment, new))
        own = told[drawer(new.number)].get(new, Chronicle(new, (), (), ()))
        assumed = assumed_place(new, parts.get(new.number), names)
        handed[drawer(new.number)][new] = _taken_over(own, arrived[new], names, assumed, may_decide)
    return handed, {item: tuple(each) for item, each in renamed.items()}


def _taken_over(
    own: Chronicle,
    arrivals: Sequence[tuple[Article, Event]],
    names: Names,
    assumed: Item | None,
    may_decide: Deciders,
) -> Chronicle:
    """An item's chronicle, with an article that came over at each arrival; one that was there gives way."""
    found: list[Article] = []
    came: tuple[Article, Event] | None = None
    events, labour = own.events, own.labour
    for following in (*arrivals, None):
        now, work = events, labour
        if following is not None:
            moment = following[1].moment
            now = tuple(e for e in events if compare(e.moment, moment) is Order.BEFORE)
            work = tuple(w for w in labour if compare(w.moment, moment) is Order.BEFORE)
            events = tuple(e for e in events if e not in now)
            labour = tuple(w for w in labour if w not in work)
        span = _span(came, now, work, names, assumed, may_decide)
        if span and following is not None and span[-1].ended is None:
            span = (*span[:-1], msgspec.structs.replace(span[-1], ended=following[1]))
        found.extend(span)
        came = following
    numbered = (msgspec.structs.replace(each, number=n) for n, each in enumerate(found, start=1))
    return msgspec.structs.replace(own, articles=tuple(numbered))


def _span(
    came: tuple[Article, Event] | None,
    events: tuple[Event, ...],
    labour: tuple[Labour, ...],
    names: Names,
    assumed: Item | None,
    may_decide: Deciders,
) -> tuple[Article, ...]:
    """The articles from one arrival to the next; the first is the one that came, with all its history."""
    if came is None:
        return fold(events, labour, names, assumed, may_decide)
    article, event = came
    history = [e for e in article.events if not isinstance(e.record, Reidentified | Deferred)]
    folded = fold(
        tuple(sorted((*history, *events), key=BY_TIME)),
        tuple(sorted((*article.labour, *labour), key=BY_TIME)),
        names,
        assumed,
        may_decide,
    )
    stays = (Stay(assumed, assumed=assumed is not None),)
    first, *more = folded or (Article(1, (), (), stays),)
    new_names = [e for e in article.events if not e.struck and goes_on_as(e, names)]
    whole = tuple(sorted((*first.events, *new_names), key=BY_TIME))
    return (msgspec.structs.replace(first, events=whole, carried=event, after=article.after), *more)


def taken_along(
    found: Sequence[Mapping[Item, tuple[T, ...]]], renamed: Renamed, when: Callable[[T], Moment]
) -> list[dict[Item, tuple[T, ...]]]:
    """What bears on each item by drawer, with what bore on its article until it had its present name.

    So it is with what happened inside it, and with what shows it. `when` gives the moment of each.
    """
    handed = [dict(each) for each in found]
    moves = sorted(
        ((moment, old, new) for old, each in renamed.items() for moment, new in each),
        key=lambda move: move[0].show,
    )
    for moment, old, new in moves:
        before = handed[drawer(old.number)].get(old, ())
        came = [each for each in before if compare(when(each), moment) is not Order.AFTER]
        if came:
            mine = handed[drawer(new.number)].get(new, ())
            ordered = sorted(dict.fromkeys((*came, *mine)), key=lambda each: when(each).show)
            handed[drawer(new.number)][new] = tuple(ordered)
    return handed


def still_hidden(
    shut: Sequence[Mapping[Item, tuple[Closing, ...]]], renamed: Renamed, lines: Mapping[Item, Line]
) -> tuple[dict[Item, tuple[Closing, ...]], ...]:
    """The closings, hiding what they hid under the names that it went on under: it is no more in sight.

    What had been taken out by then is in sight under any name. `lines` are the items' lineages.
    """
    return tuple(
        {item: tuple(_hiding(closing, renamed, lines) for closing in each) for item, each in some.items()}
        for some in shut
    )


def _hiding(closing: Closing, renamed: Renamed, lines: Mapping[Item, Line]) -> Closing:
    hidden, unsure = dict.fromkeys(closing.hidden), dict.fromkeys(closing.unsure)
    todo = [(item, closing.event.moment) for item in closing.hidden]
    for item, since in todo:
        for moment, new in renamed.get(item, ()):
            later = compare(moment, since) is not Order.BEFORE
            if new not in hidden and later and not _was_out(item, moment, closing, renamed, lines):
                hidden[new] = None
                if item in unsure:
                    unsure[new] = None
                todo.append((new, moment))
    if len(hidden) == len(closing.hidden):
        return closing
    return msgspec.structs.replace(closing, hidden=tuple(hidden), unsure=tuple(unsure))


def _was_out(
    item: Item, moment: Moment, closing: Closing, renamed: Renamed, lines: Mapping[Item, Line]
) -> bool:
    """Whether an item that was in what was closed had been taken out of it, under any name, by a moment."""
    wholes = [closing.event.item]
    for whole in wholes:
        wholes += [new for _, new in renamed.get(whole, ()) if new not in wholes]
    line = lines.get(item)
    return (
        line is not None
        and inside_any(line, closing.event.moment, wholes) is not False
        and inside_any(line, moment, wholes) is False
    )


def now_called(
    item: Item,
    since: Moment | None,
    renamed: Renamed,
    there: Callable[[Item], bool],
    day: datetime.date = datetime.date.max,
) -> Item:
    """Under which name an item, that something sits in since a moment, is on the evening of a day; or is now.

    Without a moment (a place assumed from the parts list) only where the old name has no article of its own.

    Args:
        item: what something sits in.
        since: the moment it was put there, if a record says.
        renamed: the renamings of each item.
        there: whether an item has an article of its own then.
        day: what is later is not followed.
    """
    seen = {item}
    # each renaming once: two of one day without an order lead to each other for good
    followed: set[tuple[Moment, Item]] = set()
    while item in renamed:
        if since is None and there(item):
            break
        later = [
            (moment, new)
            for moment, new in renamed[item]
            if moment.day <= day
            and (moment, new) not in followed
            and (since is None or compare(since, moment) is not Order.AFTER)
        ]
        if not later or (later[0][1] in seen and since is None):
            break
        followed.add(later[0])
        since, item = later[0]
        seen.add(item)
    return item

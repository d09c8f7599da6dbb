"""Tracing a lot of material or a tool: what it went into or was used on, and where that is now.

The day of a recall asks "where is it?", the day of an inspection "what is in here?". `trace_lot` answers the
first, climbing from each record that names the lot; `lots_inside` the second, going down from an item.
"""

from __future__ import annotations

import enum
from collections.abc import Iterable, Iterator, Mapping

import msgspec

from buildlog.model.lists import Tool
from buildlog.model.names import Item, Names
from buildlog.model.records import Measured, Reidentified, Tested, Torqued, Weighed
from buildlog.reckoning.events import Event, Use
from buildlog.reckoning.knowledge import Article, Closing, ItemStory, Knowledge, StageStatus
from buildlog.reckoning.order import Order, compare
from buildlog.reckoning.whereabouts import Above, Seats, above, beneath, children_of, seats_of, shut_behind

READINGS = (Measured, Torqued, Weighed, Tested)
"""Kinds of record that, with a tool, are a reading of it."""


class Touch(msgspec.Struct, frozen=True):
    """A record by which a lot or tool touched an article of `item`.

    `article` counts the item's articles from 1, and is 0 where the log knows of none. `ended` is the record
    that ended the article since. `was` is the item under whose name the record stands, where the article
    goes on under another.
    """

    item: Item
    event: Event
    article: int
    ended: Event | None = None
    was: Item | None = None


class Spot(msgspec.Struct, frozen=True):
    """Where an item is now, behind which closings, and the status of its stages."""

    item: Item
    name: str
    above: tuple[Above, ...]
    shut: tuple[tuple[Item, Closing], ...]
    stages: tuple[StageStatus, ...]


class Holder(msgspec.Struct, frozen=True):
    """An item that has some of the touched items in it now, and which."""

    item: Item
    name: str
    holds: tuple[tuple[Item, bool], ...]


class Trace(msgspec.Struct, frozen=True):
    """Everything that a lot or tool touched, in order of time, and where it is.

    `now` are the touches of articles that exist; `gone` those of articles that have ended; `struck` those of
    records struck through, which count for nothing. `spots` has one for each item of `now`.
    """

    key: str
    now: tuple[Touch, ...]
    gone: tuple[Touch, ...]
    struck: tuple[Touch, ...]
    spots: dict[Item, Spot]
    holders: tuple[Holder, ...]


class Content(msgspec.Struct, frozen=True):
    """A record that put a lot into an item or into something inside it: the way down, and if it is sure."""

    touch: Touch
    way: tuple[Item, ...]
    sure: bool


class Grip(enum.Enum):
    """How a reading stands to the one calibration that the list has of its tool."""

    SINCE = "since the calibration on the list"
    BEFORE = "before the calibration on the list"
    PAST_DUE = "after the calibration fell due"
    NEVER = "with no calibration on the list"


def trace_lot(knowledge: Knowledge, key: str, seats: Seats | None = None) -> Trace:
    """Everything that a lot went into, whatever the record. `seats` are those of all items, if at hand.

    Raises:
        KeyError: neither the list nor a record knows the lot.
    """
    return _trace(knowledge, key, knowledge.lots[key].uses, seats)


def trace_tool(knowledge: Knowledge, key: str, seats: Seats | None = None) -> Trace:
    """Every record that a tool is named in. `seats` are those of all items, if at hand.

    Raises:
        KeyError: neither the list nor a record knows the tool.
    """
    return _trace(knowledge, key, knowledge.tools[key].uses, seats)


def _trace(knowledge: Knowledge, key: str, uses: Iterable[Use], seats: Seats | None) -> Trace:
    items = knowledge.items
    touches = [touch for use in uses for touch in _touches(use, items, knowledge.names)]
    now = tuple(t for t in touches if t.event.struck is None and t.ended is None)
    if seats is None:
        seats = seats_of(items, knowledge.names)
    touched = tuple(dict.fromkeys(touch.item for touch in now))
    return Trace(
        key=key,
        now=now,
        gone=tuple(t for t in touches if t.event.struck is None and t.ended is not None),
        struck=tuple(t for t in touches if t.event.struck is not None),
        spots={item: _spot(item, items, seats) for item in touched},
        holders=_holders(touched, items, seats),
    )


def _spot(item: Item, items: Mapping[Item, ItemStory], seats: Seats) -> Spot:
    story = items.get(item)
    return Spot(
        item=item,
        name=name_of(item, items),
        above=above(item, seats),
        shut=shut_behind(story) if story else (),
        stages=story.stages if story else (),
    )


def name_of(item: Item, items: Mapping[Item, ItemStory]) -> str:
    """What the parts list calls an item; empty where it does not have it."""
    story = items.get(item)
    return story.part.name if story and story.part else ""


def _holders(touched: Iterable[Item], items: Mapping[Item, ItemStory], seats: Seats) -> tuple[Holder, ...]:
    held: dict[Item, list[tuple[Item, bool]]] = {}
    for item in touched:
        for each in above(item, seats):
            held.setdefault(each.item, []).append((item, each.sure))
    place = {item: at for at, item in enumerate(items)}
    ordered = sorted(held, key=lambda item: (place.get(item, len(place)), item))
    return tuple(Holder(item, name_of(item, items), tuple(held[item])) for item in ordered)


def _touches(use: Use, items: Mapping[Item, ItemStory], names: Names) -> Iterator[Touch]:
    """The touch of a use, and those of the names that its article went on under."""
    seen: set[Item] = set()
    todo = [(use.item, use.event)]
    for item, since in todo:
        if item in seen:
            continue
        seen.add(item)
        story = items.get(item)
        article = _article_at(story, since) if story else None
        yield Touch(
            item=item,
            event=use.event,
            article=article.number if article else 0,
            ended=article.ended if article else None,
            was=None if item == use.item else use.item,
        )
        for renamed, target in _renamed(article, names) if article else ():
            if compare(renamed.moment, since.moment) is not Order.BEFORE:
                todo.append((target, renamed))


def _article_at(story: ItemStory, event: Event) -> Article | None:
    """The article that a record of the item itself, or one that named it, was about."""
    if event.item == story.item:
        for article in story.chronicle.articles:
            if any(each.entry == event.entry and each.place == event.place for each in article.events):
                return article
        return None
    for article in story.chronicle.articles:
        if article.carried == event:
            return article
    for article in story.chronicle.articles:
        if article.ended is None or compare(event.moment, article.ended.moment) is not Order.AFTER:
            return article
    return None


def _renamed(article: Article, names: Names) -> Iterator[tuple[Event, Item]]:
    for event in article.events:
        if isinstance(event.record, Reidentified) and event.record.as_ and event.struck is None:
            for target in names.of(event.record.as_).items:
                yield event, target


def lots_inside(knowledge: Knowledge, seats: Seats | None = None) -> dict[Item, tuple[Content, ...]]:
    """For each item every lot in its present article and in what is inside it now; the nearest first."""
    items = knowledge.items
    own = _own_lots(items, knowledge.names)
    if not own:
        return {}
    children = children_of(seats_of(items, knowledge.names) if seats is None else seats)
    found: dict[Item, tuple[Content, ...]] = {}
    for item in dict.fromkeys((*items, *children, *own)):
        contents = [Content(touch, (), True) for touch in own.get(item, ())]
        for way, sure in beneath(item, children):
            contents.extend(Content(touch, way, sure) for touch in own.get(way[-1], ()))
        if contents:
            found[item] = tuple(contents)
    return found


def _own_lots(items: Mapping[Item, ItemStory], names: Names) -> dict[Item, list[Touch]]:
    """The records that put a lot into the article that an item has now, under whatever name."""
    found: dict[Item, list[Touch]] = {}
    for item, story in items.items():
        for event in story.chronicle.events:
            if event.record.lots and event.struck is None:
                for touch in _touches(Use(item, event), items, names):
                    if touch.ended is None:
                        found.setdefault(touch.item, []).append(touch)
    return found


def grip(tool: Tool | None, event: Event) -> Grip:
    """How a reading stands to the calibration that the list has of its tool."""
    if tool is None or (tool.calibrated is None and tool.due is None):
        return Grip.NEVER
    day = event.moment.day
    if tool.due is not None and day > tool.due:
        return Grip.PAST_DUE
    if tool.calibrated is not None and day < tool.calibrated:
        return Grip.BEFORE
    return Grip.SINCE


def is_reading(event: Event) -> bool:
    """Whether a record that names a tool is a reading of it."""
    return isinstance(event.record, READINGS)

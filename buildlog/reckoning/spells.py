"""Where each item stood at the end of each day, as spells of days, and which of its areas were closed up.

An evening is as fine as a configuration in time is told: what was put in and taken out again between two
evenings is among that day's records, and makes no spell. Moves of one day with no order between them leave
open which was the last; the other places are told with the spell. Each item is looked at by itself here; what
depends on others (new names, holders that no record names) follows in `configuration`.
"""

from __future__ import annotations

import datetime
import enum
import itertools
from collections.abc import Iterable, Iterator

import msgspec

from buildlog.model.lists import Part
from buildlog.model.names import Item, Names
from buildlog.model.records import Installed, Removed
from buildlog.reckoning.chronicle import goes_on_as
from buildlog.reckoning.closing import closings_of
from buildlog.reckoning.containment import lives
from buildlog.reckoning.events import BEGINS, ENDS, MOVES, Event
from buildlog.reckoning.knowledge import Article, ItemStory, Stay
from buildlog.reckoning.order import Moment, Order, compare

TURNS = (*BEGINS, *MOVES, *ENDS, "closed", "opened", "reidentified")
"""Kinds of record by which a configuration changes."""


class Basis(enum.Enum):
    """What a place rests on. From TOP on, the item is inside nothing that the log can name."""

    RECORDED = "recorded"
    ASSUMED = "assumed from the parts list"
    TOP = "at the top of the parts list"
    LOOSE = "loose"
    UNKNOWN = "place not told"
    GONE = "in what is gone"
    ROUND = "in what is in it"


class Place(msgspec.Struct, frozen=True):
    """Where an item stood: in or on `within`, or in nothing.

    `also` are the other places that it may have been in, because records of one day have no order. With
    GONE, `within` is what its last record puts it into, which no longer exists; with ROUND, what is itself
    inside it by other records.
    """

    within: Item | None
    basis: Basis
    also: tuple[Item | None, ...] = ()


class Spell(msgspec.Struct, frozen=True):
    """The evenings on which an article stood in one place: from `since` on, and no longer on `until`.

    `until` is None where it stands there still. `article` is its number, 0 for what no record names, but
    which holds something. `moved` is the moment of the record that put it there.
    """

    item: Item
    place: Place
    since: datetime.date
    until: datetime.date | None = None
    article: int = 0
    moved: Moment | None = None


class Shut(msgspec.Struct, frozen=True):
    """The evenings on which an area of an item was closed up, and what that hid.

    `perhaps`: a record of the same day opened it, and the two have no order. Of `hidden`, the log leaves open
    whether it hid the `unsure`; for an article that is gone, only what the closing itself names is told.
    """

    item: Item
    area: str
    since: datetime.date
    until: datetime.date | None = None
    hidden: tuple[Item, ...] = ()
    unsure: tuple[Item, ...] = ()
    perhaps: bool = False


class Turns(msgspec.Struct, frozen=True):
    """All that the items of one part number have to do with the configuration in time.

    `became` gives the names that articles went on under; `events` are the records that changed something.
    """

    spells: tuple[Spell, ...] = ()
    shut: tuple[Shut, ...] = ()
    became: tuple[tuple[Item, Moment, Item], ...] = ()
    events: tuple[Event, ...] = ()


def turns_of(stories: tuple[ItemStory, ...], names: Names) -> Turns:
    """The turns of some items, in their order. It looks at places and closings only, never at a status."""
    spells: list[Spell] = []
    shut: list[Shut] = []
    became: list[tuple[Item, Moment, Item]] = []
    events: list[Event] = []
    for story in stories:
        known = story.chronicle
        for article, life in zip(known.articles, lives(known), strict=True):
            begun = min(sign.day for sign in life.begun)
            spells += _spells(story, article, begun)
            shut += _shut(story, article, begun, names)
            if article.ended is not None and article.ended.item == story.item:
                new = goes_on_as(article.ended, names)
                if new is not None:
                    became.append((story.item, article.ended.moment, new))
        ends = [article.ended for article in known.articles if article.ended is not None]
        events += (
            each
            for each in known.events
            if not each.struck and (each.kind in TURNS or (each.kind == "disposition" and each in ends))
        )
    return Turns(tuple(spells), tuple(shut), tuple(became), tuple(events))


def _spells(story: ItemStory, article: Article, begun: datetime.date) -> Iterator[Spell]:
    ended = article.ended.moment.day if article.ended is not None else None
    if ended is not None and ended <= begun:
        return
    item, number = story.item, article.number
    moves = tuple((stay.begun.moment, stay) for stay in article.stays if stay.begun is not None)
    moved: Moment | None = None
    place, since = _place(story, article.stays[0]), begun
    for day, group in itertools.groupby(moves, lambda move: move[0].day):
        if ended is not None and day >= ended:
            break
        of_the_day = tuple(group)
        if day > since:
            yield Spell(item, place, since, day, number, moved)
            since = day
        place, moved = _evening(story, of_the_day), of_the_day[-1][0]
    yield Spell(item, place, since, ended, number, moved)


def _evening(story: ItemStory, moves: tuple[tuple[Moment, Stay], ...]) -> Place:
    """Where the moves of one day left it: the last as shown, and any other that may have been the last."""
    place = _place(story, moves[-1][1])
    also = [
        _place(story, stay).within
        for moment, stay in moves
        if not any(compare(moment, other) is Order.BEFORE for other, _ in moves)
    ]
    others = tuple(dict.fromkeys(each for each in also if each != place.within))
    return Place(place.within, place.basis, others) if others else place


def _place(story: ItemStory, stay: Stay) -> Place:
    if stay.within is not None and stay.within != story.item:
        return Place(stay.within, Basis.ASSUMED if stay.assumed else Basis.RECORDED)
    return Place(None, _inside_nothing(story.part, stay))


def _inside_nothing(part: Part | None, stay: Stay) -> Basis:
    begun = stay.begun.record if stay.begun is not None else None
    ended = stay.ended.record if stay.ended is not None else None
    if stay.within is not None or isinstance(begun, Installed):
        return Basis.UNKNOWN  # the record names itself, or no one item
    if isinstance(begun, Removed) or isinstance(ended, Installed):
        return Basis.LOOSE
    if isinstance(ended, Removed):
        return Basis.UNKNOWN
    return unplaced(part)


def unplaced(part: Part | None) -> Basis:
    """What is to be said of an item that no record and no parts list puts into anything."""
    return Basis.TOP if part is not None and not part.parent else Basis.UNKNOWN


def _shut(story: ItemStory, article: Article, begun: datetime.date, names: Names) -> Iterable[Shut]:
    ended = article.ended.moment.day if article.ended is not None else None
    closings = story.closings if ended is None else closings_of(article, (), names)
    for closing in closings:
        since = max(closing.event.moment.day, begun)
        ends = [day for day in (closing.opened.moment.day if closing.opened else None, ended) if day]
        until = min(ends, default=None)
        if until is None or since < until:
            yield Shut(
                item=story.item,
                area=closing.area,
                since=since,
                until=until,
                hidden=closing.hidden,
                unsure=closing.unsure,
                perhaps=bool(closing.perhaps_opened),
            )

"""Where each item is now, up to the top, and what is inside it, however deep.

Two moves of one day may have no order between them; the article may then be in either place. For a recall
both are told, marked as not sure. An item that no record names is where the parts list has it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import msgspec

from buildlog.model.lists import Part
from buildlog.model.names import Item, Names
from buildlog.reckoning.chronicle import assumed_place, goes_on_as
from buildlog.reckoning.knowledge import Closing, ItemStory, Stay
from buildlog.reckoning.order import Order, compare


class Seat(msgspec.Struct, frozen=True):
    """What an item may sit on or in now. `assumed` rests on the parts list alone."""

    within: Item
    assumed: bool
    sure: bool


class Above(msgspec.Struct, frozen=True):
    """Something that an item is inside of: `sure` only if every step up to it is."""

    item: Item
    assumed: bool
    sure: bool


Seats = Mapping[Item, tuple[Seat, ...]]


def seats_of(items: Mapping[Item, ItemStory], names: Names) -> dict[Item, tuple[Seat, ...]]:
    """What each item may sit on or in now; items that are loose, gone or unknown are left out."""
    found = {}
    for item, story in items.items():
        present = story.chronicle.present
        if present is not None:
            seats = _seats(present.stays)
        elif not story.chronicle.articles:
            seats = _listed(item, story.part, names)
        else:
            seats = _renamed(story, names)
        seats = tuple(seat for seat in seats if seat.within != item)
        if seats:
            found[item] = seats
    return found


def _renamed(story: ItemStory, names: Names) -> tuple[Seat, ...]:
    """A name whose last article goes on under another is as if in that: what was put into it is there."""
    ended = story.chronicle.articles[-1].ended
    new = goes_on_as(ended, names) if ended is not None and ended.item == story.item else None
    return () if new is None else (Seat(new, assumed=False, sure=True),)


def _listed(item: Item, part: Part | None, names: Names) -> tuple[Seat, ...]:
    place = assumed_place(item, part, names)
    return () if place is None else (Seat(place, assumed=True, sure=True),)


def _seats(stays: tuple[Stay, ...]) -> tuple[Seat, ...]:
    if len(stays) == 1:
        within = stays[0].within
        return () if within is None else (Seat(within, stays[0].assumed, sure=True),)
    places = dict.fromkeys(stay.within for stay in last_stays(stays))
    return tuple(Seat(place, False, len(places) == 1) for place in places if place is not None)


def last_stays(stays: tuple[Stay, ...]) -> list[Stay]:
    """The stays of which each may be the last, where the order of a day's moves is open."""
    begun = [(stay, stay.begun) for stay in stays if stay.begun is not None]
    lasts = [
        stay
        for stay, move in begun
        if not any(compare(move.moment, other.moment) is Order.BEFORE for _, other in begun)
    ]
    return lasts or [stays[-1]]


def above(item: Item, seats: Seats) -> tuple[Above, ...]:
    """Everything an item is inside of now, the nearest first."""
    found: dict[Item, Above] = {}
    todo = [Above(item, assumed=False, sure=True)]
    for each in todo:
        for seat in seats.get(each.item, ()):
            if seat.within != item and seat.within not in found:
                found[seat.within] = Above(seat.within, seat.assumed, each.sure and seat.sure)
                todo.append(found[seat.within])
    return tuple(found.values())


def children_of(seats: Seats) -> dict[Item, tuple[tuple[Item, bool], ...]]:
    """What may sit directly in each item now, each with whether that is sure."""
    found: dict[Item, list[tuple[Item, bool]]] = {}
    for item, each in seats.items():
        for seat in each:
            found.setdefault(seat.within, []).append((item, seat.sure))
    return {item: tuple(each) for item, each in found.items()}


def beneath(
    item: Item, children: Mapping[Item, tuple[tuple[Item, bool], ...]]
) -> Iterator[tuple[tuple[Item, ...], bool]]:
    """Everything inside an item now, near things first: the way down to it, and whether that is sure."""
    seen = {item}
    todo: list[tuple[tuple[Item, ...], bool]] = [((), True)]
    for way, sure in todo:
        for child, child_sure in children.get(way[-1] if way else item, ()):
            if child not in seen:
                seen.add(child)
                todo.append(((*way, child), sure and child_sure))
                yield todo[-1]


def shut_behind(story: ItemStory) -> tuple[tuple[Item, Closing], ...]:
    """The closings that hold now: of the item itself, then those above it that hide it."""
    own = ((story.item, closing) for closing in story.closings if closing.opened is None)
    return (*own, *story.hidden_by)

"""Joints: parts that hold others together, and whose stages an event on either side undoes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from buildlog.model.lists import Part
from buildlog.model.names import Item, Names
from buildlog.reckoning.drawers import sorted_in
from buildlog.reckoning.knowledge import Chronicle, Inside


def disturbances(sides: tuple[tuple[Chronicle, bool], ...]) -> tuple[Inside, ...]:
    """Every event on what a joint holds together, in order. Not sure where it may be another joint's."""
    found = [
        Inside(event, event.kind, sure) for side, sure in sides for event in side.events if not event.struck
    ]
    return tuple(sorted(found, key=lambda each: each.event.moment.show))


def sides(item: Item, part: Part, names: Names) -> dict[Item, bool]:
    """The items a joint holds, each with whether that is sure: of its own designator, or the only one.

    A joint without a designator holds them all; one whose designator says nothing of the other part may
    hold any.
    """
    found: dict[Item, bool] = {}
    for number in part.joins:
        items = names.items.get(number, ())
        same = [each for each in items if each.designator == item.designator]
        if len(items) > 1 and same:
            found.update(dict.fromkeys(same, True))
        else:
            found.update(dict.fromkeys(items, len(items) == 1 or not item.designator))
    return found


def joints_in(
    order: Iterable[tuple[Item, int]], parts: Mapping[str, Part], names: Names
) -> tuple[dict[Item, tuple[tuple[Item, bool], ...]], ...]:
    """The items that hold others together, by drawer, and what each holds."""
    found: dict[Item, tuple[tuple[Item, bool], ...]] = {}
    for item, _ in order:
        part = parts.get(item.number)
        if part is not None and part.joins:
            found[item] = tuple(sides(item, part, names).items())
    return sorted_in(found)

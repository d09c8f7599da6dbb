"""The assemblies that a visit is reported by: what hangs directly on the aircraft, with all that is in it."""

from __future__ import annotations

from collections.abc import Iterable

from buildlog.model.names import Item
from buildlog.reckoning.whereabouts import Seats, above


def assembly_of(item: Item, seats: Seats, holding: frozenset[Item]) -> Item:
    """The assembly that an item is told under.

    That is the highest thing that it is in below the top; what hangs on the top itself and holds nothing is
    told under the top. `holding` are the items that hold something.
    """
    chain = above(item, seats)
    if len(chain) >= 2:
        return chain[-2].item
    return item if item in holding or not chain else chain[-1].item


def by_assembly(items: Iterable[Item], seats: Seats) -> dict[Item, tuple[Item, ...]]:
    """The items of each assembly, all in the order they come in."""
    holding = frozenset(seat.within for each in seats.values() for seat in each)
    found: dict[Item, list[Item]] = {}
    for item in items:
        found.setdefault(assembly_of(item, seats, holding), []).append(item)
    return {assembly: tuple(each) for assembly, each in found.items()}

"""What a name in a log stands for: one rule for reader and reckoning.

An item is written as its part number, a `/` and its designator. A part number may itself hold a `/`,
so the whole text is looked up as a part number first.
"""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from buildlog.model.lists import Lot, Part

ALL = "all"
"""The designator that stands for every item of a part."""


class Item(msgspec.Struct, frozen=True, order=True):
    """One physical place for an article of a part number. `designator` is empty for an only item."""

    number: str
    designator: str = ""

    def __str__(self) -> str:
        """As a log writes it."""
        return f"{self.number}/{self.designator}" if self.designator else self.number


class Named(msgspec.Struct, frozen=True):
    """What a text stands for.

    `items` is empty only where a listed part lacks the designator. `bare` says that a part number alone
    was written where the part has several items; `listed` that the part is on the parts list; `lot` that it
    is none of these but a lot of lots.csv.
    """

    number: str
    items: tuple[Item, ...]
    bare: bool = False
    listed: bool = True
    lot: bool = False


class Names(msgspec.Struct, frozen=True):
    """The part numbers of a log with the items of each, and its lots; equal lists make equal names."""

    items: dict[str, tuple[Item, ...]]
    lots: frozenset[str] = frozenset()

    def of(self, text: str) -> Named:
        """Look a text up. Text on no list is split at its last `/` and marked not listed."""
        known = self.items.get(text)
        if known is not None:
            return Named(text, known, bare=len(known) > 1)
        number, slash, designator = text.rpartition("/")
        if slash and number in self.items:
            return self._designated(number, designator)
        if text in self.lots:
            return Named(text, (), lot=True)
        if slash and number and designator:
            return Named(number, (Item(number, designator),), listed=False)
        return Named(text, (Item(text),), listed=False)

    def _designated(self, number: str, designator: str) -> Named:
        items = self.items[number]
        if designator == ALL and not any(item.designator == ALL for item in items):
            return Named(number, items)
        item = Item(number, designator)
        return Named(number, (item,) if item in items else ())


def names_of(parts: tuple[Part, ...], lots: tuple[Lot, ...] = ()) -> Names:
    """The names of a parts list, in its order, and the keys of a list of lots."""
    return Names({part.number: items_of(part) for part in parts}, frozenset(lot.lot for lot in lots))


def items_of(part: Part) -> tuple[Item, ...]:
    """The items of a part: one for each designator, or the only one."""
    return tuple(Item(part.number, each) for each in part.items) or (Item(part.number),)


def by_number(parts: tuple[Part, ...]) -> Mapping[str, Part]:
    """The parts list by number."""
    return {part.number: part for part in parts}

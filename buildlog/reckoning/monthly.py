"""The configuration in time by month: one listing of a holder's contents answers for every day of the month.

A copy of the whole for each day would cost days times items. So a month lists only what changed in it, each
thing with the evenings from which and until which it stood there, and what that is in, up to the top; for
everything else it names the month that listed it last, where nothing has changed since. Because a change
below is listed all the way up, whoever starts from the top of any month and follows those names comes to
every item, and always to the listing that holds.

A holder of very many things is listed whole only when the square of what changed since it last was reaches
their number; between, only what changed since, with the name of the month that has the rest. That is at most
one month more to look up, and for each change some SHORT rows or one and a half times the root of the number
on each level up to the top, however long the log.
"""

from __future__ import annotations

import datetime
import functools
from collections.abc import Iterable
from typing import TypeVar

import msgspec

from buildlog.model.names import Item
from buildlog.reckoning.configuration import Configuration, holder_of
from buildlog.reckoning.spells import Basis, Shut, Spell

S = TypeVar("S", Spell, Shut)
V = TypeVar("V")

SHORT = 40
"""Contents of so many things are always listed whole."""

Holder = Item | Basis
"""What things are listed under: an item, or TOP, LOOSE or UNKNOWN for what is inside nothing."""

UNDER_NOTHING = (Basis.TOP, Basis.LOOSE, Basis.UNKNOWN)


class Row(msgspec.Struct, frozen=True):
    """One thing in one place for some evenings of a month, or all, and what was closed up of it then.

    An end in a later month is not told: that month tells it. `listed` is the month, this one or an earlier,
    that lists what is in it; empty where nothing ever was.
    """

    spell: Spell
    shut: tuple[Shut, ...] = ()
    listed: str = ""


class Listing(msgspec.Struct, frozen=True):
    """What was in a holder during a month. Of `rest` more things nothing changed since the month `whole`."""

    holder: Holder
    rows: tuple[Row, ...]
    rest: int = 0
    whole: str = ""


class Month(msgspec.Struct, frozen=True):
    """A month in which something changed: on which days, and what stood where. `month` reads `2026-03`."""

    month: str
    days: tuple[datetime.date, ...]
    listings: tuple[Listing, ...]


@functools.lru_cache(maxsize=1 << 14)
def month_of(day: datetime.date) -> str:
    """The month of a day: `2026-03`."""
    return f"{day.year:04d}-{day.month:02d}"


def _by(month: str, each: S) -> S:
    """What was known by the end of a month: what ended later is told by a later one."""
    if each.until is not None and month_of(each.until) > month:
        return msgspec.structs.replace(each, until=None)
    return each


class _Course:
    """What stands where while the months go by. `places` are the spells that hold now, by holder."""

    def __init__(self, known: Configuration) -> None:
        self.order = {spell: place for place, spell in enumerate(known.spells)}
        self.shut: dict[Item, list[Shut]] = {}
        for each in known.shut:
            self.shut.setdefault(each.item, []).append(each)
        self.places: dict[Holder, dict[int, Spell]] = {}
        self.of: dict[Item, dict[int, Spell]] = {}
        self.listed: dict[Holder, str] = {}
        self.whole: dict[Holder, str] = {}
        self.changed: dict[Holder, set[Item]] = {}
        self.left: dict[Holder, list[Spell]] = {}

    def begin(self, spell: Spell) -> None:
        place = self.order[spell]
        self.places.setdefault(holder_of(spell), {})[place] = spell
        self.of.setdefault(spell.item, {})[place] = spell

    def end(self, spell: Spell) -> None:
        place, holder = self.order[spell], holder_of(spell)
        del self.places[holder][place], self.of[spell.item][place]
        if self.whole.get(holder) != month_of(spell.until or datetime.date.max):
            self.left.setdefault(holder, []).append(spell)

    def touched(self, items: Iterable[Item], holders: Iterable[Holder]) -> list[Holder]:
        """What a month lists: what something changed in, and whatever that was in, up to the top."""
        found = dict.fromkeys(holders)
        for each in items:
            found |= dict.fromkeys(holder_of(spell) for spell in self.of.get(each, {}).values())
        todo = list(found)
        for holder in todo:
            for spell in self.of.get(holder, {}).values() if isinstance(holder, Item) else ():
                above = holder_of(spell)
                self.changed.setdefault(above, set()).add(spell.item)
                if above not in found:
                    found[above] = None
                    todo.append(above)
        return todo

    def listing(self, holder: Holder, month: str) -> Listing:
        places = self.places.get(holder, {})
        changed = self.changed.setdefault(holder, set())
        short = len(places) <= SHORT or len(changed) ** 2 >= len(places)
        if short or holder not in self.whole:
            self.whole[holder] = month
            self.left[holder] = []
            changed.clear()
            return Listing(holder, self._rows(places, month))
        kept = {place: spell for place, spell in places.items() if spell.item in changed}
        kept |= {self.order[spell]: spell for spell in self.left.get(holder, ())}
        rest = sum(spell.item not in changed for spell in places.values())
        return Listing(holder, self._rows(kept, month), rest, self.whole[holder])

    def _rows(self, spells: dict[int, Spell], month: str) -> tuple[Row, ...]:
        return tuple(
            Row(_by(month, spell), self._shut_in(spell, month), self.listed.get(spell.item, ""))
            for _, spell in sorted(spells.items())
        )

    def _shut_in(self, spell: Spell, month: str) -> tuple[Shut, ...]:
        """The closings of a thing that held in the month and while it stood there."""
        return tuple(
            _by(month, each)
            for each in self.shut.get(spell.item, ())
            if month_of(each.since) <= month
            and (each.until is None or month <= month_of(each.until))
            and (spell.until is None or each.since < spell.until)
            and (each.until is None or spell.since <= each.until)
        )


def monthly(known: Configuration, days: frozenset[datetime.date] = frozenset()) -> tuple[Month, ...]:
    """The months in which something changed, in order.

    Args:
        known: the configuration in time.
        days: further days on which something happened, though by the evening it was as before.
    """
    begins = _by_month((spell.since, spell) for spell in known.spells)
    ends = _by_month((spell.until, spell) for spell in known.spells)
    shut = _by_month((day, each.item) for each in known.shut for day in (each.since, each.until))
    dated = set(days)
    for each in (known.spells, known.shut):
        dated.update(day for one in each for day in (one.since, one.until) if day)
    course = _Course(known)
    found = []
    for month, its_days in _by_month((day, day) for day in sorted(dated)).items():
        moved = begins.get(month, [])
        for spell in moved:
            course.begin(spell)
        moved = [*moved, *ends.get(month, ())]
        closed = shut.get(month, [])
        for spell in (*moved, *(spell for item in closed for spell in course.of.get(item, {}).values())):
            course.changed.setdefault(holder_of(spell), set()).add(spell.item)
        nothing = [basis for basis in UNDER_NOTHING if course.places.get(basis)]
        holders = course.touched(closed, [*nothing, *map(holder_of, moved)])
        course.listed |= dict.fromkeys(holders, month)
        listings = tuple(course.listing(holder, month) for holder in holders)
        found.append(Month(month, tuple(its_days), listings))
        for spell in ends.get(month, ()):
            course.end(spell)
    return tuple(found)


def _by_month(dated: Iterable[tuple[datetime.date | None, V]]) -> dict[str, list[V]]:
    found: dict[str, list[V]] = {}
    for day, value in dated:
        if day is not None:
            found.setdefault(month_of(day), []).append(value)
    return found

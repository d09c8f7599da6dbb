"""The configuration in time: what was inside what on the evening of any day, recorded or assumed.

An item that no record names, or none yet, is no part of the configuration, unless the log puts something into
it: then it stands where the parts list has it. What its last record puts into something that no longer exists
is told with what is without a place. So is what records put into something that is already inside it: on
every evening the whole is a forest.
"""

from __future__ import annotations

import datetime
import functools
from collections.abc import Iterable, Iterator, Mapping

import msgspec

from buildlog.model.lists import Part
from buildlog.model.names import Item, Names
from buildlog.reckoning.chronicle import assumed_place
from buildlog.reckoning.order import Moment
from buildlog.reckoning.reidentified import Renamed, now_called
from buildlog.reckoning.spells import Basis, Place, Shut, Spell, Turns, unplaced

NEVER = datetime.date.max
"""Until when a spell lasts that has no end."""

Days = tuple[datetime.date, datetime.date]
"""From the first evening on, and no longer on the second."""


class Configuration(msgspec.Struct, frozen=True):
    """All spells, by item in the order of the items and then in time, and all closings likewise."""

    spells: tuple[Spell, ...]
    shut: tuple[Shut, ...]


def configuration(
    items: tuple[Item, ...], turns: tuple[Turns, ...], names: Names, parts: tuple[Part, ...]
) -> Configuration:
    """Put together what is known of each part number's items.

    Args:
        items: all items, in the order that pages show them.
        turns: what `turns_of` made of them.
        names: the parts list's names.
        parts: the parts list.
    """
    order = {item: place for place, item in enumerate(items)}
    own = [spell for each in turns for spell in each.spells]
    lives: dict[Item, list[Days]] = {}
    for spell in own:
        lives.setdefault(spell.item, []).append((spell.since, spell.until or NEVER))
    renamed: dict[Item, list[tuple[Moment, Item]]] = {}
    for old, moment, new in sorted((b for each in turns for b in each.became), key=lambda b: b[1].show):
        renamed.setdefault(old, []).append((moment, new))
    if renamed:
        own = [part for spell in own for part in _by_its_name(spell, renamed, lives)]
    listed = {part.number: part for part in parts}
    whole = [*_in_what_is_gone([*own, *_holders(own, lives, names, listed)], lives)]
    last = len(order)

    def standing(each: Spell | Shut) -> tuple[int, Item, datetime.date]:
        return order.get(each.item, last), each.item, each.since

    shut = sorted((s for each in turns for s in each.shut), key=lambda s: (*standing(s), s.area))
    return Configuration(tuple(sorted(_merged(_untangled(whole)), key=standing)), tuple(shut))


def on_evening(known: Configuration, day: datetime.date) -> dict[Item, Spell]:
    """Where everything stood on the evening of a day, in the order of the items."""
    return {s.item: s for s in known.spells if s.since <= day and (s.until is None or day < s.until)}


def standing_in(spells: Mapping[Item, Spell]) -> dict[Item | Basis, tuple[Item, ...]]:
    """What was directly in each item, and under TOP, LOOSE and UNKNOWN what was in none."""
    found: dict[Item | Basis, list[Item]] = {}
    for item, spell in spells.items():
        found.setdefault(holder_of(spell), []).append(item)
    return {holder: tuple(items) for holder, items in found.items()}


def holder_of(spell: Spell) -> Item | Basis:
    """What the thing is listed under: what it is in; else TOP, LOOSE or UNKNOWN."""
    place = spell.place
    if place.within is not None and place.basis in (Basis.RECORDED, Basis.ASSUMED):
        return place.within
    return place.basis if place.basis in (Basis.TOP, Basis.LOOSE) else Basis.UNKNOWN


def _by_its_name(spell: Spell, renamed: Renamed, lives: Mapping[Item, list[Days]]) -> Iterator[Spell]:
    """A spell in something that went on under other names, by the name that this had on each evening."""
    within = spell.place.within
    if within is None or within not in renamed:
        yield spell
        return
    chain = [within]
    for old in chain:
        chain.extend(new for _, new in renamed.get(old, ()) if new not in chain)
    cuts = {moment.day for old in chain for moment, _ in renamed.get(old, ())}
    cuts |= {day for old in chain for days in lives.get(old, ()) for day in days}
    until = spell.until or NEVER
    days = sorted({spell.since, *(day for day in cuts if spell.since < day < until)})
    for since, end in zip(days, [*days[1:], spell.until], strict=True):
        there = functools.partial(_alive, lives, since)
        named = now_called(within, spell.moved, renamed, there, since)
        place = msgspec.structs.replace(spell.place, within=named)
        if named == spell.item:
            place = Place(None, Basis.UNKNOWN)
        yield msgspec.structs.replace(spell, place=place, since=since, until=end)


def _alive(lives: Mapping[Item, list[Days]], day: datetime.date, item: Item) -> bool:
    return any(begun <= day < ended for begun, ended in lives.get(item, ()))


def _in_what_is_gone(spells: Iterable[Spell], lives: Mapping[Item, list[Days]]) -> Iterator[Spell]:
    """The spells, those cut apart in which the holder had ended and was not there again."""
    for spell in spells:
        within = spell.place.within
        held = lives.get(within) if within is not None else None
        if held is None:
            yield spell
            continue
        days = (spell.since, spell.until or NEVER)
        first = min(begun for begun, _ in held)
        at = spell.since
        for begun, ended in _without(days, held):
            if ended <= first:
                continue
            if at < begun:
                yield msgspec.structs.replace(spell, since=at, until=begun)
            place = msgspec.structs.replace(spell.place, basis=Basis.GONE)
            yield msgspec.structs.replace(spell, place=place, since=begun, until=_end(ended))
            at = ended
        if at < days[1]:
            yield msgspec.structs.replace(spell, since=at, until=spell.until)


def _holders(
    spells: Iterable[Spell], lives: Mapping[Item, list[Days]], names: Names, parts: Mapping[str, Part]
) -> Iterator[Spell]:
    """The spells of what holds something on evenings before any record of it."""
    told: dict[Item, list[Days]] = {}
    places: dict[Item, Place] = {}
    todo: list[tuple[Item, Days]] = [
        (spell.place.within, (spell.since, spell.until or NEVER))
        for spell in spells
        if spell.place.within is not None
    ]
    for item, days in todo:
        known = lives.get(item, ())
        before = min((begun for begun, _ in known), default=NEVER)
        if days[0] >= before:
            continue
        if item not in places:
            part = parts.get(item.number)
            above = assumed_place(item, part, names)
            inside = above is not None and above != item
            places[item] = Place(above, Basis.ASSUMED) if inside else Place(None, unplaced(part))
        new = _without((days[0], min(days[1], before)), told.get(item, ()))
        told[item] = _joined([*told.get(item, ()), *new])
        above = places[item].within
        if above is not None:
            todo.extend((above, each) for each in new)
    for item, spans in told.items():
        for begun, ended in spans:
            yield Spell(item, places[item], begun, _end(ended))


class _Rings:
    """The places of one evening after the other: `up` has no ring in it, `rings` are what would close one."""

    def __init__(self) -> None:
        self.up: dict[Item, Item] = {}
        self.since: dict[Item, datetime.date] = {}
        self.rings: dict[Item, Spell] = {}

    def told(self, spell: Spell, until: datetime.date | None) -> Iterator[Spell]:
        """What stood until a day as it had since the last."""
        begun = self.since[spell.item]
        if until is None or begun < until:
            ring = spell.item in self.rings
            place = msgspec.structs.replace(spell.place, basis=Basis.ROUND) if ring else spell.place
            yield msgspec.structs.replace(spell, place=place, since=begun, until=until)

    def end(self, spell: Spell) -> Iterator[Spell]:
        yield from self.told(spell, spell.until)
        self.up.pop(spell.item, None)
        self.rings.pop(spell.item, None)

    def begin(self, spell: Spell, day: datetime.date) -> Iterator[Spell]:
        """Put it where it is to stand; what closed a ring until this day may close none any more."""
        within = spell.place.within
        was = spell.item in self.rings
        if not was:
            self.since[spell.item] = day
        if within is None or spell.place.basis is Basis.GONE:
            return
        if _leads_to(within, spell.item, self.up):
            self.rings[spell.item] = spell
            return
        if was:
            yield from self.told(spell, day)
            del self.rings[spell.item]
            self.since[spell.item] = day
        self.up[spell.item] = within


def _untangled(spells: list[Spell]) -> Iterator[Spell]:
    """The spells, with ROUND for as long as what an item was put into was inside it.

    Of spells that make a ring together the last to begin is told so; of one day, the last by name.
    """
    begins: dict[datetime.date, list[Spell]] = {}
    ends: dict[datetime.date, list[Spell]] = {}
    for spell in sorted(spells, key=lambda spell: (spell.item, spell.since)):
        begins.setdefault(spell.since, []).append(spell)
        ends.setdefault(spell.until or NEVER, []).append(spell)
    course = _Rings()
    for day in sorted(begins.keys() | ends.keys()):
        for spell in ends.get(day, ()):
            yield from course.end(spell)
        for spell in (*course.rings.values(), *begins.get(day, ())):
            yield from course.begin(spell, day)


def _leads_to(item: Item, whole: Item, up: Mapping[Item, Item]) -> bool:
    at: Item | None = item
    while at is not None and at != whole:
        at = up.get(at)
    return at is not None


def _without(days: Days, others: Iterable[Days]) -> list[Days]:
    """What is left of some days without others."""
    left = [days]
    for begun, ended in others:
        left = [
            piece
            for since, until in left
            for piece in ((since, min(until, begun)), (max(since, ended), until))
            if piece[0] < piece[1]
        ]
    return left


def _joined(many: Iterable[Days]) -> list[Days]:
    found: list[Days] = []
    for since, until in sorted(many):
        if found and since <= found[-1][1]:
            found[-1] = (found[-1][0], max(until, found[-1][1]))
        else:
            found.append((since, until))
    return found


def _end(day: datetime.date) -> datetime.date | None:
    return None if day == NEVER else day


def _merged(spells: Iterable[Spell]) -> list[Spell]:
    """The spells, with one where an article stood in the same place without a break."""
    found: list[Spell] = []
    for spell in sorted(spells, key=lambda s: (s.item, s.article, s.since)):
        last = found[-1] if found else None
        if (
            last is not None
            and (last.item, last.article, last.place) == (spell.item, spell.article, spell.place)
            and last.until == spell.since
        ):
            found[-1] = msgspec.structs.replace(last, until=spell.until)
        else:
            found.append(spell)
    return found

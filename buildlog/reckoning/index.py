"""A month's entries, indexed by what they are about.

Months are the bundles of the pipeline: a change to an entry makes one month's index anew, and only the
keys whose share of that month changed are joined and folded again.
"""

from __future__ import annotations

import datetime
import functools
from collections import Counter
from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

import msgspec

from buildlog.model.entry import Entry, Medium, WorkLine
from buildlog.model.names import Item, Names
from buildlog.model.ratio import plus, times
from buildlog.model.records import AnyRecord, Voided, kind_of
from buildlog.model.remember import Remember
from buildlog.reckoning.drawers import filed, joined, sorted_in
from buildlog.reckoning.events import (
    Appearance,
    Event,
    HoursLine,
    Labour,
    Shown,
    TaskStep,
    Use,
    Voiding,
)
from buildlog.reckoning.hours import added
from buildlog.reckoning.latest import last_day
from buildlog.reckoning.order import BY_TIME, RECORDS, Moment, minutes, work_moment
from buildlog.reckoning.steps import steps_of

NOTHING, WHOLE = Fraction(0), Fraction(1)

_LOOKED = ("inspected", "tested", "deferred", "voided")


class EntryShares(msgspec.Struct, frozen=True):
    """What one entry says, by relation and key, and its hours."""

    events: dict[Item, tuple[Event, ...]]
    labour: dict[Item, tuple[Labour, ...]]
    shown: dict[Item, tuple[Shown, ...]]
    steps: dict[str, tuple[TaskStep, ...]]
    task_items: dict[str, tuple[Item, ...]]
    appearances: dict[str, tuple[Appearance, ...]]
    inspected: dict[str, tuple[Event, ...]]
    lots: dict[str, tuple[Use, ...]]
    of_lots: dict[str, tuple[Event, ...]]
    tools: dict[str, tuple[Use, ...]]
    hours: tuple[HoursLine, ...]
    total: Fraction


_RELATIONS = EntryShares.__struct_fields__[:-2]


class ItemShares(msgspec.Struct, frozen=True):
    """What a month's entries say of the items of one drawer; each share in order of the files."""

    events: dict[Item, tuple[Event, ...]]
    labour: dict[Item, tuple[Labour, ...]]
    shown: dict[Item, tuple[Shown, ...]]


class TaskShares(msgspec.Struct, frozen=True):
    """What a month's entries say of the tasks of one drawer; each share in order of the files."""

    steps: dict[str, tuple[TaskStep, ...]]
    items: dict[str, tuple[Item, ...]]


class PeopleShares(msgspec.Struct, frozen=True):
    """What a month's entries say of people; appearances in order of time, hours by day."""

    appearances: dict[str, tuple[Appearance, ...]]
    days: dict[str, tuple[tuple[datetime.date, Fraction], ...]]
    inspected: dict[str, tuple[Event, ...]]


class StockShares(msgspec.Struct, frozen=True):
    """What a month's entries say of lots and tools; `of_lots` are records about the lots themselves."""

    lots: dict[str, tuple[Use, ...]]
    of_lots: dict[str, tuple[Event, ...]]
    tools: dict[str, tuple[Use, ...]]


class Month(msgspec.Struct, frozen=True):
    """What a month's entries say. `items` and `tasks` have one share for each drawer."""

    items: tuple[ItemShares, ...]
    tasks: tuple[TaskShares, ...]
    people: PeopleShares
    stock: StockShares
    hours: tuple[HoursLine, ...]
    entry_hours: dict[str, Fraction]


def voidings(entries: Iterable[Entry], day: datetime.date) -> tuple[Voiding, ...]:
    """The records of these entries that strike others through, up to the day."""
    found = []
    for entry in entries:
        for place, record, moment in _dated(entry):
            if isinstance(record, Voided) and moment.day <= day:
                people = record.by or entry.people
                own = (entry.key, place, record.reason, moment, people, record.where)
                found.append(Voiding(record.entry, record.record, *own))
    return tuple(found)


def standing(all_voidings: Iterable[Voiding]) -> dict[tuple[str, int], Voiding]:
    """Which records are struck, by entry and place. A voiding that is itself struck strikes nothing.

    What a voiding names was written before it, so the naming alone decides which of two stands; the time
    decides only between voidings that name each other. Of several that strike one record the first is told;
    one that does not count only where no other does.
    """
    waiting = {(v.by_entry, v.by_record): v for v in sorted(all_voidings, key=BY_TIME)}
    named = Counter((v.entry, v.record) for v in waiting.values())
    ready = [own for own in waiting if not named[own]]
    struck: dict[tuple[str, int], Voiding] = {}
    while waiting:
        own = ready.pop() if ready else next(reversed(waiting))
        voiding = waiting.pop(own)
        target = (voiding.entry, voiding.record)
        if own not in struck or not struck[own].counts:
            told = struck.setdefault(target, voiding)
            struck[target] = min(told, voiding, key=lambda each: (not each.counts, BY_TIME(each)))
        named[target] -= 1
        if not named[target] and target in waiting:
            ready.append(target)
    return struck


def index_month(
    entries: tuple[Entry, ...],
    names: Names,
    harmless: tuple[str, ...],
    struck: tuple[tuple[tuple[str, int], Voiding], ...],
    day: datetime.date,
    remember: Remember,
) -> Month:
    """Index one month's entries. Records later than the day are left out; `struck` are this month's."""
    mine: dict[str, list[tuple[int, Voiding]]] = {}
    for (key, place), voiding in struck:
        mine.setdefault(key, []).append((place, voiding))
    found = [
        remember(
            index_entry,
            entry.key,
            entry,
            names,
            harmless,
            tuple(mine.get(entry.key, ())),
            min(day, last_day(entry)),
        )
        for entry in entries
    ]
    appearances = joined(each.appearances for each in found)
    items = (
        sorted_in(joined(getattr(each, name) for each in found)) for name in ItemShares.__struct_fields__
    )
    tasks = (filed(joined(getattr(each, name) for each in found)) for name in ("steps", "task_items"))
    return Month(
        items=tuple(ItemShares(*each) for each in zip(*items, strict=True)),
        tasks=tuple(TaskShares(*each) for each in zip(*tasks, strict=True)),
        people=PeopleShares(
            {key: tuple(sorted(seen, key=BY_TIME)) for key, seen in appearances.items()},
            {key: _by_day(seen) for key, seen in appearances.items()},
            joined(each.inspected for each in found),
        ),
        stock=StockShares(
            *(joined(getattr(each, name) for each in found) for name in StockShares.__struct_fields__)
        ),
        hours=tuple(line for each in found for line in each.hours),
        entry_hours={entry.key: each.total for entry, each in zip(entries, found, strict=True)},
    )


def index_entry(
    entry: Entry,
    names: Names,
    harmless: tuple[str, ...],
    struck: tuple[tuple[int, Voiding], ...],
    day: datetime.date,
) -> EntryShares:
    """Index one entry. Records later than the day are left out; `struck` are its records that are."""
    return _Writer(names, harmless, dict(struck), day).shares(entry)


def moments(entry: Entry) -> tuple[Moment, ...]:
    """The moment of each record of an entry, by its place."""
    return tuple(moment for _, _, moment in _dated(entry))


def _dated(entry: Entry) -> list[tuple[int, AnyRecord, Moment]]:
    """Each record with its place from 1 and its moment."""
    start = minutes(entry.start)
    latest: dict[datetime.date, int] = {entry.date: -1 if start is None else start}
    found: list[tuple[int, AnyRecord, Moment]] = []
    for place, record in enumerate(entry.records, start=1):
        day = record.date or entry.date
        minute = minutes(record.time)
        if minute is None and day == entry.date:
            minute = start
        stands = latest.get(day, -1) if minute is None else minute
        latest[day] = max(stands, latest.get(day, -1))
        found.append((place, record, Moment(day, minute, stands, entry.key, RECORDS + place)))
    return found


class _Writer:
    """Gathers an entry's shares, then freezes them."""

    def __init__(
        self, names: Names, harmless: tuple[str, ...], struck: dict[int, Voiding], day: datetime.date
    ) -> None:
        self._names = names
        self._harmless = harmless
        self._struck = {place: each for place, each in struck.items() if each.counts}
        self._refused = {place: each for place, each in struck.items() if not each.counts}
        self._day = day
        self._known: dict[str, tuple[Item, ...]] = {}
        self._shares: dict[str, dict[Any, list[Any]]] = {name: {} for name in _RELATIONS}
        self._hours: list[HoursLine] = []

    def shares(self, entry: Entry) -> EntryShares:
        """What the entry says, frozen."""
        records = [dated for dated in _dated(entry) if dated[2].day <= self._day]
        told = {
            item
            for place, record, _ in records
            if kind_of(record) not in _LOOKED and place not in self._struck
            for name in record.of
            for item in self._items(name)
        }
        worked: dict[str, Fraction] = {}
        totals = [
            self._work(entry, number, line, told, worked) for number, line in enumerate(entry.work, start=1)
        ]
        for place, record, moment in records:
            self._record(entry, place, record, moment)
        for medium in entry.media:
            self._medium(entry, medium)
        for step in steps_of(entry, totals):
            self._put("steps", step.task, step)
        self._people(entry, worked, [person for _, record, _ in records for person in record.by])
        frozen = {
            name: {key: tuple(values) for key, values in table.items()}
            for name, table in self._shares.items()
        }
        return EntryShares(**frozen, hours=tuple(self._hours), total=added(totals))

    def _put(self, relation: str, key: object, value: object) -> None:
        self._shares[relation].setdefault(key, []).append(value)

    def _items(self, name: str) -> tuple[Item, ...]:
        known = self._known.get(name)
        if known is None:
            known = self._known[name] = self._names.of(name).items
        return known

    def _work(
        self, entry: Entry, number: int, line: WorkLine, told: set[Item], worked: dict[str, Fraction]
    ) -> Fraction:
        moment = work_moment(entry, number)
        total = added(each.hours for each in line.hours)
        # A table of hours may name somebody beside the people of the entry; they worked all the same.
        named = (each.person for each in line.hours if each.person)
        people = tuple(dict.fromkeys((*(line.people or entry.people), *named)))
        shares = self._split(line)
        for item, share in shares.items():
            if item is None:
                continue
            self._put(
                "labour",
                item,
                Labour(
                    item=item,
                    moment=moment,
                    entry=entry.key,
                    line=number,
                    task=line.task,
                    kind=line.kind,
                    people=people,
                    hours=total if share is WHOLE else times(total, share),
                    harmless=line.kind in self._harmless,
                    told=item in told,
                    where=line.where,
                ),
            )
        if line.task:
            for item in shares:
                if item is not None:
                    self._put("task_items", line.task, item)
        week, month = _calendar(entry.date)
        kind, task = line.kind or None, line.task or None
        for each in line.hours:
            person, hours = each.person or None, each.hours
            before = worked.get(each.person)
            worked[each.person] = hours if before is None else plus(before, hours)
            for item, share in shares.items():
                part = hours if share is WHOLE else times(hours, share)
                self._hours.append(HoursLine(person, kind, task, item, week, month, part))
        return total

    def _split(self, line: WorkLine) -> dict[Item | None, Fraction]:
        """Each item's share of the line: by weight among the names, evenly among a bare part's items."""
        if not line.parts:
            return {None: WHOLE}
        weights = added(share.weight for share in line.parts)
        split: dict[Item | None, Fraction] = {}
        for share in line.parts:
            items = self._items(share.name) or (None,)
            if len(items) == len(line.parts) == 1:
                return {items[0]: WHOLE}
            each = _each_of(share.weight, weights, len(items))
            for item in items:
                before = split.get(item)
                split[item] = each if before is None else plus(before, each)
        return split

    def _record(self, entry: Entry, place: int, record: AnyRecord, moment: Moment) -> None:
        struck, refused = self._struck.get(place), self._refused.get(place)
        people = record.by or entry.people
        items = dict.fromkeys(item for name in record.of for item in self._items(name))
        kind = kind_of(record)
        for item in items:
            event = Event(item, moment, record, entry.key, place, people, struck, refused)
            self._put("events", item, event)
            if kind in ("inspected", "tested"):
                for person in people:
                    self._put("inspected", person, event)
            for lot in record.lots:
                self._put("lots", lot, Use(item, event))
            if record.tool:
                self._put("tools", record.tool, Use(item, event))
            for file in record.document if struck is None else ():
                self._put("shown", item, Shown(entry.key, Medium(file=file, where=record.where), moment))

        for name in record.of:
            if name in self._names.lots and self._names.of(name).lot:
                self._of_lot(
                    name, Event(Item(name), moment, record, entry.key, place, people, struck, refused)
                )

    def _of_lot(self, lot: str, event: Event) -> None:
        """A record about a lot: its item is the lot's name, and is no item of any part."""
        self._put("of_lots", lot, event)
        if event.kind in ("inspected", "tested"):
            for person in event.people:
                self._put("inspected", person, event)
        if event.record.tool:
            self._put("tools", event.record.tool, Use(event.item, event))

    def _medium(self, entry: Entry, medium: Medium) -> None:
        moment = work_moment(entry, 0)
        for item in dict.fromkeys(item for name in medium.shows for item in self._items(name)):
            self._put("shown", item, Shown(entry.key, medium, moment))

    def _people(self, entry: Entry, worked: Mapping[str, Fraction], signing: Iterable[str]) -> None:
        moment = work_moment(entry, 0)
        working = dict.fromkeys((*entry.people, *(person for person in worked if person)))
        for person in working:
            hours = worked.get(person, NOTHING)
            self._put("appearances", person, Appearance(person, entry.key, moment, True, hours, entry.where))
        for person in dict.fromkeys((*entry.present, *signing)):
            if person not in working:
                there = Appearance(person, entry.key, moment, False, NOTHING, entry.where)
                self._put("appearances", person, there)


@functools.lru_cache(maxsize=1 << 12)
def _calendar(day: datetime.date) -> tuple[str, str]:
    """The week of a day as in ISO 8601, and its month."""
    year, week, _ = day.isocalendar()
    return f"{year:04d}-W{week:02d}", f"{day.year:04d}-{day.month:02d}"


@functools.lru_cache(maxsize=1 << 12)
def _each_of(weight: Fraction, weights: Fraction, items: int) -> Fraction:
    """What each of some items gets of a line when their name has this weight of all."""
    return weight / weights / items


def _by_day(seen: Iterable[Appearance]) -> tuple[tuple[datetime.date, Fraction], ...]:
    days: dict[datetime.date, Fraction] = {}
    for each in seen:
        if each.hours:
            days[each.moment.day] = days.get(each.moment.day, NOTHING) + each.hours
    return tuple(sorted(days.items()))

"""The facts of a log and every order they may have been in: the ground of the naive replay.

It shares only the model's types with the reckoning, and knows nothing of it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from buildlog.model.entry import Entry, WorkLine
from buildlog.model.log import Log
from buildlog.model.names import Item, names_of
from buildlog.model.records import AnyRecord, kind_of

OLD = ("drawing_changed", "deferred", "voided", "scrapped", "returned", "removed", "disposition")
ABOUT_PAPER = ("drawing_changed", "deferred", "voided")
LOOKS = ("inspected", "tested", "deferred", "voided")
HANDS = (
    "made",
    "modified",
    "repaired",
    "damaged",
    "installed",
    "removed",
    "closed",
    "opened",
    "torqued",
    "loosened",
)


@dataclass(frozen=True)
class Fact:
    """A work line or a record, unstruck, with all there is to say when it was."""

    entry: Entry
    place: int
    day: dt.date
    clock: int | None
    stands: int
    record: AnyRecord | None
    line: WorkLine | None
    items: tuple[Item, ...]
    told: frozenset[Item] = frozenset()

    @property
    def kind(self) -> str:
        return kind_of(self.record) if self.record is not None else "work"

    @property
    def people(self) -> tuple[str, ...]:
        if self.record is not None:
            return self.record.by or self.entry.people
        assert self.line is not None
        return (*(self.line.people or self.entry.people), *(h.person for h in self.line.hours))

    def get(self, name: str) -> str:
        return str(getattr(self.record, name, "") or "")


def surely_before(one: Fact, other: Fact) -> bool:
    if one.day != other.day:
        return one.day < other.day
    if one.entry.key == other.entry.key:
        return (one.stands, one.place) < (other.stands, other.place)
    return one.clock is not None and other.clock is not None and one.clock < other.clock


def _may_not_strike(log: Log, by: tuple[str, int], target: tuple[str, int]) -> bool:
    """What somebody found wrong is struck by themselves, by an inspector, on paper also by an engineer."""
    held = {(e.key, n): (e, r) for e in log.entries for n, r in enumerate(e.records, 1)}
    if target not in held:
        return False
    (entry, record), (own, void) = held[target], held[by]
    kind, word = kind_of(record), getattr(record, "result", "")
    paper = kind in ("nonconformance", "disposition")
    if not paper and kind != "damaged" and word not in ("rejected", "failed"):
        return False
    strikers = void.by or own.people
    if any(key in (record.by or entry.people) for key in strikers):
        return False
    on, stage = void.date or own.date, getattr(record, "stage", "")
    return not any(
        ("inspector" in who.roles or (paper and "engineer" in who.roles))
        and (who.from_ is None or who.from_ <= on)
        and (who.until is None or on <= who.until)
        and (not stage or who.may_inspect is None or stage in who.may_inspect)
        for who in log.settings.people
        if who.key in strikers
    )


def facts_of(log: Log, day: dt.date) -> list[Fact]:
    names = names_of(log.parts)
    voids = {
        (e.key, n): (str(r.entry), int(r.record))
        for e in log.entries
        for n, r in enumerate(e.records, 1)
        if kind_of(r) == "voided" and e.date <= day and (r.date or e.date) <= day
    }

    refused = {by for by, target in voids.items() if _may_not_strike(log, by, target)}

    def struck(ref: tuple[str, int]) -> bool:
        return any(target == ref and by not in refused and not struck(by) for by, target in voids.items())

    found: list[Fact] = []
    for entry in log.entries:
        if entry.date > day:
            continue
        start = entry.start.hour * 60 + entry.start.minute if entry.start else None
        standing = {entry.date: -1 if start is None else start}
        for n, line in enumerate(entry.work, 1):
            items = tuple({i for share in line.parts for i in names.of(share.name).items})
            told = frozenset(
                i
                for k, r in enumerate(entry.records, 1)
                if kind_of(r) not in LOOKS and not struck((entry.key, k)) and (r.date or entry.date) <= day
                for name in r.of
                for i in names.of(name).items
            )
            found.append(
                Fact(entry, n - 1000, entry.date, start, standing[entry.date], None, line, items, told)
            )
        for n, record in enumerate(entry.records, 1):
            when = record.date or entry.date
            clock = record.time.hour * 60 + record.time.minute if record.time else None
            if clock is None and when == entry.date:
                clock = start
            stands = clock if clock is not None else standing.get(when, -1)
            standing[when] = max(stands, standing.get(when, -1))
            if when <= day and not struck((entry.key, n)):
                items = tuple({i for name in record.of for i in names.of(name).items})
                found.append(Fact(entry, n, when, clock, stands, record, None, items))
    return found


def orders(facts: list[Fact], limit: int) -> Iterator[list[Fact]] | None:
    """Every order that the log allows; None where there are more than `limit`."""

    def extend(done: list[Fact], left: list[Fact]) -> Iterator[list[Fact]]:
        if not left:
            yield done
        for each in left:
            others = [f for f in left if f is not each]
            if not any(surely_before(f, each) or _by_sense(f, each, facts) for f in others):
                yield from extend([*done, each], others)

    found = []
    for order in extend([], facts):
        found.append(order)
        if len(found) > limit:
            return None
    return iter(found)


def _by_sense(one: Fact, other: Fact, facts: list[Fact]) -> bool:
    """A decision names what was raised before it, if nothing else says when that was."""

    def raises(fact: Fact) -> bool:
        return (
            fact.kind == "nonconformance"
            and fact.get("id") == other.get("id")
            and bool(set(fact.items) & set(other.items))
        )

    return (
        other.kind == "disposition"
        and raises(one)
        and not surely_before(other, one)
        and not any(raises(fact) and surely_before(fact, other) for fact in facts)
    )

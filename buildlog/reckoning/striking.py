"""Who may strike a record through: what somebody found wrong is not taken back by whoever dislikes it."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping

import msgspec

from buildlog.model.entry import Entry
from buildlog.model.records import AnyRecord, Damaged, Disposition, Inspected, Nonconformance, Tested
from buildlog.model.settings import Person
from buildlog.reckoning.authority import lacks_authority
from buildlog.reckoning.events import Voiding
from buildlog.reckoning.nonconformance import DECIDERS


def guarded(record: AnyRecord) -> bool:
    """Whether a record says that something is wrong, or what was decided: it is not for all to strike."""
    if isinstance(record, Inspected):
        return record.result == "rejected"
    if isinstance(record, Tested):
        return record.result == "failed"
    return isinstance(record, Nonconformance | Disposition | Damaged)


def with_authority(
    voidings: Iterable[Voiding],
    bundles: Mapping[str, tuple[Entry, ...]],
    home: Mapping[str, str],
    people: Iterable[Person],
) -> tuple[Voiding, ...]:
    """The voidings, each with whether it counts.

    Args:
        voidings: all of a log.
        bundles: the entries, by month.
        home: the month of each entry.
        people: those of the settings.
    """
    known = {person.key: person for person in people}
    entries: dict[str, Mapping[str, Entry]] = {}
    judged = []
    for voiding in voidings:
        month = home.get(voiding.entry, "")
        if month not in entries:
            entries[month] = {entry.key: entry for entry in bundles.get(month, ())}
        held = entries[month].get(voiding.entry)
        counts = held is None or not 1 <= voiding.record <= len(held.records) or _may(voiding, held, known)
        judged.append(voiding if counts else msgspec.structs.replace(voiding, counts=False))
    return tuple(judged)


def _may(voiding: Voiding, held: Entry, people: Mapping[str, Person]) -> bool:
    record = held.records[voiding.record - 1]
    if not guarded(record) or not set(record.by or held.people).isdisjoint(voiding.people):
        return True
    strikers = [people[key] for key in voiding.people if key in people]
    return any(_has_authority(person, record, voiding.moment.day) for person in strikers)


def _has_authority(person: Person, record: AnyRecord, day: datetime.date) -> bool:
    stage = getattr(record, "stage", "")
    if not stage:
        roles = DECIDERS if isinstance(record, Nonconformance | Disposition) else ("inspector",)
        since, until = person.from_ or datetime.date.min, person.until or datetime.date.max
        return not set(roles).isdisjoint(person.roles) and since <= day <= until
    return not lacks_authority(person, stage, day)

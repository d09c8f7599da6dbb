"""What `declassify` lets through of hidden facts: a few figures, too coarse to tell of one session.

Whoever keeps every edition sees what each figure rose by. So hours go by cells: the sessions of one
discipline in whole months, as many as it takes until there are three. A cell is told whole or not at all, and
which sessions make it up does not depend on what is public. Were it so, a task made public would move hours
from one figure to another, and the difference could be those of one evening. `buildlog meaning declassify`
says what passes.
"""

from __future__ import annotations

import datetime
import itertools
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from buildlog.model.entry import Entry
from buildlog.model.grants import NO_GRANTS, Grants, HoursOf, ReadinessOf
from buildlog.model.log import Log
from buildlog.model.remember import Remember, once
from buildlog.readiness.progress import done_percent, inspections, tasks_towards, whole_percent
from buildlog.reckoning.hours import added, added_by_key
from buildlog.reckoning.latest import last_day
from buildlog.reckoning.order import until
from buildlog.reckoning.reckon import reckon
from buildlog.reckoning.tasks import task_states

SESSIONS = 3
"""The hours of fewer sessions wait until there are as many."""

PEOPLE = 3
"""Fewer people are not counted."""

TASKS = 5
"""The per cent of fewer tasks is not told: it would tell of each."""

INSPECTIONS = 10
"""The per cent of fewer inspections is not told."""

REST = ""
"""The discipline of the hours that are told of none."""


def declassified(log: Log, seen: Log, names: Iterable[str], remember: Remember = once) -> Grants:
    """The aggregates that an edition is granted.

    All is reckoned as of the edition's own day, the latest that it sees: what is hidden and later is left
    out, so that nothing changes by it.

    Args:
        log: the whole log.
        seen: what the audience may know of it, `view` without grants.
        names: the aggregates to let through, as `declassify` names them.
        remember: keeps steps between calls; it is not to be that of a log that is reckoned beside this one.

    Returns:
        Those named, as far as they are coarse enough; none at all where the audience sees no entry.
    """
    named = frozenset(names)
    day = max(map(last_day, seen.entries), default=None)
    if not named or day is None:
        return NO_GRANTS
    complete = [entry for entry in log.entries if _month(entry.date) < _month(day)]
    hours = _hours(complete, log, seen) if "hours" in named else ()
    people = _people(complete) if "people-count" in named else None
    return Grants(
        through=_month_before(day) if hours or people else "",
        hours=hours,
        total=sum(each.hours for each in hours) if hours else None,
        readiness=_readiness(log, seen, day) if "readiness" in named else (),
        inspected_percent=_inspected(log, day, remember) if "inspection-status" in named else None,
        people=people,
    )


def _hours(entries: Sequence[Entry], log: Log, seen: Log) -> tuple[HoursOf, ...]:
    """The hours told of each discipline that the audience sees by name, and of the others together."""
    shown = [task.discipline for task in seen.tasks if task.discipline]
    sums: dict[str, list[Fraction]] = {discipline: [] for discipline in (*shown, REST)}
    for discipline, hours in _told(entries, {task.task: task.discipline for task in log.tasks}).items():
        sums[discipline if discipline in sums else REST].append(hours)
    whole = {discipline: round(added(hours)) for discipline, hours in sums.items()}
    return tuple(HoursOf(discipline=discipline, hours=hours) for discipline, hours in whole.items() if hours)


def _told(entries: Sequence[Entry], disciplines: Mapping[str, str]) -> dict[str, Fraction]:
    """The exact hours of each discipline up to the last end of a month by which there were enough sessions.

    Args:
        entries: those of whole months.
        disciplines: that of each task; work on any other is of none.
    """
    told: dict[str, list[Fraction]] = {}
    waiting: dict[str, list[Fraction]] = {}
    in_order = sorted(entries, key=lambda entry: entry.date)
    for _, month in itertools.groupby(in_order, key=lambda entry: _month(entry.date)):
        for entry in month:
            for discipline, hours in _by_discipline(entry, disciplines).items():
                waiting.setdefault(discipline, []).append(hours)
        for discipline in [each for each, sessions in waiting.items() if len(sessions) >= SESSIONS]:
            told.setdefault(discipline, []).extend(waiting.pop(discipline))
    return {discipline: added(hours) for discipline, hours in told.items()}


def _by_discipline(entry: Entry, disciplines: Mapping[str, str]) -> dict[str, Fraction]:
    """The hours of a session under each discipline, where there are any."""
    lines = ((disciplines.get(line.task, REST), each.hours) for line in entry.work for each in line.hours)
    return {discipline: hours for discipline, hours in added_by_key(lines).items() if hours}


def _people(entries: Iterable[Entry]) -> int | None:
    """How many different people worked; whoever was present, or only signed, did not."""
    worked = {person for entry in entries for person in entry.people}
    for entry in entries:
        for line in entry.work:
            worked.update(line.people, (each.person for each in line.hours if each.person))
    return len(worked) if len(worked) >= PEOPLE else None


def _readiness(log: Log, seen: Log, day: datetime.date) -> tuple[ReadinessOf, ...]:
    named = {task.milestone for task in seen.tasks}
    states = task_states(until(log.entries, day))
    found = []
    for milestone in seen.settings.milestones:
        if milestone.key in named:
            tasks = tasks_towards(milestone.key, log.settings.milestones, log.tasks)
            if len(tasks) >= TASKS:
                percent = done_percent(tasks, states)
                found.append(ReadinessOf(milestone=milestone.title or milestone.key, percent=percent))
    return tuple(found)


def _inspected(log: Log, day: datetime.date, remember: Remember) -> int | None:
    current, asked = inspections(reckon(log, day, remember).items.values())
    return whole_percent(current, asked, whole=current == asked) if asked >= INSPECTIONS else None


def _month(day: datetime.date) -> str:
    return f"{day.year:04d}-{day.month:02d}"


def _month_before(day: datetime.date) -> str:
    year, month = divmod(day.year * 12 + day.month - 2, 12)
    return f"{year:04d}-{month + 1:02d}"

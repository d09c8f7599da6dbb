"""Facts to knowledge, whole, as one pure function.

Called again on every change; `remember` returns what an unchanged step returned before. The steps run on
bundles: a month's entries, an item, a part, a task.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from buildlog.model.entry import Entry
from buildlog.model.lists import Lot, Part, Tool
from buildlog.model.log import Log
from buildlog.model.names import Item, Names, by_number, names_of
from buildlog.model.remember import Remember, once
from buildlog.model.settings import Person
from buildlog.reckoning.events import Appearance, Event, Use, Voiding
from buildlog.reckoning.hours import MonthSums, month_sums, rollups
from buildlog.reckoning.index import Month, index_month, join, standing, voidings
from buildlog.reckoning.knowledge import (
    EntryStory,
    Frame,
    ItemStory,
    Knowledge,
    LotStory,
    PartStory,
    PersonStory,
    Rollup,
    TaskStory,
    ToolStory,
)
from buildlog.reckoning.stories import item_stories
from buildlog.reckoning.tasks import followers, reached, task_story

DAWN = datetime.date(1, 1, 1)
"""The day an empty log stands on."""


def day_of(log: Log) -> datetime.date:
    """The day every answer stands on: the latest date of an entry or record."""
    days = [entry.date for entry in log.entries]
    days.extend(record.date for entry in log.entries for record in entry.records if record.date)
    return max(days, default=DAWN)


def reckon(log: Log, on: datetime.date | None = None, remember: Remember = once) -> Knowledge:
    """Reckon a viewed log.

    Args:
        log: what `view` returned.
        on: the day to stand on; what is later is left out. Without it, the latest day of the log.
        remember: keeps steps between calls.
    """
    day = day_of(log) if on is None else on
    names = remember(names_of, "names", log.parts)
    parts = remember(by_number, "parts", log.parts)
    in_order = sorted(log.entries, key=lambda entry: (entry.date, entry.key))
    entries = tuple(entry for entry in in_order if entry.date <= day)
    months = _months(entries, log, names, day, remember)
    indexes = tuple(months.values())

    tasks = _tasks(log, names, indexes, remember)
    frame = remember(_frame, "frame", log, day, reached(log.settings.milestones, tasks))
    items = item_stories(log, names, parts, indexes, frame, remember)
    hours = _hours(months, log, parts, remember)
    return Knowledge(
        log=log,
        day=day,
        names=names,
        frame=frame,
        items=items,
        parts=_parts(log, parts, items, tasks, hours, remember),
        tasks=tasks,
        people=_people(log, indexes, remember),
        lots=_lots(log, indexes, remember),
        tools=_tools(log, indexes, remember),
        entries=_entries(entries, indexes, remember),
        hours=hours,
        late=tuple(entry for entry in in_order if entry.date > day),
    )


def _months(
    entries: tuple[Entry, ...], log: Log, names: Names, day: datetime.date, remember: Remember
) -> dict[str, Month]:
    by_month: dict[str, list[Entry]] = {}
    for entry in entries:
        by_month.setdefault(f"{entry.date:%Y-%m}", []).append(entry)
    bundles = {month: tuple(each) for month, each in by_month.items()}
    found: list[Voiding] = []
    for month, bundle in bundles.items():
        found.extend(remember(voidings, month, bundle, day))
    struck: dict[str, list[tuple[tuple[str, int], Voiding]]] = {}
    home = {entry.key: month for month, bundle in bundles.items() for entry in bundle} if found else {}
    for key, voiding in sorted(standing(found).items()):
        struck.setdefault(home.get(key[0], ""), []).append((key, voiding))
    # A day later than all of a month's records cuts nothing from it, so a new day spoils no old month.
    return {
        month: remember(
            index_month,
            month,
            bundle,
            names,
            log.settings.harmless,
            tuple(struck.get(month, ())),
            min(day, _last_day(bundle)),
        )
        for month, bundle in bundles.items()
    }


def _last_day(bundle: tuple[Entry, ...]) -> datetime.date:
    days = [entry.date for entry in bundle]
    days.extend(record.date for entry in bundle for record in entry.records if record.date)
    return max(days)


def _frame(log: Log, day: datetime.date, behind: tuple[str, ...]) -> Frame:
    settings = log.settings
    return Frame(
        day=day,
        people={person.key: person for person in settings.people},
        stages={stage.key: stage for stage in settings.stages},
        classes={class_.key: class_ for class_ in settings.classes},
        lots={lot.lot: lot for lot in log.lots},
        tools={tool.tool: tool for tool in log.tools},
        milestones_reached=behind,
    )


def _tasks(log: Log, names: Names, indexes: tuple[Month, ...], remember: Remember) -> dict[str, TaskStory]:
    steps = join(indexes, lambda month: month.steps)
    items = join(indexes, lambda month: month.task_items)
    after = remember(followers, "followers", log.tasks)
    listed = {task.task: task for task in log.tasks}
    unlisted = sorted(key for key in steps if key not in listed)
    return {
        key: remember(
            task_story,
            key,
            key,
            listed.get(key),
            steps.get(key, ()),
            tuple(dict.fromkeys(items.get(key, ()))),
            after.get(key, ()),
            names,
        )
        for key in (*listed, *unlisted)
    }


def _hours(
    months: Mapping[str, Month], log: Log, parts: Mapping[str, Part], remember: Remember
) -> dict[str, Rollup]:
    sums: tuple[MonthSums, ...] = tuple(
        remember(month_sums, month, index.hours) for month, index in months.items()
    )
    return remember(_roll, "hours", sums, parts, log.tasks)


def _roll(sums: tuple[MonthSums, ...], parts: Mapping[str, Part], tasks: Any) -> dict[str, Rollup]:
    return rollups(sums, parts, {task.task: task for task in tasks})


def _parts(
    log: Log,
    parts: Mapping[str, Part],
    items: Mapping[Item, ItemStory],
    tasks: Mapping[str, TaskStory],
    hours: Mapping[str, Rollup],
    remember: Remember,
) -> dict[str, PartStory]:
    by_part: dict[str, list[Item]] = {number: [] for number in parts}
    for item in items:
        by_part.setdefault(item.number, []).append(item)
    below: dict[str, list[str]] = {}
    for part in log.parts:
        below.setdefault(part.parent, []).append(part.number)
    named: dict[str, dict[str, None]] = {}
    for key, task in tasks.items():
        for item in task.items:
            named.setdefault(item.number, {})[key] = None
    own, whole = dict(hours["part"].rows), dict(hours["assembly"].rows)
    return {
        number: remember(
            PartStory,
            number,
            number,
            parts.get(number),
            tuple(each),
            tuple(below.get(number, ())),
            tuple(named.get(number, ())),
            own.get(number, Fraction(0)),
            whole.get(number, Fraction(0)),
        )
        for number, each in by_part.items()
    }


def _people(log: Log, indexes: tuple[Month, ...], remember: Remember) -> dict[str, PersonStory]:
    seen = join(indexes, lambda month: month.appearances)
    inspected = join(indexes, lambda month: month.inspected)
    return {
        person.key: remember(
            _person, person.key, person, seen.get(person.key, ()), inspected.get(person.key, ())
        )
        for person in log.settings.people
    }


def _person(person: Person, seen: tuple[Appearance, ...], inspected: tuple[Event, ...]) -> PersonStory:
    days: dict[datetime.date, Fraction] = {}
    for each in seen:
        if each.hours:
            days[each.moment.day] = days.get(each.moment.day, Fraction(0)) + each.hours
    return PersonStory(
        person=person,
        appearances=tuple(sorted(seen, key=lambda each: each.moment.show)),
        inspected=tuple(sorted(inspected, key=lambda event: event.moment.show)),
        hours=sum(days.values(), Fraction(0)),
        days=tuple(sorted(days.items())),
    )


def _lots(log: Log, indexes: tuple[Month, ...], remember: Remember) -> dict[str, LotStory]:
    uses = join(indexes, lambda month: month.lots)
    listed = {lot.lot: lot for lot in log.lots}
    return {
        key: remember(_lot, key, key, listed.get(key), uses.get(key, ()))
        for key in (*listed, *sorted(key for key in uses if key not in listed))
    }


def _lot(key: str, lot: Lot | None, uses: tuple[Use, ...]) -> LotStory:
    return LotStory(key, lot, tuple(sorted(uses, key=lambda use: use.event.moment.show)))


def _tools(log: Log, indexes: tuple[Month, ...], remember: Remember) -> dict[str, ToolStory]:
    uses = join(indexes, lambda month: month.tools)
    listed = {tool.tool: tool for tool in log.tools}
    return {
        key: remember(_tool, key, key, listed.get(key), uses.get(key, ()))
        for key in (*listed, *sorted(key for key in uses if key not in listed))
    }


def _tool(key: str, tool: Tool | None, uses: tuple[Use, ...]) -> ToolStory:
    return ToolStory(key, tool, tuple(sorted(uses, key=lambda use: use.event.moment.show)))


def _entries(
    entries: tuple[Entry, ...], indexes: tuple[Month, ...], remember: Remember
) -> dict[str, EntryStory]:
    hours = {key: value for index in indexes for key, value in index.entry_hours.items()}
    keys = [entry.key for entry in entries]
    before = ["", *keys[:-1]] if keys else []
    after = [*keys[1:], ""] if keys else []
    return {
        entry.key: remember(EntryStory, entry.key, entry, earlier, later, hours[entry.key])
        for entry, earlier, later in zip(entries, before, after, strict=True)
    }

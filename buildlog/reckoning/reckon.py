"""Facts to knowledge, whole, as one pure function.

Called again on every change; `remember` returns what an unchanged step returned before. The steps run on
bundles: a month's entries, an item, a part, a task.
"""

from __future__ import annotations

import datetime
import itertools
from collections.abc import Mapping
from fractions import Fraction

from buildlog.model.entry import Entry
from buildlog.model.lists import Part, Task, Tool
from buildlog.model.log import Log
from buildlog.model.names import Item, Names, by_number, names_of
from buildlog.model.remember import Remember, once
from buildlog.model.settings import Person
from buildlog.reckoning.drawers import ALL, drawer, filed, joined
from buildlog.reckoning.events import Appearance, Event, Use, Voiding
from buildlog.reckoning.hours import MonthSums, added, month_sums, rollups, year_sums
from buildlog.reckoning.index import NOTHING, Month, index_month, standing, voidings
from buildlog.reckoning.knowledge import (
    EntryStory,
    Frame,
    Knowledge,
    LotStory,
    LotTrouble,
    PartStory,
    PersonStory,
    Rollup,
    ToolStory,
)
from buildlog.reckoning.latest import Alone, alone, two_latest
from buildlog.reckoning.lots import lot_story
from buildlog.reckoning.order import BY_TIME, until
from buildlog.reckoning.stories import item_stories
from buildlog.reckoning.striking import with_authority
from buildlog.reckoning.tasks import TaskDrawer, followers, reached, task_drawer

DAWN = datetime.date(1, 1, 1)
"""The day an empty log stands on."""


def reckon(log: Log, on: datetime.date | None = None, remember: Remember = once) -> Knowledge:
    """Reckon a viewed log.

    Args:
        log: what `view` returned.
        on: the day to stand on; what is later is left out. Without it, the latest day of the log.
        remember: keeps steps between calls.
    """
    bundles = _bundles(log.entries, remember)
    latest = {month: remember(two_latest, month, bundle) for month, bundle in bundles.items()}
    last = {month: found[0].day for month, found in latest.items()}
    day = max(last.values(), default=DAWN) if on is None else on
    names = remember(names_of, "names", log.parts, log.lots)
    parts = remember(by_number, "parts", log.parts)
    by_then = {month: _until(bundle, day) for month, bundle in bundles.items()}
    late = tuple(entry for month, bundle in bundles.items() for entry in bundle[len(by_then[month]) :])
    bundles = {month: bundle for month, bundle in by_then.items() if bundle}
    # A day later than all of a month's records cuts nothing from it, so a new day spoils no old month.
    days = {month: min(day, last[month]) for month in bundles}
    months = _months(bundles, days, log, names, remember)
    indexes = tuple(months.values())

    filed_tasks = _tasks(log, names, indexes, remember)
    tasks = {key: filed_tasks[d].stories[key] for key, d in _task_order(log, filed_tasks)}
    lots = _lots(log, names, indexes, remember)
    troubles = {key: story.troubles for key, story in lots.items() if story.troubles}
    far = alone(each for found in latest.values() for each in found)
    far = far if far is not None and far.day == day else None
    frame = remember(_frame, "frame", log, day, reached(log.settings.milestones, tasks), troubles, far)
    items = item_stories(log, names, parts, indexes, frame, remember)
    hours = _hours(months, log, parts, remember)
    return Knowledge(
        log=log,
        day=day,
        names=names,
        frame=frame,
        items=items,
        parts=_parts(log, parts, tuple(items), filed_tasks, hours, remember),
        tasks=tasks,
        people=_people(log, indexes, remember),
        lots=lots,
        tools=_tools(log, indexes, remember),
        entries=_entries(bundles, months, remember),
        hours=hours,
        late=late,
    )


def _bundles(entries: tuple[Entry, ...], remember: Remember) -> dict[str, tuple[Entry, ...]]:
    """The entries of each month, both in order of time."""
    by_month: dict[tuple[int, int], list[Entry]] = {}
    for entry in entries:
        date = entry.date
        by_month.setdefault((date.year, date.month), []).append(entry)
    keyed = {f"{year:04d}-{month:02d}": tuple(by_month[year, month]) for year, month in sorted(by_month)}
    return {month: remember(_in_order, month, bundle) for month, bundle in keyed.items()}


def _in_order(entries: tuple[Entry, ...]) -> tuple[Entry, ...]:
    return tuple(sorted(entries, key=lambda entry: (entry.date, entry.key)))


def _until(bundle: tuple[Entry, ...], day: datetime.date) -> tuple[Entry, ...]:
    if bundle[-1].date <= day:
        return bundle
    return until(bundle, day)


def _months(
    bundles: Mapping[str, tuple[Entry, ...]],
    days: Mapping[str, datetime.date],
    log: Log,
    names: Names,
    remember: Remember,
) -> dict[str, Month]:
    found: list[Voiding] = []
    for month, bundle in bundles.items():
        found.extend(remember(voidings, month, bundle, days[month]))
    struck: dict[str, list[tuple[tuple[str, int], Voiding]]] = {}
    home = {entry.key: month for month, bundle in bundles.items() for entry in bundle} if found else {}
    judged = with_authority(found, bundles, home, log.settings.people)
    for key, voiding in sorted(standing(judged).items()):
        struck.setdefault(home.get(key[0], ""), []).append((key, voiding))
    return {
        month: remember(
            index_month,
            month,
            bundle,
            names,
            log.settings.harmless,
            tuple(struck.get(month, ())),
            days[month],
            remember,
        )
        for month, bundle in bundles.items()
    }


def _frame(
    log: Log,
    day: datetime.date,
    behind: tuple[str, ...],
    troubles: dict[str, tuple[LotTrouble, ...]],
    far: Alone | None,
) -> Frame:
    settings = log.settings
    needed = {key for milestone in settings.milestones for key in milestone.needs}
    return Frame(
        day=day,
        people={person.key: person for person in settings.people},
        stages={stage.key: stage for stage in settings.stages},
        classes={class_.key: class_ for class_ in settings.classes},
        lots={lot.lot: lot for lot in log.lots},
        lot_troubles=troubles,
        tools={tool.tool: tool for tool in log.tools},
        milestones_reached=behind,
        last_milestones=tuple(m.key for m in settings.milestones if m.key not in needed),
        alone=far,
    )


def _tasks(log: Log, names: Names, indexes: tuple[Month, ...], remember: Remember) -> tuple[TaskDrawer, ...]:
    after = remember(followers, "followers", log.tasks)
    listed = remember(_listed_tasks, "listed tasks", log.tasks)
    return tuple(
        remember(
            task_drawer, d, listed[d], tuple(month.tasks[d] for month in indexes), after, names, remember
        )
        for d in ALL
    )


def _listed_tasks(tasks: tuple[Task, ...]) -> tuple[dict[str, Task], ...]:
    return filed({task.task: task for task in tasks})


def _task_order(log: Log, drawers: tuple[TaskDrawer, ...]) -> list[tuple[str, int]]:
    """Those on the list in its order, then those that only entries name; each with its drawer."""
    listed = {task.task: drawer(task.task) for task in log.tasks}
    strays = [(key, d) for d in ALL for key in drawers[d].stories if key not in listed]
    return [*listed.items(), *sorted(strays)]


def _hours(
    months: Mapping[str, Month], log: Log, parts: Mapping[str, Part], remember: Remember
) -> dict[str, Rollup]:
    years: dict[str, list[MonthSums]] = {}
    for month, index in months.items():
        years.setdefault(month[:4], []).append(remember(month_sums, month, index.hours))
    sums = tuple(remember(year_sums, year, tuple(many)) for year, many in years.items())
    return remember(_roll, "hours", sums, parts, log.tasks)


def _roll(
    sums: tuple[MonthSums, ...], parts: Mapping[str, Part], tasks: tuple[Task, ...]
) -> dict[str, Rollup]:
    return rollups(sums, parts, {task.task: task for task in tasks})


def _parts(
    log: Log,
    parts: Mapping[str, Part],
    items: tuple[Item, ...],
    tasks: tuple[TaskDrawer, ...],
    hours: Mapping[str, Rollup],
    remember: Remember,
) -> dict[str, PartStory]:
    by_part = remember(_by_part, "items of parts", log.parts, items)
    below = remember(_below, "parts below", log.parts)
    named = remember(_named, "tasks of parts", tuple(each.parts for each in tasks), log.tasks)
    return remember(_part_stories, "parts", by_part, parts, below, named, hours, remember)


def _part_stories(
    by_part: Mapping[str, tuple[Item, ...]],
    parts: Mapping[str, Part],
    below: Mapping[str, tuple[str, ...]],
    named: Mapping[str, tuple[str, ...]],
    hours: Mapping[str, Rollup],
    remember: Remember,
) -> dict[str, PartStory]:
    own, whole = dict(hours["part"].rows), dict(hours["assembly"].rows)
    return {
        number: remember(
            PartStory,
            number,
            number,
            parts.get(number),
            items,
            below.get(number, ()),
            named.get(number, ()),
            own.get(number, NOTHING),
            whole.get(number, NOTHING),
        )
        for number, items in by_part.items()
    }


def _by_part(parts: tuple[Part, ...], items: tuple[Item, ...]) -> dict[str, tuple[Item, ...]]:
    found: dict[str, list[Item]] = {part.number: [] for part in parts}
    for item in items:
        found.setdefault(item.number, []).append(item)
    return {number: tuple(each) for number, each in found.items()}


def _below(parts: tuple[Part, ...]) -> dict[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    for part in parts:
        found.setdefault(part.parent, []).append(part.number)
    return {number: tuple(each) for number, each in found.items()}


def _named(
    drawers: tuple[dict[str, tuple[str, ...]], ...], tasks: tuple[Task, ...]
) -> dict[str, tuple[str, ...]]:
    """The tasks of each part: those of the list in its order, then the others."""
    place = {task.task: number for number, task in enumerate(tasks)}
    return {
        number: tuple(sorted(keys, key=lambda key: (place.get(key, len(place)), key)))
        for number, keys in joined(drawers).items()
    }


def _people(log: Log, indexes: tuple[Month, ...], remember: Remember) -> dict[str, PersonStory]:
    shares = [month.people for month in indexes]
    return {
        person.key: remember(
            _person,
            person.key,
            person,
            tuple(share.appearances.get(person.key, ()) for share in shares),
            tuple(share.days.get(person.key, ()) for share in shares),
            tuple(share.inspected.get(person.key, ()) for share in shares),
        )
        for person in log.settings.people
    }


def _person(
    person: Person,
    seen: tuple[tuple[Appearance, ...], ...],
    days: tuple[tuple[tuple[datetime.date, Fraction], ...], ...],
    inspected: tuple[tuple[Event, ...], ...],
) -> PersonStory:
    """Fold a person's months. An appearance is of its entry's day, so months follow on one another."""
    all_days = tuple(itertools.chain.from_iterable(days))
    return PersonStory(
        person=person,
        appearances=tuple(itertools.chain.from_iterable(seen)),
        inspected=tuple(sorted(itertools.chain.from_iterable(inspected), key=BY_TIME)),
        hours=added(hours for _, hours in all_days),
        days=all_days,
    )


def _lots(log: Log, names: Names, indexes: tuple[Month, ...], remember: Remember) -> dict[str, LotStory]:
    shares = [month.stock for month in indexes]
    listed = {lot.lot: lot for lot in log.lots}
    used = {key for share in shares for key in share.lots}
    return {
        key: remember(
            lot_story,
            key,
            key,
            listed.get(key),
            _in_time(tuple(share.lots.get(key, ()) for share in shares)),
            tuple(event for share in shares for event in share.of_lots.get(key, ())),
            names,
            log.settings.stages,
            log.settings.people,
        )
        for key in (*listed, *sorted(used - listed.keys()))
    }


def _tools(log: Log, indexes: tuple[Month, ...], remember: Remember) -> dict[str, ToolStory]:
    shares = [month.stock.tools for month in indexes]
    listed = {tool.tool: tool for tool in log.tools}
    used = {key for share in shares for key in share}
    return {
        key: remember(_tool, key, key, listed.get(key), tuple(share.get(key, ()) for share in shares))
        for key in (*listed, *sorted(used - listed.keys()))
    }


def _tool(key: str, tool: Tool | None, uses: tuple[tuple[Use, ...], ...]) -> ToolStory:
    return ToolStory(key, tool, _in_time(uses))


def _in_time(uses: tuple[tuple[Use, ...], ...]) -> tuple[Use, ...]:
    return tuple(sorted(itertools.chain.from_iterable(uses), key=lambda use: use.event.moment.show))


def _entries(
    bundles: Mapping[str, tuple[Entry, ...]], months: Mapping[str, Month], remember: Remember
) -> dict[str, EntryStory]:
    found: dict[str, EntryStory] = {}
    many = list(bundles.items())
    for at, (month, bundle) in enumerate(many):
        earlier = many[at - 1][1][-1].key if at else ""
        later = many[at + 1][1][0].key if at + 1 < len(many) else ""
        found.update(
            remember(_entry_stories, month, bundle, months[month].entry_hours, earlier, later, remember)
        )
    return found


def _entry_stories(
    bundle: tuple[Entry, ...], hours: Mapping[str, Fraction], earlier: str, later: str, remember: Remember
) -> dict[str, EntryStory]:
    keys = [earlier, *(entry.key for entry in bundle), later]
    return {
        entry.key: remember(EntryStory, entry.key, entry, before, after, hours[entry.key])
        for entry, before, after in zip(bundle, keys, keys[2:], strict=False)
    }

"""What a rule may be about, and how the subjects of each sort are found in the knowledge.

A rule is handed one subject and the frame. What it needs beyond an item's, task's or entry's own story comes
as a small frozen value made here, so that an unchanged subject is known to be unchanged.
"""

from __future__ import annotations

import datetime
import enum
import functools
from collections.abc import Callable, Hashable, Iterator
from typing import Any

import msgspec

from buildlog.model.entry import Entry
from buildlog.model.key import Reads, keys_of
from buildlog.model.lists import Task
from buildlog.model.log import MediaFile
from buildlog.model.names import Item, Names
from buildlog.model.records import Record
from buildlog.model.remember import Remember
from buildlog.model.settings import Milestone
from buildlog.reckoning.events import Event, Labour
from buildlog.reckoning.knowledge import ItemStory, Knowledge, TaskStory
from buildlog.rules.finding import Finding, Rest

Bundle = tuple[Hashable, tuple[Any, ...]]
"""A key and the subjects that are checked together under it."""


class Subject(enum.Enum):
    """The sorts of subject; the value says what the rule is handed."""

    ITEM = "an ItemStory"
    PART = "a PartStory"
    TASK = "a TaskPlace"
    PERSON = "a PersonStory"
    LOT = "a LotStory"
    TOOL = "a ToolStory"
    ENTRY = "an EntryStory"
    WRITTEN = "an Entry, those after the day too"
    MEDIUM = "a MediaUse"
    UNLISTED_PART = "an Unlisted part number"
    UNLISTED_TASK = "an Unlisted task"
    RETURNED = "a Returned: a deferral that has lapsed, with the findings it held back"


class TaskPlace(msgspec.Struct, frozen=True):
    """A task with the stories of the tasks that come before it."""

    story: TaskStory
    before: tuple[TaskStory, ...]


class MediaUse(msgspec.Struct, frozen=True):
    """A media file and every place that refers to it."""

    file: MediaFile
    rests: tuple[Rest, ...]


class Mention(msgspec.Struct, frozen=True):
    """A name met in an entry, as written, and the item it stands for (None for a task).

    Where a list or the settings name it instead, `task` or `milestone` says which.
    """

    text: str
    rest: Rest
    item: Item | None = None
    task: str = ""
    milestone: str = ""


class Unlisted(msgspec.Struct, frozen=True):
    """A part number or task on no list, where it is named, entries first, and the names that are listed."""

    name: str
    mentions: tuple[Mention, ...]
    known: tuple[str, ...]


class Returned(msgspec.Struct, frozen=True):
    """A deferral that has lapsed, and the findings that it held back and that are there again."""

    event: Event
    findings: tuple[Finding, ...]


def bundles(subject: Subject, knowledge: Knowledge, remember: Remember) -> Iterator[Bundle]:
    """The subjects of a sort, in bundles that are checked together."""
    return _BUNDLES[subject](knowledge, remember)


def rest_on(event: Event) -> Rest:
    """An event as something that a finding rests on."""
    return Rest(event.entry, "record", event.place, event.moment.day, event.record.where)


def rest_on_work(work: Labour) -> Rest:
    """A work line as something that a finding rests on."""
    return Rest(work.entry, "work", work.line, work.moment.day, work.where)


def _items(knowledge: Knowledge, _: Remember) -> Iterator[Bundle]:
    """A part's items together: far fewer bundles than items."""
    for number, part in knowledge.parts.items():
        yield number, tuple(knowledge.items[item] for item in part.items)


def _one_by_one(field: str) -> Callable[[Knowledge, Remember], Iterator[Bundle]]:
    def stories(knowledge: Knowledge, _: Remember) -> Iterator[Bundle]:
        for key, story in getattr(knowledge, field).items():
            yield key, (story,)

    return stories


def _tasks(knowledge: Knowledge, _: Remember) -> Iterator[Bundle]:
    for key, story in knowledge.tasks.items():
        before = tuple(knowledge.tasks[each] for each in story.before_it if each in knowledge.tasks)
        yield key, (TaskPlace(story, before),)


def _entries(knowledge: Knowledge, _: Remember) -> Iterator[Bundle]:
    months: dict[Hashable, list[object]] = {}
    for story in knowledge.entries.values():
        months.setdefault((story.entry.date.year, story.entry.date.month), []).append(story)
    for month, stories in months.items():
        yield month, tuple(stories)


def _written(knowledge: Knowledge, _: Remember) -> Iterator[Bundle]:
    yield from _by_month(knowledge.log.entries)


def _by_month(entries: tuple[Entry, ...]) -> Iterator[tuple[Hashable, tuple[Entry, ...]]]:
    months: dict[Hashable, list[Entry]] = {}
    for entry in entries:
        months.setdefault((entry.date.year, entry.date.month), []).append(entry)
    for month, each in months.items():
        yield month, tuple(each)


def _media(knowledge: Knowledge, remember: Remember) -> Iterator[Bundle]:
    """The files with a problem. Who refers to them is looked up only where there are any."""
    broken = [file for file in knowledge.log.media if file.problem]
    if not broken:
        return
    uses: dict[str, list[Rest]] = {}
    seen = tuple(story.entry for story in knowledge.entries.values())
    for month, entries in _by_month(seen):
        for file, rests in remember(media_uses, month, entries).items():
            uses.setdefault(file, []).extend(rests)
    for medium in broken:
        if medium.file in uses:
            yield medium.file, (MediaUse(medium, tuple(uses[medium.file])),)


def media_uses(entries: tuple[Entry, ...]) -> dict[str, tuple[Rest, ...]]:
    """Where these entries refer to each media file: in `media`, and in the `document` of records."""
    found: dict[str, list[Rest]] = {}
    for entry in entries:
        for place, medium in enumerate(entry.media, start=1):
            rest = Rest(entry.key, "medium", place, entry.date, medium.where)
            found.setdefault(medium.file, []).append(rest)
        for place, record in enumerate(entry.records, start=1):
            for file in record.document:
                rest = Rest(entry.key, "record", place, record.date or entry.date, record.where)
                found.setdefault(file, []).append(rest)
    return {file: tuple(rests) for file, rests in found.items()}


def _unlisted_parts(knowledge: Knowledge, remember: Remember) -> Iterator[Bundle]:
    known = remember(listed_parts, "parts", knowledge.names)
    found: dict[str, list[Mention]] = {}
    for number, stories in _items(knowledge, remember):
        for mention in remember(unlisted_names, number, stories, knowledge.names):
            if mention.item is not None:
                found.setdefault(mention.item.number, []).append(mention)
    settings = knowledge.log.settings
    in_lists = remember(named_in_lists, "lists", knowledge.log.tasks, settings.milestones, knowledge.names)
    for mention in in_lists:
        if mention.item is not None:
            found.setdefault(mention.item.number, []).append(mention)
    for name, mentions in found.items():
        ordered = sorted(mentions, key=lambda each: _by_place(each.rest))
        yield name, (Unlisted(name, tuple(ordered), known),)


def _by_place(rest: Rest) -> tuple[object, ...]:
    return (
        rest.day or datetime.date.max,
        rest.entry,
        rest.sort != "work",
        rest.sort != "record",
        rest.place,
        rest.where.line,
    )


def named_in_lists(
    tasks: tuple[Task, ...], milestones: tuple[Milestone, ...], names: Names
) -> tuple[Mention, ...]:
    """Every part on no list that tasks.csv gives as what a task is about, or a milestone needs."""
    found: list[Mention] = []
    for task in tasks:
        for text in task.parts:
            named = names.of(text)
            if not named.listed:
                found.append(
                    Mention(text, Rest("", "list", where=task.where), named.items[0], task=task.task)
                )
    for milestone in milestones:
        for text in milestone.items:
            named = names.of(text)
            if not named.listed:
                rest = Rest("", "list", where=milestone.where)
                found.append(Mention(text, rest, named.items[0], milestone=milestone.key))
    return tuple(dict.fromkeys(found))


def listed_parts(names: Names) -> tuple[str, ...]:
    """The part numbers on the list."""
    return tuple(names.items)


def listed_tasks(tasks: tuple[Task, ...]) -> tuple[str, ...]:
    """The tasks on the list."""
    return tuple(task.task for task in tasks)


def unlisted_names(stories: tuple[ItemStory, ...], names: Names) -> tuple[Mention, ...]:
    """Every place in these items' histories that names a part on no list; struck records apart.

    Voidings and deferrals are about records and findings: naming a wrong number to put it right is no fault.
    """
    found: list[Mention] = []
    for story in stories:
        listed = story.item.number in names.items
        for text, rest in _named_elsewhere(story) if listed else _named_anywhere(story):
            named = names.of(text)
            if not named.listed:
                found.append(Mention(text, rest, named.items[0]))
    return tuple(dict.fromkeys(found))


def _named_anywhere(story: ItemStory) -> Iterator[tuple[str, Rest]]:
    """Where an item's own history names it, and other parts or items."""
    name = str(story.item)
    for event in _telling(story):
        yield name, rest_on(event)
    for work in story.chronicle.labour:
        yield name, rest_on_work(work)
    for shown in story.shown:
        if shown.medium.shows:
            yield name, Rest(shown.entry, "medium", 0, shown.moment.day, shown.medium.where)
    yield from _named_elsewhere(story)


def _named_elsewhere(story: ItemStory) -> Iterator[tuple[str, Rest]]:
    """Where an item's records name other parts or items: what it sits on, what it hides."""
    for event in _telling(story):
        for field in other_names(type(event.record)):
            value = getattr(event.record, field)
            for text in (value,) if isinstance(value, str) else value:
                if text:
                    yield text, rest_on(event)


def _telling(story: ItemStory) -> Iterator[Event]:
    for event in story.chronicle.events:
        if not event.struck and event.kind not in ("voided", "deferred"):
            yield event


@functools.cache
def other_names(kind: type[Record]) -> tuple[str, ...]:
    """The keys of a kind of record that name parts or items, beside those it is about."""
    naming = (Reads.ITEM, Reads.ITEMS, Reads.ITEMS_ONE_BY_ONE, Reads.PART, Reads.PARTS)
    return tuple(field for field, key in keys_of(kind).items() if key.reads in naming and field != "of")


def _unlisted_tasks(knowledge: Knowledge, remember: Remember) -> Iterator[Bundle]:
    known = remember(listed_tasks, "tasks", knowledge.log.tasks)
    for key, story in knowledge.tasks.items():
        if story.task is None:
            rests = (
                Rest(step.entry, "work" if step.line else "entry", step.line, step.moment.day, step.where)
                for step in story.steps
            )
            yield key, (Unlisted(key, tuple(Mention(key, rest) for rest in rests), known),)


_BUNDLES: dict[Subject, Callable[[Knowledge, Remember], Iterator[Bundle]]] = {
    Subject.ITEM: _items,
    Subject.PART: _one_by_one("parts"),
    Subject.TASK: _tasks,
    Subject.PERSON: _one_by_one("people"),
    Subject.LOT: _one_by_one("lots"),
    Subject.TOOL: _one_by_one("tools"),
    Subject.ENTRY: _entries,
    Subject.WRITTEN: _written,
    Subject.MEDIUM: _media,
    Subject.UNLISTED_PART: _unlisted_parts,
    Subject.UNLISTED_TASK: _unlisted_tasks,
    Subject.RETURNED: lambda _knowledge, _remember: iter(()),
}

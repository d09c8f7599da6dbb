"""The parts and tasks of the public edition: what each is, and the entries and pictures that speak of it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

import msgspec

from buildlog.model.entry import Entry, Medium
from buildlog.model.lists import Part, PartNote, Task
from buildlog.model.log import Log, MediaFile
from buildlog.model.targets import targets
from buildlog.pages import address
from buildlog.pages.frame import Detail, Link, Page
from buildlog.pages.gather import some
from buildlog.pages.parts import indented
from buildlog.pages.plates import files_of, prose_of
from buildlog.pages.public.sheets import PartSheet, PartsSheet, TaskSheet, TasksSheet
from buildlog.pages.public.told import PublicGuide, in_runs, numbers_of, picture, piece, tasks_of
from buildlog.pages.register import Names, Subject
from buildlog.pages.sheets import PartLine

Spoken = Mapping[Subject, tuple[Entry, ...]]
"""The entries that speak of a part or task, in prose, in a work line or with a picture."""


class PartBundle(msgspec.Struct, frozen=True):
    """All that the page of a part shows, beside the guide.

    `entries` speak of it, `shown` are the pictures that show it with the entry of each.
    """

    part: Part
    parent: Part | None
    below: tuple[Part, ...]
    entries: tuple[Entry, ...]
    shown: tuple[tuple[Entry, Medium], ...]
    media: dict[str, MediaFile]
    titles: dict[str, str]
    note: PartNote | None = None
    named: Names = ()


class TaskBundle(msgspec.Struct, frozen=True):
    """All that the page of a task shows, beside the guide."""

    task: Task
    entries: tuple[Entry, ...]
    media: dict[str, MediaFile]


def spoken_in(
    guide: PublicGuide, entries: Iterable[Entry], named: Mapping[str, tuple[Subject, ...]]
) -> Spoken:
    """The entries that speak of each part and task, in order.

    Args:
        guide: the edition's names.
        entries: the entries in order.
        named: what the prose of each speaks of, by its key.
    """
    found: dict[Subject, dict[str, Entry]] = {}
    for entry in entries:
        subjects = [("part", number) for number in numbers_of(guide, entry)]
        subjects += [("task", key) for key in tasks_of(entry)]
        for subject in (*subjects, *named[entry.key]):
            found.setdefault(subject, {})[entry.key] = entry
    return {subject: tuple(each.values()) for subject, each in found.items()}


def part_bundles(
    log: Log,
    guide: PublicGuide,
    spoken: Spoken,
    titles: Mapping[str, str],
    notes: Mapping[str, tuple[PartNote, Names]],
) -> Iterator[PartBundle]:
    """The bundles of parts, in the order of the list."""
    parts = {part.number: part for part in log.parts}
    below: dict[str, list[Part]] = {}
    for part in log.parts:
        if part.parent:
            below.setdefault(part.parent, []).append(part)
    media = {each.file: each for each in log.media}
    shown: dict[str, list[tuple[Entry, Medium]]] = {}
    for entry in log.entries:
        for medium in entry.media:
            for number in dict.fromkeys(guide.names.of(name).number for name in medium.shows):
                shown.setdefault(number, []).append((entry, medium))
    for number, part in parts.items():
        note, named = notes.get(number, (None, ()))
        entries = spoken.get(("part", number), ())
        pictures = tuple(shown.get(number, ()))
        body = note.body if note else ""
        files = {medium.file for entry in entries for medium in entry.media} | files_of(body)
        yield PartBundle(
            part=part,
            parent=parts.get(part.parent),
            below=tuple(below.get(number, ())),
            entries=entries,
            shown=pictures,
            media=some(media, files | {medium.file for _, medium in pictures}),
            titles=some(titles, {target.rpartition("/")[2].removesuffix(".md") for target in targets(body)}),
            note=note,
            named=named,
        )


def draw_part(guide: PublicGuide, bundle: PartBundle) -> Page:
    """The page of a part."""
    part = bundle.part
    at = address.of_part(part.number)
    photos = tuple(picture(guide, entry, medium, bundle.media) for entry, medium in reversed(bundle.shown))
    told = (("System (ATA)", part.system), ("Items", in_runs(part.items)))
    note = bundle.note
    sheet = PartSheet(
        block=guide.sheet(at, f"{part.number} {part.name}".rstrip()),
        card=guide.card(
            at,
            about=f"{part.name}, {guide.project}",
            photo=next((each for each in photos if each.sizes), None),
        ),
        number=part.number,
        name=part.name,
        facts=tuple(Detail(label, (Link(text),)) for label, text in told if text),
        note=prose_of(guide, note.body, dict(bundle.named), bundle.titles, bundle.media) if note else None,
        parent=guide.part(bundle.parent.number) if bundle.parent else None,
        below=tuple(guide.part(each.number) for each in bundle.below),
        pieces=tuple(piece(guide, entry, bundle.media) for entry in reversed(bundle.entries)),
        photos=photos,
    )
    return Page(at, "public/part.html", sheet)


def draw_parts(guide: PublicGuide, parts: tuple[Part, ...]) -> Page:
    """The parts as a tree, in the order of the list."""
    at = "parts/index.html"
    below: dict[str, tuple[str, ...]] = {}
    for part in parts:
        if part.parent:
            below[part.parent] = (*below.get(part.parent, ()), part.number)
    lines = [PartLine(part=Link(part.number), name="") for part in parts]
    top = tuple(part.number for part in parts if not part.parent)
    tree = indented(tuple(lines), top, below)
    sheet = PartsSheet(block=guide.sheet(at, "Parts"), card=guide.card(at), lines=_called(guide, tree))
    return Page(at, "public/parts.html", sheet)


def _called(guide: PublicGuide, tree: Iterable[PartLine]) -> tuple[PartLine, ...]:
    """The lines of a tree by what each part is called, its number behind that."""
    return tuple(
        msgspec.structs.replace(
            line, part=guide.part(line.part.text), name=line.part.text if guide.parts[line.part.text] else ""
        )
        for line in tree
    )


def task_bundles(log: Log, spoken: Spoken) -> Iterator[TaskBundle]:
    """The bundles of tasks, in the order of the list."""
    media = {each.file: each for each in log.media}
    for task in log.tasks:
        entries = spoken.get(("task", task.task), ())
        files = {medium.file for entry in entries for medium in entry.media}
        yield TaskBundle(task, entries, some(media, files))


def draw_task(guide: PublicGuide, bundle: TaskBundle) -> Page:
    """The page of a task."""
    task = bundle.task
    at = address.of_task(task.task)
    told = (
        ("Discipline", task.discipline),
        ("Towards", guide.milestones.get(task.milestone, "")),
    )
    sheet = TaskSheet(
        block=guide.sheet(at, f"{task.task} {task.title}"),
        card=guide.card(at, about=f"{task.title}, {guide.project}"),
        task=task.task,
        title=task.title,
        facts=tuple(Detail(label, (Link(text),)) for label, text in told if text),
        pieces=tuple(piece(guide, entry, bundle.media) for entry in reversed(bundle.entries)),
    )
    return Page(at, "public/task.html", sheet)


def draw_tasks(guide: PublicGuide, tasks: tuple[tuple[Task, str], ...]) -> Page:
    """The tasks by milestone, each with the day it was last told of; the state of none is said."""
    at = "tasks/index.html"
    groups: dict[str, list[tuple[Link, str, str, str]]] = {key: [] for key in guide.milestones}
    for task, day in tasks:
        key = task.milestone if task.milestone in guide.milestones else ""
        groups.setdefault(key, []).append((guide.task(task.task), task.task, task.discipline, day))
    none = groups.pop("", [])
    told = [(guide.milestones[key], tuple(each)) for key, each in groups.items() if each]
    if none:
        told.append(("Further tasks" if told else "All tasks", tuple(none)))
    sheet = TasksSheet(block=guide.sheet(at, "Tasks"), card=guide.card(at), milestones=tuple(told))
    return Page(at, "public/tasks.html", sheet)

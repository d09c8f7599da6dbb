"""What the public edition carries for other programs: feeds, a map of its pages, and its data."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from typing import Any

import msgspec

from buildlog.model.entry import Entry
from buildlog.model.lists import Part, Task
from buildlog.model.log import Log, MediaFile
from buildlog.model.prose import texts_of
from buildlog.pages import address
from buildlog.pages.cells import table
from buildlog.pages.data import raw
from buildlog.pages.entries import called
from buildlog.pages.feed import NEWEST, SPACE
from buildlog.pages.frame import Page
from buildlog.pages.public.sheets import JsonFeedEntry, JsonFeedSheet, SitemapSheet
from buildlog.pages.public.told import PublicGuide

FILES = (
    ("feed.xml", "The latest entries as an Atom feed (RFC 4287)."),
    ("feed.json", "The same as JSON Feed 1.1."),
    ("data/log.json", "All entries, as plain text, parts and tasks that stand on these pages."),
    ("data/entries.csv", "The entries: day, title, people, tasks and parts."),
    ("data/parts.csv", "The parts."),
    ("data/tasks.csv", "The tasks."),
)
"""What there is beside pages, with what it is."""


def draw_json_feed(guide: PublicGuide, entries: tuple[Entry, ...], media: dict[str, MediaFile]) -> Page:
    """The JSON feed of entries in the order of the log, the latest last."""
    own = uuid.uuid5(SPACE, guide.project)
    told = tuple(_feed_entry(guide, own, each, media) for each in entries[: -NEWEST - 1 : -1])
    return Page("feed.json", "public/feed.json", JsonFeedSheet(
        title=guide.project, about=guide.about, base=guide.base, entries=told
    ))  # fmt: skip


def _feed_entry(
    guide: PublicGuide, own: uuid.UUID, entry: Entry, media: dict[str, MediaFile]
) -> JsonFeedEntry:
    size = next(
        (media[each.file].renditions[-1] for each in entry.media if media[each.file].renditions), None
    )
    return JsonFeedEntry(
        id=uuid.uuid5(own, entry.key).urn,
        title=called(entry),
        url=f"{guide.base}{address.of_entry(entry.key)}" if guide.base else "",
        day=entry.date.isoformat(),
        body=entry.body,
        image=f"{guide.base}media/{size.name}" if guide.base and size else "",
        people=entry.people,
    )


def draw_sitemap(guide: PublicGuide, pages: tuple[tuple[str, str], ...]) -> Page:
    """The map of the pages, each with its day or none (sitemaps.org, protocol 0.9)."""
    told = tuple((f"{guide.base}{'' if at == 'index.html' else at}", day) for at, day in pages)
    return Page("sitemap.xml", "public/sitemap.xml", SitemapSheet(pages=told))


def draw_json(log: Log, day: str) -> Page:
    """All that is told, as JSON."""
    media = {each.file: each for each in log.media}
    told = {
        "format": 1,
        "title": log.settings.title,
        "about": log.settings.about,
        "day": day,
        "parts": [_part(part) for part in log.parts],
        "tasks": [_task(task) for task in log.tasks],
        "entries": [_entry(entry, media) for entry in log.entries],
    }
    return raw("data/log.json", msgspec.json.encode(told), b"\n")


def _written(**told: Any) -> dict[str, Any]:
    """What was written of a fact, and nothing that was not."""
    return {key: value for key, value in told.items() if value}


def _part(part: Part) -> dict[str, Any]:
    return _written(
        number=part.number, name=part.name, items=part.items, parent=part.parent, system=part.system
    )


def _task(task: Task) -> dict[str, Any]:
    return _written(task=task.task, title=task.title, discipline=task.discipline, milestone=task.milestone)


def _entry(entry: Entry, media: Mapping[str, MediaFile]) -> dict[str, Any]:
    return _written(
        page=address.of_entry(entry.key),
        date=entry.date.isoformat(),
        title=called(entry),
        people=entry.people,
        present=entry.present,
        work=[_written(task=line.task, parts=[share.name for share in line.parts]) for line in entry.work],
        media=[
            _written(files=_addresses(media[each.file]), shows=each.shows, caption=each.caption)
            for each in entry.media
        ],
        # its text and not its Markdown, in which files are called as the camera called them
        prose="\n\n".join(text.rstrip("\n") for text, _ in texts_of(entry.body)),
    )


def _addresses(medium: MediaFile) -> list[str]:
    names = [each.name for each in medium.renditions] or [medium.cleaned]
    return [f"media/{name}" for name in names]


def draw_entries_table(entries: tuple[Entry, ...]) -> Page:
    """The entries as CSV; lists in a cell are separated by `|`."""
    rows = [("date", "title", "people", "tasks", "parts", "page")]
    for entry in entries:
        tasks = dict.fromkeys(line.task for line in entry.work if line.task)
        parts = dict.fromkeys(share.name for line in entry.work for share in line.parts)
        rows.append(
            (
                entry.date.isoformat(),
                called(entry),
                "|".join(entry.people),
                "|".join(tasks),
                "|".join(parts),
                address.of_entry(entry.key),
            )
        )
    return raw("data/entries.csv", table(rows))


def draw_parts_table(parts: tuple[Part, ...]) -> Page:
    """The parts as CSV."""
    rows = [("number", "name", "items", "parent", "system")]
    rows += [(each.number, each.name, "|".join(each.items), each.parent, each.system) for each in parts]
    return raw("data/parts.csv", table(rows))


def draw_tasks_table(tasks: tuple[Task, ...]) -> Page:
    """The tasks as CSV."""
    rows = [("task", "title", "discipline", "milestone")]
    rows += [(each.task, each.title, each.discipline, each.milestone) for each in tasks]
    return raw("data/tasks.csv", table(rows))

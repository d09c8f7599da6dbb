"""Which pages the public edition has, and what each shows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from buildlog.model.entry import Entry, Medium
from buildlog.model.grants import Grants
from buildlog.model.lists import Part
from buildlog.model.log import Log, MediaFile
from buildlog.model.remember import Remember, once
from buildlog.pages import address
from buildlog.pages.feed import NEWEST, draw_feed
from buildlog.pages.gather import cited_by, some, titles_of
from buildlog.pages.public import files, front, things
from buildlog.pages.public.entries import draw_month, draw_months, month_bundles, months_of
from buildlog.pages.public.told import PublicGuide, public_guide, register_of
from buildlog.pages.register import Names, Register, Subject, named_in
from buildlog.pages.site import Bundle


class _Told(NamedTuple):
    """What all pages are gathered from."""

    log: Log
    guide: PublicGuide
    register: Register
    months: Mapping[str, tuple[Entry, ...]]
    named: Mapping[str, tuple[Names, ...]]
    media: Mapping[str, MediaFile]
    titles: dict[str, str]


def lay_out_public(log: Log, remember: Remember = once) -> tuple[Bundle, ...]:
    """Every page of the public edition, each in one bundle, the addresses all different.

    Args:
        log: what the door let through to the public, with what was granted.
        remember: keeps steps between calls.
    """
    guide = remember(public_guide, "guide", log)
    register = remember(register_of, "register", guide.names, tuple(task.task for task in log.tasks))
    months = months_of(log.entries)
    bodies = {month: tuple(entry.body for entry in each) for month, each in months.items()}
    told = _Told(
        log=log,
        guide=guide,
        register=register,
        months=months,
        named={month: remember(named_in, month, register, each) for month, each in bodies.items()},
        media={each.file: each for each in log.media},
        titles=titles_of(log.entries),
    )
    return (*_entries(told), *_things(told, remember), *_whole(told), *_files(told))


def _entries(told: _Told) -> Iterator[Bundle]:
    cited = cited_by(told.log.entries, told.titles)
    for each in month_bundles(told.months, told.named, told.titles, cited, told.media):
        yield Bundle(draw_month, each.month, (told.guide, each))
    if told.months:
        counts = tuple((month, len(each)) for month, each in told.months.items())
        yield Bundle(draw_months, "months", (told.guide, counts))


def _things(told: _Told, remember: Remember) -> Iterator[Bundle]:
    log, guide = told.log, told.guide
    spoken = things.spoken_in(guide, log.entries, _subjects(told))
    notes = tuple(note for note in log.notes if note.number in guide.names.items)
    in_notes = remember(named_in, "notes", told.register, tuple(note.body for note in notes))
    by_number = {note.number: (note, names) for note, names in zip(notes, in_notes, strict=True)}
    for part in things.part_bundles(log, guide, spoken, told.titles, by_number):
        yield Bundle(things.draw_part, part.part.number, (guide, part))
    if log.parts:
        yield Bundle(things.draw_parts, "parts", (guide, log.parts))
    for task in things.task_bundles(log, spoken):
        yield Bundle(things.draw_task, task.task.task, (guide, task))
    if log.tasks:
        last = tuple((task, _last(spoken.get(("task", task.task), ()))) for task in log.tasks)
        yield Bundle(things.draw_tasks, "tasks", (guide, last))


def _last(entries: tuple[Entry, ...]) -> str:
    return entries[-1].date.isoformat() if entries else ""


def _subjects(told: _Told) -> dict[str, tuple[Subject, ...]]:
    """What the prose of each entry speaks of."""
    found = {}
    for month, entries in told.months.items():
        for entry, names in zip(entries, told.named[month], strict=True):
            found[entry.key] = tuple(subject for name, _ in names for subject in told.register.subjects[name])
    return found


def _whole(told: _Told) -> Iterator[Bundle]:
    """The pages that tell of the whole."""
    log, guide = told.log, told.guide
    pictures = [(entry, medium) for entry in log.entries for medium in entry.media]
    latest = log.entries[-front.LATEST :]
    photos = [each for each in reversed(pictures) if told.media[each[1].file].renditions]
    hero = _hero(told, photos)
    strip = tuple(each for each in photos if each[0] not in latest and each != hero)[: front.STRIP]
    first = log.entries[0] if len(log.entries) > front.LATEST else None
    shown = [*latest, *([first] if first else [])]
    wanted = {medium.file for entry in shown for medium in entry.media}
    wanted |= {each[1].file for each in (*strip, *([hero] if hero else []))}
    yield Bundle(
        front.draw_front,
        "front",
        (
            guide,
            front.Front(
                latest=latest,
                first=first,
                hero=hero,
                pictures=strip,
                media=some(told.media, wanted),
                parts=_main_parts(log.parts),
                grants=log.grants,
            ),
        ),
    )
    years = _years(log)
    for year in years:
        own = tuple(each for each in pictures if f"{each[0].date.year:04d}" == year)
        media = some(told.media, {medium.file for _, medium in own})
        yield Bundle(front.draw_year, year, (guide, front.Year(year, years, own, media)))
    if log.grants != Grants():
        yield Bundle(front.draw_progress, "progress", (guide, log.grants))
    yield Bundle(front.draw_lost, "lost", (guide,))


def _hero(told: _Told, photos: Sequence[tuple[Entry, Medium]]) -> tuple[Entry, Medium] | None:
    """The picture at the head of the first page, of those with the newest first.

    It is the newest that shows the whole, else the newest that is not upright, else the newest there is.
    """
    above = {part.parent for part in told.log.parts}
    whole = {part.number for part in told.log.parts if not part.parent} & above
    of_whole = (
        each for each in photos if any(told.guide.names.of(name).number in whole for name in each[1].shows)
    )
    sizes = ((each, told.media[each[1].file].renditions[-1]) for each in photos)
    lying = (each for each, size in sizes if size.width >= size.height)
    return next(of_whole, None) or next(lying, None) or next(iter(photos), None)


def _years(log: Log) -> tuple[str, ...]:
    """The years that have pictures, in order."""
    return tuple(dict.fromkeys(f"{entry.date.year:04d}" for entry in log.entries if entry.media))


def _main_parts(parts: tuple[Part, ...]) -> tuple[Part, ...]:
    """The parts at the top of the list and those right below them, as far as these consist of others."""
    above = {part.parent for part in parts}
    top = {part.number for part in parts if not part.parent}
    main = above & (top | {part.number for part in parts if part.parent in top})
    return tuple(part for part in parts if part.number in main)


def _files(told: _Told) -> Iterator[Bundle]:
    log, guide = told.log, told.guide
    newest = log.entries[-NEWEST:]
    media = some(told.media, {medium.file for entry in newest for medium in entry.media})
    day = _last(log.entries)
    yield Bundle(draw_feed, "feed", (guide, newest, guide.base))
    yield Bundle(files.draw_json_feed, "json feed", (guide, newest, media))
    yield Bundle(files.draw_json, "log.json", (log, day))
    yield Bundle(files.draw_entries_table, "entries.csv", (log.entries,))
    yield Bundle(files.draw_parts_table, "parts.csv", (log.parts,))
    yield Bundle(files.draw_tasks_table, "tasks.csv", (log.tasks,))
    yield Bundle(front.draw_files, "files", (guide, files.FILES))
    if guide.base:
        yield Bundle(files.draw_sitemap, "sitemap", (guide, tuple(_pages(told))))


def _pages(told: _Told) -> Iterator[tuple[str, str]]:
    """Every page with the day of its entry, where it is of one."""
    log = told.log
    yield "index.html", _last(log.entries)
    for link in told.guide.sheets:
        yield link.to, ""
    for month, entries in told.months.items():
        yield address.of_month(month), _last(entries)
        for entry in entries:
            yield address.of_entry(entry.key), entry.date.isoformat()
    years = _years(log)
    for year in years[:-1]:
        yield front.year_page(year, years), ""
    for part in log.parts:
        yield address.of_part(part.number), ""
    for task in log.tasks:
        yield address.of_task(task.task), ""

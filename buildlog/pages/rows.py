"""Records and work lines as rows: every key that a record declares is shown, so a new one is by itself."""

from __future__ import annotations

import datetime
import functools
from collections.abc import Callable, Iterable, Mapping
from fractions import Fraction
from typing import Any

import msgspec

from buildlog.model.entry import WorkLine
from buildlog.model.key import Reads, keys_of, written
from buildlog.model.log import MediaFile
from buildlog.model.records import Record, Voided, kind_of
from buildlog.pages import guide as to
from buildlog.pages.frame import Detail, Link, Row, Struck
from buildlog.pages.guide import Guide
from buildlog.pages.words import clock, hours, result
from buildlog.reckoning.events import Event, Labour, Voiding

Titles = Mapping[str, str]
"""The titles of the entries that a bundle links to, by key."""

Media = Mapping[str, MediaFile]
"""The files that a bundle shows or links to, by name."""

_APART = ("of", "date", "time", "by", "where", "result", "record")
_NAMES = (Reads.ITEM, Reads.ITEMS, Reads.ITEMS_ONE_BY_ONE, Reads.PART, Reads.PARTS)

_OF_GUIDE = {
    Reads.PERSON: "person",
    Reads.PEOPLE: "person",
    Reads.RULE: "rule",
    Reads.STAGE: "stage",
    Reads.STAGES: "stage",
    Reads.MILESTONE: "milestone",
    Reads.UNTIL: "milestone",
}
_OF_KEY = {Reads.LOTS: to.lot, Reads.TOOL: to.tool}

_POINTED = {
    ("installed", "on"): "Installed on it",
    ("removed", "from_"): "Removed from it",
    ("closed", "hides"): "Hidden by a closing",
    ("closed", "except_"): "Left in sight by a closing",
    ("reidentified", "as_"): "Goes on under this name",
}
"""How a record reads on the page of an item that one of its keys names."""


class Pointed(msgspec.Struct, frozen=True):
    """A record about another item that names this one: in which key."""

    key: str
    event: Event


@functools.cache
def _fields(kind: type[Record]) -> tuple[tuple[str, str, Reads], ...]:
    """The keys of a kind that are shown as particulars: its own first, then those of every kind."""
    keys = keys_of(kind)
    general = keys_of(Record)
    order = [name for name in keys if name not in general] + [name for name in keys if name in general]
    return tuple(
        (name, written(name).replace("_", "-"), keys[name].reads) for name in order if name not in _APART
    )


@functools.cache
def pointing(kind: type[Record]) -> tuple[str, ...]:
    """The keys of a kind, beside `of`, that name items."""
    return tuple(name for name, key in keys_of(kind).items() if name != "of" and key.reads in _NAMES)


def particulars(guide: Guide, record: Record, titles: Titles, media: Media) -> tuple[Detail, ...]:
    """What a record says beside what, when and by whom."""
    found = []
    for name, label, reads in _fields(type(record)):
        value = getattr(record, name)
        if not value:
            continue
        if reads is Reads.ENTRY and isinstance(record, Voided):
            text = f"{titles.get(value) or value}, record {record.record}"
            links: tuple[Link, ...] = (
                (to.entry(value, text, f"r{record.record}"),) if value in titles else (Link(text),)
            )
        else:
            values = value if isinstance(value, tuple) else (value,)
            links = tuple(_leads(guide, reads, media)(each) for each in values)
        found.append(Detail(label, links))
    return tuple(found)


def _leads(guide: Guide, reads: Reads, media: Media) -> Callable[[Any], Link]:
    """What makes a link of a value that is read so."""
    if reads in _NAMES:
        return guide.name
    if reads is Reads.MEDIUM:
        return lambda file: document(file, media)
    if reads in _OF_GUIDE:
        return getattr(guide, _OF_GUIDE[reads])  # type: ignore[no-any-return]
    return _OF_KEY.get(reads, _as_text)


def _as_text(value: Any) -> Link:
    return Link(value.isoformat() if isinstance(value, datetime.date) else str(value))


def document(file: str, media: Media) -> Link:
    """Lead the name of a file to its copy or its largest size; one that cannot be shown is only named."""
    known = media.get(file)
    if known is None or known.problem:
        return Link(file)
    name = known.copy or (known.renditions[-1].name if known.renditions else "")
    return Link(file, f"media/{name}" if name else "")


def called(kind: str) -> str:
    """The word for a kind of record or work, as the head of a row."""
    return kind[:1].upper() + kind[1:].replace("_", " ")


def event_row(guide: Guide, event: Event, titles: Titles, media: Media, *, of: bool = False) -> Row:
    """A record as a row of a history; with `of`, its item is named."""
    title = titles.get(event.entry, event.entry)
    return Row(
        kind=called(event.kind),
        day=event.moment.day.isoformat(),
        time=clock(event.moment.minute),
        of=(to.item(event.item),) if of else (),
        people=guide.folk(event.people),
        details=particulars(guide, event.record, titles, media),
        stamp=result(getattr(event.record, "result", "")),
        struck=struck(event.struck, titles),
        source=to.entry(event.entry, title, f"r{event.place}"),
    )


def pointed_row(guide: Guide, pointed: Pointed, titles: Titles, media: Media) -> Row:
    """A record about another item as a row of the history of an item that it names."""
    event = pointed.event
    row = event_row(guide, event, titles, media)
    said = Detail("", (to.item(event.item),))
    kept = tuple(each for each in row.details if each.label != written(pointed.key))
    return msgspec.structs.replace(
        row, kind=_POINTED.get((event.kind, pointed.key), row.kind), details=(said, *kept)
    )


def labour_row(guide: Guide, labour: Labour, titles: Titles, *, of: bool = False) -> Row:
    """A work line as a row of a history."""
    told = [Detail("", (Link(hours(labour.hours)),))] if labour.hours else []
    if labour.task:
        told.append(Detail("task", (to.task(labour.task),)))
    title = titles.get(labour.entry, labour.entry)
    return Row(
        kind=called(labour.kind or "work"),
        day=labour.moment.day.isoformat(),
        of=(to.item(labour.item),) if of else (),
        people=guide.folk(labour.people),
        details=tuple(told),
        source=to.entry(labour.entry, title, f"w{labour.line}"),
    )


def struck(voiding: Voiding | None, titles: Titles) -> Struck | None:
    """By what a record is struck through, and why."""
    if voiding is None:
        return None
    text = f"{titles.get(voiding.by_entry) or voiding.by_entry}, record {voiding.by_record}"
    return Struck(to.entry(voiding.by_entry, text, f"r{voiding.by_record}"), voiding.reason)


def record_row(
    guide: Guide,
    record: Record,
    place: int,
    day: datetime.date,
    voiding: Voiding | None,
    titles: Titles,
    media: Media,
) -> Row:
    """A record as its own entry shows it: its day and people only where they differ from the entry's."""
    differs = record.date is not None and record.date != day
    return Row(
        id=f"r{place}",
        kind=called(kind_of(record)),
        day=record.date.isoformat() if differs and record.date else "",
        time=record.time.strftime("%H:%M") if record.time else "",
        of=tuple(guide.name(each) for each in record.of),
        people=guide.folk(record.by),
        details=particulars(guide, record, titles, media),
        stamp=result(getattr(record, "result", "")),
        struck=struck(voiding, titles),
    )


def work_row(guide: Guide, line: WorkLine, place: int) -> Row:
    """A work line as its own entry shows it."""
    told = []
    if line.task:
        told.append(Detail("task", (to.task(line.task),)))
    if len({share.weight for share in line.parts}) > 1:
        weights = ", ".join(f"{share.name} {share.weight}" for share in line.parts)
        told.append(Detail("weights", (Link(weights),)))
    named = [each for each in line.hours if each.person]
    if len(named) > 1:
        each_one = ", ".join(f"{guide.person(each.person).text} {hours(each.hours)}" for each in named)
        told.append(Detail("hours", (Link(each_one),)))
    if line.note:
        told.append(Detail("note", (Link(line.note),)))
    total = sum((each.hours for each in line.hours), Fraction(0))
    return Row(
        id=f"w{place}",
        kind=called(line.kind or "work"),
        day="",
        of=tuple(guide.name(share.name) for share in line.parts),
        people=guide.folk(line.people),
        details=tuple(told),
        hours=hours(total) if line.hours else "",
    )


def entries_in(events: Iterable[Event]) -> set[str]:
    """The entries that rows of these records lead to."""
    found: set[str] = set()
    for event in events:
        found.add(event.entry)
        if event.struck is not None:
            found.add(event.struck.by_entry)
        if isinstance(event.record, Voided):
            found.add(event.record.entry)
    return found


def files_in(events: Iterable[Event]) -> set[str]:
    """The files that rows of these records lead to."""
    return {file for event in events for file in event.record.document}

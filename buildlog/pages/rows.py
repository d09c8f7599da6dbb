"""Records and work lines as rows: every key that a record declares is shown, so a new one is by itself."""

from __future__ import annotations

import datetime
import functools
from collections.abc import Callable, Iterable, Mapping
from typing import Any, NamedTuple

import msgspec

from buildlog.model.entry import WorkLine
from buildlog.model.key import Reads, keys_of, written
from buildlog.model.log import MediaFile
from buildlog.model.records import Record, Torqued, Voided, kind_of
from buildlog.pages import guide as to
from buildlog.pages.frame import Detail, Link, Row, Struck
from buildlog.pages.guide import Guide
from buildlog.pages.readings import beside
from buildlog.pages.words import clock, hours, result
from buildlog.reckoning.events import Event, Labour, Voiding
from buildlog.reckoning.hours import added

Titles = Mapping[str, str]
"""The titles of the entries that a bundle links to, by key."""

Media = Mapping[str, MediaFile]
"""The files that a bundle shows or links to, by name."""

_APART = ("of", "date", "time", "by", "where", "result", "record")
_NAMES = (Reads.ITEM, Reads.ITEMS, Reads.ITEMS_ONE_BY_ONE, Reads.PART, Reads.PARTS)

_OF_GUIDE: dict[Reads, Callable[[Guide, Any], Link]] = {
    **dict.fromkeys(_NAMES, Guide.name),
    Reads.PERSON: Guide.person,
    Reads.PEOPLE: Guide.person,
    Reads.RULE: Guide.rule,
    Reads.STAGE: Guide.stage,
    Reads.STAGES: Guide.stage,
    Reads.MILESTONE: Guide.milestone,
    Reads.UNTIL: Guide.milestone,
    Reads.LOTS: lambda _, key: to.lot(key),
    Reads.TOOL: lambda _, key: to.tool(key),
}

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


class _Field(NamedTuple):
    """A key that is shown as a particular: its place among the fields, its label, what makes its links.

    `leads` is None where that takes more than the guide.
    """

    place: int
    label: str
    reads: Reads
    leads: Callable[[Guide, Any], Link] | None


@functools.cache
def _fields(kind: type[Record]) -> tuple[_Field, ...]:
    """The keys of a kind that are shown as particulars: its own first, then those of every kind."""
    keys = keys_of(kind)
    general = keys_of(Record)
    order = [name for name in keys if name not in general] + [name for name in keys if name in general]
    places = {name: place for place, name in enumerate(kind.__struct_fields__)}
    found = []
    for name in order:
        if name not in _APART:
            reads = keys[name].reads
            apart = reads is Reads.MEDIUM or (reads is Reads.ENTRY and issubclass(kind, Voided))
            leads = None if apart else _OF_GUIDE.get(reads, _as_text)
            found.append(_Field(places[name], written(name).replace("_", "-"), reads, leads))
    return tuple(found)


@functools.cache
def pointing(kind: type[Record]) -> tuple[str, ...]:
    """The keys of a kind, beside `of`, that name items."""
    return tuple(name for name, key in keys_of(kind).items() if name != "of" and key.reads in _NAMES)


def particulars(guide: Guide, record: Record, titles: Titles, media: Media) -> tuple[Detail, ...]:
    """What a record says beside what, when and by whom."""
    found = []
    fields = msgspec.structs.astuple(record)
    for place, label, reads, leads in _fields(type(record)):
        value = fields[place]
        if not value:
            continue
        values = value if type(value) is tuple else (value,)
        if leads is not None:
            links = [leads(guide, each) for each in values]
        elif reads is Reads.ENTRY and isinstance(record, Voided):
            links = [_struck_record(record, titles)]
        else:
            links = [document(each, media) for each in values]
        found.append(Detail(label, tuple(links)))
    if isinstance(record, Torqued):
        found += beside(guide, record)
    return tuple(found)


def _struck_record(record: Voided, titles: Titles) -> Link:
    key, place = record.entry, record.record
    text = f"{titles.get(key) or key}, record {place}"
    return to.entry(key, text, f"r{place}") if key in titles else Link(text)


def _as_text(_: Guide, value: Any) -> Link:
    return Link(value.isoformat() if isinstance(value, datetime.date) else str(value))


def document(file: str, media: Media) -> Link:
    """Lead the name of a file to its copy or its largest size; one that cannot be shown is only named."""
    known = media.get(file)
    if known is None or known.problem:
        return Link(file)
    name = known.copy or (known.renditions[-1].name if known.renditions else "")
    return Link(file, f"media/{name}" if name else "")


@functools.cache
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
        of=(guide.subject(event.item),) if of else (),
        people=guide.folk(event.people),
        details=particulars(guide, event.record, titles, media),
        stamp=result(getattr(event.record, "result", "")),
        struck=struck(guide, event.struck, titles),
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


def struck(guide: Guide, voiding: Voiding | None, titles: Titles) -> Struck | None:
    """By whom and by what a record is struck through, and why."""
    if voiding is None:
        return None
    text = f"{titles.get(voiding.by_entry) or voiding.by_entry}, record {voiding.by_record}"
    source = to.entry(voiding.by_entry, text, f"r{voiding.by_record}")
    return Struck(source, voiding.reason, guide.folk(voiding.people))


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
        time=record.time.isoformat("minutes") if record.time else "",
        of=tuple(guide.name(each) for each in record.of),
        people=guide.folk(record.by),
        details=particulars(guide, record, titles, media),
        stamp=result(getattr(record, "result", "")),
        struck=struck(guide, voiding, titles),
    )


def work_row(guide: Guide, line: WorkLine, place: int) -> Row:
    """A work line as its own entry shows it."""
    told = []
    if line.task:
        told.append(Detail("task", (to.task(line.task),)))
    if len(line.parts) > 1 and len({share.weight for share in line.parts}) > 1:
        weights = ", ".join(f"{share.name} {share.weight}" for share in line.parts)
        told.append(Detail("weights", (Link(weights),)))
    named = [each for each in line.hours if each.person]
    if len(named) > 1:
        each_one = ", ".join(f"{guide.person(each.person).text} {hours(each.hours)}" for each in named)
        told.append(Detail("hours", (Link(each_one),)))
    if line.note:
        told.append(Detail("note", (Link(line.note),)))
    return Row(
        id=f"w{place}",
        kind=called(line.kind or "work"),
        day="",
        of=tuple(guide.name(share.name) for share in line.parts),
        people=guide.folk(line.people),
        details=tuple(told),
        hours=hours(added(each.hours for each in line.hours)) if line.hours else "",
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

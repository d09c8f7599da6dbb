"""The data that an edition carries: the log as JSON, and tables as CSV, of what the edition sees."""

from __future__ import annotations

import datetime
import functools
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

import msgspec

from buildlog.model.entry import Entry
from buildlog.model.key import NOWHERE, Audience, Where, keys_of, written
from buildlog.model.log import Log
from buildlog.model.names import Item
from buildlog.model.records import Record, kind_of
from buildlog.pages.cells import table
from buildlog.pages.frame import Link, Page
from buildlog.pages.guide import Guide
from buildlog.pages.sheets import DataFile, DataSheet
from buildlog.reckoning.index import moments
from buildlog.reckoning.knowledge import ItemStory, PartStory
from buildlog.reckoning.nonconformance import Case
from buildlog.rules.finding import Finding


class Raw(msgspec.Struct, frozen=True):
    """A file that is printed as it is: its pieces, one after the other."""

    pieces: tuple[bytes, ...]


def raw(address: str, *pieces: bytes) -> Page:
    """A page without a template."""
    return Page(address, "", Raw(pieces))


_FILES = (
    ("data/log.json", "The whole log as this edition sees it, under the keys that the log itself uses."),
    ("data/parts.csv", "The parts list."),
    ("data/items.csv", "Every item with the status of its stages and its hours."),
    ("data/records.csv", "Every record: its entry, its place there, its day, kind, items and particulars."),
    ("data/readings.csv", "Every value measured, torqued or weighed, as written and as numbers."),
    ("data/hours.csv", "Every work line, one row a person."),
    ("data/findings.csv", "All findings."),
    ("feed.xml", "The latest entries as an Atom feed (RFC 4287)."),
)

_README = """\
The data of this edition
========================

log.json      the log as this edition sees it, UTF-8 JSON; dates as in ISO 8601, hours as decimal numbers
parts.csv     the parts list
items.csv     every item with the status of its stages and its hours
records.csv   every record; what a record says beside its own columns is in `particulars`
readings.csv  every value measured, torqued or weighed: as written; `from` and `to`, net of run-on, and its
              limits `low` and `high` as numbers in `unit`; whether it is within them
hours.csv     every work line, one row a person
findings.csv  all findings

The tables are CSV as in RFC 4180: UTF-8, comma, CRLF, one heading row.

A cell that a spreadsheet would run as a formula is disarmed: one that begins with = + - @ a tab or a carriage
return has an apostrophe ' put before it, and so has one that begins with an apostrophe. To read the tables
with a program, take one leading apostrophe off every cell that begins with one.

Hours are rounded to the nearest double. Fractions of an hour such as a third are exact inside the tool.

These files state what the log says. They certify nothing.
"""


def draw_data(guide: Guide) -> tuple[Page, ...]:
    """The page that lists the data, and the note that goes with it."""
    at = "data/index.html"
    files = tuple(DataFile(Link(name, name), says) for name, says in _FILES)
    readme = DataFile(
        Link("data/README.txt", "data/README.txt"), "How the tables are written, and how cells are disarmed."
    )
    sheet = DataSheet(block=guide.block(at, "Data"), files=(*files, readme))
    return (Page(at, "data.html", sheet), raw("data/README.txt", _README.encode()))


@functools.cache
def _keys(kind: type[msgspec.Struct]) -> tuple[str, ...]:
    """The keys that a log writes for the fields of a fact."""
    return tuple(written(name) for name in keys_of(kind))


@functools.cache
def _said(kind: type[Record]) -> tuple[tuple[int, str], ...]:
    """The keys of a record that are its particulars, each with its place among the fields."""
    return tuple((place, written(name)) for place, name in enumerate(keys_of(kind)) if name not in _APART)


@functools.lru_cache(maxsize=1 << 14)
def _double(top: int, bottom: int) -> str:
    return repr(top / bottom)


def _plain(value: Any) -> Any:
    """A value of a log as JSON holds it; what is not changed here JSON has a form for already."""
    kind: Any = type(value)
    if kind is str:
        return value
    if kind is tuple:
        return [each if type(each) is str else _plain(each) for each in value]
    if kind is Fraction:
        # half the time of `float`, which goes through the abstract classes of numbers
        top, bottom = value.as_integer_ratio()
        return top / bottom
    if kind is Audience:
        return value.word
    return _told(value) if isinstance(value, msgspec.Struct) else value


def _told(fact: msgspec.Struct) -> dict[str, Any]:
    """A fact as JSON holds it: keys as a log writes them, nothing that was not written."""
    told: dict[str, Any] = {"kind": kind_of(fact)} if isinstance(fact, Record) else {}
    for key, each in zip(_keys(type(fact)), msgspec.structs.astuple(fact), strict=True):
        kind = type(each)
        # texts are the most by far, and most are empty
        if kind is str:
            if each:
                told[key] = each
        elif kind is tuple:
            if each:
                told[key] = [one if type(one) is str else _plain(one) for one in each]
        elif kind is Where:
            if each != NOWHERE:
                told[key] = {"file": each.file, "line": each.line}
        elif each is not None:
            told[key] = _plain(each)
    return told


_json = msgspec.json.Encoder()


def json_entries(entries: tuple[Entry, ...]) -> bytes:
    """A month's entries as JSON, with commas and without brackets: a piece of the log."""
    return b",\n".join(_json.encode(_plain(each)) for each in entries)


def json_head(log: Log, edition: str, day: str) -> bytes:
    """The log as JSON up to its entries."""
    told = {"format": 1, "edition": edition, "day": day}
    for name in keys_of(Log):
        if name not in ("entries", "drafts", "media"):
            told[name] = _plain(getattr(log, name))
    return _json.encode(told)[:-1] + b',\n"entries":[\n'


def log_json(head: bytes, months: tuple[bytes, ...]) -> Page:
    """The whole log, from its head and its months."""
    pieces: list[bytes] = [head]
    for number, month in enumerate(months):
        pieces += [b",\n", month] if number else [month]
    return raw("data/log.json", *pieces, b"\n]}\n")


RECORD_COLUMNS = (
    "entry",
    "record",
    "day",
    "time",
    "kind",
    "items",
    "by",
    "result",
    "particulars",
    "struck by",
)


_APART = ("of", "date", "time", "by", "result", "where")


def record_rows(entries: tuple[Entry, ...], struck: dict[tuple[str, int], str]) -> bytes:
    """A month's records as rows of CSV. `struck` says by which record one is struck through."""
    rows = []
    for entry in entries:
        for place, (record, moment) in enumerate(zip(entry.records, moments(entry), strict=True), start=1):
            values = msgspec.structs.astuple(record)
            said = [f"{key}: {_text(values[at])}" for at, key in _said(type(record)) if values[at]]
            rows.append(
                (
                    entry.key,
                    str(place),
                    moment.day.isoformat(),
                    _time(record.time or (entry.start if moment.day == entry.date else None)),
                    kind_of(record),
                    " ".join(record.of),
                    " ".join(record.by or entry.people),
                    getattr(record, "result", ""),
                    "; ".join(said),
                    struck.get((entry.key, place), ""),
                )
            )
    return table(rows)


def _time(time: datetime.time | None) -> str:
    return time.isoformat("minutes") if time else ""


def _text(value: Any) -> str:
    return " ".join(value) if isinstance(value, tuple) else str(value)


HOURS_COLUMNS = ("entry", "line", "day", "task", "kind", "parts", "person", "hours")


def hours_rows(entries: tuple[Entry, ...]) -> bytes:
    """A month's work lines as rows of CSV, one a person."""
    rows = []
    for entry in entries:
        day = entry.date.isoformat()
        for number, line in enumerate(entry.work, start=1):
            parts = " ".join([share.name for share in line.parts])
            told = (entry.key, str(number), day, line.task, line.kind, parts)
            rows += [(*told, each.person, _double(*each.hours.as_integer_ratio())) for each in line.hours]
    return table(rows)


def headed(address: str, columns: tuple[str, ...], *pieces: bytes) -> Page:
    """A table from its pieces, under a heading row."""
    return raw(address, table([columns]), *pieces)


PART_COLUMNS = (
    "number",
    "name",
    "class",
    "items",
    "parent",
    "system",
    "drawing",
    "revision",
    "source",
    "use",
)


def part_rows(stories: tuple[PartStory, ...]) -> bytes:
    """The parts as rows of CSV; those on no list have their number alone."""
    rows = []
    for story in stories:
        part = story.part
        if part is None:
            rows.append((story.number, *[""] * (len(PART_COLUMNS) - 1)))
            continue
        rest = (part.parent, part.system, part.drawing, part.revision, part.source, part.use)
        rows.append((part.number, part.name, part.class_, " ".join(part.items), *rest))
    return table(rows)


ITEM_COLUMNS = (
    "item",
    "part",
    "designator",
    "exists",
    "article",
    "in",
    "place assumed",
    "stages",
    "hours",
    "departures",
)


def item_rows(stories: tuple[ItemStory, ...], departures: Mapping[Item, tuple[Case, ...]]) -> bytes:
    """A part's items as rows of CSV, with the nonconformances that the present article was accepted with."""
    return table(
        (
            str(story.item),
            story.item.number,
            story.item.designator,
            "yes" if story.exists else "no",
            str(len(story.chronicle.articles) or ""),
            str(story.stay.within) if story.stay and story.stay.within else "",
            "yes" if story.stay and story.stay.assumed else "",
            "; ".join(f"{each.stage.key}: {each.status.value}" for each in story.stages),
            _double(*story.hours.as_integer_ratio()),
            "; ".join(f"{each.id}: {each.decision}" for each in departures.get(story.item, ())),
        )
        for story in stories
    )


FINDING_COLUMNS = (
    "rule",
    "grade",
    "item",
    "part",
    "task",
    "stage",
    "entry",
    "file",
    "line",
    "deferred",
    "message",
)


def finding_rows(findings: tuple[Finding, ...]) -> bytes:
    """The findings as rows of CSV."""
    return table(
        (
            each.rule,
            each.grade.word,
            str(each.item) if each.item else "",
            each.number,
            each.task,
            each.stage,
            each.entry,
            each.where.file,
            str(each.where.line or ""),
            f"until {each.deferred.until}" if each.deferred else "",
            each.message,
        )
        for each in findings
    )

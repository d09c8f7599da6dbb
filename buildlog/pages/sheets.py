"""What each kind of page shows, as one frozen value a page. The template of the same name prints it."""

from __future__ import annotations

import msgspec

from buildlog.pages.frame import Block, Detail, Link, Photo, Prose, Remark, Row, Stamp, Tally
from buildlog.pages.readings import Readings
from buildlog.pages.visit_sheets import VisitLine


class EntryLine(msgspec.Struct, frozen=True, kw_only=True):
    """One entry in a list: its day, title, the beginning of what it is about, and a photograph of it."""

    day: str
    entry: Link
    about: tuple[Link, ...] = ()
    hours: str = ""
    people: tuple[Link, ...] = ()
    photo: Photo | None = None


class EntrySheet(msgspec.Struct, frozen=True, kw_only=True):
    """One session of work."""

    block: Block
    day: str
    weekday: str
    month: Link
    before: Link | None = None
    after: Link | None = None
    facts: tuple[Detail, ...] = ()
    prose: Prose | None = None
    photos: tuple[Photo, ...] = ()
    work: tuple[Row, ...] = ()
    tasks: tuple[Detail, ...] = ()
    records: tuple[Row, ...] = ()
    remarks: tuple[Remark, ...] = ()
    mentions: tuple[Link, ...] = ()
    cited: tuple[Link, ...] = ()
    source: str = ""


class MonthSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The entries of one month."""

    block: Block
    index: Link
    entries: tuple[EntryLine, ...]
    hours: str
    before: Link | None = None
    after: Link | None = None


class MonthLine(msgspec.Struct, frozen=True, kw_only=True):
    """One month in the list of months."""

    month: Link
    entries: int
    hours: str


class EntriesSheet(msgspec.Struct, frozen=True, kw_only=True):
    """All months of the log, by year, the latest first."""

    block: Block
    years: tuple[tuple[str, tuple[MonthLine, ...]], ...]


class StageLine(msgspec.Struct, frozen=True, kw_only=True):
    """One stage of an item: its status, who looked, when, and what it was held against."""

    stage: str
    status: Stamp
    people: tuple[Link, ...] = ()
    source: Link | None = None
    says: tuple[tuple[Link, ...], ...] = ()


class Seat(msgspec.Struct, frozen=True, kw_only=True):
    """One item in another: which, what it is called, its stages in short, whether the place is assumed."""

    item: Link
    name: str
    stamps: tuple[Stamp, ...] = ()
    assumed: bool = False


class Article(msgspec.Struct, frozen=True, kw_only=True):
    """The history of one article of an item. `title` says which, `end` how it ended."""

    title: str
    rows: tuple[Row, ...]
    end: str = ""


class LotLine(msgspec.Struct, frozen=True, kw_only=True):
    """One lot of material in an item: its last good day, and by which records on which items it went in."""

    lot: Link
    name: str
    until: str = ""
    stamp: Stamp | None = None
    ways: tuple[tuple[Link, ...], ...] = ()
    more: str = ""


class ItemSheet(msgspec.Struct, frozen=True, kw_only=True):
    """One physical item: the five answers first, then its history, then the evidence."""

    block: Block
    item: str
    name: str
    what: tuple[Detail, ...]
    where: tuple[Link, ...]
    where_says: tuple[tuple[Link, ...], ...]
    verdict: str
    waits: tuple[str, ...] = ()
    put_off: str = ""
    departures: tuple[tuple[Link, ...], ...] = ()
    reasons: tuple[Remark, ...] = ()
    verdict_says: tuple[tuple[Link, ...], ...] = ()
    stages: tuple[StageLine, ...] = ()
    since: tuple[Row, ...] = ()
    since_says: str = ""
    inside: tuple[Seat, ...] = ()
    articles: tuple[Article, ...] = ()
    readings: Readings | None = None
    lots: tuple[LotLine, ...] = ()
    further: tuple[Remark, ...] = ()
    observations: tuple[Remark, ...] = ()
    photos: tuple[Photo, ...] = ()
    hours: tuple[Tally, ...] = ()
    mentions: tuple[Link, ...] = ()
    fellows: tuple[Link, ...] = ()


class PartSheet(msgspec.Struct, frozen=True, kw_only=True):
    """One part number: the design, its items, what it belongs to and what belongs to it."""

    block: Block
    number: str
    name: str
    facts: tuple[Detail, ...]
    note: Prose | None = None
    items: tuple[Seat, ...] = ()
    parent: Link | None = None
    below: tuple[Seat, ...] = ()
    joins: tuple[Link, ...] = ()
    joints: tuple[Link, ...] = ()
    tasks: tuple[Link, ...] = ()
    hours: tuple[Tally, ...] = ()
    photos: tuple[Photo, ...] = ()
    remarks: tuple[Remark, ...] = ()
    mentions: tuple[Link, ...] = ()


class Alike(msgspec.Struct, frozen=True):
    """Items of one part with the same status, None where there is none to tell."""

    items: tuple[Link, ...]
    stamp: Stamp | None = None


class PartLine(msgspec.Struct, frozen=True, kw_only=True):
    """One part in the parts list. In the tree, `closes` levels end after it; `opens` says that one begins."""

    part: Link
    name: str
    class_: str = ""
    system: str = ""
    items: tuple[Alike, ...] = ()
    parent: Link | None = None
    opens: bool = False
    closes: int = 0


class PartsSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The parts list, as a table or as an indented tree."""

    block: Block
    lines: tuple[PartLine, ...]
    unlisted: tuple[PartLine, ...] = ()


class TaskLine(msgspec.Struct, frozen=True, kw_only=True):
    """One task in the task list."""

    task: Link
    title: str
    state: Stamp
    discipline: str = ""
    after: tuple[Link, ...] = ()
    hours: str = ""
    estimate: str = ""


class TasksSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The task list, by milestone."""

    block: Block
    milestones: tuple[tuple[str, tuple[TaskLine, ...]], ...]


class TaskSheet(msgspec.Struct, frozen=True, kw_only=True):
    """One task: its state, what it waits for, what waits for it, the work on it."""

    block: Block
    task: str
    title: str
    state: Stamp
    facts: tuple[Detail, ...]
    after: tuple[TaskLine, ...] = ()
    before: tuple[TaskLine, ...] = ()
    parts: tuple[Link, ...] = ()
    rows: tuple[Row, ...] = ()
    hours: tuple[Tally, ...] = ()
    remarks: tuple[Remark, ...] = ()
    mentions: tuple[Link, ...] = ()


class PersonLine(msgspec.Struct, frozen=True, kw_only=True):
    """One person in the list of people."""

    person: Link
    roles: str
    hours: str = ""
    last: Link | None = None


class PeopleSheet(msgspec.Struct, frozen=True, kw_only=True):
    """Everybody in the log."""

    block: Block
    lines: tuple[PersonLine, ...]


class PersonMonth(msgspec.Struct, frozen=True, kw_only=True):
    """A person's entries of one month."""

    month: Link
    hours: str
    entries: tuple[Link, ...]


class PersonSheet(msgspec.Struct, frozen=True, kw_only=True):
    """One person: roles and authority, what they inspected, where they worked."""

    block: Block
    name: str
    facts: tuple[Detail, ...]
    looked: tuple[Row, ...] = ()
    items: tuple[Link, ...] = ()
    months: tuple[PersonMonth, ...] = ()
    hours: str = ""
    remarks: tuple[Remark, ...] = ()


class HoursSheet(msgspec.Struct, frozen=True, kw_only=True):
    """Every rollup of the hours."""

    block: Block
    total: str
    tallies: tuple[Tally, ...]


class DraftLine(msgspec.Struct, frozen=True, kw_only=True):
    """An entry set aside, and what would be an error in it."""

    key: str
    title: str
    file: str = ""
    problems: tuple[str, ...] = ()


class DraftsSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The entries set aside."""

    block: Block
    lines: tuple[DraftLine, ...]


class MilestoneLine(msgspec.Struct, frozen=True, kw_only=True):
    """One milestone on the home page: how many of its tasks are complete."""

    title: str
    to: str
    complete: int
    tasks: int


class HomeSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The first sheet: what is built, what happened last, what wants attention, where the rest is."""

    block: Block
    title: str
    about: str
    latest: tuple[EntryLine, ...]
    grades: tuple[Link, ...]
    urgent: tuple[Remark, ...]
    milestones: tuple[MilestoneLine, ...]
    facts: tuple[Detail, ...]
    visits: tuple[VisitLine, ...] = ()
    drafts: int = 0


class FormatSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The reference of the format: its topics by sort."""

    block: Block
    tables: tuple[tuple[str, tuple[Link, ...]], ...]


class TopicSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The reference page of one rule, kind of record, file or key."""

    block: Block
    sort: str
    title: str
    text: Prose


class DataFile(msgspec.Struct, frozen=True):
    """One file of data that the edition carries."""

    file: Link
    says: str


class DataSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The data that goes with the edition, and how to read it."""

    block: Block
    files: tuple[DataFile, ...]


class LostSheet(msgspec.Struct, frozen=True, kw_only=True):
    """What is shown for an address that leads nowhere."""

    block: Block

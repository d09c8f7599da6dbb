"""What the pages of the configuration show: how the aircraft stands, and how it stood on days before."""

from __future__ import annotations

import msgspec

from buildlog.pages.frame import Block, Link, Row, Stamp


class TreeLine(msgspec.Struct, frozen=True, kw_only=True):
    """One thing in a tree of what is in what.

    With `fold`, what is in it follows one level down, under that heading, shown at once if `unfolded`;
    `closes` are the levels that end after it. `dates` is told in `bold` where they fall into the page's time.
    """

    item: Link
    name: str = ""
    id: str = ""
    stamps: tuple[Stamp, ...] = ()
    dates: str = ""
    bold: bool = False
    notes: tuple[tuple[Link, ...], ...] = ()
    fold: str = ""
    unfolded: bool = True
    closes: int = 0


class TreeSection(msgspec.Struct, frozen=True, kw_only=True):
    """What is inside nothing, of one sort, with all that is in it."""

    id: str
    title: str
    note: str
    lines: tuple[TreeLine, ...]


class StandingSheet(msgspec.Struct, frozen=True, kw_only=True):
    """How everything stands now. `past` leads to the days before."""

    block: Block
    sections: tuple[TreeSection, ...]
    past: Link
    last: Link | None = None


class StoodDay(msgspec.Struct, frozen=True, kw_only=True):
    """A day on which the configuration changed: by which records, and what follows from them."""

    id: str
    title: str
    rows: tuple[Row, ...] = ()
    says: tuple[tuple[Link, ...], ...] = ()


class StoodSheet(msgspec.Struct, frozen=True, kw_only=True):
    """How everything stood on the evenings of a month in which something changed."""

    block: Block
    month: str
    index: Link
    now: Link
    days: tuple[StoodDay, ...]
    sections: tuple[TreeSection, ...]
    before: Link | None = None
    after: Link | None = None


class DaysSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The days on which the configuration changed, by month, the latest first."""

    block: Block
    now: Link
    months: tuple[tuple[Link, tuple[Link, ...]], ...]

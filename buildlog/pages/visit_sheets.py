"""What the inspector's pages show: what happened since a visit, and what to look at on the next."""

from __future__ import annotations

import msgspec

from buildlog.pages.frame import Block, Link, Remark, Row, Stamp


class VisitLine(msgspec.Struct, frozen=True, kw_only=True):
    """An inspector's last visit: the way to its page, and its day; empty where there was none."""

    visit: Link
    last: str = ""


class CallLine(msgspec.Struct, frozen=True, kw_only=True):
    """One stage of one item to look at: its number in the order, who may, and what is to be said of it."""

    number: int
    item: Link
    name: str
    stage: str
    status: Stamp
    last: Link | None = None
    milestone: str = ""
    who: tuple[Link, ...] = ()
    says: tuple[tuple[Link, ...], ...] = ()


class CallGroup(msgspec.Struct, frozen=True, kw_only=True):
    """What is to be looked at alike: before a closing, now, once opened, not yet."""

    title: str
    note: str
    lines: tuple[CallLine, ...]


class VisitsSheet(msgspec.Struct, frozen=True, kw_only=True):
    """What to look at on the next visit, in order, and the way to what happened since the last ones."""

    block: Block
    visits: tuple[VisitLine, ...]
    groups: tuple[CallGroup, ...]


class VisitSection(msgspec.Struct, frozen=True, kw_only=True):
    """One assembly since an inspector last looked at something in it."""

    id: str
    item: Link
    name: str
    counts: str
    looked: tuple[Link, ...]
    groups: tuple[tuple[str, tuple[Row, ...]], ...] = ()
    new: tuple[Remark, ...] = ()
    standing: tuple[Remark, ...] = ()


class VisitSheet(msgspec.Struct, frozen=True, kw_only=True):
    """What happened since an inspector's last visit, by assembly."""

    block: Block
    person: Link
    last: str
    next: Link
    sections: tuple[VisitSection, ...]

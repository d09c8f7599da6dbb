"""What the sheets of findings show, as one frozen value a page."""

from __future__ import annotations

import msgspec

from buildlog.pages.frame import Block, Link, Remark, Stamp


class FindingGroup(msgspec.Struct, frozen=True, kw_only=True):
    """The findings about one thing."""

    about: Link
    name: str
    remarks: tuple[Remark, ...]


class FindingsSheet(msgspec.Struct, frozen=True, kw_only=True):
    """Findings in full: the most serious grade first, grouped by what they are about.

    `begins` leads to where each grade begins, `elsewhere` to those that begin on a later sheet; the numbers
    are of the whole log. `orders` are the ways to sort, `sheets` the sheets of this one.
    """

    block: Block
    grades: tuple[tuple[Stamp, int, tuple[FindingGroup, ...]], ...]
    begins: tuple[Link, ...] = ()
    elsewhere: tuple[tuple[Stamp, Link], ...] = ()
    deferred: tuple[Remark, ...] = ()
    orders: tuple[Link, ...] = ()
    sheets: tuple[Link, ...] = ()


class FindingSection(msgspec.Struct, frozen=True, kw_only=True):
    """The findings of a rule, or of a part; `continued` where it began on the sheet before."""

    id: str
    title: Link
    counts: str
    remarks: tuple[Remark, ...]
    name: str = ""
    depth: int = 0
    continued: bool = False


class FindingIndexLine(msgspec.Struct, frozen=True, kw_only=True):
    """One rule or part to choose, with how many findings there are."""

    to: Link
    name: str
    depth: int
    counts: str


class SortedFindingsSheet(msgspec.Struct, frozen=True, kw_only=True):
    """Findings in short, by rule or by assembly: first what to choose from, then the findings."""

    block: Block
    order: str
    by_part: bool
    index: tuple[FindingIndexLine, ...]
    sections: tuple[FindingSection, ...]
    orders: tuple[Link, ...]
    sheets: tuple[Link, ...] = ()

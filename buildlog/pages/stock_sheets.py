"""What the pages of material lots and tools show."""

from __future__ import annotations

import msgspec

from buildlog.pages.frame import Block, Detail, Link, Row, Stamp


class StockLine(msgspec.Struct, frozen=True, kw_only=True):
    """One lot or tool in its list."""

    stock: Link
    name: str
    from_: str = ""
    until: str = ""
    uses: str = ""
    stamp: Stamp | None = None


class StockListSheet(msgspec.Struct, frozen=True, kw_only=True):
    """All material lots, or all tools. `from_` and `until` name the two dates."""

    block: Block
    from_: str
    until: str
    lines: tuple[StockLine, ...]


class NowLine(msgspec.Struct, frozen=True, kw_only=True):
    """One item that a lot or tool touched: by which records, where it is now, behind which closings."""

    item: Link
    name: str
    by: tuple[tuple[Link, ...], ...]
    where: tuple[Link, ...] = ()
    shut: tuple[tuple[Link, ...], ...] = ()
    stamps: tuple[Stamp, ...] = ()


class HolderLine(msgspec.Struct, frozen=True, kw_only=True):
    """An item that holds some of the items that a lot or tool touched."""

    item: Link
    name: str
    holds: tuple[Link, ...]


class ReadingGroup(msgspec.Struct, frozen=True, kw_only=True):
    """Records that name a tool, which stand alike to its calibration."""

    title: str
    note: str
    rows: tuple[Row, ...]


class StockSheet(msgspec.Struct, frozen=True, kw_only=True):
    """One lot or tool with everything it touched. `groups` are a tool's records, `rows` a lot's.

    `own` are the records about a lot itself, `stamp` and `says` what they come to.
    """

    block: Block
    sort: str
    key: str
    name: str
    facts: tuple[Detail, ...]
    stamp: Stamp | None = None
    says: tuple[tuple[Link, ...], ...] = ()
    own: tuple[Row, ...] = ()
    now: tuple[NowLine, ...] = ()
    holders: tuple[HolderLine, ...] = ()
    gone: tuple[tuple[Link, ...], ...] = ()
    rows: tuple[Row, ...] = ()
    groups: tuple[ReadingGroup, ...] = ()
    mentions: tuple[Link, ...] = ()

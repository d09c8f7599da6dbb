"""Material lots and tools: their lists, and a page each with everything they touched."""

from __future__ import annotations

import datetime

import msgspec

from buildlog.model.log import MediaFile
from buildlog.pages import address, words
from buildlog.pages import guide as to
from buildlog.pages.frame import Detail, Link, Page
from buildlog.pages.guide import Guide
from buildlog.pages.lot_status import lot_says, lot_stamp
from buildlog.pages.rows import event_row
from buildlog.pages.stock_sheets import ReadingGroup, StockLine, StockListSheet, StockSheet
from buildlog.pages.traced import gone_lines, holder_lines, now_lines, reading_groups
from buildlog.reckoning.events import Use
from buildlog.reckoning.knowledge import LotStory, ToolStory
from buildlog.reckoning.tracing import Trace


class StockBundle(msgspec.Struct, frozen=True):
    """All that the page of a lot or tool shows, beside the guide."""

    story: LotStory | ToolStory
    trace: Trace
    titles: dict[str, str]
    media: dict[str, MediaFile]
    mentions: tuple[Link, ...] = ()


def draw_stock(guide: Guide, bundle: StockBundle) -> Page:
    """The page of a lot or a tool."""
    story = bundle.story
    if isinstance(story, LotStory):
        at, name = address.of_lot(story.key), story.lot.material if story.lot else "on no list of lots"
        facts = _lot_facts(story)
        rows = tuple(event_row(guide, use.event, bundle.titles, bundle.media, of=True) for use in story.uses)
        groups: tuple[ReadingGroup, ...] = ()
        stamp, says = lot_stamp(story), lot_says(guide, story, bundle.titles)
        events = story.chronicle.events if story.chronicle else ()
        own = tuple(event_row(guide, event, bundle.titles, bundle.media) for event in events)
    else:
        at, name = address.of_tool(story.key), story.tool.name if story.tool else "on no list of tools"
        facts = _tool_facts(story)
        stamp, says, own = None, (), ()
        rows, groups = (), reading_groups(guide, story.tool, story.uses, bundle.titles, bundle.media)
    sheet = StockSheet(
        block=guide.block(at, f"{story.key} {name}", last=_last(story.uses)),
        sort="Lot" if isinstance(story, LotStory) else "Tool",
        key=story.key,
        name=name,
        facts=facts,
        stamp=stamp,
        says=says,
        own=own,
        now=now_lines(guide, bundle.trace, bundle.titles),
        holders=holder_lines(guide, bundle.trace),
        gone=gone_lines(guide, bundle.trace, bundle.titles),
        rows=rows,
        groups=groups,
        mentions=bundle.mentions,
    )
    return Page(at, "stock.html", sheet)


def _last(uses: tuple[Use, ...]) -> Link | None:
    if not uses:
        return None
    event = uses[-1].event
    return to.entry(event.entry, f"{event.moment.day.isoformat()}, record {event.place}", f"r{event.place}")


def _day(day: datetime.date | None) -> str:
    return day.isoformat() if day else ""


def _lot_facts(story: LotStory) -> tuple[Detail, ...]:
    lot = story.lot
    if lot is None:
        return ()
    return _told(
        ("Received", _day(lot.received)),
        ("Last good day", _day(lot.expires)),
        ("Certificate", lot.document),
        ("Supplier", lot.supplier),
        ("Cost", lot.cost),
        ("Note", lot.note),
        ("Written in", str(lot.where)),
    )


def _tool_facts(story: ToolStory) -> tuple[Detail, ...]:
    tool = story.tool
    if tool is None:
        return ()
    return _told(
        ("Calibrated", _day(tool.calibrated)),
        ("Good until", _day(tool.due)),
        ("Certificate", tool.document),
        ("Note", tool.note),
        ("Written in", str(tool.where)),
    )


def _told(*pairs: tuple[str, str]) -> tuple[Detail, ...]:
    return tuple(Detail(label, (Link(text),)) for label, text in pairs if text)


def draw_lots(guide: Guide, stories: tuple[LotStory, ...]) -> Page:
    """The list of material lots."""
    at = "lots/index.html"
    lines = [
        StockLine(
            stock=to.lot(story.key),
            name=story.lot.material if story.lot else "on no list",
            from_=_day(story.lot.received) if story.lot else "",
            until=_day(story.lot.expires) if story.lot else "",
            uses=words.counted(len(story.uses), "use") if story.uses else "",
            stamp=lot_stamp(story),
        )
        for story in stories
    ]
    sheet = StockListSheet(
        block=guide.block(at, "Material lots"), from_="Received", until="Last good day", lines=tuple(lines)
    )
    return Page(at, "stocks.html", sheet)


def draw_tools(guide: Guide, stories: tuple[ToolStory, ...]) -> Page:
    """The list of tools."""
    at = "tools/index.html"
    lines = [
        StockLine(
            stock=to.tool(story.key),
            name=story.tool.name if story.tool else "on no list",
            from_=_day(story.tool.calibrated) if story.tool else "",
            until=_day(story.tool.due) if story.tool else "",
            uses=words.counted(len(story.uses), "use") if story.uses else "",
        )
        for story in stories
    ]
    sheet = StockListSheet(
        block=guide.block(at, "Tools"), from_="Calibrated", until="Good until", lines=tuple(lines)
    )
    return Page(at, "stocks.html", sheet)

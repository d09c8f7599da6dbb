"""The trace of a lot or tool as its page shows it: where each item is now, and a tool's readings."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from buildlog.model.lists import Tool
from buildlog.model.names import Item
from buildlog.pages import guide as to
from buildlog.pages import words
from buildlog.pages.frame import Link, Row
from buildlog.pages.guide import Guide
from buildlog.pages.rows import Media, Titles, event_row
from buildlog.pages.stock_sheets import HolderLine, NowLine, ReadingGroup
from buildlog.reckoning.events import Event, Use
from buildlog.reckoning.knowledge import Closing
from buildlog.reckoning.tracing import Grip, Spot, Touch, Trace, grip, is_reading
from buildlog.reckoning.whereabouts import Above

Sentence = tuple[Link, ...]


_BEFORE = (
    "The list has one calibration a tool. If that one found the tool out, these are in doubt too, back to the"
    " good calibration before it, which its certificate names."
)


def now_lines(guide: Guide, trace: Trace, titles: Titles) -> tuple[NowLine, ...]:
    """Each item that it touched: by which records, where the item is, behind which closings, its status."""
    by_item: dict[Item, list[Touch]] = {}
    for touch in trace.now:
        by_item.setdefault(touch.item, []).append(touch)
    return tuple(_now(guide, spot, by_item[item], titles) for item, spot in trace.spots.items())


def _now(guide: Guide, spot: Spot, touches: Iterable[Touch], titles: Titles) -> NowLine:
    mark = words.worst(spot.stages)
    return NowLine(
        item=guide.name(str(spot.item)),
        name=spot.name,
        by=tuple(_record(touch.event, titles) for touch in touches),
        where=tuple(_above(guide, each) for each in spot.above),
        shut=tuple(_shut(guide, item, closing, titles) for item, closing in spot.shut),
        stamps=(mark,) if mark else (),
    )


def _record(event: Event, titles: Titles) -> Sentence:
    quantity = f"{event.record.quantity}, " if event.record.quantity else ""
    return (Link(f"{event.kind.replace('_', ' ')} {quantity}"), _leads(event, titles))


def _leads(event: Event, titles: Titles) -> Link:
    day = event.moment.day.isoformat()
    return to.entry(event.entry, day, f"r{event.place}") if event.entry in titles else Link(day)


def _above(guide: Guide, each: Above) -> Link:
    link = guide.name(str(each.item))
    doubt = " (perhaps)" if not each.sure else " (assumed)" if each.assumed else ""
    return Link(link.text + doubt, link.to)


def _shut(guide: Guide, item: Item, closing: Closing, titles: Titles) -> Sentence:
    area = f" ({closing.area})" if closing.area else ""
    return (guide.name(str(item)), Link(f"{area}, "), _leads(closing.event, titles))


def gone_lines(guide: Guide, trace: Trace, titles: Titles) -> tuple[Sentence, ...]:
    """The articles it touched that are gone, and how."""
    told = []
    for touch in trace.gone:
        if touch.ended is not None:
            which = Link(f", article {touch.article}: ")
            ended = Link(f"; {touch.ended.kind.replace('_', ' ')} ")
            item = guide.name(str(touch.item))
            told.append((item, which, *_record(touch.event, titles), ended, _leads(touch.ended, titles)))
    return tuple(told)


def holder_lines(guide: Guide, trace: Trace) -> tuple[HolderLine, ...]:
    """The items that hold any of those it touched."""
    lines = []
    for each in trace.holders:
        held = [guide.name(str(item)) for item, _ in each.holds]
        doubts = ["" if sure else " (perhaps)" for _, sure in each.holds]
        links = tuple(Link(link.text + doubt, link.to) for link, doubt in zip(held, doubts, strict=True))
        lines.append(HolderLine(item=guide.name(str(each.item)), name=each.name, holds=links))
    return tuple(lines)


def reading_groups(
    guide: Guide, tool: Tool | None, uses: Iterable[Use], titles: Titles, media: Media
) -> tuple[ReadingGroup, ...]:
    """A tool's readings by how they stand to the calibration that its list has, then its other records."""
    by_grip: dict[Grip | None, list[Row]] = {}
    for use in uses:
        row = event_row(guide, use.event, titles, media, of=True)
        by_grip.setdefault(grip(tool, use.event) if is_reading(use.event) else None, []).append(row)
    titled = _groups(tool)
    return tuple(
        ReadingGroup(title=title, note=note, rows=tuple(by_grip[key]))
        for key, (title, note) in titled.items()
        if key in by_grip
    )


def _groups(tool: Tool | None) -> Mapping[Grip | None, tuple[str, str]]:
    calibrated = f" of {tool.calibrated}" if tool and tool.calibrated else ""
    due = f" on {tool.due}" if tool and tool.due else ""
    return {
        Grip.PAST_DUE: (
            f"Readings after its calibration fell due{due}",
            "Out of calibration by the list. They are to be taken again, or the tool found good.",
        ),
        Grip.SINCE: (
            f"Readings since the calibration{calibrated}",
            "Should the next calibration find the tool out, these are in doubt, and any after the due day.",
        ),
        Grip.BEFORE: (
            f"Readings before the calibration{calibrated}",
            _BEFORE,
        ),
        Grip.NEVER: ("Readings with no calibration on the list", "Nothing says what the tool is worth."),
        None: ("Other records that name it", ""),
    }

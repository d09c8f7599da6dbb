"""A reading is worth what the tool was worth that day; a wrench past its date reads as crisply as a good one.

Basis: AC 43.13-1B, 7-40 (from memory): a torque wrench is calibrated at least once a year, and after it was
dropped. ISO 9001:2015, 7.1.5.2, taken as a model: what measures is calibrated at intervals, and where it is
found unfit, it is looked into what it had read. The interval is that of tools.csv.

Flagged: a reading (`measured`, `torqued`, `weighed`, or `tested` with a `tool`) of the present article, on a
day after the tool's `due` in tools.csv, or with a tool for which the list has neither `calibrated` nor
`due`. The due day itself is good. One finding an item and tool. The list has one calibration a tool: of a
reading before its `calibrated` nothing is flagged, for a calibration that finds a tool good vouches for what
it read before. Where it finds the tool out, the tool's page and `buildlog trace` list what it had read.

Cleared by: the same reading (the same `what`, the same `fastener`) taken again with a tool in calibration;
the tool calibrated since and found good; or the record struck through.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.model.lists import Tool
from buildlog.model.records import Measured, Record, Tested, Torqued, Weighed
from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Frame, ItemStory
from buildlog.reckoning.order import Order, compare
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import counted

NAME = "tool-out-of-calibration"
GRADE = "minor"
SUBJECT = Subject.ITEM

_READINGS = (Measured, Torqued, Weighed, Tested)


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each tool that readings still rest on and that was out of calibration."""
    article = story.chronicle.present
    if article is None or not frame.tools:
        return
    readings = [
        event
        for event in article.events
        if event.record.tool and event.struck is None and isinstance(event.record, _READINGS)
    ]
    out: dict[str, list[Event]] = {}
    for event in readings:
        tool = frame.tools.get(event.record.tool)
        if tool is not None and _is_out(tool, event) and not _taken_again(event, readings):
            out.setdefault(tool.tool, []).append(event)
    for key, events in out.items():
        yield Finding(
            rule=NAME,
            grade=Grade.MINOR,
            message=_message(frame.tools[key], events),
            why="Nothing says that the tool read right on that day.",
            clears="The reading taken again with a tool in calibration, or this one found good since.",
            item=story.item,
            entry=events[0].entry,
            rests=tuple(map(rest_on, events)),
        )


def _is_out(tool: Tool, event: Event) -> bool:
    return tool.calibrated is None if tool.due is None else event.moment.day > tool.due


def _taken_again(event: Event, readings: list[Event]) -> bool:
    """Whether the same was read later with a tool that is named; if that one is out, it is flagged itself."""
    same = _characteristic(event.record)
    return same is not None and any(
        _characteristic(other.record) == same and compare(event.moment, other.moment) is Order.BEFORE
        for other in readings
    )


def _characteristic(record: Record) -> tuple[str, str] | None:
    """What was read, as far as it can be told from another; no fastener named means all of them."""
    if isinstance(record, Measured | Tested):
        return (type(record).__name__, record.what.casefold()) if record.what else None
    return type(record).__name__, record.fastener.casefold() if isinstance(record, Torqued) else ""


def _message(tool: Tool, events: list[Event]) -> str:
    first, more = events[0], len(events) - 1
    since = (
        f"whose calibration was good until {tool.due}"
        if tool.due is not None
        else "which the list of tools has no calibration of"
    )
    what = getattr(first.record, "what", "") or getattr(first.record, "fastener", "") or "it"
    again = f"; and {counted(more, 'more reading', 'more readings')} after that" if more else ""
    return f"On {first.moment.day} {what} was {first.kind} with {tool.tool} ({tool.name}), {since}{again}."

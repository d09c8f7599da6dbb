"""A value outside its limits is a fact that somebody must answer; left alone, it is forgotten as read.

Basis: ISO 9001 and AS9100 practice: what does not conform is put right and shown to be, or is recorded as a
nonconformance and decided about. That limits of a torque hold no run-on torque: AC 43.13-1B, chapter 7.

Flagged: a measured value or a torque of the present article outside the limits of its own record, in whatever
units, a torque less its run-on. A value exactly at a limit is inside. A range, or a reading off the scale, is
inside where all of it is. Limits or none, a torque below its own run-on is flagged: the wrench shows the run-
on and all, so no torque can be less, and most often the two are exchanged. Of several readings of one
characteristic outside, by `what` or by `fastener`, the last is told.

Cleared by: a later reading of the same characteristic inside its limits; or a nonconformance: the reading
gives its number as `nonconformance`, or one raised on the item later names the characteristic. A torque
outside its limits is also done with when the fastener is loosened: then that is what is open.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from buildlog.model.quantity import told
from buildlog.model.records import Measured, Nonconformance, Torqued
from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Frame, ItemStory
from buildlog.reckoning.order import Order, compare
from buildlog.reckoning.readings import Reading, Series, loosens, named, series_of
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import by

NAME = "reading-out-of-limits"
GRADE = "major"
SUBJECT = Subject.ITEM


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each characteristic that was last read outside its limits."""
    article = story.chronicle.present
    if article is None or not any(isinstance(each.record, Measured | Torqued) for each in article.events):
        return
    for series in series_of(article.events):
        outside = [each for each in series.readings if _wrong(each)]
        left = [each for each in outside if not _answered(each, series, article.events)]
        if not left:
            continue
        last, *others = reversed(left)
        yield Finding(
            rule=NAME,
            grade=Grade.MAJOR,
            message=_message(last, series, frame),
            why="It does not conform to what is asked for, and the log does not say what becomes of it.",
            clears="A later reading of it inside its limits; or a nonconformance whose number the reading "
            "gives, or one that names what was read.",
            item=story.item,
            entry=last.event.entry,
            rests=tuple(rest_on(each.event) for each in (last, *others)),
        )


def _answered(reading: Reading, series: Series, events: Sequence[Event]) -> bool:
    """Whether a reading outside its limits was put right, or is the matter of a nonconformance."""
    moment = reading.event.moment
    later = [each for each in series.readings if compare(each.event.moment, moment) is Order.AFTER]
    if any(each.within for each in later) or (
        reading.limits is None and any(each.limits is None and not _wrong(each) for each in later)
    ):
        return True
    if any(_raised(each, series.name, events) for each in (reading, *later) if _wrong(each)):
        return True
    return isinstance(reading.event.record, Torqued) and any(
        loosens(each, series.name) and compare(each.moment, moment) is Order.AFTER for each in events
    )


def _wrong(reading: Reading) -> bool:
    return reading.within is False or _nothing_left(reading)


def _nothing_left(reading: Reading) -> bool:
    """Whether a torque is less than its own run-on."""
    most = reading.net.high
    return reading.run_on is not None and most is not None and most < 0


def _raised(reading: Reading, name: str, events: Iterable[Event]) -> bool:
    """Whether a reading is the matter of a nonconformance: it gives its number, or a later one names it.

    The number may be one that was raised on another item, where it will be put right.
    """
    if reading.event.record.nonconformance:
        return True
    return any(
        isinstance(event.record, Nonconformance)
        and event.struck is None
        and compare(event.moment, reading.event.moment) is not Order.BEFORE
        and _speaks_of(event.record, name)
        for event in events
    )


def _speaks_of(record: Nonconformance, name: str) -> bool:
    words = re.escape(named(name))
    return bool(words) and bool(
        re.search(rf"(?<!\w){words}(?!\w)", named(f"{record.description} {record.note}"))
    )


def _message(reading: Reading, series: Series, frame: Frame) -> str:
    event, limits = reading.event, reading.limits
    record = event.record
    if not isinstance(record, Measured | Torqued):
        return ""
    what = f"“{series.name}”" if series.name else ""
    if isinstance(record, Torqued):
        what = f"The torque of {what}" if what else "Its torque"
    said = f"{what or 'A value of it'} was {record.value} on {event.moment.day}{by(event.people, frame)}"
    if reading.run_on is not None and _nothing_left(reading):
        return (
            f"{said}, less than its run-on of {reading.run_on}. The value is what the wrench showed, run-on"
            " and all; perhaps the two are exchanged." + _open_order(reading, series)
        )
    if limits is None:
        return ""
    if reading.run_on is not None:
        said += f", {reading.net} net of {reading.run_on} run-on"
    if reading.net.unit != limits.unit:
        said += f" ({told(reading.net, limits)})"
    if reading.net.single is None:
        said += f", which is not shown to be within its limits, {limits}."
    else:
        said += f"; its limits are {limits}."
    return said + _open_order(reading, series)


def _open_order(reading: Reading, series: Series) -> str:
    moment = reading.event.moment
    if any(each.within and compare(each.event.moment, moment) is Order.UNCLEAR for each in series.readings):
        return " On that day it was also read inside them, and nothing says which came first."
    return ""

"""What came before what.

Records run by date, then time (their own, or the entry's `start` on the entry's own day), then place in
the file. Two of one day from different entries have no order between them unless both have a time, and
the times differ; `compare` then says so, and whoever asks must say "unclear" rather than guess.
"""

from __future__ import annotations

import datetime
import enum
import operator
from collections.abc import Iterable

import msgspec

from buildlog.model.entry import Entry

FIRST, WORK, RECORDS, LAST = 0, 1_000, 10_000, 10_000_000
"""Steps within an entry's day: resumed tasks, work lines, records, completed tasks."""


BY_TIME = operator.attrgetter("moment.day", "moment.standing", "moment.entry", "moment.step")
"""Sorts whatever has a moment as `Moment.show` does."""


class Order(enum.Enum):
    """How one moment stands to another."""

    BEFORE = "before"
    AFTER = "after"
    SAME = "same"
    UNCLEAR = "unclear"


class Moment(msgspec.Struct, frozen=True):
    """When something happened, as far as the log says.

    `minute` counts from midnight and is None without a time. `standing` is the minute used among the
    things of one entry and day: its own, or the latest of those before it, so that what has no time never
    goes before what stands above it. `step` is the place within the entry.
    """

    day: datetime.date
    minute: int | None
    standing: int
    entry: str
    step: int

    @property
    def show(self) -> tuple[datetime.date, int, str, int]:
        """A key that sorts moments for show: it never contradicts `compare` and breaks its ties by name."""
        return (self.day, self.standing, self.entry, self.step)


def compare(one: Moment, other: Moment) -> Order:
    """How `one` stands to `other`, for certain."""
    if one.day != other.day:
        return Order.BEFORE if one.day < other.day else Order.AFTER
    if one.entry == other.entry:
        mine, theirs = (one.standing, one.step), (other.standing, other.step)
        if mine == theirs:
            return Order.SAME
        return Order.BEFORE if mine < theirs else Order.AFTER
    if one.minute is None or other.minute is None or one.minute == other.minute:
        return Order.UNCLEAR
    return Order.BEFORE if one.minute < other.minute else Order.AFTER


def minutes(time: datetime.time | None) -> int | None:
    """Minutes since midnight."""
    return None if time is None else time.hour * 60 + time.minute


def work_moment(entry: Entry, line: int) -> Moment:
    """The moment of a work line (from 1): before the entry's records of that day."""
    start = minutes(entry.start)
    return Moment(entry.date, start, -1 if start is None else start, entry.key, WORK + line)


def until(entries: Iterable[Entry], day: datetime.date) -> tuple[Entry, ...]:
    """The entries of a day and before it. Those kept may still hold records that are dated later."""
    return tuple(entry for entry in entries if entry.date <= day)

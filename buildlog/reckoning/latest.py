"""The latest days of a log, and whether the last of them stands far from all others.

There is no clock in a log: every answer stands on its latest day. One wrong year moves that day, and with it
every deferral, calibration and forecast, and nothing else in the log can say so but the days before it.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable

import msgspec

from buildlog.model.entry import Entry

FAR = datetime.timedelta(days=180)
"""As long as a winter without a session. A wrong year is farther off, unless work goes on for half of it."""


class Latest(msgspec.Struct, frozen=True):
    """An entry and its latest day, by its own date or a record's; `before` is the one before that in it."""

    day: datetime.date
    entry: str
    before: datetime.date | None


class Alone(msgspec.Struct, frozen=True):
    """The latest day of a log, which one entry alone has, and the latest of all other days in the log."""

    entry: str
    day: datetime.date
    before: datetime.date


def last_day(entry: Entry) -> datetime.date:
    """The latest day that an entry or a record of it is of."""
    return max([entry.date, *(record.date for record in entry.records if record.date)])


def two_latest(entries: tuple[Entry, ...]) -> tuple[Latest, ...]:
    """Of these entries the two with the latest days, the latest first."""
    lasts = sorted(((last_day(entry), entry) for entry in entries), key=lambda each: (each[0], each[1].key))
    return tuple(_latest(entry, day) for day, entry in reversed(lasts[-2:]))


def _latest(entry: Entry, last: datetime.date) -> Latest:
    days = (entry.date, *(record.date for record in entry.records if record.date))
    return Latest(last, entry.key, max((day for day in days if day < last), default=None))


def alone(latest: Iterable[Latest]) -> Alone | None:
    """The latest day of all, where one entry has it and everything else lies far before it.

    `latest` are the `two_latest` of each of some bundles; None for an empty log.
    """
    lasts = sorted(latest, key=lambda each: (each.day, each.entry))
    if not lasts:
        return None
    last = lasts[-1]
    others = [each.day for each in lasts[-2:-1]]
    before = max([*others, *([last.before] if last.before else [])], default=None)
    if before is None or last.day - before <= FAR:
        return None
    return Alone(last.entry, last.day, before)

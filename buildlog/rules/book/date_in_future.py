"""What has not happened yet is no record, and a wrong year moves a whole session out of its place.

Basis: AC 20-27G asks for documentation in sequence; 14 CFR 43.9(a), taken as a model, for the date on
which work was completed.

Flagged: an entry, or a record with a `date` of its own, that is later than the day the answers stand on:
the latest day of the log, or the one given with `--on`. It counts for nothing that is said of that day.
There is no clock in a log, so a year typed wrong moves the day that everything stands on. An entry is flagged
too if it alone gives the log its day, by its date or a record's, more than 180 days after every other day in
the log: a winter without a session is shorter, a wrong year is longer. After a longer pause that is as it
should be, and the second session since then ends it.

Cleared by: the date put right, or a later day to stand on; after a long pause, the next entry.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.model.entry import Entry
from buildlog.reckoning.knowledge import Frame
from buildlog.reckoning.latest import Alone
from buildlog.rules.finding import Finding, Grade, Rest
from buildlog.rules.subjects import Subject

NAME = "date-in-future"
GRADE = "observation"
SUBJECT = Subject.WRITTEN


def check(entry: Entry, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for an entry after the day, or else one for its records after the day."""
    if entry.date > frame.day:
        rests = [Rest(entry.key, "entry", 0, entry.date, entry.where)]
        what = f"This entry is dated {entry.date}"
    elif frame.alone is not None and frame.alone.entry == entry.key:
        yield _far(entry, frame.alone)
        return
    else:
        rests = [
            Rest(entry.key, "record", place, record.date, record.where)
            for place, record in enumerate(entry.records, start=1)
            if record.date is not None and record.date > frame.day
        ]
        if not rests:
            return
        first, more = rests[0], len(rests) - 1
        what = f"Record {first.place} of this entry{f' and {more} more' if more else ''} is dated {first.day}"
    yield Finding(
        rule=NAME,
        grade=Grade.OBSERVATION,
        message=f"{what}, after {frame.day}, the day this stands on.",
        why="It is left out of everything that is said of that day.",
        clears="The date put right, or a later day to stand on.",
        entry=entry.key,
        rests=tuple(rests),
    )


def _far(entry: Entry, far: Alone) -> Finding:
    """The finding on the entry that alone moves the day of the log far ahead."""
    if entry.date == far.day:
        rest, what = Rest(entry.key, "entry", 0, entry.date, entry.where), "This entry"
    else:
        place, record = next(each for each in enumerate(entry.records, start=1) if each[1].date == far.day)
        rest, what = Rest(entry.key, "record", place, far.day, record.where), f"Record {place} of this entry"
    days = (far.day - far.before).days
    return Finding(
        rule=NAME,
        grade=Grade.OBSERVATION,
        message=f"{what} is dated {far.day}, {days} days after everything else in the log,"
        f" the latest of which is of {far.before}. After a pause that long nothing is wrong.",
        why="Everything stands on that day: if the year is wrong, deferrals have lapsed and tools fallen due"
        " that have not.",
        clears="The date put right if it is wrong; if work rested until then, the next entry.",
        entry=entry.key,
        rests=(rest,),
    )

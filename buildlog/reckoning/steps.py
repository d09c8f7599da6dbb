"""What an entry says of tasks: that there was work on them, that they are complete, or taken up again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from buildlog.model.entry import Entry
from buildlog.reckoning.events import TaskStep
from buildlog.reckoning.order import FIRST, LAST, Moment, minutes, work_moment


def steps_of(entry: Entry, hours: Sequence[Fraction]) -> Iterator[TaskStep]:
    """The steps of tasks in an entry, work first.

    Args:
        entry: the entry.
        hours: the exact person-hours of each of its work lines.
    """
    for number, (line, total) in enumerate(zip(entry.work, hours, strict=True), start=1):
        if line.task:
            moment = work_moment(entry, number)
            yield TaskStep(line.task, "work", moment, entry.key, total, number, line.where)
    start = minutes(entry.start)
    for step, keys, rank in (("resumes", entry.resumes, FIRST), ("completes", entry.completes, LAST)):
        for key in keys:
            moment = Moment(entry.date, start, -1 if start is None else start, entry.key, rank)
            yield TaskStep(key, step, moment, entry.key, where=entry.where)

"""How figures, dates and statuses read on a page."""

from __future__ import annotations

import datetime
import functools
from collections.abc import Iterable
from fractions import Fraction

from buildlog.pages.frame import Link, Stamp, Tally
from buildlog.reckoning.knowledge import StageStatus, Status, TaskState

_OUTLINES = {
    Status.ON_HOLD: Stamp("on hold", "hold"),
    Status.REJECTED: Stamp("rejected", "rejected"),
    Status.UNDONE: Stamp("undone", "undone"),
    Status.UNCLEAR: Stamp("unclear", "unclear"),
    Status.PARTIAL: Stamp("partial", "partial"),
    Status.CURRENT: Stamp("current", "current"),
    Status.NONE: Stamp("none yet", "none"),
}
_STATES = {
    TaskState.NOT_BEGUN: Stamp("not begun", "begun"),
    TaskState.IN_WORK: Stamp("in work", "task"),
    TaskState.COMPLETE: Stamp("complete", "complete"),
    TaskState.BACK_IN_WORK: Stamp("back in work", "again"),
}
_RESULTS = {
    "accepted": Stamp("accepted", "current"),
    "passed": Stamp("passed", "current"),
    "rejected": Stamp("rejected", "rejected"),
    "failed": Stamp("failed", "rejected"),
}
_GRADES = ("major", "minor", "observation")
_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def hours(exact: Fraction) -> str:
    """Exact hours rounded to hundredths, without trailing noughts: `2.5 h`."""
    return _hours(*exact.as_integer_ratio())


# a log has few different hours; and two integers hash faster than the fraction they are
@functools.lru_cache(maxsize=1 << 14)
def _hours(top: int, bottom: int) -> str:
    return _column(top, bottom).rstrip("0").rstrip(".") + " h"


def column(exact: Fraction) -> str:
    """Exact hours rounded to hundredths, half to even, both shown, so that a column lines up: `2.50`."""
    return _column(*exact.as_integer_ratio())


@functools.lru_cache(maxsize=1 << 14)
def _column(top: int, bottom: int) -> str:
    hundredths, rest = divmod(top * 100, bottom)
    if 2 * rest > bottom or (2 * rest == bottom and hundredths % 2):
        hundredths += 1
    return f"{hundredths // 100}.{hundredths % 100:02d}"


def tally(title: str, rows: Iterable[tuple[Link, Fraction]], total: Fraction, note: str = "") -> Tally:
    """Rows of hours with their total."""
    return Tally(title, tuple((key, column(each)) for key, each in rows), column(total), note)


def month(key: str) -> str:
    """A month such as `2026-03` in words: March 2026."""
    year, _, number = key.partition("-")
    return f"{_MONTHS[int(number) - 1]} {year}"


def weekday(day: datetime.date) -> str:
    """The day of the week."""
    return _DAYS[day.weekday()]


def clock(minute: int | None) -> str:
    """A time of day from minutes after midnight; empty without one."""
    return "" if minute is None else f"{minute // 60:02d}:{minute % 60:02d}"


def counted(count: int, one: str, many: str = "") -> str:
    """A number and its noun: `two findings`, `1 entry` beyond ten in figures."""
    number = _NUMBERS[count] if count < len(_NUMBERS) else str(count)
    return f"{number} {one if count == 1 else many or one + 's'}"


def status(of: Status) -> Stamp:
    """The stamp of an inspection status."""
    return _OUTLINES[of]


def worst(stages: Iterable[StageStatus], *, asked_only: bool = True) -> Stamp | None:
    """The stamp of the stages its class asks for (or of all), taken together; None where there are none.

    The first status in DESIGN's order of telling; `none` on a stage that is due comes before what is current.
    """
    asked = [each for each in stages if each.asked or not asked_only]
    if not asked:
        return None
    order = list(Status)
    troubled = [each.status for each in asked if each.status not in (Status.CURRENT, Status.NONE)]
    if troubled:
        return _OUTLINES[min(troubled, key=order.index)]
    if any(each.status is Status.NONE and each.due for each in asked):
        return _OUTLINES[Status.NONE]
    current = sum(each.status is Status.CURRENT for each in asked)
    if current == len(asked):
        return _OUTLINES[Status.CURRENT]
    return Stamp(f"{current} of {len(asked)} current", "none")


def state(of: TaskState) -> Stamp:
    """The stamp of a task's state."""
    return _STATES[of]


def result(word: str) -> Stamp | None:
    """The stamp of the result of an inspection or a test."""
    return _RESULTS.get(word)


def grade(word: str) -> Stamp:
    """The stamp of a finding's grade."""
    return Stamp(word, word)


def weight(grade_word: str) -> int:
    """Where a grade stands: the most serious first."""
    return _GRADES.index(grade_word)

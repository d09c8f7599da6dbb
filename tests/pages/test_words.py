"""How figures, dates and statuses read."""

from __future__ import annotations

import datetime
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.model.settings import Stage
from buildlog.pages import words
from buildlog.pages.frame import Link
from buildlog.reckoning.knowledge import StageStatus, Status, TaskState


@pytest.mark.parametrize(
    ("exact", "told", "column"),
    [
        (Fraction(5, 2), "2.5 h", "2.50"),
        (Fraction(0), "0 h", "0.00"),
        (Fraction(100), "100 h", "100.00"),
        (Fraction(1, 3), "0.33 h", "0.33"),
        (Fraction(7, 3), "2.33 h", "2.33"),
        (Fraction(1, 200), "0 h", "0.00"),
        (Fraction(3, 200), "0.02 h", "0.02"),
        (Fraction(1234567, 1), "1234567 h", "1234567.00"),
    ],
)
def test_hours(exact: Fraction, told: str, column: str) -> None:
    assert words.hours(exact) == told
    assert words.column(exact) == column


@given(st.fractions(min_value=0, max_value=10**9))
def test_shown_hours_are_never_further_off_than_half_a_hundredth(exact: Fraction) -> None:
    assert abs(Fraction(Decimal(words.column(exact))) - exact) <= Fraction(1, 200)


def test_dates() -> None:
    assert words.month("2026-03") == "March 2026"
    assert words.clock(None) == ""
    assert words.clock(9 * 60 + 5) == "09:05"
    # ISO 8601 week examples of CHECKS: 2005-01-01 is a Saturday (W53-6), 2007-01-01 a Monday (W01-1)
    assert words.weekday(datetime.date(2005, 1, 1)) == "Saturday"
    assert words.weekday(datetime.date(2007, 1, 1)) == "Monday"


def test_counts_read_as_words_up_to_ten() -> None:
    assert words.counted(1, "entry", "entries") == "one entry"
    assert words.counted(2, "entry", "entries") == "two entries"
    assert words.counted(11, "finding") == "11 findings"


def stage(status: Status, *, asked: bool = True, due: bool = True) -> StageStatus:
    return StageStatus(stage=Stage(key="x"), asked=asked, due=due, status=status)


@pytest.mark.parametrize(
    ("stages", "told"),
    [
        ([], None),
        ([stage(Status.CURRENT, asked=False)], None),
        ([stage(Status.CURRENT)], "current"),
        ([stage(Status.NONE)], "none yet"),
        ([stage(Status.NONE), stage(Status.CURRENT)], "none yet"),
        ([stage(Status.CURRENT), stage(Status.NONE, due=False)], "1 of 2 current"),
        ([stage(Status.NONE, due=False)], "0 of 1 current"),
        ([stage(Status.PARTIAL), stage(Status.UNDONE)], "undone"),
        ([stage(Status.REJECTED), stage(Status.ON_HOLD)], "on hold"),
        ([stage(Status.UNCLEAR), stage(Status.NONE)], "unclear"),
    ],
)
def test_an_item_wears_the_worst_of_its_stages(stages: list[StageStatus], told: str | None) -> None:
    mark = words.worst(stages)
    assert (mark.word if mark else None) == told


def test_every_status_and_state_has_an_outline_of_its_own() -> None:
    assert len({words.status(each) for each in Status}) == len(Status)
    assert len({words.state(each) for each in TaskState}) == len(TaskState)


def test_results() -> None:
    assert words.result("accepted") == words.Stamp("accepted", "current")
    assert words.result("") is None


def test_a_tally_keeps_its_exact_total() -> None:
    third = Fraction(1, 3)
    tally = words.tally("By thirds", [(Link(each), third) for each in "abc"], Fraction(1))
    assert [hours for _, hours in tally.rows] == ["0.33", "0.33", "0.33"]
    assert tally.total == "1.00"

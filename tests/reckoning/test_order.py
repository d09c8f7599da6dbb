"""Order of records, from DESIGN *Order*: by date, then time (their own, or the entry's start), then place."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.model.entry import Entry
from buildlog.reckoning.index import moments
from buildlog.reckoning.order import Moment, Order, compare, work_moment
from tests.reckoning.logs import articles, entry, no, ok, rec, stage, status, work

UNDONE_OR_NOT = [
    # the history of RIB/L after it was made on day 1, and the status of its one stage
    pytest.param([entry(2, ok("RIB/L"), rec("damaged", "RIB/L"))], "undone", id="below it in one entry"),
    pytest.param([entry(2, rec("damaged", "RIB/L"), ok("RIB/L"))], "current", id="above it in one entry"),
    pytest.param([entry(3, rec("damaged", "RIB/L")), entry(2, ok("RIB/L"))], "undone", id="a later day"),
    pytest.param(
        [entry(3, rec("damaged", "RIB/L", date=2)), entry(3, ok("RIB/L"), key="b")],
        "current",
        id="written up later, happened earlier",
    ),
    pytest.param(
        [entry(2, rec("damaged", "RIB/L")), entry(2, ok("RIB/L", date=3), key="b")],
        "current",
        id="the inspector came a day later than the entry",
    ),
    pytest.param(
        [entry(2, ok("RIB/L")), entry(2, rec("damaged", "RIB/L"), key="b")],
        "unclear",
        id="one day, two entries, no time",
    ),
    pytest.param(
        [entry(2, ok("RIB/L"), start="09:00"), entry(2, rec("damaged", "RIB/L"), key="b")],
        "unclear",
        id="one day, one of two with a time",
    ),
    pytest.param(
        [entry(2, ok("RIB/L"), start="09:00"), entry(2, rec("damaged", "RIB/L"), key="b", start="09:00")],
        "unclear",
        id="two entries of one minute",
    ),
    pytest.param(
        [entry(2, ok("RIB/L"), start="10:00"), entry(2, rec("damaged", "RIB/L"), key="b", start="09:00")],
        "current",
        id="start orders entries, not their names",
    ),
    pytest.param(
        [entry(2, ok("RIB/L"), start="09:00"), entry(2, rec("damaged", "RIB/L"), key="b", start="09:01")],
        "undone",
        id="one minute later",
    ),
    pytest.param(
        [
            entry(2, ok("RIB/L"), start="09:00"),
            entry(2, rec("damaged", "RIB/L", time="08:00"), key="b", start="18:00"),
        ],
        "current",
        id="a record's own time goes before start",
    ),
    pytest.param(
        [entry(2, ok("RIB/L", time="10:00"), rec("damaged", "RIB/L", time="09:00"))],
        "current",
        id="own times order the records of one entry",
    ),
    pytest.param(
        [entry(2, ok("RIB/L", time="10:00"), rec("damaged", "RIB/L"))],
        "undone",
        id="without a time or a start, below is after",
    ),
    pytest.param(
        [
            entry(
                2,
                rec("measured", "RIB/L", value="1 mm", time="15:00"),
                ok("RIB/L", time="14:00"),
                rec("damaged", "RIB/L"),
            )
        ],
        "undone",
        id="what has no time is never before what stands above it",
    ),
    pytest.param(
        [
            entry(3, ok("RIB/L"), start="09:00"),
            entry(4, rec("damaged", "RIB/L", date=3), key="b", start="10:00"),
        ],
        "unclear",
        id="start is no time of a record of another date",
    ),
    pytest.param(
        [
            entry(3, ok("RIB/L"), start="09:00"),
            entry(4, rec("damaged", "RIB/L", date=3, time="10:00"), key="b", start="10:00"),
        ],
        "undone",
        id="own date and own time",
    ),
    pytest.param(
        [entry(2, ok("RIB/L")), entry(2, no("RIB/L"), key="b")], "unclear", id="passed and refused one day"
    ),
    pytest.param(
        [entry(2, no("RIB/L"), start="08:00"), entry(2, ok("RIB/L"), key="b", start="09:00")],
        "current",
        id="refused, then passed, one day with times",
    ),
    pytest.param(
        [entry(2, ok("RIB/L")), entry(2, work("RIB/L", kind="filing"), key="b")],
        "unclear",
        id="work of the day, no order",
    ),
    pytest.param(
        [entry(2, work("RIB/L", kind="filing"), ok("RIB/L"))],
        "current",
        id="work comes before its entry's records",
    ),
]


@pytest.mark.parametrize(("entries", "expected"), UNDONE_OR_NOT)
def test_an_acceptance_stands_by_the_order(entries: list[Entry], expected: str) -> None:
    made = entry(1, rec("made", "RIB/L"))
    assert status("RIB/L", "to-drawing", made, *entries) == expected


def test_what_is_unclear_names_what_has_no_order() -> None:
    made = entry(1, rec("made", "RIB/L"))
    found = stage(
        "RIB/L", "to-drawing", made, entry(2, ok("RIB/L")), entry(2, rec("damaged", "RIB/L"), key="b")
    )
    assert [event.kind for event in found.against] == ["damaged"]
    assert found.last is not None
    assert found.last.kind == "inspected"
    both = stage("RIB/L", "to-drawing", made, entry(2, ok("RIB/L")), entry(2, no("RIB/L"), key="b"))
    assert both.last is not None
    assert {both.last.place, *(event.entry for event in both.against)} == {1, "2026-06-02-a"}
    hours = stage(
        "RIB/L",
        "to-drawing",
        made,
        entry(2, ok("RIB/L")),
        entry(2, work("RIB/L", kind="filing"), key="b"),
    )
    assert [line.kind for line in hours.untold] == ["filing"]


def test_a_history_is_shown_in_order() -> None:
    found = articles(
        "RIB/L",
        entry(3, rec("modified", "RIB/L"), rec("repaired", "RIB/L", date=2)),
        entry(1, rec("made", "RIB/L"), start="20:00"),
        entry(1, rec("received", "RIB/L"), key="b", start="08:00"),
    )
    assert [event.kind for event in found[0].events] == ["received", "made", "repaired", "modified"]


def test_work_has_the_entrys_start_and_goes_before_the_records() -> None:
    session = entry(1, work("RIB/L"), rec("made", "RIB/L"), start="18:30")
    assert work_moment(session, 1).minute == 18 * 60 + 30
    assert compare(work_moment(session, 1), moments(session)[0]) is Order.BEFORE
    assert compare(moments(session)[0], moments(session)[0]) is Order.SAME


days = st.integers(1, 2)
clock = st.sampled_from((None, "08:00", "12:00"))


@given(st.lists(st.tuples(days, clock, st.lists(st.tuples(days, clock), max_size=4)), max_size=4))
def test_order_contradicts_neither_itself_nor_what_is_shown(
    told: list[tuple[int, str | None, list[tuple[int, str | None]]]],
) -> None:
    every: list[Moment] = []
    for number, (day, start, records) in enumerate(told):
        facts = [rec("made", "RIB/L", date=own, time=time) for own, time in records]
        every.extend(moments(entry(day, *facts, key=str(number), start=start)))
    opposite = {
        Order.BEFORE: Order.AFTER,
        Order.AFTER: Order.BEFORE,
        Order.UNCLEAR: Order.UNCLEAR,
        Order.SAME: Order.SAME,
    }
    for one, other in itertools.product(every, every):
        order = compare(one, other)
        assert compare(other, one) is opposite[order]
        assert (order is Order.SAME) == (one == other)
        if order is Order.BEFORE:
            assert one.show < other.show

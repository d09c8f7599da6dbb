"""Tracing: what a lot went into, and what lots are in an item, are one relation read from its two ends."""

from __future__ import annotations

import datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildlog.model.names import Item
from buildlog.reckoning.knowledge import Knowledge
from buildlog.reckoning.reckon import reckon
from buildlog.reckoning.tracing import Grip, Trace, grip, lots_inside, trace_lot, trace_tool
from tests.logs import facts

PARTS = "part W\npart R parent=W\npart S parent=R items=L,R\npart Z\nlot L1\nlot L2\n"
ITEMS = ("W", "R", "S/L", "S/R", "Z")


def known(text: str, on: str = "") -> Knowledge:
    return reckon(facts(text), datetime.date.fromisoformat(on) if on else None)


def traced(text: str, lot: str = "L1", on: str = "") -> Trace:
    return trace_lot(known(text, on), lot)


def where(trace: Trace) -> dict[str, str]:
    """Each item the lot is in, and what that is in."""
    return {
        str(item): " in ".join(str(each.item) + ("" if each.sure else "?") for each in spot.above)
        for item, spot in trace.spots.items()
    }


def held(trace: Trace) -> dict[str, str]:
    return {
        str(each.item): " ".join(str(item) + ("" if sure else "?") for item, sure in each.holds)
        for each in trace.holders
    }


@pytest.mark.parametrize(
    ("text", "spots", "holders"),
    [
        pytest.param("2026-03-01 made Z lots=L1", {"Z": ""}, {}, id="into one item"),
        pytest.param("2026-03-01 made Z lots=L2", {}, {}, id="another lot"),
        pytest.param(
            "2026-03-01 made R lots=L1",
            {"R": "W"},
            {"W": "R"},
            id="assumed in its parent, which has no record",
        ),
        pytest.param(
            "2026-03-01 made S/L lots=L1", {"S/L": "R in W"}, {"W": "S/L", "R": "S/L"}, id="up to the top"
        ),
        pytest.param(
            "2026-03-01 made S lots=L1",
            {"S/L": "R in W", "S/R": "R in W"},
            {"W": "S/L S/R", "R": "S/L S/R"},
            id="a bare part: all its items",
        ),
        pytest.param(
            "2026-03-01 made R lots=L1\n2026-03-02 installed R on=Z", {"R": "Z"}, {"Z": "R"}, id="moved since"
        ),
        pytest.param(
            "2026-03-01 made R lots=L1\n2026-03-02 removed R from=W",
            {"R": ""},
            {},
            id="taken out, it is loose",
        ),
        pytest.param(
            "2026-03-01 made R lots=L1\n2026-03-02 installed R on=Z\n2026-03-02 installed R on=W",
            {"R": "Z? in W?"},
            {"W": "R?", "Z": "R?"},
            id="moved twice in one evening: either place, perhaps",
        ),
        pytest.param(
            "2026-03-01 made R lots=L1\n2026-03-02 09:00 installed R on=Z\n2026-03-02 10:00 installed R on=W",
            {"R": "W"},
            {"W": "R"},
            id="moved twice by the clock",
        ),
        pytest.param(
            "2026-03-01 made R lots=L1\n2026-03-02 installed R on=X-9",
            {"R": "X-9"},
            {"X-9": "R"},
            id="unlisted",
        ),
        pytest.param(
            "2026-03-01 made R lots=L1\n2026-03-02 installed R on=R",
            {"R": ""},
            {},
            id="inside itself: told once",
        ),
        pytest.param(
            "2026-03-01 made R,Z lots=L1\n2026-03-02 installed R on=Z\n2026-03-03 installed Z on=R",
            {"R": "Z", "Z": "R"},
            {"R": "Z", "Z": "R"},
            id="each inside the other",
        ),
        pytest.param("2026-03-01 made R lots=L1\n2026-03-02 scrapped R", {}, {}, id="scrapped"),
        pytest.param(
            "2026-03-01 made R lots=L1\n2026-03-02 scrapped R\n2026-03-03 made R",
            {},
            {},
            id="a second article",
        ),
        pytest.param(
            "2026-03-01 made R\n2026-03-02 scrapped R\n2026-03-03 made R lots=L1",
            {"R": "W"},
            {"W": "R"},
            id="in the second article",
        ),
        pytest.param(
            "2026-03-01 made Z lots=L1\n2026-03-02 voided Z entry=2026-03-01-1 record=1 reason=no",
            {},
            {},
            id="struck through",
        ),
        pytest.param(
            "2026-03-01 made W\n2026-03-02 closed W lots=L1",
            {"W": ""},
            {},
            id="whatever the record: a closing",
        ),
        pytest.param(
            "2026-03-01 made Z lots=L1\n2026-03-02 reidentified Z as=R",
            {"R": "W"},
            {"W": "R"},
            id="goes on under another name",
        ),
        pytest.param(
            "2026-03-01 made Q lots=L1\n2026-03-02 installed Q on=Z\n2026-03-03 reidentified Z as=X",
            {"Q": "Z in X"},
            {"Z": "Q", "X": "Q"},
            id="in something that goes on under another name",
        ),
        pytest.param(
            "2026-02-01 made R\n2026-03-01 made Z lots=L1\n2026-03-02 reidentified Z as=R",
            {"R": "W"},
            {"W": "R"},
            id="takes the place of another",
        ),
        pytest.param(
            "2026-03-01 made Z\n2026-03-02 reidentified Z as=R\n2026-03-03 modified Z lots=L1",
            {"Z": ""},
            {},
            id="used after it went on under another name",
        ),
    ],
)
def test_where_a_lot_is_now(text: str, spots: dict[str, str], holders: dict[str, str]) -> None:
    trace = traced(PARTS + text)
    assert where(trace) == spots
    assert held(trace) == holders


def test_what_is_gone_and_what_is_struck_stays_told() -> None:
    trace = traced(
        PARTS + "2026-03-01 made R lots=L1\n2026-03-02 scrapped R\n2026-03-03 made R lots=L1\n"
        "2026-03-04 modified R lots=L1\n2026-03-05 voided R entry=2026-03-04-1 record=1 reason=no"
    )
    assert [(t.article, t.event.entry) for t in trace.now] == [(2, "2026-03-03-1")]
    (gone,) = trace.gone
    assert (gone.article, gone.ended.kind if gone.ended else "") == (1, "scrapped")
    assert [t.event.entry for t in trace.struck] == ["2026-03-04-1"]


def test_behind_which_closing_it_is() -> None:
    text = PARTS + "2026-03-01 made W\n2026-03-02 made S/L lots=L1\n2026-03-03 closed W area=top\n"
    ((item, closing),) = traced(text).spots[Item("S", "L")].shut
    assert (item, closing.area) == (Item("W"), "top")
    assert traced(text + "2026-03-04 opened W").spots[Item("S", "L")].shut == ()
    assert traced(text, on="2026-03-02").spots[Item("S", "L")].shut == ()
    itself = traced(PARTS + "2026-03-01 made Z lots=L1\n2026-03-02 closed Z").spots[Item("Z")].shut
    assert [str(item) for item, _ in itself] == ["Z"]


def test_a_lot_nobody_knows() -> None:
    with pytest.raises(KeyError):
        traced(PARTS, "L9")


@pytest.mark.parametrize(
    ("row", "day", "expected"),
    [
        ("calibrated=2025-03-01 due=2026-03-01", "2026-03-01", Grip.SINCE),
        ("calibrated=2025-03-01 due=2026-03-01", "2025-03-01", Grip.SINCE),
        ("calibrated=2025-03-01 due=2026-03-01", "2026-03-02", Grip.PAST_DUE),
        ("calibrated=2025-03-01 due=2026-03-01", "2025-02-28", Grip.BEFORE),
        ("calibrated=2024-02-29", "2024-02-29", Grip.SINCE),
        ("calibrated=2024-02-29", "2024-02-28", Grip.BEFORE),
        ("due=2026-03-01", "2020-01-01", Grip.SINCE),
        ("", "2026-03-01", Grip.NEVER),
    ],
)
def test_how_a_reading_stands_to_the_calibration(row: str, day: str, expected: Grip) -> None:
    knowledge = known(f"part Z\ntool T {row}\n{day} measured Z value=1 tool=T")
    (touch,) = trace_tool(knowledge, "T").now
    assert grip(knowledge.tools["T"].tool, touch.event) is expected


FACTS = (
    "made {item} lots=L1",
    "made {item}",
    "repaired {item} lots=L2,L1",
    "modified {item} lots=L2",
    "torqued {item} value=1 lots=L1",
    "scrapped {item}",
    "returned {item}",
    "closed {item} lots=L2",
    "removed {item}",
    "installed {item} on={other}",
    "reidentified {item} as={other}",
    "voided {item} entry=2026-03-02-n01 record=1 reason=no",
)


def entries() -> st.SearchStrategy[list[str]]:
    one = st.builds(
        lambda day, time, fact, item, other: f"2026-03-0{day}{time} {fact.format(item=item, other=other)}",
        st.integers(1, 4),
        st.sampled_from(["", "", " 09:00", " 15:30"]),
        st.sampled_from(FACTS),
        st.sampled_from(ITEMS),
        st.sampled_from((*ITEMS, "X-9")),
    )
    return st.lists(one, max_size=14)


def text_of(lines: list[str]) -> str:
    keyed = [f"{line} key={line[:10]}-n{number:02d}" for number, line in enumerate(lines)]
    return PARTS + "\n".join(keyed)


@settings(max_examples=600, deadline=None)
@given(entries())
def test_from_both_ends_it_is_one_relation(lines: list[str]) -> None:
    """Lot to items, climbing, is the inverse of item to lots, going down."""
    knowledge = known(text_of(lines), "2026-12-31")
    climbing = set()
    for lot in knowledge.lots:
        trace = trace_lot(knowledge, lot)
        records = {touch.item: [] for touch in trace.now}  # type: dict[Item, list[tuple[str, int]]]
        for touch in trace.now:
            records[touch.item].append((touch.event.entry, touch.event.place))
            climbing.add((lot, touch.item, touch.item, touch.event.entry, touch.event.place, True))
        for holder in trace.holders:
            for item, sure in holder.holds:
                for entry, place in records[item]:
                    climbing.add((lot, holder.item, item, entry, place, sure))
    descending = {
        (lot, item, each.touch.item, each.touch.event.entry, each.touch.event.place, each.sure)
        for item, contents in lots_inside(knowledge).items()
        for each in contents
        for lot in each.touch.event.record.lots
        if lot in knowledge.lots
    }
    assert climbing == descending


@settings(max_examples=200, deadline=None)
@given(entries())
def test_every_use_is_told_once(lines: list[str]) -> None:
    knowledge = known(text_of(lines), "2026-12-31")
    for lot, story in knowledge.lots.items():
        trace = trace_lot(knowledge, lot)
        told = [(t.item, t.event.entry, t.event.place) for t in (*trace.now, *trace.gone, *trace.struck)]
        assert len(told) == len(set(told))
        own = [
            (t.event.item, t.event.entry, t.event.place)
            for t in (*trace.now, *trace.gone, *trace.struck)
            if t.was is None
        ]
        assert sorted(own) == sorted((use.item, use.event.entry, use.event.place) for use in story.uses)
        assert {touch.item for touch in trace.now} == set(trace.spots)

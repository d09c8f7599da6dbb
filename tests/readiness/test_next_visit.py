"""To prepare the next visit: what can be looked at, what must be before a closing, and the order of it."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildlog.model.names import Item
from buildlog.model.settings import Stage
from buildlog.readiness.next_visit import Call, Turn, in_order, next_visit
from buildlog.reckoning.knowledge import StageStatus, Status
from buildlog.reckoning.reckon import reckon
from buildlog.reckoning.whereabouts import above, seats_of
from buildlog.rules.chain import check
from tests.logs import facts


def calls(text: str) -> tuple[Call, ...]:
    known = reckon(facts(text))
    return next_visit(known, check(known), seats_of(known.items, known.names))


def told(text: str) -> list[str]:
    return [f"{call.turn.name} {call.item} {call.stage.stage.key}" for call in calls(text)]


NEST = "part W class=assembly\npart R parent=W\npart S parent=R\npart Z\n"
MADE = "2026-03-01 made W,R,S,Z\n"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        pytest.param("", [], id="nothing there, nothing to look at"),
        pytest.param("2026-03-01 made Z", ["NOW Z to-drawing"], id="made and never looked at"),
        pytest.param("2026-03-01 made Z\n2026-03-02 accepted Z to-drawing okafor", [], id="current"),
        pytest.param(
            MADE,
            [
                "BEFORE_CLOSING S to-drawing",
                "BEFORE_CLOSING R to-drawing",
                "BEFORE_CLOSING W pre-close",
                "NOW W to-drawing",
                "NOW Z to-drawing",
            ],
            id="before a closing first, inside before outside",
        ),
        pytest.param(
            MADE + "2026-03-02 closed W",
            [
                "NOW W to-drawing",
                "NOW Z to-drawing",
                "BEHIND_A_CLOSING S to-drawing",
                "BEHIND_A_CLOSING R to-drawing",
                "BEHIND_A_CLOSING W pre-close",
            ],
            id="closed: to be opened",
        ),
        pytest.param(
            MADE + "2026-03-02 closed W\n2026-03-03 opened W",
            [
                "BEFORE_CLOSING S to-drawing",
                "BEFORE_CLOSING R to-drawing",
                "BEFORE_CLOSING W pre-close",
                "NOW W to-drawing",
                "NOW Z to-drawing",
            ],
            id="opened again: before it is closed again",
        ),
        pytest.param(
            MADE + "2026-03-02 accepted W,R,S,Z to-drawing okafor\n2026-03-03 nonconformance S id=N1",
            ["NOT_YET S to-drawing", "NOT_YET W pre-close"],
            id="on hold inside: the whole waits",
        ),
        pytest.param(
            "2026-03-01 made Z\n2026-03-02 scrapped Z\n2026-03-03 accepted Z to-drawing okafor",
            ["NOT_YET Z to-drawing"],
            id="passed, and none is known to be there: first a record of it",
        ),
        pytest.param(
            "2026-03-01 made Z\n2026-03-02 scrapped Z\n2026-03-03 accepted Z to-drawing okafor\n"
            "2026-03-04 received Z",
            ["NOW Z to-drawing"],
            id="passed before it came: to be looked at again",
        ),
        pytest.param(
            "2026-03-01 made Z\n2026-03-02 nonconformance Z id=N1\n"
            "2026-03-03 disposition Z id=N1 decision=rework by=engel",
            ["NOW Z to-drawing"],
            id="reworked: a look is what it waits for",
        ),
        pytest.param(
            "2026-03-01 made Z\n2026-03-02 rejected Z to-drawing okafor",
            ["NOT_YET Z to-drawing"],
            id="rejected and nothing done since",
        ),
        pytest.param(
            "2026-03-01 made Z\n2026-03-02 rejected Z to-drawing okafor\n2026-03-03 repaired Z",
            ["NOW Z to-drawing"],
            id="rejected and repaired since",
        ),
        pytest.param(
            "2026-03-01 made Z\n2026-03-02 accepted Z to-drawing okafor\n2026-03-03 modified Z",
            ["NOW Z to-drawing"],
            id="undone",
        ),
        pytest.param("2026-03-01 made Z\n2026-03-02 scrapped Z", [], id="gone"),
        pytest.param("part H class=hardware\n2026-03-01 received H", [], id="kept by lot"),
        pytest.param(
            "2026-03-01 made Z\n2026-03-02 damaged Z",
            ["NOT_YET Z to-drawing"],
            id="a damage is settled first",
        ),
    ],
)
def test_what_to_look_at(text: str, expected: list[str]) -> None:
    assert told(NEST + text) == expected


def test_what_is_inside_comes_first_and_is_named() -> None:
    found = {(str(call.item), call.stage.stage.key): call for call in calls(NEST + MADE)}
    assert [str(each) for each in found["W", "pre-close"].after] == ["R", "S"]
    assert found["W", "to-drawing"].after == ()


def test_why_not_yet() -> None:
    text = NEST + MADE + "2026-03-03 nonconformance S id=N1"
    found = {(str(call.item), call.stage.stage.key): call for call in calls(text)}
    assert found["S", "to-drawing"].waits[0].startswith("Nonconformance N1, raised on 2026-03-03")
    assert found["W", "pre-close"].waits == ("Inside it, S cannot be passed yet.",)
    assert [str(each) for each in found["W", "pre-close"].after] == ["R"]
    assert found["W", "to-drawing"].waits == ()


def test_what_a_look_would_clear() -> None:
    text = "part Z\n2026-03-01 made Z\n2026-03-02 nonconformance Z id=N1\n"
    (call,) = calls(text + "2026-03-03 disposition Z id=N1 decision=repair by=engel")
    assert call.clears == ("N1",)
    (call,) = calls(text)
    assert call.clears == ()


def test_who_may() -> None:
    text = (
        "person late name=Late roles=inspector until=2026-02-28\n"
        "person other name=Other roles=inspector may_inspect=pre-close\n"
        "part C class=critical\npart D\n2026-03-01 made C,D by=okafor"
    )
    who = {(str(call.item), call.stage.stage.key): call.who for call in calls(text)}
    assert who["D", "to-drawing"] == ("okafor", "brandt"), "its class asks for no independence"
    assert who["C", "to-drawing"] == ("brandt",), "okafor made it"
    assert who["C", "pre-close"] == ("brandt", "other")


def test_who_may_be_the_second_signature() -> None:
    text = "class two stages=to-drawing signatures=2\npart A class=two\n2026-03-01 made A\n"
    (call,) = calls(text + "2026-03-02 accepted A to-drawing okafor")
    assert (call.stage.status, call.who) == (Status.PARTIAL, ("brandt",))


def test_by_milestone_then_task_then_place() -> None:
    text = """
milestone wheels
milestone taxi items=D
part A
part B
part C
part D
task T-1 milestone=taxi parts=A
task T-2 milestone=wheels parts=B
task T-3 milestone=taxi parts=C
2026-03-01 made A,B,C,D
2026-03-02 work A hours=1 task=T-1
"""
    found = calls(text)
    assert [str(call.item) for call in found] == ["B", "A", "C", "D"]
    assert [call.due_for for call in found] == ["wheels", "taxi", "taxi", "taxi"]
    assert [call.tasks for call in found] == [(), ("T-1",), (), ()]


def test_a_stage_due_before_a_milestone_is_due_for_it() -> None:
    text = "milestone taxi\nstage run before=taxi\nclass run stages=run\npart A class=run\n2026-03-01 made A"
    (call,) = calls(text)
    assert (call.turn, call.due_for) == (Turn.NOW, "taxi")


def call_(item: str, turn: Turn, depth: int, milestone: int, task: int, place: int) -> Call:
    stage = StageStatus(stage=Stage(key="to-drawing"), asked=True, due=True, status=Status.NONE)
    return Call(item=Item(item), name="", stage=stage, turn=turn, depth=depth, milestone=milestone, task=task,
                place=place)  # fmt: skip


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (("a", Turn.BEFORE_CLOSING, 0, 9, 9, 9), ("b", Turn.NOW, 5, 0, 0, 0)),
        (("a", Turn.NOW, 0, 9, 9, 9), ("b", Turn.BEHIND_A_CLOSING, 5, 0, 0, 0)),
        (("a", Turn.BEHIND_A_CLOSING, 0, 9, 9, 9), ("b", Turn.NOT_YET, 5, 0, 0, 0)),
        (("a", Turn.NOW, 2, 9, 9, 9), ("b", Turn.NOW, 1, 0, 0, 0)),
        (("a", Turn.NOW, 1, 0, 9, 9), ("b", Turn.NOW, 1, 1, 0, 0)),
        (("a", Turn.NOW, 1, 1, 0, 9), ("b", Turn.NOW, 1, 1, 1, 0)),
        (("b", Turn.NOW, 1, 1, 1, 0), ("a", Turn.NOW, 1, 1, 1, 1)),
        (("a", Turn.NOW, 1, 1, 1, 1), ("b", Turn.NOW, 1, 1, 1, 1)),
    ],
)
def test_the_order(
    first: tuple[str, Turn, int, int, int, int], second: tuple[str, Turn, int, int, int, int]
) -> None:
    one, other = call_(*first), call_(*second)
    assert in_order([other, one]) == in_order([one, other]) == (one, other)


FACTS = (
    "made {item}", "closed {item}", "opened {item}", "removed {item}", "installed {item} on={other}",
    "accepted {item} to-drawing okafor", "accepted {item} pre-close okafor", "modified {item}",
    "scrapped {item}", "rejected {item} to-drawing brandt", "nonconformance {item} id=N1",
)  # fmt: skip
ENTRIES = st.lists(
    st.builds(
        lambda day, fact, item, other: f"2026-03-{day:02d} {fact.format(item=item, other=other)}",
        st.integers(1, 9),
        st.sampled_from(FACTS),
        st.sampled_from("WRSZ"),
        st.sampled_from("WRSZ"),
    ),
    max_size=14,
)


@settings(max_examples=300, deadline=None)
@given(ENTRIES)
def test_inside_is_always_looked_at_before_what_it_is_in(entries: list[str]) -> None:
    """Unless two things are each inside the other; and all that is open is there, once."""
    known = reckon(facts(NEST + MADE + "\n".join(entries)))
    seats = seats_of(known.items, known.names)
    found = next_visit(known, check(known), seats)
    assert found == in_order(random.Random(1).sample(found, len(found)))
    place = {(call.item, call.stage.stage.key): at for at, call in enumerate(found)}
    assert len(place) == len(found)
    open_ = {
        (item, stage.stage.key)
        for item, story in known.items.items()
        if story.exists
        for stage in story.stages
        if stage.asked and stage.status is not Status.CURRENT
    }
    assert set(place) == open_, "every stage that is open, and nothing else"
    for call in found:
        assert bool(call.waits) == (call.turn is Turn.NOT_YET)
        over = {each.item for each in above(call.item, seats)}
        for each in call.after if call.turn is not Turn.NOT_YET else ():
            inside = [at for (item, _), at in place.items() if item == each]
            assert inside
            if each not in over:
                assert max(inside) < place[call.item, call.stage.stage.key]

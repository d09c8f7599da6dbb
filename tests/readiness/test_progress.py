"""Whole per cents, from DESIGN *Readiness* and *Editions*: rounded down, and 100 only at the end."""

from __future__ import annotations

import datetime
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.model.lists import Task
from buildlog.model.settings import Milestone
from buildlog.readiness.progress import done_percent, inspections, tasks_towards, whole_percent
from buildlog.reckoning.knowledge import TaskState
from buildlog.reckoning.reckon import reckon
from buildlog.reckoning.tasks import task_states
from tests.logs import facts

COMPLETE = TaskState.COMPLETE


def task(key: str, estimate: str = "", low: str = "", high: str = "") -> Task:
    told = {"estimate": estimate, "low": low, "high": high}
    return Task(task=key, title=key, **{name: Fraction(hours) for name, hours in told.items() if hours})


def percent(tasks: list[Task], *complete: str) -> int:
    return done_percent(tasks, dict.fromkeys(complete, COMPLETE))


SHARES = [
    pytest.param([task("a", "1"), task("b", "2")], ["a"], 33, id="hours, rounded down"),
    pytest.param([task("a", "1"), task("b", "2")], ["b"], 66, id="not to the nearest"),
    pytest.param([task("a", "999"), task("b", "1")], ["a"], 99, id="never 100 before the end"),
    pytest.param([task("a", "5"), task("b", "0")], ["a"], 99, id="nor for a task of no hours that is open"),
    pytest.param([task("a", "5"), task("b", "0")], ["a", "b"], 100, id="all complete"),
    pytest.param([task("a", "0"), task("b", "0")], ["a"], 50, id="no hours at all: each counts the same"),
    pytest.param([task("a"), task("b"), task("c")], ["a"], 33, id="no estimates at all: likewise"),
    pytest.param([task("a"), task("b", "2"), task("c", "6")], ["a"], 33, id="without one, the others' mean"),
    pytest.param([task("a", "", "2", "4"), task("b", "1")], ["a"], 75, id="the middle of low and high"),
    pytest.param([task("a", "3", "1", "20"), task("b", "3")], ["a"], 50, id="most likely, not the PERT mean"),
    pytest.param([task("a", "3")], [], 0, id="nothing complete"),
    pytest.param([], [], 0, id="no task is no progress"),
    pytest.param([task("a", "1")], ["z"], 0, id="another task complete"),
]


@pytest.mark.parametrize(("tasks", "complete", "expected"), SHARES)
def test_estimated_hours_of_the_complete_against_those_of_all(
    tasks: list[Task], complete: list[str], expected: int
) -> None:
    assert percent(tasks, *complete) == expected


@pytest.mark.parametrize("state", [each for each in TaskState if each is not COMPLETE])
def test_what_is_in_work_counts_for_nothing_yet(state: TaskState) -> None:
    assert done_percent([task("a", "1")], {"a": state}) == 0


ESTIMATES = st.lists(st.one_of(st.none(), st.fractions(0, 500, max_denominator=12)), min_size=1, max_size=8)


@given(estimates=ESTIMATES, order=st.randoms(use_true_random=False))
def test_a_per_cent_never_falls_as_tasks_are_completed_and_ends_at_100(
    estimates: list[Fraction | None], order: object
) -> None:
    tasks = [Task(task=str(n), title="", estimate=each) for n, each in enumerate(estimates)]
    keys = [each.task for each in tasks]
    order.shuffle(keys)  # type: ignore[attr-defined]  # hypothesis hands a random.Random, typed as object here
    known = [each for each in estimates if each is not None]
    total = sum(known)
    before = 0
    for much in range(1, len(keys) + 1):
        now = percent(tasks, *keys[:much])
        assert before <= now
        assert (now == 100) == (much == len(keys))
        if total and much < len(keys):
            mean = total / len(known)
            weights = {each.task: mean if each.estimate is None else each.estimate for each in tasks}
            share = sum(weights[key] for key in keys[:much]) * 100 / sum(weights.values())
            assert now == min(99, share.__floor__())
        before = now
    assert before == 100


def test_a_milestone_has_the_tasks_of_all_that_it_needs() -> None:
    milestones = (
        Milestone(key="taxi", needs=("power", "wings")),
        Milestone(key="power", needs=("wheels",)),
        Milestone(key="wheels", needs=("taxi",)),  # the reader refuses a ring; it ends all the same
        Milestone(key="wings"),
        Milestone(key="flight", needs=("taxi",)),
    )
    names = ("taxi", "flight", "", "wheels", "power", "wings")
    tasks = tuple(Task(task=each, title=each, milestone=each) for each in names)

    def towards(key: str) -> list[str]:
        return [each.task for each in tasks_towards(key, milestones, tasks)]

    assert towards("wings") == ["wings"]
    assert towards("taxi") == ["taxi", "wheels", "power", "wings"]
    assert towards("flight") == ["taxi", "flight", "wheels", "power", "wings"]


def test_a_whole_per_cent() -> None:
    assert [whole_percent(done, 3, whole=done == 3) for done in range(4)] == [0, 33, 66, 100]
    assert whole_percent(1000, 1000, whole=False) == 99


AIRCRAFT = """
class bolts stages=to-drawing bulk=true
part WING class=assembly items=L,R
part RIB
part STRAP use=not-for-flight
part BOLT class=bolts
2026-03-01 made WING/L,WING/R,RIB,STRAP,BOLT
2026-03-02 accepted WING/L to-drawing okafor
2026-03-02 accepted STRAP to-drawing okafor
2026-03-02 accepted UNLISTED to-drawing okafor
2026-03-02 accepted RIB pre-close okafor
"""


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        pytest.param("", (2, 6), id="asked for, on what is for flight and not kept by lot"),
        pytest.param("2026-03-03 damaged WING/L", (1, 6), id="undone"),
        pytest.param("2026-03-03 scrapped WING/R", (2, 4), id="what is gone asks for nothing"),
        pytest.param("2026-03-03 accepted WING/R to-drawing okafor scope=half", (2, 6), id="partial"),
        pytest.param("2026-03-03 accepted WING/R to-drawing okafor", (3, 6), id="one more"),
        pytest.param("2026-03-03 made WING/L", (1, 6), id="a new article"),
    ],
)
def test_inspections_of_the_aircraft(more: str, expected: tuple[int, int]) -> None:
    """WING/L and /R two each, RIB one, UNLISTED one; that of RIB before closing is asked for by no class."""
    assert inspections(reckon(facts(AIRCRAFT + more)).items.values()) == expected


STEPS = st.lists(
    st.tuples(
        st.integers(1, 4),
        st.sampled_from(["", " 09:00", " 18:00"]),
        st.sampled_from(["completes A", "resumes A", "work task=A hours=1", "completes B", "work task=C"]),
    ),
    max_size=8,
)


@given(steps=STEPS, day=st.integers(1, 4))
def test_the_states_of_tasks_alone_are_those_of_their_stories(
    steps: list[tuple[int, str, str]], day: int
) -> None:
    text = "".join(f"2026-03-0{on}{at} key=k{n}\n    {step}\n" for n, (on, at, step) in enumerate(steps))
    log = facts("task A\ntask B\n" + text)
    on = datetime.date(2026, 3, day)
    states = task_states(entry for entry in log.entries if entry.date <= on)
    stories = reckon(log, on).tasks
    assert {key: states.get(key, TaskState.NOT_BEGUN) for key in stories} == {
        key: story.state for key, story in stories.items()
    }
    assert set(states) <= set(stories)

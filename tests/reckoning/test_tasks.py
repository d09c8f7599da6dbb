"""Tasks and milestones, from DESIGN *Readiness*: not begun, in work, complete, back in work."""

from __future__ import annotations

import pytest

from buildlog.model.entry import Entry
from buildlog.model.lists import Task
from buildlog.model.settings import Milestone
from tests.reckoning.logs import entry, item, known, work

LIST = (
    Task(task="A", title="First", milestone="power", parts=("RIB",)),
    Task(task="B", title="Second", milestone="power", after=("A",)),
    Task(task="C", title="Third", milestone="taxi", after=("A", "B")),
)

STATES = [
    pytest.param([], "not begun", id="nothing"),
    pytest.param([entry(1, work("BOX", task="A"))], "in work", id="hours"),
    pytest.param([entry(1, work("BOX", 0, task="A"))], "in work", id="no hours yet"),
    pytest.param([entry(1, completes="A")], "complete", id="completed without hours"),
    pytest.param([entry(1, work("BOX", task="A"), completes="A")], "complete", id="worked and completed"),
    pytest.param([entry(1, completes="A"), entry(2, resumes="A")], "back in work", id="resumed"),
    pytest.param([entry(1, resumes="A")], "in work", id="resumed before it was complete"),
    pytest.param(
        [entry(1, completes="A"), entry(2, work("BOX", task="A"))],
        "complete",
        id="hours do not take it up again",
    ),
    pytest.param(
        [entry(1, completes="A"), entry(2, work("BOX", task="A"), resumes="A")],
        "back in work",
        id="hours and resumed",
    ),
    pytest.param(
        [entry(1, completes="A"), entry(2, resumes="A", completes="A")],
        "complete",
        id="taken up and completed in one entry",
    ),
    pytest.param(
        [entry(1, completes="A"), entry(2, resumes="A"), entry(3, work("BOX", task="A"))],
        "back in work",
        id="still back in work",
    ),
    pytest.param(
        [entry(1, completes="A"), entry(2, resumes="A"), entry(3, completes="A")], "complete", id="again"
    ),
    pytest.param(
        [entry(2, completes="A"), entry(1, work("BOX", task="A"))], "complete", id="by date, not by file"
    ),
    pytest.param(
        [
            entry(1, completes="A", start="09:00", key="b"),
            entry(1, resumes="A", start="18:00", key="a"),
        ],
        "back in work",
        id="by start on one day",
    ),
    pytest.param(
        [
            entry(1, completes="A", start="09:00"),
            entry(1, resumes="A", start="18:00", key="b"),
        ],
        "back in work",
        id="an end in the morning is no end in the evening",
    ),
    pytest.param(
        [entry(1, resumes="A"), entry(1, completes="A", key="b")],
        "back in work",
        id="one day without order, not complete before: completed, then resumed",
    ),
    pytest.param(
        [entry(1, completes="A"), entry(2, completes="A"), entry(2, resumes="A", key="b")],
        "complete",
        id="one day without order, complete before: resumed, then completed",
    ),
]


@pytest.mark.parametrize(("entries", "expected"), STATES)
def test_state_of_a_task(entries: list[Entry], expected: str) -> None:
    assert known(*entries, tasks=LIST).tasks["A"].state.value == expected


def test_what_is_known_of_a_task() -> None:
    found = known(entry(1, work("BOX", 2, task="A"), work("CLIP", 1, task="Q9")), tasks=LIST).tasks
    assert [*found] == ["A", "B", "C", "Q9"], "those on the list first, in its order"
    first, third, stray = found["A"], found["C"], found["Q9"]
    assert (first.hours, first.before_it, first.after_it) == (2, (), ("B", "C"))
    assert first.items == (item("RIB/L"), item("RIB/R"), item("BOX"))
    assert (third.before_it, third.after_it, third.hours) == (("A", "B"), (), 0)
    assert (stray.task, stray.state.value) == (None, "in work")
    assert known(entry(1, work("BOX", 2, task="A")), tasks=LIST).parts["BOX"].tasks == ("A",)


MILESTONES = (
    Milestone(key="power", title="Powered up"),
    Milestone(key="taxi", title="Taxi", needs=("power",)),
    Milestone(key="flight", title="Flight", needs=("taxi",)),
)

REACHED = [
    pytest.param("", (), id="nothing"),
    pytest.param("A", (), id="one of two"),
    pytest.param("A B", ("power",), id="all its tasks"),
    pytest.param("A B C", ("power", "taxi"), id="and what it needs; one without tasks is never behind"),
    pytest.param("C", (), id="its own tasks, without what it needs"),
]


@pytest.mark.parametrize(("done", "expected"), REACHED)
def test_milestones_behind(done: str, expected: tuple[str, ...]) -> None:
    found = known(entry(1, completes=done), tasks=LIST, milestones=MILESTONES)
    assert found.frame.milestones_reached == expected


def test_milestones_in_a_net_or_a_ring_end() -> None:
    layers = 24
    tasks = tuple(Task(task=f"T{n}", title="t", milestone=f"m{n}") for n in range(layers * 2))
    net = tuple(
        Milestone(key=f"m{n}", title="m", needs=(f"m{n // 2 * 2 - 2}", f"m{n // 2 * 2 - 1}") if n > 1 else ())
        for n in range(layers * 2)
    )
    all_done = entry(1, completes=" ".join(task.task for task in tasks))
    assert len(known(all_done, tasks=tasks, milestones=net).frame.milestones_reached) == layers * 2
    ring = (Milestone(key="m0", title="a", needs=("m1",)), Milestone(key="m1", title="b", needs=("m0",)))
    assert known(all_done, tasks=tasks, milestones=ring).frame.milestones_reached == ("m0", "m1")
    assert known(entry(1, completes="T0"), tasks=tasks, milestones=ring).frame.milestones_reached == ()

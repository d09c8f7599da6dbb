"""How far the work is, in whole per cent: the tasks towards a milestone, the inspections of the aircraft.

A per cent is rounded down, and 100 means that nothing is left, never that next to nothing is.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from buildlog.model.lists import Task
from buildlog.model.settings import Milestone
from buildlog.reckoning.hours import added
from buildlog.reckoning.knowledge import ItemStory, Status, TaskState


class Looked(NamedTuple):
    """How many inspections are asked for, and how many of them are current."""

    current: int
    asked: int


def tasks_towards(milestone: str, milestones: Iterable[Milestone], tasks: Iterable[Task]) -> tuple[Task, ...]:
    """The tasks of a milestone and of all that it needs, however far back, in the order of the list."""
    needs = {each.key: each.needs for each in milestones}
    waiting, towards = [milestone], set[str]()
    while waiting:
        key = waiting.pop()
        if key not in towards:
            towards.add(key)
            waiting.extend(needs.get(key, ()))
    return tuple(task for task in tasks if task.milestone in towards)


def done_percent(tasks: Sequence[Task], states: Mapping[str, TaskState]) -> int:
    """The estimated hours of the complete tasks against those of all, in whole per cent.

    A task that has no estimate counts with the middle of its `low` and `high`; without those, with the mean
    of the others; where none has any, each counts the same. Work that is begun counts for nothing yet.

    Args:
        tasks: those that count.
        states: how far each is; one that is not in it is not begun.

    Returns:
        0 to 100, rounded down; 100 if and only if every one is complete, and 0 if there is none.
    """
    done = [states.get(task.task) is TaskState.COMPLETE for task in tasks]
    if not any(done):
        return 0
    weights = _weights(tasks)
    return whole_percent(
        added(weight for weight, complete in zip(weights, done, strict=True) if complete),
        added(weights),
        whole=all(done),
    )


def inspections(items: Iterable[ItemStory]) -> Looked:
    """The stages that classes ask for, of the articles there are; parts for the ground or kept by lot apart.

    An item on no parts list counts, as one of the general class.
    """
    stages = [
        stage.status
        for story in items
        if not story.class_.bulk and (story.part is None or story.part.use == "flight")
        for stage in story.stages
        if stage.asked
    ]
    return Looked(stages.count(Status.CURRENT), len(stages))


def whole_percent(done: Fraction | int, of: Fraction | int, *, whole: bool) -> int:
    """A share in whole per cent, rounded down; below 100 unless it is the `whole`."""
    return 100 if whole else min(99, math.floor(100 * Fraction(done) / of))


def _weights(tasks: Sequence[Task]) -> tuple[Fraction, ...]:
    estimates = [_estimate(task) for task in tasks]
    known = [each for each in estimates if each is not None]
    total = added(known)
    if not total:
        return (Fraction(1),) * len(tasks)
    mean = total / len(known)
    return tuple(mean if each is None else each for each in estimates)


def _estimate(task: Task) -> Fraction | None:
    if task.estimate is None and task.low is not None and task.high is not None:
        return (task.low + task.high) / 2
    return task.estimate

"""How far each task is, from what entries say about it."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence

import msgspec

from buildlog.model.entry import Entry
from buildlog.model.lists import Task
from buildlog.model.names import Item, Names
from buildlog.model.remember import Remember
from buildlog.model.settings import Milestone
from buildlog.reckoning.drawers import joined
from buildlog.reckoning.events import TaskStep
from buildlog.reckoning.hours import added
from buildlog.reckoning.index import TaskShares
from buildlog.reckoning.knowledge import TaskState, TaskStory
from buildlog.reckoning.order import BY_TIME, Order, compare
from buildlog.reckoning.steps import steps_of


class TaskDrawer(msgspec.Struct, frozen=True):
    """The stories of one drawer's tasks, and the tasks of each part worked on for them."""

    stories: dict[str, TaskStory]
    parts: dict[str, tuple[str, ...]]


def task_drawer(
    listed: Mapping[str, Task],
    shares: Sequence[TaskShares],
    after: Mapping[str, tuple[str, ...]],
    names: Names,
    remember: Remember,
) -> TaskDrawer:
    """Reckon a drawer: its tasks of the list, in its order, then those that entries name beside them."""
    steps = joined(share.steps for share in shares)
    items = joined(share.items for share in shares)
    stories = {
        key: remember(
            task_story,
            key,
            key,
            listed.get(key),
            steps.get(key, ()),
            tuple(dict.fromkeys(items.get(key, ()))),
            after.get(key, ()),
            names,
        )
        for key in (*listed, *sorted(key for key in steps if key not in listed))
    }
    parts: dict[str, dict[str, None]] = {}
    for key, story in stories.items():
        for item in story.items:
            parts.setdefault(item.number, {})[key] = None
    return TaskDrawer(stories, {number: tuple(keys) for number, keys in parts.items()})


def task_story(
    key: str,
    task: Task | None,
    steps: tuple[TaskStep, ...],
    items: tuple[Item, ...],
    followers: tuple[str, ...],
    names: Names,
) -> TaskStory:
    """Fold a task's steps. `followers` are the tasks that come after it in the list."""
    ordered = tuple(sorted(steps, key=BY_TIME))
    named = [item for name in (task.parts if task else ()) for item in names.of(name).items]
    return TaskStory(
        key=key,
        task=task,
        state=state_after(ordered),
        steps=ordered,
        hours=added(step.hours for step in ordered),
        before_it=task.after if task else (),
        after_it=followers,
        items=tuple(dict.fromkeys((*named, *items))),
    )


def task_states(entries: Iterable[Entry]) -> dict[str, TaskState]:
    """How far each task is that these entries name; every other is not begun.

    It is what the stories say, without all else that goes into one.
    """
    steps: dict[str, list[TaskStep]] = {}
    for entry in entries:
        for step in steps_of(entry, tuple(added(each.hours for each in line.hours) for line in entry.work)):
            steps.setdefault(step.task, []).append(step)
    return {key: state_after(sorted(each, key=BY_TIME)) for key, each in steps.items()}


def state_after(steps: Sequence[TaskStep]) -> TaskState:
    """The state of a task after its steps, sorted for show.

    Work on a complete task does not take it up again. Of steps of one day with no order between them, that
    one comes first which makes sense: what is complete is taken up again, what is not is completed.
    """
    state = TaskState.NOT_BEGUN
    for _, day in itertools.groupby(steps, key=lambda step: step.moment.day):
        left = list(day)
        while left:
            first = [step for step in left if _may_be_next(step, left)]
            step = next((step for step in first if _makes_sense(step, state)), first[0])
            left.remove(step)
            state = _next_state(state, step)
    return state


def _may_be_next(step: TaskStep, left: Sequence[TaskStep]) -> bool:
    return not any(compare(other.moment, step.moment) is Order.BEFORE for other in left)


def _makes_sense(step: TaskStep, state: TaskState) -> bool:
    return step.step == "work" or (step.step == "resumes") == (state is TaskState.COMPLETE)


def _next_state(state: TaskState, step: TaskStep) -> TaskState:
    if step.step == "completes":
        return TaskState.COMPLETE
    if state is TaskState.COMPLETE and step.step == "resumes":
        return TaskState.BACK_IN_WORK
    return TaskState.IN_WORK if state is TaskState.NOT_BEGUN else state


def followers(tasks: Sequence[Task]) -> dict[str, tuple[str, ...]]:
    """For each task the tasks that name it in `after`, in the order of the list."""
    found: dict[str, list[str]] = {}
    for task in tasks:
        for before in task.after:
            found.setdefault(before, []).append(task.task)
    return {key: tuple(after) for key, after in found.items()}


def reached(milestones: Sequence[Milestone], stories: Mapping[str, TaskStory]) -> tuple[str, ...]:
    """The milestones that are behind: they have tasks, all complete, and so have those they need."""
    by_milestone: dict[str, list[TaskStory]] = {}
    for story in stories.values():
        if story.task is not None and story.task.milestone:
            by_milestone.setdefault(story.task.milestone, []).append(story)
    done = {
        key
        for key, tasks in by_milestone.items()
        if all(story.state is TaskState.COMPLETE for story in tasks)
    }
    needs = {milestone.key: milestone.needs for milestone in milestones}
    while short := {key for key in done if not done.issuperset(needs.get(key, ()))}:
        done -= short
    return tuple(milestone.key for milestone in milestones if milestone.key in done)

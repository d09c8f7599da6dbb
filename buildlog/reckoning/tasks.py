"""How far each task is, from what entries say about it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from buildlog.model.lists import Task
from buildlog.model.names import Item, Names
from buildlog.model.settings import Milestone
from buildlog.reckoning.events import TaskStep
from buildlog.reckoning.knowledge import TaskState, TaskStory


def task_story(
    key: str,
    task: Task | None,
    steps: tuple[TaskStep, ...],
    items: tuple[Item, ...],
    followers: tuple[str, ...],
    names: Names,
) -> TaskStory:
    """Fold a task's steps. `followers` are the tasks that come after it in the list."""
    ordered = tuple(sorted(steps, key=lambda step: step.moment.show))
    named = [item for name in (task.parts if task else ()) for item in names.of(name).items]
    return TaskStory(
        key=key,
        task=task,
        state=state_after(ordered),
        steps=ordered,
        hours=sum((step.hours for step in ordered), Fraction(0)),
        before_it=task.after if task else (),
        after_it=followers,
        items=tuple(dict.fromkeys((*named, *items))),
    )


def state_after(steps: Sequence[TaskStep]) -> TaskState:
    """The state of a task after its steps in order. Work on a complete task does not take it up again."""
    state = TaskState.NOT_BEGUN
    for step in steps:
        if step.step == "completes":
            state = TaskState.COMPLETE
        elif state is TaskState.COMPLETE and step.step == "resumes":
            state = TaskState.BACK_IN_WORK
        elif state is TaskState.NOT_BEGUN:
            state = TaskState.IN_WORK
    return state


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

    def behind(key: str, seen: tuple[str, ...]) -> bool:
        before = [each for each in needs.get(key, ()) if each not in seen]
        return key in done and all(behind(each, (*seen, key)) for each in before)

    return tuple(milestone.key for milestone in milestones if behind(milestone.key, ()))

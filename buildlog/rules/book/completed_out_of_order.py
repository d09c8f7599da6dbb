"""What was covered before it was inspected looks the same on a list as what was inspected and then covered.

Basis: AC 20-27G asks for documentation that is continuous and in sequence; the order of tasks is the
log's own, by `after` in tasks.csv.

Flagged: a complete task whose last completion came surely before one that it comes `after` was complete,
even where that one is complete by now: done in the wrong order is not undone by doing the rest. Two
completed on one day with no order between them are in order. Only the tasks named in its own `after`
count. One finding a task.

Cleared by: `completes` put into the entry of the day on which the earlier task was complete; `after` put
right in tasks.csv; or the task taken up again and completed after it.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.reckoning.events import TaskStep
from buildlog.reckoning.knowledge import Frame, TaskState, TaskStory
from buildlog.reckoning.order import Order, compare
from buildlog.reckoning.tasks import state_after
from buildlog.rules.finding import Finding, Grade, Rest
from buildlog.rules.subjects import Subject, TaskPlace
from buildlog.rules.wording import listing

NAME = "completed-out-of-order"
GRADE = "minor"
SUBJECT = Subject.TASK


def check(place: TaskPlace, _frame: Frame) -> Iterator[Finding]:
    """Yield one finding for a task that was completed before what it comes after."""
    story = place.story
    if story.state is not TaskState.COMPLETE or not place.before:
        return
    done = next(step for step in reversed(story.steps) if step.step == "completes")
    open_ = [before for before in place.before if not _complete_by(before, done)]
    if not open_:
        return
    named = listing([f"{before.key} ({_now(before, done)})" for before in open_])
    yield Finding(
        rule=NAME,
        grade=Grade.MINOR,
        message=f"It was complete on {done.moment.day}, before what it comes after: {named}.",
        why="The list says that it cannot be done, or not be seen to be right, before the other.",
        clears="The completion written where it belongs, `after` put right, or the task taken up again and"
        " completed after the other.",
        task=story.key,
        entry=done.entry,
        rests=(Rest(done.entry, "entry", 0, done.moment.day, done.where),),
    )


def _complete_by(before: TaskStory, done: TaskStep) -> bool:
    """Whether a task may have been complete when another was."""
    steps = [step for step in before.steps if compare(step.moment, done.moment) is not Order.AFTER]
    return state_after(steps) is TaskState.COMPLETE


def _now(before: TaskStory, done: TaskStep) -> str:
    later = next(
        (
            step
            for step in before.steps
            if step.step == "completes" and compare(step.moment, done.moment) is Order.AFTER
        ),
        None,
    )
    return f"complete on {later.moment.day}" if later is not None else before.state.value

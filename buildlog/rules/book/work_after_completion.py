"""Hours on a task that is done are hours on something else, or it was not done.

Basis: common practice, no source. AC 20-27G asks for documentation that is continuous and in sequence.

Flagged: work on a task that surely came after an entry that completes it, where no entry between them
resumes it. Work and completion of one day with no order between them are in order. One finding a task.

Cleared by: `resumes` in the entry with the work, before it; or the line put on the task that it was for.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from buildlog.reckoning.events import TaskStep
from buildlog.reckoning.hours import added
from buildlog.reckoning.knowledge import Frame
from buildlog.reckoning.order import Order, compare
from buildlog.rules.finding import Finding, Grade, Rest
from buildlog.rules.subjects import Subject, TaskPlace
from buildlog.rules.wording import counted, hours

NAME = "work-after-completion"
GRADE = "minor"
SUBJECT = Subject.TASK


def check(place: TaskPlace, _frame: Frame) -> Iterator[Finding]:
    """Yield one finding for a task that was worked on while it was complete."""
    steps = place.story.steps
    completed = [step for step in steps if step.step == "completes"]
    if not completed:
        return
    resumed = [step for step in steps if step.step == "resumes"]
    late = [
        (step, done) for step in steps if step.step == "work" and (done := _done(step, completed, resumed))
    ]
    if not late:
        return
    first, done = late[0]
    total = added(step.hours for step, _ in late)
    told = f", {hours(total)} in all" if total else ""
    yield Finding(
        rule=NAME,
        grade=Grade.MINOR,
        message=f"It was worked on after it was complete on {done.moment.day}, and nobody took it up again:"
        f" {counted(len(late), 'work line', 'work lines')} from {first.moment.day} on{told}.",
        why="Its hours and its state no longer agree: it reads complete while it is being worked on.",
        clears=f"`resumes: {place.story.key}` in the entry with the work, or the line on another task.",
        task=place.story.key,
        entry=first.entry,
        rests=tuple(Rest(step.entry, "work", step.line, step.moment.day, step.where) for step, _ in late),
    )


def _done(work: TaskStep, completed: Sequence[TaskStep], resumed: Sequence[TaskStep]) -> TaskStep | None:
    """The completion that the work surely came after, with nothing between that may have taken it up."""
    for done in reversed(completed):
        if compare(done.moment, work.moment) is Order.BEFORE:
            between = (
                compare(done.moment, again.moment) is not Order.AFTER
                and compare(again.moment, work.moment) is not Order.AFTER
                for again in resumed
            )
            return None if any(between) else done
    return None

"""Hours on a task that is on no list count for no estimate, no milestone and no forecast.

Basis: common practice, no source.

Flagged: a task that a work line, `completes` or `resumes` names and tasks.csv does not list. One finding
a task, at the place that names it first. Its hours are kept.

Cleared by: the task put right in the entry, or a row in tasks.csv.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.model.nearest import nearest
from buildlog.reckoning.knowledge import Frame
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, Unlisted
from buildlog.rules.wording import elsewhere

NAME = "not-on-task-list"
GRADE = "minor"
SUBJECT = Subject.UNLISTED_TASK


def check(unlisted: Unlisted, _frame: Frame) -> Iterator[Finding]:
    """Yield one finding: where the task is named first, and how often beside."""
    first = unlisted.mentions[0]
    like = nearest(unlisted.name, unlisted.known)
    yield Finding(
        rule=NAME,
        grade=Grade.MINOR,
        message=f"{unlisted.name} is not on the task list{elsewhere(len(unlisted.mentions) - 1)}"
        f"{f'; the nearest task is {like}' if like else ''}.",
        why="Its hours count for no estimate and no milestone.",
        clears=f"{f'{like} written instead, or a' if like else 'A'} row for {unlisted.name} in tasks.csv.",
        task=unlisted.name,
        entry=first.rest.entry,
        rests=tuple(dict.fromkeys(mention.rest for mention in unlisted.mentions)),
    )

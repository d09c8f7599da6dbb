"""A day of more than sixteen hours is nearly always a slip of the pen, and sometimes a tired builder.

Basis: common practice, no source. The hours of a log are what an authority may ask for to see who did how
much (AC 20-27G has the log show who did each task and when).

Flagged: more than 16 hours of one person on one day, over all entries of that day. Sixteen hours
themselves are not.

Cleared by: the hours put right, or given to the days and the people they belong to.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from buildlog.reckoning.knowledge import Frame, PersonStory
from buildlog.rules.finding import Finding, Grade, Rest
from buildlog.rules.subjects import Subject
from buildlog.rules.wording import counted, hours

NAME = "day-too-long"
GRADE = "observation"
SUBJECT = Subject.PERSON

LONGEST = Fraction(16)
"""The longest day that is taken as it is written, in hours."""


def check(story: PersonStory, _frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each day on which a person worked longer than anybody does."""
    for day, total in story.days:
        if total <= LONGEST:
            continue
        seen = [each for each in story.appearances if each.moment.day == day and each.hours]
        entries = counted(len(seen), "entry", "entries")
        yield Finding(
            rule=NAME,
            grade=Grade.OBSERVATION,
            message=f"{story.person.name or story.person.key} has {hours(total)} on {day}, in {entries}.",
            why="More than 16 hours of one person in a day are more likely a slip than a day's work.",
            clears="The hours put right, or given to the days and people they belong to.",
            person=story.person.key,
            entry=seen[0].entry,
            rests=tuple(Rest(each.entry, "entry", 0, day, each.where) for each in seen),
        )

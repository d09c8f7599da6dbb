"""Nobody sees their own mistakes as well as somebody else does.

Basis: independent inspection of critical work is common practice, no source. Whether a class asks for it
is up to the log: `independent = true`.

Flagged: an acceptance by somebody who worked on the present article before it, where the class of the
item is `independent`; for a stage that looks inside, also by somebody who worked on anything that was
inside it then. Who worked on it is: the people of its work lines of a kind that is not harmless, and the
`by`, else the people, of the records that change it. `present` does not count, and two who pass each
other's work are fine. Such an acceptance counts for nothing.

Cleared by: an acceptance of the stage by somebody independent, or the acceptance struck through.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.reckoning.knowledge import Frame, ItemStory
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.refusals import unanswered
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import people, stage_name

NAME = "inspected-by-own-builder"
GRADE = "major"
SUBJECT = Subject.ITEM


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each acceptance by somebody who worked on it."""
    for status in story.stages:
        for event, refusals in unanswered(status, own_work=True):
            who = people((each.person for each in refusals), frame)
            yield Finding(
                rule=NAME,
                grade=Grade.MAJOR,
                message=f"{who} accepted it for {stage_name(status.stage)} on {event.moment.day}, and"
                f" {refusals[0].reason}.",
                why="The class asks for independence: whoever worked on it may not pass it.",
                clears=f"An acceptance of the stage {status.stage.key} by somebody who did not work on it.",
                item=story.item,
                stage=status.stage.key,
                entry=event.entry,
                person=refusals[0].person,
                rests=(rest_on(event),),
            )

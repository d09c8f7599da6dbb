"""A stamp by somebody who may not give it looks exactly like one by somebody who may.

Basis: 14 CFR 43.9(a), taken as a model, has a record name who approves the work, with the number and kind
of the certificate held. Who may inspect what in this project is set under `[people]`.

Flagged: an acceptance by somebody who has no role of inspector, whose `may_inspect` leaves the stage out,
or whose authority had not begun, or had ended, on that day; the first and the last day are good. Such an
acceptance counts for nothing. So does a passed test that names a stage.

Cleared by: an acceptance of the stage by somebody who may, the settings put right, or the acceptance
struck through.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.reckoning.knowledge import Frame, ItemStory
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.refusals import unanswered
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import listing, people, stage_name

NAME = "inspector-not-authorised"
GRADE = "major"
SUBJECT = Subject.ITEM


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each acceptance by somebody who had no authority to give it."""
    for status in story.stages:
        for event, refusals in unanswered(status, own_work=False):
            reasons = [f"{people([each.person], frame)} {each.reason}".lstrip() for each in refusals]
            yield Finding(
                rule=NAME,
                grade=Grade.MAJOR,
                message=f"It was accepted for {stage_name(status.stage)} on {event.moment.day}, but"
                f" {listing(reasons)}.",
                why="An acceptance without authority counts for nothing, and reads as if it did.",
                clears=f"An acceptance of the stage {status.stage.key} by somebody who may inspect it.",
                item=story.item,
                stage=status.stage.key,
                entry=event.entry,
                person=refusals[0].person,
                rests=(rest_on(event),),
            )

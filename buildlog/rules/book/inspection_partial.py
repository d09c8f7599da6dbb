"""What was looked at in part is easily remembered as looked at.

Basis: FAA Order 8130.2F, paragraph 147, as a magazine reports it: the log shows at what points the
project was inspected. That a partial inspection leaves the rest open is common practice, no source.

Flagged: a stage asked for whose last acceptance stands but had a `scope`. Two partial inspections do not
make a whole one, because only a person can say that together they covered everything. Too few signatures
on a whole inspection are `signature-missing`.

Cleared by: an acceptance of the stage without a `scope`; its note may say that it completes the earlier
ones.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.model.records import Inspected
from buildlog.reckoning.knowledge import Frame, ItemStory, Status
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import people, stage_name

NAME = "inspection-partial"
GRADE = "minor"
SUBJECT = Subject.ITEM


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each stage that was accepted in part only."""
    for status in story.stages:
        last = status.last
        if not status.asked or status.apart is not Status.PARTIAL or status.signers or last is None:
            continue
        if not isinstance(last.record, Inspected) or not last.record.scope:
            continue
        yield Finding(
            rule=NAME,
            grade=Grade.MINOR,
            message=f"For {stage_name(status.stage)} only a part of it was accepted, on {last.moment.day} by"
            f" {people(last.people, frame)}: {last.record.scope}.",
            why="The rest of it has not been looked at.",
            clears=f"An acceptance of the stage {status.stage.key} without a scope.",
            item=story.item,
            stage=status.stage.key,
            entry=last.entry,
            rests=(rest_on(last),),
        )

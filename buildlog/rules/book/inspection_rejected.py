"""An inspector said no: until one of them says yes, the article is not to be closed up or used.

Basis: 14 CFR 43.11, taken as a model, has the discrepancies that an inspection found listed and kept; the
rest is common practice, no source.

Flagged: a stage whose last inspection rejected the present article, or a failed test that names the
stage, whoever asks for that stage. Rework alone does not clear it, and neither does an acceptance without
authority.

Cleared by: an acceptance of the stage after the rejection, or the article scrapped or returned.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.reckoning.knowledge import Frame, ItemStory, Status
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import by, stage_name

NAME = "inspection-rejected"
GRADE = "major"
SUBJECT = Subject.ITEM


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each stage whose last inspection rejected it."""
    for status in story.stages:
        last = status.last
        if status.apart is not Status.REJECTED or last is None:
            continue
        what = "It failed a test for" if last.kind == "tested" else "It was rejected for"
        note = f": {last.record.note}" if last.record.note else ""
        yield Finding(
            rule=NAME,
            grade=Grade.MAJOR,
            message=f"{what} {stage_name(status.stage)} on {last.moment.day}{by(last.people, frame)}"
            f"{note.rstrip('.')}.",
            why="Somebody looked and refused it; nothing in the log takes that back.",
            clears=f"An acceptance of the stage {status.stage.key} after the rejection.",
            item=story.item,
            stage=status.stage.key,
            entry=last.entry,
            rests=(rest_on(last),),
        )

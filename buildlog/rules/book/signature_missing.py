"""Where a class asks for two pairs of eyes, or for paper, one pair or a typed name is not enough.

Basis: 14 CFR 43.9(a), taken as a model, has a record carry the signature, certificate number and kind of
certificate of who approves the work. Second inspectors for critical items are common practice, no source.

Flagged: a stage asked for that was accepted as a whole, where nothing undid it, by fewer different
inspectors than the `signatures` of the class, or, where the class is `signed`, with too few acceptances
that name a `document` (a scan of the signature). People without authority, or who worked on it where the
class is `independent`, are not counted.

Cleared by: acceptances by the inspectors still missing, or the `document` given. Two signatures are two
records, or `by: [a, b]` in one.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.model.records import Inspected
from buildlog.reckoning.knowledge import Frame, ItemStory, StageStatus, Status
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import counted, people, stage_name

NAME = "signature-missing"
GRADE = "minor"
SUBJECT = Subject.ITEM


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each stage accepted as a whole with too few signatures."""
    for status in story.stages:
        last = status.last
        if not status.asked or status.apart is not Status.PARTIAL or last is None:
            continue
        if not status.signers and isinstance(last.record, Inspected) and last.record.scope:
            continue
        yield Finding(
            rule=NAME,
            grade=Grade.MINOR,
            message=f"{stage_name(status.stage)}: {_short(status, story, frame)}.",
            why="The class asks for more than this before the stage counts as passed.",
            clears=_clears(status, story),
            item=story.item,
            stage=status.stage.key,
            entry=last.entry,
            rests=(rest_on(last),),
        )


def _short(status: StageStatus, story: ItemStory, frame: Frame) -> str:
    asked = counted(status.signatures, "inspector is", "inspectors are")
    signed = " with a signed document" if story.class_.signed else ""
    has = people(status.signers, frame)
    if has:
        return f"{asked} asked for{signed}, and only {has} accepted it"
    last = status.last
    day = f" of {last.moment.day}" if last else ""
    return f"{asked} asked for{signed}, and the acceptance{day} names no document"


def _clears(status: StageStatus, story: ItemStory) -> str:
    missing = status.signatures - len(status.signers)
    paper = ", each with its document" if story.class_.signed else ""
    return f"{counted(missing, 'acceptance', 'acceptances')} more by somebody else{paper}."

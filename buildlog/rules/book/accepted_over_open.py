"""Who passes an assembly is taken to vouch for what is in it, and what was open inside goes out of mind.

Basis: common practice, no source. Parts are passed before the assembly that they go into, and the assembly
before it is closed. 14 CFR 43.9(a), taken as a model, has every piece of work approved in its own right.

Flagged: an assembly whose acceptance stands for a stage that looks inside (one with `undone_by_inside`),
where, at the moment of that acceptance, something inside it, however deep, had a stage that was due and not
current. Due are its stages without `before`, and those that are due before the same thing as the assembly's
stage. Only the deciding acceptance of a stage counts: an earlier one was overtaken, and one that was
rejected or undone since has a finding of its own. Things passed in the same record are passed together.
What the log leaves open is told as perhaps. One finding a stage of the assembly, whatever is open inside.

Cleared by: a new acceptance of the assembly once what is inside has been passed, or a deferral.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.reckoning.knowledge import Frame, ItemStory, Open, Status
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import by, counted, listing, stage_name

NAME = "accepted-over-open"
GRADE = "minor"
SUBJECT = Subject.ITEM

_TOLD = 4
"""As many are named; the rest are counted."""


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each stage that was passed over something open inside."""
    for status in story.stages:
        if not status.over or status.last is None:
            continue
        last = status.last
        inside = [f"{each.item} ({each.stage.key}: {_was(each)})" for each in status.over]
        more = len(inside) - _TOLD
        if more > 0:
            inside = [*inside[:_TOLD], counted(more, "stage more", "stages more")]
        yield Finding(
            rule=NAME,
            grade=Grade.MINOR,
            message=f"{stage_name(status.stage)} was accepted on {last.moment.day}{by(last.people, frame)}"
            f" over what was open inside it: {listing(inside)}.",
            why="The acceptance reads as if all that is inside had been passed, and it had not.",
            clears=f"A new acceptance of the stage {status.stage.key} after what is inside has been passed.",
            item=story.item,
            stage=status.stage.key,
            entry=last.entry,
            rests=(rest_on(last),),
        )


def _was(each: Open) -> str:
    word = "not inspected" if each.status is Status.NONE else each.status.value
    return word if each.sure else f"perhaps {word}"

"""Unless the log says which came first, the change or the inspection, nobody knows what was seen.

Basis: AC 20-27G asks for documentation that is continuous and in sequence. The rule that an open order is
never decided in the builder's favour is our own.

Flagged: a stage asked for whose status rests on two things of one day with no order between them, an
inspection and an event that would undo it, an acceptance and a rejection, or an inspection and work of
which no record says what changed; also an event of which it is open whether it was inside at the time.
Two records of one entry are never unclear: they stand in the order of the file.

Cleared by: a `time` on both records, or a `start` in both entries; or a new inspection on a later day.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.reckoning.events import Labour
from buildlog.reckoning.knowledge import Frame, ItemStory, StageStatus, Status
from buildlog.reckoning.order import Order, compare
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, rest_on, rest_on_work
from buildlog.rules.wording import happened, listing, people, stage_name

NAME = "order-unclear"
GRADE = "minor"
SUBJECT = Subject.ITEM


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each stage whose status an open order leaves unclear."""
    for status in story.stages:
        last = status.last
        if not status.asked or status.apart is not Status.UNCLEAR or last is None:
            continue
        work = _work_of_the_day(status)
        if not status.against and not work:
            continue
        told = [happened(event, story, frame) for event in status.against]
        told += [f"there was work on it on {each.moment.day}" for each in work]
        others = (*map(rest_on, status.against), *map(rest_on_work, work))
        result = getattr(last.record, "result", "")
        yield Finding(
            rule=NAME,
            grade=Grade.MINOR,
            message=f"For {stage_name(status.stage)} it was {result} on {last.moment.day} by"
            f" {people(last.people, frame)}; {listing(told)}, and nothing says which came first.",
            why="Whether the inspection saw it as it is now depends on the order, which the log leaves open.",
            clears="Times on both, or a new inspection on a later day.",
            item=story.item,
            stage=status.stage.key,
            entry=last.entry,
            rests=(rest_on(last), *others),
        )


def _work_of_the_day(status: StageStatus) -> list[Labour]:
    """The untold work that has no order with the inspection; what came surely after has its own rule."""
    last = status.last
    return [
        work
        for work in status.untold
        if last is not None and compare(work.moment, last.moment) is Order.UNCLEAR
    ]

"""A signature vouches for the article as it was that day; what changed since, nobody has looked at.

Basis: common practice, no source. Work after an inspection is inspected again, and 14 CFR 43.9(a), taken
as a model, has every piece of work recorded and approved in its own right.

Flagged: a stage that was accepted, where something that undoes it came surely after: one of the stage's
`undone_by` on the item itself, or one of its `undone_by_inside` on anything that was inside it then,
however deep. Once it was closed with the stage current, only its own events, and events on what the
closing hid, undo it. An event struck through undoes nothing. The event is named first, then the
acceptance it undid.

Cleared by: a new acceptance of the stage after the event.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.reckoning.knowledge import Frame, ItemStory, Status
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import counted, happened, people, stage_name

NAME = "inspection-undone"
GRADE = "major"
SUBJECT = Subject.ITEM


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each stage asked for that an event undid."""
    for status in story.stages:
        last, against = status.last, status.against
        if not status.asked or status.apart is not Status.UNDONE or last is None or not against:
            continue
        first = against[0]
        more = len(against) - 1
        after = f", and {counted(more, 'event', 'events')} more after that" if more else ""
        yield Finding(
            rule=NAME,
            grade=Grade.MAJOR,
            message=f"{stage_name(status.stage)} was accepted on {last.moment.day} by"
            f" {people(last.people, frame)}; since then {happened(first, story, frame)}{after}.",
            why="The acceptance was of the article as it was; nobody has accepted it as it is now.",
            clears=f"A new acceptance of the stage {status.stage.key}, after the last of these events.",
            item=story.item,
            stage=status.stage.key,
            entry=first.entry,
            rests=(*map(rest_on, against), rest_on(last)),
        )

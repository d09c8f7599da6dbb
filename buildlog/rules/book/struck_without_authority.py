"""An inspector said no, and somebody else drew a line through it: then nobody ever said no.

Basis: common practice, no source. 14 CFR 43.11, taken as a model, has the discrepancies that an inspection
found listed and kept; who may take one back it leaves to whoever found it.

Flagged: a rejected inspection, a failed test, a nonconformance, a disposition or a damage of the present
article that was struck through by somebody who neither did it (its `by`, else its entry's people) nor is an
inspector with authority on that day and, where the record names a stage, for that stage. A nonconformance
or disposition may be struck by an engineer too. Such a striking counts for nothing: the record stands.

Cleared by: the striking struck through itself; the record struck by somebody who may; or the article
scrapped or returned.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.reckoning.knowledge import Frame, ItemStory
from buildlog.rules.finding import Finding, Grade, Rest
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import by

NAME = "struck-without-authority"
GRADE = "major"
SUBJECT = Subject.ITEM

_WHAT = {
    "inspected": "The rejection",
    "tested": "The failed test",
    "nonconformance": "The nonconformance",
    "disposition": "The decision",
    "damaged": "The damage",
}


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each record struck through by somebody who may not."""
    article = story.chronicle.present
    for event in article.events if article else ():
        struck = event.refused
        if struck is None:
            continue
        who = (
            "an engineer or an inspector"
            if event.kind in ("nonconformance", "disposition")
            else "an inspector"
        )
        yield Finding(
            rule=NAME,
            grade=Grade.MAJOR,
            message=f"{_WHAT[event.kind]} of {event.moment.day} was struck through on {struck.moment.day}"
            f"{by(struck.people, frame)}, who neither did it nor had the authority.",
            why="What was found wrong would be gone without anybody who may say so; the record stands.",
            clears=f"The record {struck.by_record} of {struck.by_entry} struck through; or the record"
            f" {event.place} of {event.entry} struck by those who did it, or by {who}.",
            item=story.item,
            stage=getattr(event.record, "stage", ""),
            entry=struck.by_entry,
            rests=(
                Rest(struck.by_entry, "record", struck.by_record, struck.moment.day, struck.where),
                rest_on(event),
            ),
        )

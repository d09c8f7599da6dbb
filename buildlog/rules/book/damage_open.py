"""Somebody saw damage and wrote it down; until it is put right, the next one to look may not see it.

Basis: 14 CFR 43.9(a), taken as a model, has a repair described and approved like any other work; that
damage stays open until it was repaired or dispositioned is common practice, no source.

Flagged: a damage of the present article that no `repaired` came after. One repair answers for all that was
damaged before it. A repair of the same day with no order to the damage is taken to have come after it,
unless it may have been of an earlier one. Neither a modification nor a new acceptance says that the damage
is gone. Not flagged here: a damage whose nonconformance (named by the record, or raised on the item in the
same session) is open, which is `nonconformance-open`, or was settled since.

Cleared by: a record `repaired`; a nonconformance for it, dispositioned; or the article scrapped or
returned.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Frame, ItemStory
from buildlog.reckoning.order import Order, compare
from buildlog.rules.cases import answered, cases_of
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import by

NAME = "damage-open"
GRADE = "major"
SUBJECT = Subject.ITEM


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each damage that is not answered for."""
    article = story.chronicle.present
    hits = [e for e in article.events if e.kind == "damaged" and not e.struck] if article else []
    if article is None or not hits:
        return
    repairs = [event for event in article.events if event.kind == "repaired" and not event.struck]
    known = cases_of(story, frame)
    for hit in hits:
        if _repaired(hit, hits, repairs) or answered(hit, known):
            continue
        note = f": {hit.record.note.rstrip('.')}" if hit.record.note else ""
        yield Finding(
            rule=NAME,
            grade=Grade.MAJOR,
            message=f"It was damaged on {hit.moment.day}{by(hit.people, frame)}{note}.",
            why="Nothing in the log says that the damage was put right.",
            clears="A record `repaired` after it; or a nonconformance for it, dispositioned, that the damage"
            " names with its key `nonconformance`.",
            item=story.item,
            entry=hit.entry,
            rests=(rest_on(hit),),
        )


def _repaired(hit: Event, hits: Sequence[Event], repairs: Sequence[Event]) -> bool:
    for repair in repairs:
        order = compare(hit.moment, repair.moment)
        if order is Order.BEFORE:
            return True
        if order is Order.UNCLEAR and not any(
            compare(other.moment, repair.moment) is Order.BEFORE for other in hits
        ):
            return True
    return False

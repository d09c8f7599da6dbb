"""Hours on a passed part mean that something was done to it; an inspector wants to know what.

Basis: 14 CFR 43.9(a), taken as a model: a record describes the work done. AC 20-27G: documentation is
continuous.

Flagged: work logged on an item surely after its acceptance, of a kind that is not harmless, in an entry
where no record says what was done to the item. Harmless kinds of work are listed under `[kinds]`;
cleaning, paperwork and inspection unless the log says otherwise. One finding an item, whatever the number
of work lines and stages.

Cleared by: a record in the same entry that says what was done, a harmless kind on the work line if
nothing was changed, or a new acceptance.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from buildlog.reckoning.events import Event, Labour
from buildlog.reckoning.knowledge import Frame, ItemStory, Status
from buildlog.reckoning.order import Order, compare
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, rest_on, rest_on_work
from buildlog.rules.wording import counted, hours, listing, stage_name

NAME = "worked-after-inspection"
GRADE = "minor"
SUBJECT = Subject.ITEM


def check(story: ItemStory, _frame: Frame) -> Iterator[Finding]:
    """Yield at most one finding: the work after an acceptance that no record explains."""
    stages = []
    work: dict[tuple[str, int], Labour] = {}
    accepted: list[Event] = []
    for status in story.stages:
        last = status.last
        if not status.asked or status.apart is not Status.UNCLEAR or last is None:
            continue
        after = [each for each in status.untold if compare(each.moment, last.moment) is Order.AFTER]
        if after:
            stages.append(status.stage)
            accepted.append(last)
            work.update({(each.entry, each.line): each for each in after})
    if not work:
        return
    lines = sorted(work.values(), key=lambda each: each.moment.show)
    first = lines[0]
    total = sum((each.hours for each in lines), Fraction(0))
    kinds = listing(sorted({each.kind for each in lines if each.kind}))
    where = "" if len(lines) == 1 else f" in {counted(len(lines), 'work line', 'work lines')}"
    yield Finding(
        rule=NAME,
        grade=Grade.MINOR,
        message=f"{hours(total)} of {kinds or 'work'}{where} since {first.moment.day}, after it was accepted"
        f" for {listing([stage_name(stage) for stage in stages])}, and no record says what was done.",
        why="If the work changed anything, the acceptance no longer stands.",
        clears="A record in that entry of what was done, a harmless kind of work, or a new acceptance.",
        item=story.item,
        stage=stages[0].key if len(stages) == 1 else "",
        entry=first.entry,
        rests=(*map(rest_on_work, lines), *dict.fromkeys(map(rest_on, accepted))),
    )

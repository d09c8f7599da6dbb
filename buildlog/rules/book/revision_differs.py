"""A part made to last year's drawing fits last year's aircraft.

Basis: 14 CFR 43.9(a), taken as a model, has a record refer to the data that was worked to; that the
revision in force is the one on the list, and that a change says what it asks of articles already made, is
common practice, no source.

Flagged: an article that was made, or last worked on, to another revision of its drawing than parts.csv
gives, or whose acceptance that stands was held against another, as far as their records say (`revision`, or
`drawing: TN-57-1100 rev C`; for a change also `data`). Not flagged: where every `drawing_changed` from then
on, up to the revision of the list, says `effect: none`; where an acceptance that stands was held against
the revision of the list, or says no revision and came after the change to it. One finding an item.

Cleared by: an acceptance held against the revision of the list; the article brought to it; a record
`drawing_changed` to it with `effect: none`; or the list put right.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from buildlog.model.lists import Part
from buildlog.model.records import DrawingChanged, Inspected
from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Frame, ItemStory, StageStatus, Status
from buildlog.reckoning.order import Order, compare
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.revisions import alike, stated
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import listing

NAME = "revision-differs"
GRADE = "minor"
SUBJECT = Subject.ITEM

_MAKES = ("made", "modified", "repaired")
_STANDS = (Status.CURRENT, Status.PARTIAL)


def check(story: ItemStory, _frame: Frame) -> Iterator[Finding]:
    """Yield one finding for an article that is at another revision than the list."""
    part, article = story.part, story.chronicle.present
    if part is None or not part.revision or article is None:
        return
    changes = [e for e in story.chronicle.events if e.kind == "drawing_changed" and not e.struck]
    made = next(
        (e for e in reversed(article.events) if e.kind in _MAKES and _own(e, story) and stated(e, part)), None
    )
    accepted = [(status.stage.key, last) for status in story.stages if (last := _standing(status, story))]
    differs = [(stage, event) for stage, event in accepted if _differs(event, part, changes)]
    brought = any(_at_the_list(event, part, changes) for _, event in accepted)
    if made is not None and not brought and _differs(made, part, changes):
        differs.insert(0, ("", made))
    if not differs:
        return
    told = [
        f"{'accepted against' if stage else 'made to'} revision {stated(event, part)} on {event.moment.day}"
        for stage, event in differs
    ]
    yield Finding(
        rule=NAME,
        grade=Grade.MINOR,
        message=f"It was {listing(list(dict.fromkeys(told)))}; the list has revision {part.revision}"
        f"{_effect(part, changes)}.",
        why="Nobody has said that what changed in the drawing does not matter for this article.",
        clears=f"An acceptance held against revision {part.revision}, or a record `drawing_changed` to"
        f" {part.revision} with `effect: none`.",
        item=story.item,
        stage=differs[0][0],
        entry=differs[0][1].entry,
        rests=tuple(dict.fromkeys(rest_on(event) for _, event in differs)),
    )


def _own(event: Event, story: ItemStory) -> bool:
    """What was logged of it under another item's name speaks of another drawing."""
    return event.item == story.item and not event.struck


def _standing(status: StageStatus, story: ItemStory) -> Event | None:
    last = status.last
    if last is None or status.apart not in _STANDS or not isinstance(last.record, Inspected):
        return None
    return last if last.item == story.item else None


def _differs(event: Event, part: Part, changes: Sequence[Event]) -> bool:
    revision = stated(event, part)
    if not revision or alike(revision, part.revision):
        return False
    since = [change for change in changes if compare(change.moment, event.moment) is not Order.BEFORE]
    return not _without_effect(since, part)


def _without_effect(changes: Sequence[Event], part: Part) -> bool:
    """Whether the changes up to the list's revision all say that they ask nothing."""
    for change in changes:
        record = change.record
        if not isinstance(record, DrawingChanged) or record.effect != "none":
            return False
        if alike(record.to, part.revision):
            return True
    return False


def _at_the_list(accepted: Event, part: Part, changes: Sequence[Event]) -> bool:
    revision = stated(accepted, part)
    if revision:
        return alike(revision, part.revision)
    return any(
        alike(getattr(change.record, "to", ""), part.revision)
        and compare(change.moment, accepted.moment) is Order.BEFORE
        for change in changes
    )


def _effect(part: Part, changes: Sequence[Event]) -> str:
    last = next((e for e in reversed(changes) if alike(getattr(e.record, "to", ""), part.revision)), None)
    if last is None:
        return ""
    asks = getattr(last.record, "effect", "")
    says = {"reinspect": "asks for a new inspection", "none": "asks nothing"}.get(
        asks, "does not say what it asks"
    )
    return f", and the change to it of {last.moment.day} {says} of articles already made"

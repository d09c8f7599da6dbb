"""What was not current inside an assembly at the moment it was passed.

Asked of the deciding acceptance of each stage that looks inside: what such a stage vouches for is the
assembly with what is in it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import msgspec

from buildlog.model.settings import Person, Stage
from buildlog.reckoning.containment import Life, Line, existed, inside_at
from buildlog.reckoning.events import Event
from buildlog.reckoning.hiding import after
from buildlog.reckoning.knowledge import ItemStory, Open, StageStatus, Status
from buildlog.reckoning.leaning import AGAINST, FOR
from buildlog.reckoning.order import Moment, Order, compare
from buildlog.reckoning.status import Bearing, status_at

_STANDS = (Status.CURRENT, Status.UNCLEAR, Status.PARTIAL)
"""Statuses in which an acceptance has not been overtaken by what has a finding of its own."""


class Judged(msgspec.Struct, frozen=True):
    """An item's story, with what bore on its stages from outside."""

    story: ItemStory
    bearing: Bearing


def vouches(story: ItemStory) -> bool:
    """Whether an acceptance stands of a stage that looks inside the item."""
    return any(_passed(status) is not None for status in story.stages)


def _passed(status: StageStatus) -> Event | None:
    """The deciding acceptance of a stage that looks inside, unless it was of a part only."""
    last = status.last
    if not (status.asked and status.stage.undone_by_inside) or last is None or status.apart not in _STANDS:
        return None
    return None if getattr(last.record, "scope", "") else last


def over_open(
    story: ItemStory,
    inner: Sequence[Judged],
    lines: Sequence[Line],
    alive: Sequence[tuple[Life, ...]],
    stages: Mapping[str, Stage],
    people: Mapping[str, Person],
) -> ItemStory:
    """The story with what was open inside at the acceptance of each of its stages.

    Args:
        story: of the assembly.
        inner: all that was ever inside it.
        lines: the lineage of each of those.
        alive: when the articles of each of those existed.
        stages: by key, as the settings have them.
        people: by key, likewise.
    """

    def told(status: StageStatus) -> StageStatus:
        last = _passed(status)
        if last is None:
            return status
        over = tuple(
            each
            for judged, line, known in zip(inner, lines, alive, strict=True)
            for each in _open(judged, line, known, status.stage, last, stages, people)
        )
        return msgspec.structs.replace(status, over=over) if over else status

    return msgspec.structs.replace(story, stages=tuple(map(told, story.stages)))


def _open(
    judged: Judged,
    line: Line,
    known: tuple[Life, ...],
    passed: Stage,
    last: Event,
    stages: Mapping[str, Stage],
    people: Mapping[str, Person],
) -> Iterator[Open]:
    """The stages of one item that were due by an acceptance of what it was in, and not current."""
    story = judged.story
    asked = () if story.class_.bulk else story.class_.stages
    due = [stages[key] for key in asked if key in stages and stages[key].before in ("", passed.before)]
    if not due:
        return
    moment = after(last.moment)
    inside = inside_at(line, moment, last.item)
    there = existed(known, moment)
    if inside is False or there is False:
        return
    for stage in due:
        if _stood(story, stage, moment):
            continue
        then = status_at(
            story.chronicle, story.class_, stage, stages, people, judged.bearing, moment, AGAINST
        )
        if then is not Status.CURRENT:
            best = status_at(
                story.chronicle, story.class_, stage, stages, people, judged.bearing, moment, FOR
            )
            sure = bool(inside and there) and best is not Status.CURRENT
            yield Open(story.item, stage, then, sure)


def _stood(story: ItemStory, stage: Stage, moment: Moment) -> bool:
    """Whether a stage that is current now surely was so then: passed before, and never on hold."""
    status = next((each for each in story.stages if each.stage.key == stage.key), None)
    return (
        status is not None
        and status.status is Status.CURRENT
        and status.last is not None
        and compare(status.last.moment, moment) is Order.BEFORE
        and len(story.chronicle.articles) == 1
        and not any(event.kind == "nonconformance" for event in story.chronicle.events)
    )

"""What the records about a lot of material itself come to, in a word and in sentences."""

from __future__ import annotations

from buildlog.model.records import Received
from buildlog.pages import guide as to
from buildlog.pages import words
from buildlog.pages.frame import Link, Stamp
from buildlog.pages.guide import Guide
from buildlog.pages.rows import Titles
from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import LotStory

Sentence = tuple[Link, ...]

_BAD = {
    "on hold": Stamp("on hold", "hold"),
    "rejected": Stamp("rejected", "rejected"),
    "failed a test": Stamp("failed a test", "rejected"),
    "damaged": Stamp("damaged", "rejected"),
}


def lot_stamp(story: LotStory) -> Stamp | None:
    """The status of a lot, what stands against any delivery of it first; None without records about it."""
    if story.troubles:
        return _BAD[story.troubles[0].word]
    own = story.chronicle
    if own is None:
        return None
    if own.present is None:
        return Stamp("gone", "none")
    looked = words.worst(story.stages, asked_only=False)
    return looked or Stamp("received, not inspected", "none")


def lot_says(guide: Guide, story: LotStory, titles: Titles) -> tuple[Sentence, ...]:
    """When and from whom it came, who looked at it, what stands against it."""
    own = story.chronicle
    if own is None:
        return ()
    told: list[Sentence] = []
    for event in own.events:
        if isinstance(event.record, Received) and event.struck is None:
            came = f" from {event.record.from_}" if event.record.from_ else ""
            told.append((Link("Received "), _leads(event, titles), Link(f"{came}{_by(guide, event)}.")))
    for status in story.stages:
        if status.last is not None:
            result = getattr(status.last.record, "result", "")
            stage = status.stage.title or status.stage.key
            said = Link(f"{stage}: {result} ")
            told.append((said, _leads(status.last, titles), Link(f"{_by(guide, status.last)}.")))
        for each in status.refusals:
            name = guide.person(each.person).text
            told.append((Link(f"The name of {name} does not count, who {each.reason}."),))
    for trouble in story.troubles:
        which = f"nonconformance {trouble.id}, " if trouble.word == "on hold" else ""
        said = Link(f"It stands against all that it went into: {which}{trouble.word} since ")
        told.append((said, _leads(trouble.events[0], titles), Link(".")))
    return tuple(told)


def _by(guide: Guide, event: Event) -> str:
    people = ", ".join(each.text for each in guide.folk(event.people))
    return f" by {people}" if people else ""


def _leads(event: Event, titles: Titles) -> Link:
    day = event.moment.day.isoformat()
    return to.entry(event.entry, day, f"r{event.place}") if event.entry in titles else Link(day)

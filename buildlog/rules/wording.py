"""How findings speak of people, stages, days and what happened."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from buildlog.model.records import Installed, Reidentified, Removed
from buildlog.model.settings import Stage
from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Frame, ItemStory

_HAPPENED = {
    "drawing_changed": "had its drawing changed",
    "nonconformance": "had a nonconformance raised",
    "disposition": "had a nonconformance decided",
    "deferred": "had a finding put off",
    "voided": "had a record struck through",
}


def listing(words: Sequence[str]) -> str:
    """Words as a sentence lists them: `a`, `a and b`, `a, b and c`."""
    return " and ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))


def people(keys: Iterable[str], frame: Frame) -> str:
    """People by their names, by their keys where the settings give no name; empty for nobody."""
    named = (frame.people[key].name or key if key in frame.people else key for key in keys)
    return listing(list(dict.fromkeys(named)))


def by(keys: Iterable[str], frame: Frame) -> str:
    """` by NAMES`, or nothing where nobody is named."""
    names = people(keys, frame)
    return f" by {names}" if names else ""


def stage_name(stage: Stage) -> str:
    """A stage by its title, with the key that records use."""
    return f"“{stage.title}” ({stage.key})" if stage.title and stage.title != stage.key else f"“{stage.key}”"


def happened(event: Event, story: ItemStory, frame: Frame) -> str:
    """What an event did, in a sentence about an item: to it, to what it joins, or to something inside it."""
    item, record = story.item, event.record
    present = story.chronicle.present
    if event.item == item:
        subject = "it"
    elif present is not None and present.carried is not None and event in present.events:
        subject = f"it, as {event.item},"
    elif story.part and not {str(event.item), event.item.number}.isdisjoint(story.part.joins):
        subject = f"{event.item}, which it joins,"
    else:
        subject = f"{event.item}, inside it,"
    if isinstance(record, Reidentified):
        return (
            f"it went on under this name, from {event.item}, on {event.moment.day}{by(event.people, frame)}"
        )
    what = _HAPPENED.get(event.kind, f"was {event.kind}")
    if isinstance(record, Installed) and record.on not in ("", str(item)):
        what += f" on {record.on}"
    if isinstance(record, Removed) and record.from_ not in ("", str(item)):
        what += f" from {record.from_}"
    return f"{subject} {what} on {event.moment.day}{by(event.people, frame)}"


def counted(number: int, one: str, several: str) -> str:
    """A number with its noun."""
    return f"{number} {one if number == 1 else several}"


def graded(number: int, grade: str) -> str:
    """So many findings of a grade: `2 major`, `40 observations`."""
    return f"{number} {grade}s" if grade == "observation" and number != 1 else f"{number} {grade}"


def hours(exact: Fraction) -> str:
    """Hours to two places at most: `2.5 h`."""
    return f"{float(round(exact, 2)):g} h"


def elsewhere(more: int) -> str:
    """` (named in N more places)`, or nothing."""
    return f" (named in {counted(more, 'more place', 'more places')})" if more else ""

"""A fastener that was slackened and forgotten looks like one that is tight.

Basis: common practice, no source: whatever is loosened is marked, and its mark goes when it has been torqued
again.

Flagged: a `loosened` fastener of the present article with no `torqued` of the same name surely after it. A
loosening without a fastener loosens all that were torqued before it, and each wants torquing again, by name
or all together by a torque without a name. While the item is off the aircraft, taken off after it was
loosened, this is an observation: it wants its torque when it goes back on.

Cleared by: a record that it was torqued again. Whether that is within its limits is another rule's matter.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from buildlog.model.records import Loosened, Removed
from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Frame, ItemStory
from buildlog.reckoning.order import Order, compare
from buildlog.reckoning.readings import name_of, named, torques
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import by, listing

NAME = "torque-loosened"
GRADE = "major, observation while the item is off"
SUBJECT = Subject.ITEM


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each loosening that left a fastener loose."""
    article = story.chronicle.present
    if article is None or not any(isinstance(each.record, Loosened) for each in article.events):
        return
    torqued = torques(article.events)
    loose: dict[str, Event] = {}
    names: dict[str, str] = {}
    for event in article.events:
        if isinstance(event.record, Loosened) and event.struck is None:
            for fastener in _loosened(event, torqued):
                if not _tight_again(event, fastener, torqued):
                    loose[named(fastener)] = event
                    names.setdefault(named(fastener), fastener)
    for event in dict.fromkeys(loose.values()):
        left = [names[key] for key, cause in loose.items() if cause == event]
        yield _finding(story, event, left, torqued, frame)


def _loosened(event: Event, torqued: Sequence[Event]) -> tuple[str, ...]:
    """The fasteners that a record loosened: the one it names, or all known by then, or one without a name."""
    name = name_of(event).strip()
    if name:
        return (name,)
    known = {
        named(name_of(each)): name_of(each).strip()
        for each in torqued
        if compare(each.moment, event.moment) is not Order.AFTER
    }
    known.pop("", None)
    return tuple(known.values()) or ("",)


def _tight_again(event: Event, fastener: str, torqued: Sequence[Event]) -> bool:
    """Whether a fastener was surely torqued after it was loosened.

    Where all were loosened, a torque without a name is one of all; where none has a name, any torque is it.
    """
    of_all = not name_of(event).strip()
    fits = {named(fastener), ""} if of_all else {named(fastener)}
    return any(
        compare(each.moment, event.moment) is Order.AFTER
        and (named(name_of(each)) in fits or (of_all and not fastener))
        for each in torqued
    )


def _finding(
    story: ItemStory, event: Event, left: Sequence[str], torqued: Sequence[Event], frame: Frame
) -> Finding:
    told = [f"“{each}”" for each in left if each]
    subject = listing(told) if told else "a fastener of it" if name_of(event) else "its fastening"
    keys = {named(each) for each in left}
    unclear = [
        each
        for each in torqued
        if compare(each.moment, event.moment) is Order.UNCLEAR and named(name_of(each)) in (*keys, "")
    ]
    off = _off_since(story, event)
    verb = "were" if len(told) > 1 else "was"
    said = (
        f"{subject[:1].upper()}{subject[1:]} {verb} loosened on {event.moment.day}{by(event.people, frame)}"
    )
    if unclear:
        said += " and torqued on that day, and nothing says which came first"
    else:
        said += " and not torqued again"
    if off:
        said += ", and the item was taken off since"
    return Finding(
        rule=NAME,
        grade=Grade.OBSERVATION if off else Grade.MAJOR,
        message=f"{said}.",
        why="A fastener without its torque can work loose, and does not look it.",
        clears="A record that it was torqued again, when the item is back on."
        if off
        else "A record that it was torqued again.",
        item=story.item,
        entry=event.entry,
        rests=(rest_on(event), *map(rest_on, unclear)),
    )


def _off_since(story: ItemStory, event: Event) -> bool:
    """Whether the article was surely taken off after a loosening and has not gone back on."""
    stay = story.stay
    return (
        stay is not None
        and stay.within is None
        and stay.begun is not None
        and isinstance(stay.begun.record, Removed)
        and compare(stay.begun.moment, event.moment) is Order.AFTER
    )

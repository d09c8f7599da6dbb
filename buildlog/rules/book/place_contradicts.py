"""If the log has an item in two places, what is said of the place it is not in cannot be relied on.

Basis: common practice, no source. AC 20-27G asks for documentation that is continuous and in sequence; the
configuration that an inspector reads off the log is only as good as its moves.

Flagged: an item's present article put somewhere while a record has it somewhere else, with no removal
between; removed while it was not there, or loose already; put into itself, or into what was inside it then;
put on an article that was scrapped or returned before; a second one in a place for one. That last is known
where one item is received or made twice with different serial numbers and nothing ends the first, and where
each item of a part has a place of its own by the parts list and one is put into the place of another that is
still there. Where the parts list alone has it elsewhere, or the order of a day's moves is open, nothing is
flagged. One finding a record.

Cleared by: the missing removal, with the day it was done; or the wrong record struck through.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.model.records import Installed
from buildlog.reckoning.clashes import Clash, Contradiction
from buildlog.reckoning.knowledge import Frame, ItemStory
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import by

NAME = "place-contradicts"
GRADE = "minor"
SUBJECT = Subject.ITEM

_CLEARS = {
    Clash.IN_ITSELF: "The record struck through, or one that took the outer one out before.",
    Clash.ON_GONE: "The record struck through, or one that says when the next article was made or received.",
    Clash.ELSEWHERE: "A record of the removal, with the day it was done; or the wrong record struck through.",
    Clash.NOT_THERE: "A record of when it was put there; or the wrong record struck through.",
    Clash.TWO: "A record of what became of the first one; or the wrong record struck through.",
}


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each record of the item's place that cannot be so."""
    for each in story.contradictions:
        rests = (each.event,) if each.other is None else (each.event, each.other)
        yield Finding(
            rule=NAME,
            grade=Grade.MINOR,
            message=_message(each, frame),
            why="What is inside what, and so what undoes or hides what, is reckoned from these records.",
            clears=_CLEARS[each.clash],
            item=story.item,
            entry=each.event.entry,
            rests=tuple(map(rest_on, rests)),
        )


def _message(each: Contradiction, frame: Frame) -> str:
    event, other = each.event, each.other
    record = event.record
    place = f" on {record.on}" if isinstance(record, Installed) and record.on else ""
    done = f"It was {event.kind}{place} on {event.moment.day}{by(event.people, frame)}"
    since = f" since {other.moment.day}" if other is not None else ""
    if each.clash is Clash.IN_ITSELF:
        if each.place == event.item:
            return f"{done}, which is itself."
        return f"{done}, which was inside it then."
    if each.clash is Clash.ON_GONE:
        word = other.kind if other is not None and other.kind != "disposition" else "scrapped"
        ended = f"{word} on {other.moment.day}" if other is not None else word
        return f"{done}, but {each.place} had been {ended}, and no other had come."
    if each.clash is Clash.ELSEWHERE:
        return f"{done}, but it had been on {each.place}{since}, and no record before takes it off."
    if each.clash is Clash.NOT_THERE:
        told = getattr(record, "from_", "")
        source = f" from {told}" if told else ""
        where = f"on {each.place}" if each.place is not None else "on nothing"
        return f"{done.replace(' on ', f'{source} on ', 1)}, but it had been {where}{since}."
    if each.beside is not None:
        return f"{done}, where {each.beside} still was; the parts list has one of them there."
    first, second = getattr(other and other.record, "serial", ""), getattr(record, "serial", "")
    return f"{done} with serial number {second}, but the one with {first}{since} is not gone by any record."

"""What an item's page says of what is inside the item, however deep: lots of material, and what is wrong."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import msgspec

from buildlog.model.names import Item
from buildlog.pages import guide as to
from buildlog.pages import words
from buildlog.pages.frame import Link
from buildlog.pages.lot_status import lot_stamp
from buildlog.pages.sheets import LotLine
from buildlog.reckoning.knowledge import Knowledge
from buildlog.reckoning.tracing import Content, lots_inside
from buildlog.reckoning.whereabouts import Seats, above
from buildlog.rules.finding import Findings, Grade

WAYS = 12
"""How many ways into an item a lot is told with; the lot's page has them all."""


class Depth(msgspec.Struct, frozen=True):
    """By item: the lots in it and in what is inside it, and the items inside it with a major finding."""

    lots: dict[Item, tuple[Content, ...]]
    troubled: dict[Item, tuple[Item, ...]]


def depth_of(knowledge: Knowledge, findings: Findings, seats: Seats) -> Depth:
    """What is inside every item."""
    place = {item: at for at, item in enumerate(knowledge.items)}
    troubled: dict[Item, list[Item]] = {}
    for item in sorted(findings.by_item, key=lambda item: (place.get(item, len(place)), item)):
        held = findings.by_item[item]
        if any(each.grade is Grade.MAJOR and each.deferred is None for each in held):
            for each in above(item, seats):
                troubled.setdefault(each.item, []).append(item)
    return Depth(
        lots_inside(knowledge, seats),
        {item: tuple(each for each in inside if each != item) for item, inside in troubled.items()},
    )


def troubled_links(depth: Depth, item: Item) -> tuple[Link, ...]:
    """The items inside an item that something major stands against."""
    return tuple(to.item(each) for each in depth.troubled.get(item, ()))


def lot_lines(
    knowledge: Knowledge, contents: Iterable[Content], titles: Mapping[str, str]
) -> tuple[LotLine, ...]:
    """Each lot in an item with the ways it went in: by which record, on which item."""
    by_lot: dict[str, list[Content]] = {}
    for content in contents:
        for key in content.touch.event.record.lots:
            by_lot.setdefault(key, []).append(content)
    lines = []
    for key, ways in sorted(by_lot.items()):
        story = knowledge.lots.get(key)
        listed = story.lot if story else None
        lines.append(
            LotLine(
                lot=to.lot(key),
                name=listed.material if listed else "on no list",
                until=listed.expires.isoformat() if listed and listed.expires else "",
                stamp=lot_stamp(story) if story and story.troubles else None,
                ways=tuple(_way(each, titles) for each in ways[:WAYS]),
                more=_more(len(ways) - WAYS),
            )
        )
    return tuple(lines)


def _more(left: int) -> str:
    return f"and {words.counted(left, 'more record')}, all on the page of the lot" if left > 0 else ""


def _way(content: Content, titles: Mapping[str, str]) -> tuple[Link, ...]:
    """The item, what it is inside of here, and the record."""
    touch, event = content.touch, content.touch.event
    told = [Link(event.kind.replace("_", " ") + " ")]
    if content.way:
        told = [to.item(content.way[-1])]
        for each in reversed(content.way[:-1]):
            told += [Link(" in "), to.item(each)]
        told.append(Link(("" if content.sure else " (perhaps)") + f": {event.kind.replace('_', ' ')} "))
    if event.record.quantity:
        told.append(Link(f"{event.record.quantity} "))
    day = event.moment.day.isoformat()
    told.append(to.entry(event.entry, day, f"r{event.place}") if event.entry in titles else Link(day))
    if touch.was is not None:
        told += [Link(", then known as "), to.item(touch.was)]
    return tuple(told)

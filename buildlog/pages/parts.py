"""The pages of a part and its items, one bundle; and the parts list, as a table and as a tree."""

from __future__ import annotations

import msgspec

from buildlog.model.lists import PartNote
from buildlog.model.log import MediaFile
from buildlog.pages import address, words
from buildlog.pages import guide as to
from buildlog.pages.frame import Detail, Link, Page, Photo, Stamp
from buildlog.pages.guide import Guide
from buildlog.pages.items import Around, item_page, last_of, seat
from buildlog.pages.plates import linked, plate, prose_of
from buildlog.pages.remarks import remark
from buildlog.pages.sheets import Alike, PartLine, PartSheet, PartsSheet, Seat
from buildlog.reckoning.knowledge import ItemStory, PartStory
from buildlog.rules.finding import Finding


class Bundle(msgspec.Struct, frozen=True):
    """All that the pages of a part and its items show, beside the guide.

    `around` is what bears on each item from elsewhere; `names` the parts that its page leads to, by number;
    `below` and `joins` are those it consists of and those it holds together, `joints` what joins it.
    `mentions` are the entries whose prose names the part or an item of it.
    """

    story: PartStory
    items: tuple[ItemStory, ...]
    around: tuple[Around, ...]
    titles: dict[str, str]
    media: dict[str, MediaFile]
    names: dict[str, str]
    joints: tuple[str, ...] = ()
    milestones: tuple[str, ...] = ()
    mentions: tuple[Link, ...] = ()
    findings: tuple[Finding, ...] = ()
    note: PartNote | None = None
    named: tuple[tuple[str, str], ...] = ()


def draw_part(guide: Guide, bundle: Bundle) -> tuple[Page, ...]:
    """The page of a part, then those of its items."""
    pages = [_part_page(guide, bundle)]
    pages += [
        item_page(guide, story, around, bundle.titles, bundle.media)
        for story, around in zip(bundle.items, bundle.around, strict=True)
    ]
    return tuple(pages)


def _part_page(guide: Guide, bundle: Bundle) -> Page:
    story = bundle.story
    part = story.part
    at = address.of_part(story.number)
    name = part.name if part else ""
    lasts = [each for each in (last_of(item) for item in bundle.items) if each is not None]
    last = max(lasts, key=lambda each: each[0], default=None)
    hours = []
    if story.assembly_hours:
        below = story.assembly_hours - story.own_hours
        rows = [(to.item(item.item), item.hours) for item in bundle.items if item.hours]
        if below:
            rows.append((Link("all that is below it in the parts list"), below))
        hours.append(words.tally("By item", rows, story.assembly_hours))
    note = bundle.note
    sheet = PartSheet(
        block=guide.block(at, f"{story.number} {name}".rstrip(), last=last[1] if last else None),
        number=story.number,
        name=name or "on no parts list",
        facts=_facts(guide, bundle),
        note=prose_of(guide, note.body, dict(bundle.named), bundle.titles, bundle.media) if note else None,
        items=tuple(seat(item) for item in bundle.items),
        parent=to.part(part.parent, bundle.names.get(part.parent, "")) if part and part.parent else None,
        below=tuple(Seat(item=to.part(each), name=bundle.names.get(each, "")) for each in story.below),
        joins=tuple(to.part(each, bundle.names.get(each, "")) for each in (part.joins if part else ())),
        joints=tuple(to.part(each, bundle.names.get(each, "")) for each in bundle.joints),
        tasks=tuple(to.task(key) for key in story.tasks),
        hours=tuple(hours),
        photos=_photos(guide, bundle),
        remarks=tuple(remark(guide, each, bundle.titles) for each in bundle.findings),
        mentions=bundle.mentions,
    )
    return Page(at, "part.html", sheet)


def _facts(guide: Guide, bundle: Bundle) -> tuple[Detail, ...]:
    part = bundle.story.part
    if part is None:
        return ()
    told = (
        ("class", part.class_),
        ("system", part.system),
        ("drawing", part.drawing),
        ("revision", part.revision),
        ("source", part.source),
        ("use", "" if part.use == "flight" else part.use.replace("-", " ")),
        ("spoken", ", ".join(part.spoken)),
        ("supplier", part.supplier),
        ("cost", part.cost),
        ("note", part.note),
        ("needed for", ", ".join(guide.milestones.get(key, key) for key in bundle.milestones)),
        ("written in", str(part.where)),
    )
    return tuple(Detail(label, (Link(text),)) for label, text in told if text)


def _photos(guide: Guide, bundle: Bundle) -> tuple[Photo, ...]:
    shown = {(each.entry, each.medium.file): each for item in bundle.items for each in item.shown}
    return tuple(
        linked(
            plate(guide, each.medium, bundle.media),
            to.entry(each.entry, bundle.titles[each.entry]),
            each.moment.day.isoformat(),
        )
        for each in sorted(shown.values(), key=lambda each: each.moment.show)
    )


def part_line(story: PartStory, items: tuple[ItemStory, ...]) -> PartLine:
    """A part in the parts list."""
    part = story.part
    return PartLine(
        part=to.part(story.number),
        name=part.name if part else "",
        class_=part.class_ if part else "",
        system=part.system if part else "",
        items=_alike(items),
        parent=to.part(part.parent) if part and part.parent else None,
    )


def _alike(items: tuple[ItemStory, ...]) -> tuple[Alike, ...]:
    """Items by status, in the order in which each status first comes."""
    groups: dict[Stamp | None, list[Link]] = {}
    for story in items:
        mark = words.worst(story.stages) if story.exists else None
        name = story.item.designator or "item"
        groups.setdefault(mark, []).append(Link(name, address.of_item(story.item)))
    return tuple(Alike(tuple(links), mark) for mark, links in groups.items())


def draw_lists(
    guide: Guide,
    lines: tuple[PartLine, ...],
    top: tuple[str, ...],
    below: dict[str, tuple[str, ...]],
    strays: tuple[PartLine, ...],
) -> tuple[Page, ...]:
    """The parts list as a table and as a tree.

    Args:
        guide: the edition's names.
        lines: the parts in the order of the list.
        top: the parts without a next higher assembly.
        below: the parts each part consists of.
        strays: the parts on no list.
    """
    table, tree = "parts/index.html", "parts/tree.html"
    inside = indented(lines, top, below)
    return (
        Page(
            table,
            "parts.html",
            PartsSheet(block=guide.block(table, "Parts list"), lines=lines, unlisted=strays),
        ),
        Page(
            tree,
            "tree.html",
            PartsSheet(block=guide.block(tree, "Parts as a tree"), lines=inside, unlisted=strays),
        ),
    )


def indented(
    lines: tuple[PartLine, ...], top: tuple[str, ...], below: dict[str, tuple[str, ...]]
) -> tuple[PartLine, ...]:
    """Parts in the order of a tree, each part's own below it; arguments as for `draw_lists`."""
    by_number = {line.part.text: line for line in lines}
    done: list[PartLine] = []
    for number in top:
        _indent(number, by_number, below, done)
    return tuple(done)


def _indent(
    top: str, lines: dict[str, PartLine], below: dict[str, tuple[str, ...]], done: list[PartLine]
) -> None:
    """Put a part and all below it in order, each with the levels that begin and end after it."""
    # A stack, because a parts list may be deeper than the interpreter's own.
    waiting: list[tuple[str, int]] = [(top, 0)]
    while waiting:
        number, ends = waiting.pop()
        children = below.get(number, ())
        closes = 0 if children else ends
        done.append(msgspec.structs.replace(lines[number], opens=bool(children), closes=closes))
        for place, child in enumerate(reversed(children)):
            # the last child closes its own level and those that end with its parent
            waiting.append((child, ends + 1 if place == 0 else 0))

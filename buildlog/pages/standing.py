"""How everything stands: a tree of what is inside what now, each thing with its status in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import TypeVar

import msgspec

from buildlog.model.names import Item
from buildlog.pages import address, words
from buildlog.pages import guide as to
from buildlog.pages.frame import Link, Page, Stamp
from buildlog.pages.guide import Guide
from buildlog.pages.standing_sheets import StandingSheet, TreeLine, TreeSection
from buildlog.reckoning.configuration import Configuration, standing_in
from buildlog.reckoning.knowledge import ItemStory
from buildlog.reckoning.spells import Basis, Place, Spell
from buildlog.reckoning.whereabouts import shut_behind
from buildlog.rules.finding import Finding, Grade

NOW = "standing/index.html"
DAYS = "standing/days.html"

MANY = 400
"""With more things than so many, what is deep down is folded away until it is asked for."""

DEEP = 2
"""So many levels are then still shown at once."""

SECTIONS = {
    Basis.TOP: (
        "top",
        "The aircraft",
        "What the parts list puts into nothing else, with all in it by the records or the parts list.",
    ),
    Basis.LOOSE: ("loose", "Loose", "Taken out, or not put in yet; by the records in nothing."),
    Basis.UNKNOWN: (
        "unknown",
        "Place unknown",
        "It exists, and neither a record nor the parts list says in what one thing it is.",
    ),
}

Sentence = tuple[Link, ...]
N = TypeVar("N")


class Told(msgspec.Struct, frozen=True):
    """What is to be said of an item where it stands: status, open findings, closings that hold now.

    `shut` are the areas of it that are closed up, `behind` the items above with a closing that hides it.
    """

    item: Item
    name: str
    stamp: Stamp | None
    found: str
    shut: tuple[str, ...]
    behind: tuple[Item, ...]


def told_of(stories: tuple[ItemStory, ...], findings: tuple[tuple[Finding, ...], ...]) -> tuple[Told, ...]:
    """What is to be said of the items of one part number, with the findings on each."""
    return tuple(
        Told(
            item=story.item,
            name=story.part.name if story.part else "",
            stamp=words.worst(story.stages),
            found=_found(standing),
            shut=tuple(c.area for item, c in shut_behind(story) if item == story.item),
            behind=tuple(dict.fromkeys(item for item, _ in story.hidden_by)),
        )
        for story, standing in zip(stories, findings, strict=True)
        if story.exists
    )


def _found(findings: Iterable[Finding]) -> str:
    counts = Counter(each.grade for each in findings if each.deferred is None)
    if not counts:
        return ""
    told = []
    for grade, count in sorted(counts.items()):
        many = "s" if grade is Grade.OBSERVATION and count > 1 else ""
        told.append(f"{count} {grade.word}{many}")
    return f"open findings: {', '.join(told)}"


def now_of(known: Configuration) -> tuple[Spell, ...]:
    """Where everything stands now, in the order of the items."""
    return tuple(spell for spell in known.spells if spell.until is None)


def draw_now(
    guide: Guide,
    spells: tuple[Spell, ...],
    told: tuple[tuple[Told, ...], ...],
    names: Mapping[str, str],
    last: str,
) -> Page:
    """The page of how everything stands.

    Args:
        guide: the edition's names.
        spells: where everything stands.
        told: what is to be said of each item that exists.
        names: what each part number is called.
        last: the last day on which something changed place or was closed or opened; empty if on none.
    """
    says = {each.item: each for many in told for each in many}
    standing = {spell.item: spell for spell in spells}
    inside = standing_in(standing)
    many = len(spells) > MANY

    def line(item: Item, depth: int, *, holds: bool) -> TreeLine:
        spell, each = standing[item], says.get(item)
        held = len(inside.get(item, ()))
        return TreeLine(
            item=linked(guide, spell),
            name=each.name if each else names.get(item.number, ""),
            stamps=(each.stamp,) if each and each.stamp else (),
            notes=(*(() if each and each.stamp else (_no_status(each),)), *_notes(each), *place_notes(spell)),
            fold=f"{words.counted(held, 'item')} in it" if holds else "",
            unfolded=not many or depth < DEEP,
        )

    sections = tuple(
        TreeSection(id=SECTIONS[basis][0], title=SECTIONS[basis][1], note=SECTIONS[basis][2], lines=lines)
        for basis in SECTIONS
        if (lines := nested(inside.get(basis, ()), lambda item: inside.get(item, ()), line))
    )
    sheet = StandingSheet(
        block=guide.block(NOW, "As it stands"),
        sections=sections,
        past=Link("How it stood on days before", DAYS),
        last=Link(last, address.of_stood(last)) if last else None,
    )
    return Page(NOW, "standing.html", sheet)


def _no_status(each: Told | None) -> Sentence:
    return (Link("no inspection asked for" if each else "no record of it"),)


def _notes(each: Told | None) -> tuple[Sentence, ...]:
    if each is None:
        return ()
    notes: list[Sentence] = []
    if each.found:
        notes.append((Link(each.found),))
    if each.shut:
        areas = ", ".join(area for area in each.shut if area)
        notes.append((Link(f"closed up{': ' if areas else ''}{areas}"),))
    if each.behind:
        above = [part for item in each.behind for part in (Link(", "), to.item(item))]
        notes.append((Link("behind a closing of "), *above[1:]))
    return tuple(notes)


def linked(guide: Guide, spell: Spell) -> Link:
    """An item as the page leads to it: what no record names may have no page."""
    return to.item(spell.item) if spell.article else guide.name(str(spell.item))


def place_notes(spell: Spell) -> tuple[Sentence, ...]:
    """What is to be said of a place beside the place."""
    place: Place = spell.place
    notes: list[Sentence] = []
    if place.basis is Basis.ASSUMED:
        notes.append((Link("place assumed from the parts list"),))
    if place.basis in (Basis.GONE, Basis.ROUND) and place.within is not None:
        why = "which is gone" if place.basis is Basis.GONE else "which the records put into it"
        notes.append((Link("by its last record in "), Link(str(place.within)), Link(f", {why}")))
    if place.also:
        others = " or ".join("loose" if each is None else f"in {each}" for each in place.also)
        notes.append((Link(f"or {others}: two records of one day have no order"),))
    return tuple(notes)


def nested(
    top: Sequence[N], inside: Callable[[N], Sequence[N]], line: Callable[..., TreeLine]
) -> tuple[TreeLine, ...]:
    """The lines of a tree in order, each with the levels that end after it.

    Args:
        top: what stands at the top.
        inside: what is directly in a thing. It is asked once for each.
        line: draws a thing, given its depth and, by name, whether it `holds` anything.
    """
    # A stack, because things may be in one another deeper than the interpreter's own goes.
    waiting: list[tuple[N, int, int]] = [(each, 0, 0) for each in reversed(top)]
    lines: list[TreeLine] = []
    while waiting:
        each, depth, ends = waiting.pop()
        within = inside(each)
        drawn = line(each, depth, holds=bool(within))
        closes = 0 if within else ends
        lines.append(msgspec.structs.replace(drawn, closes=closes) if closes else drawn)
        for place, child in enumerate(reversed(within)):
            # the last one ends its own level and those that end with what it is in
            waiting.append((child, depth + 1, ends + 1 if place == 0 else 0))
    return tuple(lines)

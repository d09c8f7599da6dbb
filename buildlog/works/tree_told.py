"""The aircraft as it stands on a day, as it leaves the program: a tree with statuses, JSON or lines of text.

The site's sheet of it is of the log's last day. Any day before is reckoned here, from what is of that day or
earlier, so that its statuses are those of then.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from buildlog.model.names import Item
from buildlog.model.nearest import nearest
from buildlog.pages.standing import SECTIONS, Told, place_notes, told_of
from buildlog.reckoning.configuration import configuration, holder_of, on_evening, standing_in
from buildlog.reckoning.knowledge import Knowledge
from buildlog.reckoning.spells import Basis, Spell, turns_of
from buildlog.rules.finding import Findings


class Node(NamedTuple):
    """An item where it stands. `told` is None for what no record names."""

    item: Item
    name: str
    depth: int
    spell: Spell
    told: Told | None


class Tree(NamedTuple):
    """What stands in what: under each basis its items, each followed by what is in it; or the problem."""

    sections: tuple[tuple[Basis, tuple[Node, ...]], ...] = ()
    problem: str = ""


def tree(knowledge: Knowledge, findings: Findings, of: str = "") -> Tree:
    """How everything stands on the day of the knowledge, or one item (`of`, as written) with all in it."""
    stories = [tuple(knowledge.items[item] for item in part.items) for part in knowledge.parts.values()]
    whole = configuration(
        tuple(knowledge.items),
        tuple(turns_of(each, knowledge.names) for each in stories),
        knowledge.names,
        knowledge.log.parts,
    )
    spells = on_evening(whole, knowledge.day)
    told = {
        each.item: each
        for some in stories
        for each in told_of(some, tuple(findings.by_item.get(story.item, ()) for story in some))
    }
    names = {part.number: part.name for part in knowledge.log.parts}
    inside = standing_in(spells)

    def down(top: tuple[Item, ...]) -> Iterator[Node]:
        waiting = [(item, 0) for item in reversed(top)]
        while waiting:
            item, depth = waiting.pop()
            yield Node(item, names.get(item.number, ""), depth, spells[item], told.get(item))
            waiting += [(child, depth + 1) for child in reversed(inside.get(item, ()))]

    if not of:
        return Tree(tuple((basis, tuple(down(inside[basis]))) for basis in SECTIONS if basis in inside))
    items = [item for item in knowledge.names.of(of).items if item in spells]
    if not items:
        like = nearest(of, [str(item) for item in spells])
        more = f'; the nearest is "{like}"' if like else ""
        return Tree(problem=f'"{of}" did not stand anywhere on {knowledge.day}{more}')
    held = holder_of(spells[items[0]])
    return Tree(((held if isinstance(held, Basis) else Basis.TOP, tuple(down(tuple(items)))),))


def as_json(of: Tree, knowledge: Knowledge) -> dict[str, Any]:
    """The tree as plain values: items in its order, each with what it is in, and its statuses by stage."""
    return {
        "day": knowledge.day.isoformat(),
        "items": [_row(node, knowledge) for _, nodes in of.sections for node in nodes],
    }


def _row(node: Node, knowledge: Knowledge) -> dict[str, Any]:
    story = knowledge.items.get(node.item)
    place = node.spell.place
    return {
        "item": str(node.item),
        "name": node.name or None,
        "within": str(place.within) if place.within is not None else None,
        "place": place.basis.value,
        "perhaps": ["loose" if each is None else str(each) for each in place.also],
        "stages": {each.stage.key: each.status.value for each in story.stages if each.asked} if story else {},
        "closed": list(node.told.shut) if node.told else [],
        "behind": [str(each) for each in node.told.behind] if node.told else [],
    }


def as_lines(of: Tree, knowledge: Knowledge, *, whole: bool = True) -> tuple[str, ...]:
    """The tree as lines for a terminal; `whole` with the headings of its sections."""
    lines: list[str] = []
    for basis, nodes in of.sections:
        if whole:
            lines.append(SECTIONS[basis][1])
        lines += [f"{'  ' * (node.depth + whole)}{_said(node)}" for node in nodes]
    lines.append(f"As it stands on {knowledge.day}, by {knowledge.log.settings.title or 'this log'}.")
    lines.append("This is what the log says, as entered. It does not say that anything is airworthy.")
    return tuple(lines)


def _said(node: Node) -> str:
    told = node.told
    if told is None:
        says = ["no record of it"]
    else:
        says = [told.stamp.word if told.stamp else "no inspection asked for"]
        says += [told.found] if told.found else []
        areas = ", ".join(area for area in told.shut if area)
        says += [f"closed up{': ' if areas else ''}{areas}"] if told.shut else []
        says += [f"behind a closing of {', '.join(map(str, told.behind))}"] if told.behind else []
    says += ["".join(link.text for link in note) for note in place_notes(node.spell)]
    return f"{node.item}{' ' if node.name else ''}{node.name}: {'; '.join(says)}"

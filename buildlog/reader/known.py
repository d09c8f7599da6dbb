"""Whether a name in one file is known to the others, and what to say where it is not."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping

import msgspec

from buildlog.model.key import Reads
from buildlog.model.names import ALL, Names
from buildlog.reader.names import quoted
from buildlog.reader.nearest import advice

Trouble = tuple[str, str]
"""What was found, and what to do."""

_LIST_HINT = "; a list is written `[one, two]`"


class Known(msgspec.Struct, frozen=True, kw_only=True):
    """The names that a log knows. None stands for a list that is not there, or that could not be read."""

    items: Names
    numbers: Collection[str] | None
    tasks: Collection[str] | None
    lots: Collection[str] | None
    tools: Collection[str] | None
    people: Collection[str] | None
    stages: Collection[str] | None
    classes: Collection[str] | None
    milestones: Collection[str] | None
    rules: Collection[str] | None
    records: Mapping[str, int]
    drafts: Collection[str]


def trouble_with(known: Known, reads: Reads, text: str, number: int) -> Trouble | None:
    """What is wrong with a name that a key of this sort gives; None if nothing is.

    A part number or task on no list is no trouble where an entry names it: a rule flags it.
    """
    check = _CHECKS.get(reads)
    return check(known, text, number) if check else None


def _among(
    what: str, names: Callable[[Known], Collection[str] | None]
) -> Callable[[Known, str, int], Trouble | None]:
    place, sort = what.split("|")

    def check(known: Known, text: str, _: int) -> Trouble | None:
        listed = names(known)
        if listed is None or text in listed:
            return None
        hint = _LIST_HINT if "," in text else ""
        return f"{quoted(text)} is {place}", advice(text, listed, sort) + hint

    return check


def _item(known: Known, text: str, _: int) -> Trouble | None:
    named = known.items.of(text)
    if named.items:
        return None
    if named.lot:
        found = f"{quoted(text)} is a lot of lots.csv, and an item is expected"
        return found, f"name the item, and beside it `lots: {text}`"
    several = [str(item) for item in known.items.items[named.number]]
    found = f"the part {quoted(named.number)} has no item {quoted(text)}"
    return found, advice(text, several, "its items")


def _one_by_one(known: Known, text: str, number: int) -> Trouble | None:
    named = known.items.of(text)
    if not named.bare:
        return _item(known, text, number)
    found = f"the part {quoted(text)} has {len(named.items)} items, and it is not said which is meant"
    return found, f"write {_some(known, text)} or `{text}/{ALL}`"


def _or_lot(
    check: Callable[[Known, str, int], Trouble | None],
) -> Callable[[Known, str, int], Trouble | None]:
    """An item by one of the checks, or a lot. What may be either is neither: to guess could hide a hold."""

    def either(known: Known, text: str, number: int) -> Trouble | None:
        named = known.items.of(text)
        if named.lot:
            return None
        if text in known.items.lots and named.listed and named.items:
            found = f"{quoted(text)} is both an item and a lot of lots.csv, and it is not said which is meant"
            return found, "give the lot another key in lots.csv"
        return check(known, text, number)

    return either


def _one(known: Known, text: str, number: int) -> Trouble | None:
    named = known.items.of(text)
    if len(named.items) < 2:
        return _item(known, text, number)
    found = f"{quoted(text)} is {len(named.items)} items, and one is expected"
    return found, f"write {_some(known, named.number)}"


def _some(known: Known, number: str) -> str:
    items = known.items.items[number]
    shown = ", ".join(f"`{item}`" for item in items[:4])
    return f"{shown} …" if len(items) > 4 else shown


def _entry(known: Known, text: str, number: int) -> Trouble | None:
    if text in known.drafts and not number:
        return None  # prose may speak of what is set aside; it is then plain text
    if text in known.drafts:
        return f"the entry {quoted(text)} is a draft, set aside", "take `draft: true` out of it first"
    count = known.records.get(text)
    if count is None:
        return f"there is no entry {quoted(text)}", advice(text, known.records, "entries")
    if number > count:
        has = "no record" if not count else "one record" if count == 1 else f"{count} records"
        return (
            f"the entry {quoted(text)} has {has}, and no record {number}",
            "count them from 1, from the top",
        )
    return None


_person = _among("nobody in [people]|known in [people]", lambda known: known.people)
_stage = _among("no stage|stages", lambda known: known.stages)
_milestone = _among("no milestone|milestones", lambda known: known.milestones)
_task = _among("no task of tasks.csv|tasks", lambda known: known.tasks)
_part = _among("no part of parts.csv|part numbers", lambda known: known.numbers)

_CHECKS: Mapping[Reads, Callable[[Known, str, int], Trouble | None]] = {
    Reads.PERSON: _person,
    Reads.PEOPLE: _person,
    Reads.ITEM: _one,
    Reads.ITEMS: _item,
    Reads.ITEMS_ONE_BY_ONE: _one_by_one,
    Reads.ITEMS_OR_LOTS: _or_lot(_item),
    Reads.ITEMS_OR_LOTS_ONE_BY_ONE: _or_lot(_one_by_one),
    Reads.PART: _part,
    Reads.PARTS: _part,
    Reads.TASK: _task,
    Reads.TASKS: _task,
    Reads.LOTS: _among("no lot of lots.csv|lots", lambda known: known.lots),
    Reads.TOOL: _among("no tool of tools.csv|tools", lambda known: known.tools),
    Reads.STAGE: _stage,
    Reads.STAGES: _stage,
    Reads.CLASS: _among("no class|classes", lambda known: known.classes),
    Reads.MILESTONE: _milestone,
    Reads.MILESTONES: _milestone,
    Reads.UNTIL: _among("neither a date nor a milestone|milestones", lambda known: known.milestones),
    Reads.DUE: _among("neither `closed` nor a milestone|milestones", lambda known: known.milestones),
    Reads.RULE: _among("no rule|rules", lambda known: known.rules),
    Reads.ENTRY: _entry,
}

"""What the four lists and the part notes hold."""

from __future__ import annotations

import datetime
from fractions import Fraction
from typing import Annotated

import msgspec

from buildlog.model.key import NOWHERE, AtShop, Audience, Reads, inspector, public, shop


class Part(msgspec.Struct, frozen=True, kw_only=True):
    """One row of parts.csv: a design, and how many items there are of it."""

    number: Annotated[str, public("the part number", Reads.TEXT, required=True)]
    name: Annotated[str, public("what it is called", Reads.TEXT, required=True)]
    class_: Annotated[str, inspector("its class; `general` without one", Reads.CLASS)] = "general"
    items: Annotated[
        tuple[str, ...],
        public("designators `L R`, or `4` for 1 to 4; empty: one item without", Reads.TEXTS),
    ] = ()
    parent: Annotated[str, public("the next higher assembly", Reads.PART)] = ""
    system: Annotated[str, public("an ATA/JASC chapter", Reads.TEXT)] = ""
    drawing: Annotated[str, inspector("its drawing", Reads.TEXT)] = ""
    revision: Annotated[str, inspector("the drawing's revision in force", Reads.TEXT)] = ""
    source: Annotated[str, inspector("`made`, `bought`, or a word of your own", Reads.TEXT)] = ""
    use: Annotated[str, inspector("what it is for", Reads.CHOICE, ("flight", "not-for-flight"))] = "flight"
    joins: Annotated[tuple[str, ...], inspector("the parts a joint holds together", Reads.PARTS)] = ()
    audience: Annotated[
        Audience | None, inspector("who may see it; unmarked, the inspector", Reads.AUDIENCE)
    ] = None
    spoken: Annotated[tuple[str, ...], inspector("what people call it aloud", Reads.TEXTS)] = ()
    supplier: Annotated[str, shop("who sells it", Reads.TEXT)] = ""
    cost: Annotated[str, shop("what it cost", Reads.TEXT)] = ""
    note: Annotated[str, shop("a remark", Reads.TEXT)] = ""
    where: AtShop = NOWHERE


class Task(msgspec.Struct, frozen=True, kw_only=True):
    """One row of tasks.csv. Estimates are exact hours."""

    task: Annotated[str, public("the task's key", Reads.TEXT, required=True)]
    title: Annotated[str, public("what is to be done", Reads.TEXT, required=True)]
    discipline: Annotated[str, public("the trade it belongs to", Reads.TEXT)] = ""
    milestone: Annotated[str, public("the milestone it leads to", Reads.MILESTONE)] = ""
    after: Annotated[tuple[str, ...], inspector("tasks that must be complete first", Reads.TASKS)] = ()
    estimate: Annotated[Fraction | None, inspector("hours, most likely", Reads.NUMBER)] = None
    low: Annotated[Fraction | None, inspector("hours, if all goes well", Reads.NUMBER)] = None
    high: Annotated[Fraction | None, inspector("hours, if nothing does", Reads.NUMBER)] = None
    parts: Annotated[tuple[str, ...], inspector("the parts or items it is about", Reads.ITEMS)] = ()
    audience: Annotated[
        Audience | None, inspector("who may see it; unmarked, the inspector", Reads.AUDIENCE)
    ] = None
    where: AtShop = NOWHERE


class Lot(msgspec.Struct, frozen=True, kw_only=True):
    """One row of lots.csv: a lot of material. The last day, `expires`, is still good."""

    lot: Annotated[str, inspector("the lot's key", Reads.TEXT, required=True)]
    material: Annotated[str, inspector("what it is", Reads.TEXT, required=True)] = ""
    received: Annotated[datetime.date | None, inspector("when it came in", Reads.DATE)] = None
    expires: Annotated[datetime.date | None, inspector("its last good day", Reads.DATE)] = None
    document: Annotated[str, shop("its certificate", Reads.TEXT)] = ""
    supplier: Annotated[str, shop("who sold it", Reads.TEXT)] = ""
    cost: Annotated[str, shop("what it cost", Reads.TEXT)] = ""
    note: Annotated[str, shop("a remark", Reads.TEXT)] = ""
    where: AtShop = NOWHERE


class Tool(msgspec.Struct, frozen=True, kw_only=True):
    """One row of tools.csv. Readings after `due` are out of calibration."""

    tool: Annotated[str, inspector("the tool's key", Reads.TEXT, required=True)]
    name: Annotated[str, inspector("what it is", Reads.TEXT, required=True)] = ""
    calibrated: Annotated[datetime.date | None, inspector("when it was calibrated", Reads.DATE)] = None
    due: Annotated[datetime.date | None, inspector("the last day that calibration is good", Reads.DATE)] = (
        None
    )
    document: Annotated[str, shop("its certificate", Reads.TEXT)] = ""
    note: Annotated[str, shop("a remark", Reads.TEXT)] = ""
    where: AtShop = NOWHERE


class PartNote(msgspec.Struct, frozen=True, kw_only=True):
    """A file parts/NUMBER.md: notes on one part, shown on its page, for whom the part is."""

    number: Annotated[str, public("the part number", Reads.PART)]
    body: Annotated[str, public("the prose", Reads.PROSE)] = ""
    body_line: Annotated[int, shop("the line of its file on which the prose begins", Reads.INSIDE)] = 1
    where: AtShop = NOWHERE

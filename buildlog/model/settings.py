"""What buildlog.toml holds, and the stages and classes that the tool brings."""

from __future__ import annotations

import datetime
from typing import Annotated

import msgspec

from buildlog.model.key import NOWHERE, AtShop, Reads, inspector, public, shop


class Person(msgspec.Struct, frozen=True, kw_only=True):
    """A table [people.KEY]. The public reads `public`, or "a builder"."""

    key: Annotated[str, inspector("the key entries use", Reads.INSIDE)] = ""
    name: Annotated[str, inspector("the full name", Reads.TEXT, required=True)] = ""
    public: Annotated[str, public("what the public reads", Reads.TEXT)] = ""
    roles: Annotated[
        tuple[str, ...],
        inspector(
            "what they are",
            Reads.CHOICE,
            ("builder", "helper", "commercial", "engineer", "inspector"),
        ),
    ] = ()
    may_inspect: Annotated[
        tuple[str, ...] | None, inspector("stages they may inspect; without it, every stage", Reads.STAGES)
    ] = None
    from_: Annotated[datetime.date | None, inspector("first day of authority", Reads.DATE)] = None
    until: Annotated[datetime.date | None, inspector("last day of authority", Reads.DATE)] = None
    certificate: Annotated[str, inspector("certificate number", Reads.TEXT)] = ""
    contact: Annotated[str, shop("how to reach them", Reads.TEXT)] = ""
    where: AtShop = NOWHERE


class Stage(msgspec.Struct, frozen=True, kw_only=True):
    """A table [stages.KEY]: a named inspection that a class asks for."""

    key: Annotated[str, inspector("the key records use", Reads.INSIDE)] = ""
    title: Annotated[str, inspector("what it is called", Reads.TEXT)] = ""
    undone_by: Annotated[
        tuple[str, ...], inspector("kinds of record on the item that undo it", Reads.KINDS)
    ] = ()
    undone_by_inside: Annotated[
        tuple[str, ...], inspector("kinds of record on anything inside it that undo it", Reads.KINDS)
    ] = ()
    before: Annotated[
        str, inspector("due before `closed` or a milestone; without it, at once", Reads.DUE)
    ] = ""
    where: AtShop = NOWHERE


class Class(msgspec.Struct, frozen=True, kw_only=True):
    """A table [classes.KEY]: what is asked of the items of a part."""

    key: Annotated[str, inspector("the key parts.csv uses", Reads.INSIDE)] = ""
    stages: Annotated[tuple[str, ...], inspector("the stages it asks for", Reads.STAGES)] = ()
    independent: Annotated[bool, inspector("nobody who worked on it may pass it", Reads.FLAG)] = False
    signatures: Annotated[int, inspector("how many different inspectors", Reads.COUNT)] = 1
    signed: Annotated[bool, inspector("each acceptance needs a document", Reads.FLAG)] = False
    bulk: Annotated[bool, inspector("kept by lot, not one by one", Reads.FLAG)] = False
    where: AtShop = NOWHERE


class Milestone(msgspec.Struct, frozen=True, kw_only=True):
    """A table [milestones.KEY]."""

    key: Annotated[str, public("the key tasks.csv uses", Reads.INSIDE)] = ""
    title: Annotated[str, public("what it is called", Reads.TEXT)] = ""
    needs: Annotated[tuple[str, ...], inspector("milestones that come before it", Reads.MILESTONES)] = ()
    items: Annotated[tuple[str, ...], inspector("parts or items it needs", Reads.ITEMS)] = ()
    where: AtShop = NOWHERE


class EditionSettings(msgspec.Struct, frozen=True, kw_only=True):
    """A table [editions.KEY]; KEY is `shop`, `inspector` or `public`."""

    key: Annotated[str, public("which edition", Reads.INSIDE)] = ""
    address: Annotated[str, public("where it will be published, an https address", Reads.TEXT)] = ""
    declassify: Annotated[
        tuple[str, ...],
        shop(
            "aggregates to let through",
            Reads.CHOICE,
            ("hours", "readiness", "inspection-status", "people-count"),
        ),
    ] = ()
    where: AtShop = NOWHERE


class Settings(msgspec.Struct, frozen=True, kw_only=True):
    """The whole of buildlog.toml. The tool's own stages and classes are already merged in."""

    title: Annotated[str, public("the project's name", Reads.TEXT, required=True)] = ""
    about: Annotated[str, public("one sentence about it", Reads.TEXT)] = ""
    zone: Annotated[str, inspector("the IANA time zone, by which `write` dates", Reads.TEXT)] = ""
    people: Annotated[tuple[Person, ...], public("the people", Reads.FACTS)] = ()
    stages: Annotated[tuple[Stage, ...], inspector("the stages", Reads.FACTS)] = ()
    classes: Annotated[tuple[Class, ...], inspector("the classes", Reads.FACTS)] = ()
    harmless: Annotated[
        tuple[str, ...], inspector("kinds of work that change nothing on an item", Reads.TEXTS)
    ] = ()
    milestones: Annotated[tuple[Milestone, ...], public("the milestones", Reads.FACTS)] = ()
    editions: Annotated[tuple[EditionSettings, ...], public("the editions", Reads.FACTS)] = ()
    where: AtShop = NOWHERE


_CHANGED = ("made", "modified", "repaired", "damaged")

STANDARD_STAGES = (
    Stage(key="to-drawing", title="Made to drawing", undone_by=_CHANGED),
    Stage(
        key="pre-close",
        title="Before closing up",
        undone_by=(*_CHANGED, "opened"),
        undone_by_inside=("made", "modified", "repaired", "damaged", "installed", "removed"),
        before="closed",
    ),
)
"""The stages a log has without saying so; a table of its own replaces one by name."""

STANDARD_CLASSES = (
    Class(key="general", stages=("to-drawing",)),
    Class(key="assembly", stages=("to-drawing", "pre-close")),
    Class(key="critical", stages=("to-drawing", "pre-close"), independent=True),
    Class(key="hardware", bulk=True),
)
"""The classes a log has without saying so; a table of its own replaces one by name."""

STANDARD_HARMLESS = ("cleaning", "paperwork", "inspection")

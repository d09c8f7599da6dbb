"""What happened to an item: the small values that histories are folded from."""

from __future__ import annotations

from fractions import Fraction

import msgspec

from buildlog.model.entry import Medium
from buildlog.model.key import NOWHERE, Where
from buildlog.model.names import Item
from buildlog.model.records import AnyRecord, kind_of
from buildlog.reckoning.order import Moment

CHANGES = ("made", "modified", "repaired", "damaged")
"""Kinds that change the article itself."""

ENDS = ("scrapped", "returned")
"""Kinds that end an article."""

LEAVES = (*ENDS, "disposition")
"""Kinds that end an article and take it out of where it was: under a new name it stays there."""

MOVES = ("installed", "removed")
"""Kinds that change what is inside what."""

BEGINS = ("made", "received")
"""Kinds that begin an article, whatever was there before."""

BEGINS_NOTHING = ("drawing_changed", "deferred", "voided")
"""Kinds that are about a design or a finding: an item does not begin to exist by them."""

OF_THE_OLD = (*BEGINS_NOTHING, *ENDS, "removed", "disposition", "reidentified")
"""Kinds that, after an article has ended, still speak of it: no next article begins by them."""

WORKED_BY = (*CHANGES, *MOVES, "closed", "opened", "torqued", "loosened")
"""Kinds whose people count as having worked on the article."""


class Voiding(msgspec.Struct, frozen=True):
    """A record struck through: `record` of `entry`, by the record `by_record` of `by_entry` (from 1).

    `people` are those who struck it: the `by` of that record, else its entry's people. Where it does not
    `count`, they had no authority to: what they struck counts on.
    """

    entry: str
    record: int
    by_entry: str
    by_record: int
    reason: str
    moment: Moment
    people: tuple[str, ...] = ()
    where: Where = NOWHERE
    counts: bool = True


class Event(msgspec.Struct, frozen=True):
    """One record, seen from one of the items it is about.

    `place` is its place in the entry's records, from 1. `people` are its `by`, else the entry's people.
    A struck event counts for nothing and stays readable. One whose striking was `refused`, for want of
    authority, counts on.
    """

    item: Item
    moment: Moment
    record: AnyRecord
    entry: str
    place: int
    people: tuple[str, ...]
    struck: Voiding | None = None
    refused: Voiding | None = None

    @property
    def kind(self) -> str:
        """The kind of record."""
        return kind_of(self.record)


class Labour(msgspec.Struct, frozen=True):
    """One work line, seen from one of the items it is about.

    `hours` is the item's exact share of the line's person-hours. `told` says that the entry also holds a
    record that says what was done to the item.
    """

    item: Item
    moment: Moment
    entry: str
    line: int
    task: str
    kind: str
    people: tuple[str, ...]
    hours: Fraction
    harmless: bool
    told: bool
    where: Where = NOWHERE


class Shown(msgspec.Struct, frozen=True):
    """A medium of an entry that shows an item, or a document of a record about it."""

    entry: str
    medium: Medium
    moment: Moment


class Use(msgspec.Struct, frozen=True):
    """A lot or a tool named by a record about an item."""

    item: Item
    event: Event


class TaskStep(msgspec.Struct, frozen=True):
    """Something about a task in an entry: `work`, `completes` or `resumes`. Hours are the line's whole."""

    task: str
    step: str
    moment: Moment
    entry: str
    hours: Fraction = Fraction(0)
    line: int = 0
    where: Where = NOWHERE


class Appearance(msgspec.Struct, frozen=True):
    """A person in an entry: whether they worked there, with their exact hours, or were only present."""

    person: str
    entry: str
    moment: Moment
    worked: bool
    hours: Fraction
    where: Where = NOWHERE


class HoursLine(msgspec.Struct, frozen=True):
    """The smallest cell of the hours: one person's share on one item of one work line. Exact hours.

    `person`, `task`, `kind` and `item` are None where the line names none; `week` is ISO 8601, `2026-W11`.
    """

    person: str | None
    kind: str | None
    task: str | None
    item: Item | None
    week: str
    month: str
    hours: Fraction

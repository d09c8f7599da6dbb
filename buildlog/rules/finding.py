"""What the rule checker has to say: one finding, and all of them together.

Findings are derived after the view, from what it let through. They carry nothing that the knowledge does
not hold: in an edition below the shop the places in the files are empty, because the facts' places are.
"""

from __future__ import annotations

import datetime
import enum
import functools
import re
from collections.abc import Iterable

import msgspec

from buildlog.model.key import NOWHERE, Where
from buildlog.model.names import Item


class Grade(enum.IntEnum):
    """How serious a finding is: major and minor after ISO/IEC 17021-1, observation by common practice."""

    MAJOR = 1
    MINOR = 2
    OBSERVATION = 3

    @property
    def word(self) -> str:
        """The word for it on a page and in a terminal."""
        return self.name.lower()


class Rest(msgspec.Struct, frozen=True):
    """Something in an entry that a finding rests on.

    `sort` is `record`, `work`, `medium` or `entry`; `place` counts from 1 among the records, work lines or
    media of its entry and is 0 where it has no number. Of the sort `list` it is in a list or the settings
    instead, and `entry` is empty. `where` is empty in editions below the shop.
    """

    entry: str
    sort: str = "record"
    place: int = 0
    day: datetime.date | None = None
    where: Where = NOWHERE


class Deferral(msgspec.Struct, frozen=True):
    """Who put a finding off, why, and until which day or milestone."""

    by: tuple[str, ...]
    reason: str
    until: str
    rest: Rest


class Finding(msgspec.Struct, frozen=True, kw_only=True):
    """One finding. What does not apply is empty (`item` and `deferred` None).

    `entry` is the key of the entry it points at, `rests` all that it rests on, the one it points at first.
    `part` is set where it is about a part number rather than one item. `why` says why it matters here,
    `clears` what would clear it. `deferred` holds it back: it stays listed and counts for no threshold.
    """

    rule: str
    grade: Grade
    message: str
    why: str
    clears: str
    item: Item | None = None
    part: str = ""
    task: str = ""
    stage: str = ""
    entry: str = ""
    person: str = ""
    medium: str = ""
    rests: tuple[Rest, ...] = ()
    deferred: Deferral | None = None

    @property
    def subject(self) -> str:
        """What it is about, by name: the item, part, task, person, medium or entry."""
        named = str(self.item) if self.item is not None else ""
        return named or self.part or self.task or self.person or self.medium or self.entry

    @property
    def number(self) -> str:
        """The part number it is about, its item's or its own; empty where there is none."""
        return self.item.number if self.item is not None else self.part

    @property
    def where(self) -> Where:
        """Where in the log it points: the place of the first thing that it rests on."""
        return self.rests[0].where if self.rests else NOWHERE

    @property
    def day(self) -> datetime.date | None:
        """The day of the first thing that it rests on."""
        return self.rests[0].day if self.rests else None


class Findings(msgspec.Struct, frozen=True):
    """All findings of a day in order: by grade, then what they are about, then rule, then date."""

    day: datetime.date
    all: tuple[Finding, ...]
    by_item: dict[Item, tuple[Finding, ...]]
    by_part: dict[str, tuple[Finding, ...]]
    """Those about a part number or one of its items."""
    by_task: dict[str, tuple[Finding, ...]]
    by_person: dict[str, tuple[Finding, ...]]
    by_entry: dict[str, tuple[Finding, ...]]
    """Those that point at or rest on an entry."""

    def of(self, grade: Grade) -> tuple[Finding, ...]:
        """Those of one grade that no deferral holds back."""
        return tuple(each for each in self.all if each.grade is grade and each.deferred is None)

    def at_or_above(self, grade: Grade) -> tuple[Finding, ...]:
        """Those of a grade and of more serious ones that no deferral holds back."""
        return tuple(each for each in self.all if each.grade <= grade and each.deferred is None)

    @property
    def deferred(self) -> tuple[Finding, ...]:
        """Those that a deferral holds back."""
        return tuple(each for each in self.all if each.deferred is not None)


def gathered(found: Iterable[Finding], day: datetime.date) -> Findings:
    """Findings in order and by what they are about. The order they come in does not matter."""
    ordered = tuple(sorted(found, key=_order))
    indexes: dict[str, dict[object, list[Finding]]] = {
        name: {} for name in Findings.__struct_fields__ if name.startswith("by_")
    }

    def put(index: str, key: object, finding: Finding) -> None:
        if key:
            indexes[index].setdefault(key, []).append(finding)

    for each in ordered:
        put("by_item", each.item, each)
        put("by_part", each.number, each)
        put("by_task", each.task, each)
        put("by_person", each.person, each)
        for entry in dict.fromkeys((each.entry, *(rest.entry for rest in each.rests))):
            put("by_entry", entry, each)
    frozen = {name: {k: tuple(v) for k, v in index.items()} for name, index in indexes.items()}
    return Findings(day, ordered, **frozen)  # type: ignore[arg-type]  # the indexes have the fields' names


def _order(found: Finding) -> tuple[object, ...]:
    day = found.day or datetime.date.min
    return (found.grade, natural(found.subject), found.rule, day, found.stage, found.message, found.entry)


@functools.lru_cache(maxsize=1 << 15)
def natural(name: str) -> tuple[tuple[tuple[int, str], ...], str]:
    """A key that sorts names as people do: `TN-2/9` before `TN-2/10`."""
    pieces = re.split(r"([0-9]+)", name)
    return tuple(
        (int(each), "") if each.isascii() and each.isdigit() else (-1, each.casefold()) for each in pieces
    ), name

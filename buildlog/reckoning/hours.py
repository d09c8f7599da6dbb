"""Hours by any key, exact to the last digit.

Sums are kept as integers per denominator and made one fraction at the end: adding thousands of fractions
one by one would spend its time on common divisors.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

import msgspec

from buildlog.model.lists import Part, Task
from buildlog.model.ratio import ratio
from buildlog.reckoning.events import HoursLine
from buildlog.reckoning.knowledge import Rollup

ROLLUPS = (
    "person",
    "kind",
    "discipline",
    "task",
    "milestone",
    "part",
    "assembly",
    "system",
    "week",
    "month",
)
"""The keys hours can be rolled up by."""

Sum = dict[int, int]
"""Numerators by denominator."""


class MonthSums(msgspec.Struct, frozen=True):
    """The hours of a month, or of a year, by the keys their lines carry themselves."""

    person: dict[str | None, Sum]
    kind: dict[str | None, Sum]
    task: dict[str | None, Sum]
    part: dict[str | None, Sum]
    week: dict[str | None, Sum]
    month: dict[str | None, Sum]


def month_sums(lines: tuple[HoursLine, ...]) -> MonthSums:
    """Add up a month's lines."""
    sums = MonthSums({}, {}, {}, {}, {}, {})
    for line in lines:
        top, bottom = line.hours.as_integer_ratio()
        part = line.item.number if line.item is not None else None
        for table, key in (
            (sums.person, line.person),
            (sums.kind, line.kind),
            (sums.task, line.task),
            (sums.part, part),
            (sums.week, line.week),
            (sums.month, line.month),
        ):
            row = table.setdefault(key, {})
            row[bottom] = row.get(bottom, 0) + top
    return sums


def rollups(
    years: Sequence[MonthSums], parts: Mapping[str, Part], tasks: Mapping[str, Task]
) -> dict[str, Rollup]:
    """Every rollup, in the order of `ROLLUPS`."""
    whole = year_sums(years)
    person, kind, task, part = whole.person, whole.kind, whole.task, whole.part
    tables = {
        "person": person,
        "kind": kind,
        "discipline": _regroup(task, {key: row.discipline or None for key, row in tasks.items()}),
        "task": task,
        "milestone": _regroup(task, {key: row.milestone or None for key, row in tasks.items()}),
        "part": part,
        "assembly": _assemblies(part, parts),
        "system": _regroup(part, {key: row.system or None for key, row in parts.items()}),
        "week": whole.week,
        "month": whole.month,
    }
    total = added(exact(row) for row in person.values())
    return {by: Rollup(by, total, _rows(tables[by])) for by in ROLLUPS}


def year_sums(months: Sequence[MonthSums]) -> MonthSums:
    """The sums of a year's months."""
    return MonthSums(
        *(_merge(getattr(each, name) for each in months) for name in MonthSums.__struct_fields__)
    )


def added(many: Iterable[Fraction]) -> Fraction:
    """The sum of many fractions."""
    row: Sum = {}
    for each in many:
        top, bottom = each.as_integer_ratio()
        row[bottom] = row.get(bottom, 0) + top
    return exact(row)


def added_by_key(many: Iterable[tuple[str, Fraction]]) -> dict[str, Fraction]:
    """The sum of the fractions under each key, keys in the order in which they first come."""
    sums: dict[str, Sum] = {}
    for key, each in many:
        top, bottom = each.as_integer_ratio()
        row = sums.setdefault(key, {})
        row[bottom] = row.get(bottom, 0) + top
    return {key: exact(row) for key, row in sums.items()}


def exact(row: Sum) -> Fraction:
    """A sum as one fraction."""
    bottom = math.lcm(*row)
    return ratio(sum(top * (bottom // each) for each, top in row.items()), bottom)


def _rows(table: Mapping[str | None, Sum]) -> tuple[tuple[str | None, Fraction], ...]:
    keys = sorted(table, key=lambda key: (key is None, key or ""))
    return tuple((key, exact(table[key])) for key in keys)


def _merge(tables: Iterable[Mapping[str | None, Sum]]) -> dict[str | None, Sum]:
    merged: dict[str | None, Sum] = {}
    for table in tables:
        for key, row in table.items():
            _add(merged.setdefault(key, {}), row)
    return merged


def _regroup(table: Mapping[str | None, Sum], group: Mapping[str, str | None]) -> dict[str | None, Sum]:
    found: dict[str | None, Sum] = {}
    for key, row in table.items():
        _add(found.setdefault(group.get(key) if key is not None else None, {}), row)
    return found


def _assemblies(table: Mapping[str | None, Sum], parts: Mapping[str, Part]) -> dict[str | None, Sum]:
    """Each part number's own hours and those of all below it, once."""
    found: dict[str | None, Sum] = {}
    for key, row in table.items():
        for number in (None,) if key is None else line_above(key, parts):
            _add(found.setdefault(number, {}), row)
    return found


def line_above(number: str, parts: Mapping[str, Part]) -> tuple[str, ...]:
    """A part number and its next higher assemblies, up to the top, each once."""
    line: dict[str, None] = {}
    while number and number not in line:
        line[number] = None
        part = parts.get(number)
        number = part.parent if part is not None else ""
    return tuple(line)


def _add(row: Sum, other: Sum) -> None:
    for bottom, top in other.items():
        row[bottom] = row.get(bottom, 0) + top

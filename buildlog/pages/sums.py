"""Exact sums of hours.

Integers are added up per denominator and made fractions at the end, as in `buildlog.reckoning.hours`: adding
fractions one by one would spend its time on common divisors.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction


def total(hours: Iterable[Fraction]) -> Fraction:
    """The sum of hours."""
    row: dict[int, int] = {}
    for each in hours:
        top, bottom = each.as_integer_ratio()
        row[bottom] = row.get(bottom, 0) + top
    return _whole(row)


def by_key(hours: Iterable[tuple[str, Fraction]]) -> dict[str, Fraction]:
    """The sum of the hours under each key, keys in the order in which they first come."""
    sums: dict[str, dict[int, int]] = {}
    for key, each in hours:
        top, bottom = each.as_integer_ratio()
        row = sums.setdefault(key, {})
        row[bottom] = row.get(bottom, 0) + top
    return {key: _whole(row) for key, row in sums.items()}


def _whole(row: dict[int, int]) -> Fraction:
    common = math.lcm(*row)
    return Fraction(sum(top * (common // bottom) for bottom, top in row.items()), common)

"""A rollup of the hours as it leaves the program: JSON, CSV, or lines for a terminal."""

from __future__ import annotations

from typing import Any

from buildlog.pages.cells import table
from buildlog.pages.words import column
from buildlog.reckoning.knowledge import Rollup

NO_KEY = "(none)"
"""How a terminal shows the row for what has no key."""


def as_json(rollup: Rollup) -> dict[str, Any]:
    """`{"total", "rows": [{"key", "hours"}]}`: each number the fraction's nearest double, no key is null."""
    rows = [{"key": key, "hours": float(hours)} for key, hours in rollup.rows]
    return {"total": float(rollup.total), "rows": rows}


def as_csv(rollup: Rollup) -> str:
    """RFC 4180: the key, the hours as a decimal, and exactly as a fraction."""
    rows = [[rollup.by, "hours", "exact"]]
    rows += [[key or "", column(hours), str(hours)] for key, hours in rollup.rows]
    return table(rows).decode()


def as_lines(rollup: Rollup) -> list[str]:
    """A table with the hours to the hundredth; the total is exact before it is rounded."""
    rows = [(key if key is not None else NO_KEY, column(hours)) for key, hours in rollup.rows]
    overlap = "  (rows overlap)" if rollup.by == "assembly" else ""
    rows.append(("total", column(rollup.total)))
    wide = max(len(key) for key, _ in rows)
    high = max(len(hours) for _, hours in rows)
    lines = [f"{key:{wide}}  {hours:>{high}}" for key, hours in rows]
    return [*lines[:-1], "-" * (wide + 2 + high), lines[-1] + overlap]

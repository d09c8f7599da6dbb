"""The readings as a table: every value that a log holds, as written and in numbers, for a spreadsheet."""

from __future__ import annotations

from fractions import Fraction

from buildlog.model.entry import Entry
from buildlog.model.quantity import in_unit
from buildlog.model.records import Measured, Record, Torqued, Weighed, kind_of
from buildlog.pages.cells import table
from buildlog.reckoning.index import moments
from buildlog.reckoning.readings import Amounts, amounts_of

READING_COLUMNS = (
    "entry",
    "record",
    "day",
    "kind",
    "items",
    "what",
    "value",
    "run-on",
    "limits",
    "arm",
    "from",
    "to",
    "low",
    "high",
    "unit",
    "within",
    "tool",
    "struck by",
)


def reading_rows(entries: tuple[Entry, ...], struck: dict[tuple[str, int], str]) -> bytes:
    """A month's readings as rows of CSV. `struck` says by which record one is struck through.

    `from` and `to` are the two ends of the value, net of run-on, and `low` and `high` its limits: numbers in
    `unit`, which is that of the limits where there are any. An open end is empty.
    """
    rows = []
    for entry in entries:
        for place, (record, moment) in enumerate(zip(entry.records, moments(entry), strict=True), start=1):
            if not isinstance(record, Measured | Torqued | Weighed):
                continue
            rows.append(
                (
                    entry.key,
                    str(place),
                    moment.day.isoformat(),
                    kind_of(record),
                    " ".join(record.of),
                    *_written(record),
                    *_numbers(amounts_of(record)),
                    record.tool,
                    struck.get((entry.key, place), ""),
                )
            )
    return table(rows)


def _written(record: Record) -> tuple[str, ...]:
    what = getattr(record, "what", "") or getattr(record, "fastener", "")
    return (what, *(getattr(record, field, "") for field in ("value", "run_on", "limits", "arm")))


def _numbers(amounts: Amounts | None) -> tuple[str, ...]:
    if amounts is None:
        return ("",) * 6
    limits = amounts.limits
    unit = amounts.value.unit if limits is None else limits.unit
    value = in_unit(amounts.net, unit)
    low, high = (limits.low, limits.high) if limits else (None, None)
    within = {None: "", True: "yes", False: "no"}[amounts.within]
    return (*map(_double, (value.low, value.high, low, high)), unit.name, within)


def _double(amount: Fraction | None) -> str:
    return "" if amount is None else repr(float(amount))

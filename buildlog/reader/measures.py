"""Values, limits and torques in records: whether they can be read, and whether they can be compared.

The facts keep them as they were written. Whoever compares them reads them again by `model.amounts`, which
remembers.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from buildlog.model.amounts import Unreadable, limits_of, value_of
from buildlog.model.key import Reads
from buildlog.model.quantity import Quantity, alike
from buildlog.model.units import BARE, Unit
from buildlog.reader.names import quoted
from buildlog.reader.nodes import Table, Text
from buildlog.reader.reading import Reading

# Some fasteners are turned on by an angle once they bear; and scales may show a force.
_SORTS: dict[Reads, tuple[tuple[str, ...], str]] = {
    Reads.TORQUE: (("torque", "angle"), "`66 in-lb` or `7.5 N m`"),
    Reads.WEIGHT: (("mass", "force"), "`118.2 kg` or `260 lb`"),
    Reads.LENGTH: (("length",), "`560 mm` or `22 in`"),
}

AMOUNTS = (Reads.VALUE, Reads.LIMITS, *_SORTS)
"""The sorts of key that hold a value or limits."""


def check_amount(reading: Reading, reads: Reads, node: Text, text: str) -> bool:
    """Whether a text is the value or the limits that its key asks for; a problem is noted where it is not."""
    found = limits_of(text) if reads is Reads.LIMITS else value_of(text)
    if isinstance(found, Unreadable):
        reading.problem(node, f"{quoted(text)} {found.found}", found.todo)
        return False
    sorts, example = _SORTS.get(reads, ((), ""))
    if not sorts or found.unit.sort in sorts:
        return True
    told = (
        "has no unit" if found.unit == BARE else f"is {_a(found.unit)}, and {_a_sort(sorts[0])} is asked for"
    )
    reading.problem(node, f"{quoted(text)} {told}", f"write {example}")
    return False


def check_alike(reading: Reading, table: Table, found: Mapping[str, Any]) -> None:
    """Note a problem where the limits or the run-on of a record cannot be compared with its value."""
    value = _read(found, "value")
    for word in ("limits", "run_on"):
        other = _read(found, word)
        if value is not None and other is not None and not alike(value.unit, other.unit):
            node = next(node for key, node in table.rows if key.text.strip().lower() == word)
            reading.problem(node, *_differ(str(found["value"]), value.unit, str(found[word]), other))


def _read(found: Mapping[str, Any], word: str) -> Quantity | None:
    text = found.get(word)
    if not text:
        return None
    read = limits_of(text) if word == "limits" else value_of(text)
    return read if isinstance(read, Quantity) else None


def _differ(value: str, unit: Unit, other: str, amount: Quantity) -> tuple[str, str]:
    """What to say of a value and limits, or a run-on, whose units cannot be compared."""
    told = f"{quoted(other)} is {_a(amount.unit)}, and the value {quoted(value)} is {_a(unit)}"
    if amount.unit == BARE:
        if unit.sort == "time" and amount.high is None:
            return told, f"`min` alone means at least: write `{other} min` for minutes, or name the unit"
        return told, f"give it a unit too, as in {quoted(value)}"
    if unit == BARE:
        return told, f"give the value a unit too: `{value} {amount.unit.name}`"
    if unit.sort == amount.unit.sort:
        return told, "these units do not convert: write both in one"
    return told, f"write both as {_a(unit)}, or look which of them is wrong"


def _a(unit: Unit) -> str:
    return unit.sort if unit == BARE else _a_sort(unit.sort)


def _a_sort(sort: str) -> str:
    return f"{'an' if sort[0] in 'aeiou' else 'a'} {sort}"

"""The four lists to their facts: one row, one fact."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import Any, TypeVar

import msgspec

from buildlog.model.key import Reads, Where
from buildlog.model.lists import Lot, Part, Task, Tool
from buildlog.reader.csvtext import Grid, Row, rows_of
from buildlog.reader.facts import Field, fields_of, read_list
from buildlog.reader.limits import ITEMS_OF_A_PART
from buildlog.reader.names import name_in, quoted
from buildlog.reader.nearest import advice
from buildlog.reader.nodes import Series, Text
from buildlog.reader.reading import Reading

_COUNT = re.compile(r"[1-9][0-9]*")
_DECIMAL_COMMA = re.compile(r"[0-9]+,[0-9]+")

_Fact = TypeVar("_Fact", bound=msgspec.Struct)

Columns = Sequence[Field | None]


def read_parts(reading: Reading, text: str) -> tuple[Part, ...]:
    """The rows of parts.csv."""
    found = _read(reading, text, Part, "number")
    numbers = {part.number: part for part in found}
    for part in found:
        for designator in part.items:
            other = numbers.get(f"{part.number}/{designator}")
            if other is not None:
                also = f"{quoted(other.number)} is also an item of the part {quoted(part.number)}"
                reading.problem(other.where, also, "give one of them another name")
    return found


def read_tasks(reading: Reading, text: str) -> tuple[Task, ...]:
    """The rows of tasks.csv."""
    found = _read(reading, text, Task, "task")
    for task in found:
        points = [each for each in (task.low, task.estimate, task.high) if each is not None]
        if points != sorted(points):
            told = f"the estimates of {quoted(task.task)} are out of order"
            reading.problem(task.where, told, "`low` is at most `estimate`, and that at most `high`")
    return found


def read_lots(reading: Reading, text: str) -> tuple[Lot, ...]:
    """The rows of lots.csv."""
    return _read(reading, text, Lot, "lot")


def read_tools(reading: Reading, text: str) -> tuple[Tool, ...]:
    """The rows of tools.csv."""
    return _read(reading, text, Tool, "tool")


def _read(reading: Reading, text: str, fact: type[_Fact], key: str) -> tuple[_Fact, ...]:
    grid = rows_of(reading, text)
    if grid is None:
        return ()
    columns = _columns(reading, grid.head, fact)
    if columns is None:
        return ()
    found: list[_Fact] = []
    lines: dict[str, int] = {}
    for row in grid.rows:
        values = _row(reading, grid, row, columns, fact, key)
        name = values.get(key)
        if name is None:
            continue
        if name in lines:
            told = f"{quoted(name)} is on this list twice; the first is on line {lines[name]}"
            reading.problem(_cell(row, columns, key), told, "keep one row, or give one another name")
            continue
        lines[name] = row.line
        found.append(fact(**values, where=Where(reading.file, row.line, 1)))
    return tuple(found)


def _columns(reading: Reading, head: Row, fact: type[msgspec.Struct]) -> Columns | None:
    fields = fields_of(fact)
    columns: list[Field | None] = []
    met: set[str] = set()
    for cell in head.cells:
        word = cell.text.strip().lower()
        field = fields.get(word)
        if field is None and word:
            told = f"there is no column {quoted(cell.text.strip())}"
            reading.problem(cell, told, advice(word, fields, f"columns of {reading.file}"))
        if field is not None and word in met:
            reading.problem(cell, f"the column {quoted(word)} is here twice", "keep one of them")
        met.add(word)
        columns.append(field)
    missing = [word for word, field in fields.items() if field.required and word not in met]
    for word in missing:
        told = f"the column `{word}` is missing"
        reading.problem(head.cells[0], told, f"the first row names the columns: {', '.join(fields)}")
    return None if missing else columns


def _row(
    reading: Reading, grid: Grid, row: Row, columns: Columns, fact: type[msgspec.Struct], key: str
) -> dict[str, Any]:
    values: dict[str, Any] = {}
    for index, cell in enumerate(row.cells):
        if not cell.text.strip():
            continue
        if index >= len(columns):
            todo = "put quotes around a cell that holds a comma" if not grid.comma else "take it out"
            reading.problem(cell, f"{quoted(cell.text)} stands behind the last column", todo)
            break
        field = columns[index]
        if field is None:
            if not grid.head.cells[index].text.strip():
                reading.problem(cell, f"{quoted(cell.text)} stands in a column without a name", "name it")
            continue
        value = _value(reading, grid, cell, field, key)
        if value is not None:
            values[field.field] = value
    for word, field in fields_of(fact).items():
        if field.required and field.field not in values and not _written(row, columns, field):
            reading.problem(_cell(row, columns, word), f"`{word}` is empty in this row", "fill it in")
            if word != key:
                values[field.field] = ""
    return values


def _value(reading: Reading, grid: Grid, cell: Text, field: Field, key: str) -> Any:
    if field.field == key:
        return name_in(reading, cell)
    if field.field == "items":
        return _items(reading, cell)
    if field.many:
        return read_list(reading, field, _split(cell, at_blanks=field.reads is not Reads.TEXTS), field.field)
    if field.reads is Reads.NUMBER and grid.comma and _DECIMAL_COMMA.fullmatch(cell.text.strip()):
        return Fraction(cell.text.strip().replace(",", "."))
    return field.value(reading, cell)


def _items(reading: Reading, cell: Text) -> tuple[str, ...] | None:
    text = cell.text.strip()
    if _COUNT.fullmatch(text):
        if len(text) < 6 and int(text) <= ITEMS_OF_A_PART:
            return tuple(str(each) for each in range(1, int(text) + 1))
        told = f"{quoted(text)} is more items than one part may have ({ITEMS_OF_A_PART})"
        reading.problem(
            cell, told, "keep such a part by lot: leave `items` empty, and give it a class with `bulk`"
        )
        return None
    if not text.strip("0"):
        reading.problem(cell, f"{quoted(text)} is no number of items", "leave `items` empty for one item")
        return None
    found: dict[str, None] = {}
    for each in _split(cell, at_blanks=True).items:
        name = name_in(reading, each) if isinstance(each, Text) else None
        if name is None:
            continue
        if "/" in name:
            reading.problem(
                each, f"the designator {quoted(name)} holds a `/`", "`/` stands before a designator"
            )
        elif name in found:
            reading.problem(each, f"the designator {quoted(name)} is here twice", "keep one of them")
        else:
            found[name] = None
    if len(found) > ITEMS_OF_A_PART:
        reading.problem(cell, f"{len(found)} designators; the limit is {ITEMS_OF_A_PART}", "split the part")
    return tuple(found)


def _split(cell: Text, *, at_blanks: bool) -> Series:
    """The values of a cell: between `|` where there is one, else between blanks if the values hold none."""
    text = cell.text
    pattern = r"[^|]+" if "|" in text or not at_blanks else r"\S+"
    items = []
    for found in re.finditer(pattern, text):
        each = found[0].strip()
        if each:
            before = len(found[0]) - len(found[0].lstrip())
            items.append(Text(each, cell.line, cell.column + found.start() + before))
    return Series(tuple(items), cell.line, cell.column)


def _written(row: Row, columns: Columns, field: Field) -> bool:
    return any(
        column is field and index < len(row.cells) and row.cells[index].text.strip()
        for index, column in enumerate(columns)
    )


def _cell(row: Row, columns: Columns, word: str) -> Text:
    for index, column in enumerate(columns):
        if column is not None and column.field == word and index < len(row.cells):
            return row.cells[index]
    return row.cells[0]


READ_LIST: Mapping[str, tuple[str, Callable[[Reading, str], tuple[Any, ...]]]] = {
    "parts.csv": ("parts", read_parts),
    "tasks.csv": ("tasks", read_tasks),
    "lots.csv": ("lots", read_lots),
    "tools.csv": ("tools", read_tools),
}
"""Each list by its file: the field of a sheet that holds it, and its reader."""

"""A list's CSV (RFC 4180, with `,` or `;`) to rows of cells with their places."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator

import msgspec

from buildlog.reader.limits import COLUMNS, ROWS
from buildlog.reader.nodes import Text
from buildlog.reader.reading import Reading

_SEPARATOR_LINE = re.compile(r"sep=(.)\n", re.IGNORECASE)
_QUOTED = re.compile(r'"[^"]*"')


class Row(msgspec.Struct, frozen=True):
    """One row: its cells in order, and the line on which it begins."""

    cells: tuple[Text, ...]
    line: int


class Grid(msgspec.Struct, frozen=True):
    """A list taken apart. `comma` says that `;` separates the cells, so that a `,` may be a decimal one."""

    head: Row
    rows: tuple[Row, ...]
    comma: bool


def rows_of(reading: Reading, text: str) -> Grid | None:
    """The rows of a list, blank ones left out; None where it has no row of column names."""
    lines = text.split("\n")
    skipped = 0
    if mark := _SEPARATOR_LINE.match(text):
        # a line that some spreadsheets put before the column names
        skipped = 1
        delimiter = mark[1]
        text = text[mark.end() :]
    else:
        delimiter = _delimiter(text.lstrip("\n").partition("\n")[0])
    if delimiter == "\t":
        reading.problem(Text("", 1, 1), "tabs separate the columns", "save the list as CSV, with commas")
        return None
    rows = list(_rows(reading, text, delimiter, lines, skipped))
    if not rows:
        if reading.clean:
            reading.problem(None, "the list is empty", "its first row names the columns")
        return None
    head, *rest = rows
    if len(head.cells) > COLUMNS or len(rest) > ROWS:
        found = f"the list has {len(head.cells)} columns and {len(rest):,} rows"
        reading.problem(None, found, f"the limit is {COLUMNS} columns and {ROWS:,} rows")
        return None
    return Grid(head, tuple(rest), delimiter == ";")


def _delimiter(head: str) -> str:
    bare = _QUOTED.sub("", head)
    counts = {each: bare.count(each) for each in ",;\t"}
    best = max(counts, key=lambda each: counts[each])
    return best if counts[best] else ","


def _rows(reading: Reading, text: str, delimiter: str, lines: list[str], skipped: int) -> Iterator[Row]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    line = skipped + 1
    while True:
        try:
            cells = next(reader, None)
        except csv.Error as error:
            reading.problem(Text("", line, 1), *_meaning(str(error)))
            return
        if cells is None:
            return
        after = skipped + reader.line_num + 1
        if any(cell.strip() for cell in cells):
            yield Row(_placed(cells, lines[line - 1 : after - 1], line, delimiter), line)
        line = after


def _meaning(said: str) -> tuple[str, str]:
    if "unexpected end" in said:
        return (
            "a quote opened in this row is never closed",
            "close it; a quote inside quotes is written twice",
        )
    if "field larger" in said:
        return "a cell of this row is too large", "shorten it, or close the quote that it begins with"
    return f"the quotes of this row are not in order ({said})", "a quote inside quotes is written twice"


def _placed(cells: list[str], lines: list[str], line: int, delimiter: str) -> tuple[Text, ...]:
    """The cells with their places: strict CSV is as long as its cells say, quotes and all."""
    raw = "\n".join(lines)
    placed = []
    at, begins = 0, 0
    for cell in cells:
        placed.append(Text(cell, line, at - begins + 1))
        end = at + len(cell)
        if raw.startswith('"', at):
            end += 2 + cell.count('"')
        if "\n" in cell:
            line += cell.count("\n")
            begins = raw.rindex("\n", at, end) + 1
        at = end + len(delimiter)
    return tuple(placed)

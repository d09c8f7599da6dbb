"""Tables as RFC 4180 CSV that a spreadsheet cannot be made to run.

A cell that a spreadsheet would take for a formula, because it begins with `=`, `+`, `-`, `@`, a tab or a
carriage return, gets an apostrophe before it; so does one that begins with an apostrophe already, so that
taking one leading apostrophe off every cell that has one gives the text back, whatever it was.
(The characters are those of OWASP, "CSV Injection"; the apostrophe is a spreadsheet's own mark for text.)
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

_RUN = frozenset("=+-@\t\r'")


def disarm(cell: str) -> str:
    """A cell as it is written."""
    return f"'{cell}" if cell and cell[0] in _RUN else cell


def rearm(cell: str) -> str:
    """What was written, as it was meant."""
    return cell.removeprefix("'")


def table(rows: Iterable[Sequence[str]]) -> bytes:
    """Rows as UTF-8 CSV with CRLF, every cell disarmed."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerows([disarm(cell) if cell[:1] in _RUN else cell for cell in row] for row in rows)
    return text.getvalue().encode()

"""Tables: RFC 4180, and cells that no spreadsheet runs."""

from __future__ import annotations

import csv
import io

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.pages.cells import disarm, rearm, table

TEXT = st.text(st.characters(blacklist_categories=("Cs",), blacklist_characters="\x00"))


# The characters are those of OWASP, "CSV Injection"; the list is from memory.
@pytest.mark.parametrize("cell", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "'quoted", "'=1"])
def test_what_a_spreadsheet_would_run_is_disarmed(cell: str) -> None:
    assert disarm(cell) == f"'{cell}"


@pytest.mark.parametrize("cell", ["", "a=1", "TN-57", "0.4 mm", " =1", "1-2"])
def test_anything_else_stays_as_it_is(cell: str) -> None:
    assert disarm(cell) == cell


@given(TEXT)
def test_disarming_is_undone_by_taking_one_apostrophe_off(cell: str) -> None:
    written = disarm(cell)
    assert rearm(written) == cell
    assert not written.startswith(("=", "+", "-", "@", "\t", "\r"))


@given(st.lists(st.lists(TEXT, min_size=2, max_size=2), min_size=1))
def test_a_table_is_read_back_by_the_library(rows: list[list[str]]) -> None:
    text = table(rows).decode()
    read = list(csv.reader(io.StringIO(text, newline="")))
    assert [[rearm(cell) for cell in row] for row in read] == rows


def test_a_table_is_read_by_pandas() -> None:
    data = table([("a", "b"), ('say "hi", you', "two\nlines"), ("=1", "ø")])
    frame = pd.read_csv(io.BytesIO(data), dtype=str, keep_default_na=False)
    assert frame.to_numpy().tolist() == [['say "hi", you', "two\nlines"], ["'=1", "ø"]]
    assert data.count(b"\r\n") == 3

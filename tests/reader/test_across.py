"""Slips that no entry shows by itself: numbers that nobody raised, and work that the inspector would miss."""

from __future__ import annotations

import pytest

from buildlog.reader.assemble import assemble
from buildlog.reader.read import read_sheet

SETTINGS = """format = 1
[project]
title = "T"
[people.ada]
name = "Ada"
roles = ["builder"]
[people.ins]
name = "Ins"
roles = ["inspector"]
"""
PARTS = "number,name\nTN-1,Spar\nTN-2,Rib\n"
INSPECTION = "    stage: to-drawing\n    by: ins\n    result: accepted\n"
RAISED = "records:\n  - nonconformance: TN-1\n    id: NC-1\n"


def told(*entries: str) -> list[str]:
    files = {"buildlog.toml": SETTINGS, "parts.csv": PARTS}
    for day, text in enumerate(entries, start=1):
        files[f"entries/2026-03-0{day}-x.md"] = f"---\npeople: ada\n{text}---\nProse.\n"
    _, problems = assemble([read_sheet(file, text.encode()) for file, text in files.items()])
    return [str(each) for each in problems]


@pytest.mark.parametrize(
    ("record", "place"),
    [
        ("  - disposition: TN-1\n    id: NC-l\n    decision: rework\n    by: ins\n", 4),
        (
            f"  - inspected: TN-1\n{INSPECTION}    clears: NC-l\n",
            4,
        ),
        ("  - tested: TN-1\n    result: passed\n    clears: NC-l\n", 4),
        ("  - repaired: TN-1\n    nonconformance: NC-l\n", 4),
    ],
)
def test_a_number_that_nobody_raised_is_an_error_with_the_nearest(record: str, place: int) -> None:
    at = f"entries/2026-03-02-x.md:{place}:5"
    said = 'no record raises the nonconformance "NC-l"; the nearest is "NC-1"'
    assert told(RAISED, "records:\n" + record) == [f"{at}: {said}"]
    assert told(RAISED, "records:\n" + record.replace("NC-l", "NC-1")) == []


def test_where_none_was_raised_it_says_so() -> None:
    (only,) = told("records:\n  - repaired: TN-1\n    nonconformance: NC-7\n")
    assert only.endswith("there are none yet")


def test_it_may_be_raised_later_and_on_another_item() -> None:
    assert told("records:\n  - damaged: TN-2\n    nonconformance: NC-1\n", RAISED) == []


WORK = "work:\n  - parts: TN-1\n    kind: sanding\n    hours: 1\n"


def test_work_on_parts_is_not_for_the_shop_alone() -> None:
    (only,) = told("audience: shop\n" + WORK)
    assert only.startswith("entries/2026-03-01-x.md:5:5: work on parts cannot be for the shop alone")
    assert "`~~~ shop only`" in only


@pytest.mark.parametrize(
    "entry",
    [
        WORK,
        "audience: shop\n" + WORK.replace("sanding", "paperwork"),
        "audience: shop\nwork:\n  - kind: shopping\n    hours: 1\n",
        "audience: shop\n",
    ],
)
def test_what_changes_no_status_may_be(entry: str) -> None:
    assert told(entry) == []

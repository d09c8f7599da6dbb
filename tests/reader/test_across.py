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


TWO = "number,name,items\nTN-1,Spar,L R\nTN-2,Rib,\nTN-3,Clip,\n"
WORKED = "records:\n  - modified: [TN-1/L, TN-1/R]\n  - modified: TN-2\n"


def struck(of: str, place: int, *more: str, first: str = WORKED, entry: str = "2026-03-01-x") -> list[str]:
    void = f"records:\n  - voided: {of}\n    entry: {entry}\n    record: {place}\n    reason: wrong\n"
    files = {"buildlog.toml": SETTINGS, "parts.csv": TWO, "lots.csv": "lot,material\nLT-1,Glue\n"}
    for day, text in enumerate((first, *more, void), start=1):
        files[f"entries/2026-03-0{day}-x.md"] = f"---\npeople: ada\n{text}---\nProse.\n"
    _, problems = assemble([read_sheet(file, text.encode()) for file, text in files.items()])
    return [str(each) for each in problems]


def test_a_miscounted_number_is_an_error_with_the_right_one() -> None:
    (only,) = struck("TN-1/all", 2)
    assert only == (
        "entries/2026-03-02-x.md:4:5: record 2 of 2026-03-01-x is about TN-2, not about TN-1/L, TN-1/R;"
        " the nearest about TN-1/L, TN-1/R is record 1"
    )
    (only,) = struck("TN-2", 1)
    assert only.endswith("is about TN-1/L, TN-1/R, not about TN-2; the nearest about TN-2 is record 2")


def test_where_no_record_there_is_about_it_the_entry_is_wrong() -> None:
    (only,) = struck("TN-3", 1)
    assert only.endswith("no record of 2026-03-01-x is about TN-3: look for the entry that is")


def test_a_record_about_several_is_struck_for_all_of_them() -> None:
    (only,) = struck("TN-1/L", 1)
    assert "is struck for all of it: TN-1/R is not named" in only
    assert "`voided: [TN-1/L, TN-1/R]`" in only
    (only,) = struck("[TN-1/L, TN-1/R, TN-2]", 1)
    assert "not about TN-2" in only


VOID_1 = "records:\n  - voided: {}\n    entry: 2026-03-01-x\n    record: 1\n    reason: wrong\n"
RENAMED = "records:\n  - reidentified: TN-2\n    as: TN-3\n"


@pytest.mark.parametrize(
    ("of", "place", "more", "first", "entry"),
    [
        ("[TN-1/L, TN-1/R]", 1, (), WORKED, "2026-03-01-x"),
        ("[TN-1/R, TN-1/L]", 1, (), WORKED, "2026-03-01-x"),
        ("TN-1/all", 1, (), WORKED, "2026-03-01-x"),
        ("TN-2", 2, (), WORKED, "2026-03-01-x"),
        ("", 1, (), WORKED, "2026-03-01-x"),
        ("TN-1/all", 1, (), "records:\n  - made: TN-1/all\n", "2026-03-01-x"),
        ("LT-1", 1, (), "records:\n  - damaged: LT-1\n", "2026-03-01-x"),
        ("X-9/1", 1, (), "records:\n  - made: X-9/1\n", "2026-03-01-x"),
        ("TN-1/all", 1, (VOID_1.format("TN-1/all"),), WORKED, "2026-03-02-x"),
        ("TN-1/all", 1, (VOID_1.format(""),), WORKED, "2026-03-02-x"),
        ("TN-3", 2, (RENAMED,), WORKED, "2026-03-01-x"),
        ("TN-2", 2, (RENAMED,), WORKED, "2026-03-01-x"),
    ],
    ids=[
        "both", "either order", "all", "one", "no item", "all of all", "a lot", "on no list", "a void",
        "a void without an item", "the new name", "the old name",
    ],
)  # fmt: skip
def test_a_voided_that_names_what_the_record_is_about(
    of: str, place: int, more: tuple[str, ...], first: str, entry: str
) -> None:
    assert struck(of, place, *more, first=first, entry=entry) == []


def test_a_void_of_a_void_has_to_name_it_too() -> None:
    for own in ("TN-1/all", ""):
        (only,) = struck("TN-2", 1, VOID_1.format(own), entry="2026-03-02-x")
        assert "not about TN-2" in only


def test_a_lot_is_no_item() -> None:
    (only,) = struck("TN-2", 1, first="records:\n  - damaged: LT-1\n  - damaged: TN-2\n")
    assert only.endswith("is about LT-1, not about TN-2; the nearest about TN-2 is record 2")


def test_a_draft_stops_nothing() -> None:
    assert struck("TN-2", 2, "draft: true\n" + VOID_1.format("TN-3")) == []

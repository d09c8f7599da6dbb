"""The rule `not-on-parts-list`: a part number that entries name and the list does not."""

from __future__ import annotations

from tests.rules.histories import found, table

LIST = "part TN-57-1100 items=L,R\npart TN-57-1210\n"

test_not_on_parts_list = table(
    "not-on-parts-list",
    {
        "a record": (LIST + "2026-03-01 made TN-57-1101", ["minor TN-57-1101"]),
        "a work line": (LIST + "2026-03-01 work TN-57-1101 hours=1", ["minor TN-57-1101"]),
        "a photo": (LIST + "2026-03-01 media a.jpg shows=TN-57-1101", ["minor TN-57-1101"]),
        "what something sits on": (
            LIST + "2026-03-01 made TN-57-1210\n2026-03-02 installed TN-57-1210 on=TN-57-9",
            ["minor TN-57-9"],
        ),
        "what something came off": (LIST + "2026-03-01 removed TN-57-1210 from=X-9", ["minor X-9"]),
        "what a closing hides, and what it does not": (
            LIST + "2026-03-01 closed TN-57-1210 hides=X-1,TN-57-1100/L except=X-2",
            ["minor X-1", "minor X-2"],
        ),
        "listed": (LIST + "2026-03-01 made TN-57-1100", []),
        "listed, all of them": (
            LIST + "2026-03-01 inspected TN-57-1100/all stage=to-drawing by=okafor result=accepted",
            [],
        ),
        "several times, one finding": (
            LIST + "2026-03-01 made X-1\n2026-03-02 work X-1 hours=1\n2026-03-03 made X-1 by=bram",
            ["minor X-1"],
        ),
        "two designators, one number": (LIST + "2026-03-01 made X-1/L\n2026-03-02 made X-1/R", ["minor X-1"]),
        "a number that looks like one": (
            LIST + "2026-03-01 made 007\n2026-03-01 made 1E5",
            ["minor 1E5", "minor 007"],
        ),
        "case matters": (LIST + "2026-03-01 made tn-57-1210", ["minor tn-57-1210"]),
        "struck through": (
            LIST
            + "2026-03-01 made X-1\n2026-03-02 voided X-1 entry=2026-03-01-1 record=1 reason='wrong number'",
            [],
        ),
        "a number with a slash that is listed": ("part A/B\n2026-03-01 made A/B", []),
        "no list at all": ("2026-03-01 made A", ["minor A"]),
        "prose may say what it likes": (LIST + "2026-03-01 made TN-57-1210 note='like X-1'", []),
        "after the day stood on": (
            LIST + "2026-03-01 made TN-57-1210\n2026-03-09 made X-1\non 2026-03-02",
            [],
        ),
        "what a task is about": (LIST + "task T parts=X-1", ["minor X-1"]),
        "what a milestone needs": (LIST + "milestone taxi items=TN-57-1210,X-1/L", ["minor X-1/L"]),
        "in a list and in an entry, one finding": (
            LIST + "task T parts=X-1\nmilestone taxi items=X-1\n2026-03-01 made X-1",
            ["minor X-1"],
        ),
        "a task about a part that is listed, and one of its items": (
            LIST + "task T parts=TN-57-1100/L,TN-57-1210",
            [],
        ),
        "a new name for an article": (LIST + "2026-03-01 reidentified TN-57-1210 as=X-7", ["minor X-7"]),
    },
)


def test_it_names_the_nearest_and_points_at_the_first() -> None:
    (finding,) = found(
        "not-on-parts-list",
        LIST + "2026-03-09 made TN-57-1101 date=2026-03-04\n2026-03-05\n    work TN-57-1101 hours=1\n"
        "    media a.jpg shows=TN-57-1101",
    )
    assert "TN-57-1100" in finding.message
    assert finding.entry == "2026-03-09-1"
    assert "2 more places" in finding.message
    assert str(finding.item) == "TN-57-1101"


def test_nothing_like_it_is_not_offered() -> None:
    (finding,) = found("not-on-parts-list", LIST + "2026-03-09 made QQQ")
    assert "nearest" not in finding.message
    assert finding.clears == "A row for QQQ in parts.csv."


def test_two_items_of_a_number_are_about_the_part() -> None:
    (finding,) = found("not-on-parts-list", LIST + "2026-03-01 made X-1/L\n2026-03-02 made X-1/R")
    assert finding.item is None
    assert finding.part == "X-1"


def test_a_list_that_names_it_is_told_with_its_place() -> None:
    (finding,) = found("not-on-parts-list", LIST + "task T parts=TN-57-1101")
    assert finding.message == (
        "TN-57-1101 is not on the parts list, and the task T is about it; the nearest number is TN-57-1100."
    )
    assert (finding.task, finding.entry, finding.where.file, finding.where.line) == ("T", "", "tasks.csv", 4)
    (finding,) = found("not-on-parts-list", LIST + "milestone taxi items=QQQ")
    assert "the milestone taxi needs it" in finding.message


def test_what_an_entry_names_comes_first() -> None:
    (finding,) = found("not-on-parts-list", LIST + "task T parts=X-1\n2026-03-01 made X-1")
    assert finding.entry == "2026-03-01-1"
    assert "1 more place" in finding.message

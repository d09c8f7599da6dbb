"""The rule `date-in-future`: an entry or record later than the day the answers stand on."""

from __future__ import annotations

from tests.rules.histories import checked, table

test_date_in_future = table(
    "date-in-future",
    {
        "the latest day is the day": ("2026-03-01 made A\n2026-03-02 made A", []),
        "an entry after the day": (
            "2026-03-01 made A\n2026-03-02 made A\non 2026-03-01",
            ["observation 2026-03-02-1"],
        ),
        "the day itself": ("2026-03-01 made A\non 2026-03-01", []),
        "a record after the day": (
            "2026-03-01 made A date=2026-03-05\non 2026-03-04",
            ["observation 2026-03-01-1"],
        ),
        "a record moves the day of a log without one given": ("2026-03-01 made A date=2026-03-05", []),
        "both in one entry: one finding": (
            "2026-03-06 made A date=2026-03-07\non 2026-03-04",
            ["observation 2026-03-06-1"],
        ),
        "two records of one entry": (
            "2026-03-01\n    made A date=2026-03-05\n    made B date=2026-03-06\n    made C\non 2026-03-04",
            ["observation 2026-03-01-1"],
        ),
        "every entry after it": (
            "2026-03-01 made A\n2026-03-02 made A\n2026-03-03 made A\non 2026-03-01",
            ["observation 2026-03-02-1", "observation 2026-03-03-1"],
        ),
        "the leap day after the 28th": (
            "2024-02-28 made A\n2024-02-29 made A\non 2024-02-28",
            ["observation 2024-02-29-1"],
        ),
        "a day long after everything": ("2026-03-01 made A\non 2030-01-01", []),
        "a record before its entry": ("2026-03-05 made A date=2026-03-01\non 2026-03-05", []),
        "a year ahead, alone": (
            "2026-03-01 made A\n2026-03-02 made A\n2027-03-03 made A",
            ["observation 2027-03-03-1"],
        ),
        "a year ahead, and work goes on at the right date": (
            "2026-03-01 made A\n2027-03-02 made A\n2026-03-03 made A",
            ["observation 2027-03-02-1"],
        ),
        "180 days after the one before": ("2026-01-01 made A\n2026-06-30 made A", []),
        "181 days after the one before": (
            "2026-01-01 made A\n2026-07-01 made A",
            ["observation 2026-07-01-1"],
        ),
        "181 days, with a leap day": ("2024-01-01 made A\n2024-06-30 made A", ["observation 2024-06-30-1"]),
        "after a pause, and then the next session": (
            "2026-03-01 made A\n2027-03-03 made A\n2027-03-04 made A",
            [],
        ),
        "after a pause, two sessions of one day": (
            "2026-03-01 made A\n2027-03-03 made A\n2027-03-03 made A",
            [],
        ),
        "a record a year ahead of its entry": (
            "2026-03-01 made A\n2026-03-02\n    made B\n    made A date=2027-03-02",
            ["observation 2026-03-02-1"],
        ),
        "the only entry has it, with records of long before": (
            "2027-03-03\n    made A date=2026-03-01",
            ["observation 2027-03-03-1"],
        ),
        "the first entry of a log": ("2026-03-01 made A", []),
        "long before everything else is not ahead of it": (
            "2016-03-01 made A\n2026-03-01 made A\n2026-03-02 made A",
            [],
        ),
        "a year ahead, and stood on a later day": (
            "2026-03-01 made A\n2027-03-03 made A\non 2027-06-01",
            [],
        ),
        "a year ahead, and stood on the day before it": (
            "2026-03-01 made A\n2026-03-02 made A\n2027-03-03 made A\non 2026-03-02",
            ["observation 2027-03-03-1"],
        ),
        "a day before everything": ("2026-03-05 made A\non 2026-01-01", ["observation 2026-03-05-1"]),
    },
)


def test_what_is_later_is_left_out_of_everything_else() -> None:
    findings = checked("part A\n2026-03-01 made A\n2026-03-02 work A hours=20 task=X", "2026-03-01")
    assert {finding.rule for finding in findings.all} == {
        "date-in-future",
        "never-inspected",
        "evidence-missing",
    }


def test_it_names_the_records() -> None:
    text = "2026-03-01\n    made A\n    made A date=2026-03-05\n    made A date=2026-03-06"
    (finding,) = (each for each in checked(text, "2026-03-02").all if each.rule == "date-in-future")
    assert "Record 2 of this entry and 1 more is dated 2026-03-05" in finding.message
    assert [rest.place for rest in finding.rests] == [2, 3]


def test_a_date_far_ahead_is_told_with_what_stands_on_it_and_leaves_room_for_a_pause() -> None:
    text = "2026-03-01 made A\n2026-03-02\n    made B\n    made A date=2027-03-02"
    (finding,) = (each for each in checked(text).all if each.rule == "date-in-future")
    assert finding.message == (
        "Record 2 of this entry is dated 2027-03-02, 365 days after everything else in the log, the latest of"
        " which is of 2026-03-02. After a pause that long nothing is wrong."
    )
    assert [rest.place for rest in finding.rests] == [2]


def test_a_log_without_an_entry_has_no_day_ahead() -> None:
    assert checked("part A").all == ()

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

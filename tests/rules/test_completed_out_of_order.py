"""The rule `completed-out-of-order`: a task complete before one it comes after."""

from __future__ import annotations

from tests.rules.histories import found, table

TWO = "task A\ntask B after=A\n"

test_completed_out_of_order = table(
    "completed-out-of-order",
    {
        "in order": (TWO + "2026-03-01\n    completes A\n2026-03-02\n    completes B", []),
        "the other way round": (
            TWO + "2026-03-01\n    completes B\n2026-03-02\n    completes A",
            ["minor B"],
        ),
        "the first not begun": (TWO + "2026-03-01\n    completes B", ["minor B"]),
        "the first in work": (
            TWO + "2026-03-01 work hours=1 task=A\n2026-03-02\n    completes B",
            ["minor B"],
        ),
        "the same entry": (TWO + "2026-03-01\n    completes B\n    completes A", []),
        "the same day, no order": (TWO + "2026-03-01\n    completes B\n2026-03-01\n    completes A", []),
        "the same day, by the clock": (
            TWO + "2026-03-01 09:00\n    completes B\n2026-03-01 12:00\n    completes A",
            ["minor B"],
        ),
        "the first taken up again in between": (
            TWO + "2026-03-01\n    completes A\n2026-03-02\n    resumes A\n2026-03-03\n    completes B",
            ["minor B"],
        ),
        "the first taken up again later": (
            TWO + "2026-03-01\n    completes A\n2026-03-02\n    completes B\n2026-03-03\n    resumes A",
            [],
        ),
        "taken up again": (TWO + "2026-03-01\n    completes B\n2026-03-02\n    resumes B", []),
        "taken up again and completed in order": (
            TWO + "2026-03-01\n    completes B\n2026-03-02\n    completes A\n2026-03-03\n    resumes B\n"
            "    completes B",
            [],
        ),
        "only worked on": (TWO + "2026-03-01 work hours=1 task=B", []),
        "two that come before are one finding": (
            "task A\ntask C\ntask B after=A,C\n2026-03-01\n    completes B",
            ["minor B"],
        ),
        "one of two": (
            "task A\ntask C\ntask B after=A,C\n2026-03-01\n    completes A\n2026-03-02\n    completes B",
            ["minor B"],
        ),
        "only the next in a row": (
            (
                "task A\ntask B after=A\ntask C after=B\n2026-03-01\n    completes B\n"
                "2026-03-02\n    completes C"
            ),
            ["minor B"],
        ),
        "after the day stood on": (
            TWO + "2026-03-01\n    completes A\n2026-03-09\n    completes B\non 2026-03-05",
            [],
        ),
        "the list put right": ("task A\ntask B\n2026-03-01\n    completes B", []),
    },
)


def test_it_names_those_that_were_not_complete() -> None:
    (finding,) = found(
        "completed-out-of-order",
        "task A\ntask C\ntask B after=A,C\n2026-03-01\n    completes B\n2026-03-04\n    completes C",
    )
    assert "A (not begun)" in finding.message
    assert "C (complete on 2026-03-04)" in finding.message
    assert finding.task == "B"
    assert finding.entry == "2026-03-01-1"

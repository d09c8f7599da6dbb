"""The rule `work-after-completion`: hours on a task that is complete and that nobody took up again."""

from __future__ import annotations

from tests.rules.histories import found, table

DONE = "task T\n2026-03-01 work hours=2 task=T\n2026-03-02\n    work hours=1 task=T\n    completes T\n"

test_work_after_completion = table(
    "work-after-completion",
    {
        "work in the entry that completes it": (DONE, []),
        "work the day after": (DONE + "2026-03-03 work hours=1 task=T", ["minor T"]),
        "taken up again before": (
            DONE + "2026-03-03\n    resumes T\n    work hours=1 task=T",
            [],
        ),
        "taken up again after": (
            DONE + "2026-03-03 work hours=1 task=T\n2026-03-04\n    resumes T\n    work hours=1 task=T",
            ["minor T"],
        ),
        "taken up again and completed again": (
            DONE + "2026-03-03\n    resumes T\n    completes T\n2026-03-04 work hours=1 task=T",
            ["minor T"],
        ),
        "the same day, no order": (DONE + "2026-03-02 work hours=1 task=T", []),
        "the same day, by the clock": (
            "task T\n2026-03-02 09:00\n    completes T\n2026-03-02 14:00 work hours=1 task=T",
            ["minor T"],
        ),
        "taken up again the same day, no order": (
            DONE + "2026-03-03\n    resumes T\n2026-03-03 work hours=1 task=T",
            [],
        ),
        "several lines are one finding": (
            DONE + "2026-03-03 work hours=1 task=T\n2026-03-04 work hours=1 task=T",
            ["minor T"],
        ),
        "another task": (DONE + "task U\n2026-03-03 work hours=1 task=U", []),
        "after the day stood on": (DONE + "2026-03-09 work hours=1 task=T\non 2026-03-05", []),
        "on no list": (
            "2026-03-01\n    completes X\n2026-03-02 work hours=1 task=X",
            ["minor X"],
        ),
        "the end of a leap February": (
            "task T\n2028-02-29\n    completes T\n2028-03-01 work hours=1 task=T",
            ["minor T"],
        ),
        "a line without hours": (DONE + "2026-03-03 work task=T", ["minor T"]),
    },
)


def test_it_adds_the_hours_and_points_at_the_first() -> None:
    (finding,) = found(
        "work-after-completion", DONE + "2026-03-03 work hours=1.5 task=T\n2026-03-04 work hours=1 task=T"
    )
    assert "2.5 h" in finding.message
    assert "2026-03-02" in finding.message
    assert "`resumes: T`" in finding.clears
    assert [rest.entry for rest in finding.rests] == ["2026-03-03-1", "2026-03-04-1"]

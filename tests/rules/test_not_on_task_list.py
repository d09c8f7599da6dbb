"""The rule `not-on-task-list`: a task that entries name and the list does not; one finding a task."""

from __future__ import annotations

from tests.rules.histories import found, table

LIST = "task WING-12\ntask WING-13\n"

test_not_on_task_list = table(
    "not-on-task-list",
    {
        "work": (LIST + "2026-03-01 work A hours=1 task=WING-21", ["minor WING-21"]),
        "work on no part": (LIST + "2026-03-01\n    work hours=1 task=WING-21", ["minor WING-21"]),
        "listed": (LIST + "2026-03-01 work A hours=1 task=WING-12", []),
        "completes": (LIST + "2026-03-01\n    completes WING-99", ["minor WING-99"]),
        "resumes": (LIST + "2026-03-01\n    resumes WING-99", ["minor WING-99"]),
        "no task at all": (LIST + "2026-03-01 work A hours=1", []),
        "one finding a task": (
            LIST + "2026-03-01 work A hours=1 task=X\n2026-03-02 work A hours=1 task=X\n2026-03-03\n"
            "    completes X",
            ["minor X"],
        ),
        "two tasks": (
            LIST + "2026-03-01 work A task=X2\n2026-03-01 work A task=X10",
            ["minor X2", "minor X10"],
        ),
        "case matters": (LIST + "2026-03-01 work A task=wing-12", ["minor wing-12"]),
        "no list": ("2026-03-01 work A task=X", ["minor X"]),
        "a task that looks like a number": (LIST + "2026-03-01 work A task=12", ["minor 12"]),
        "after the day stood on": (LIST + "2026-03-01 made A\n2026-03-09 work A task=X\non 2026-03-02", []),
    },
)


def test_it_names_the_nearest_and_the_line() -> None:
    (finding,) = found(
        "not-on-task-list",
        LIST + "2026-03-02\n    completes WING-112\n2026-03-01 work A hours=1 task=WING-112",
    )
    assert "WING-12" in finding.message.split(";")[1]
    assert (finding.entry, finding.rests[0].sort) == ("2026-03-01-1", "work")
    assert "1 more place)" in finding.message
    assert finding.where.line == 100

"""The rule `nonconformance-open`: raised, and not decided by who may, or not cleared after rework."""

from __future__ import annotations

from tests.rules.histories import found, table

RAISED = "part A\n2026-03-01 made A\n2026-03-02 nonconformance A id=N1 description='gap too wide'\n"

test_nonconformance_open = table(
    "nonconformance-open",
    {
        "raised": (RAISED, ["major A"]),
        "used as it is": (RAISED + "2026-03-03 disposition A id=N1 decision=use-as-is by=engel", []),
        "decided by an inspector": (
            RAISED + "2026-03-03 disposition A id=N1 decision=use-as-is by=okafor",
            [],
        ),
        "decided by a builder": (
            RAISED + "2026-03-03 disposition A id=N1 decision=use-as-is by=bram",
            ["major A"],
        ),
        "decided after the decider's authority ended": (
            RAISED
            + "person zed roles=inspector until=2026-03-02\n"
            + "2026-03-03 disposition A id=N1 decision=use-as-is by=zed",
            ["major A"],
        ),
        "decided on the last day of it, a leap day": (
            (
                "person zed roles=engineer until=2028-02-29\npart A\n2028-02-28 nonconformance A id=N1\n"
                "2028-02-29 disposition A id=N1 decision=use-as-is by=zed"
            ),
            [],
        ),
        "decided before it began": (
            RAISED
            + "person zed roles=inspector from=2026-03-04\n"
            + "2026-03-03 disposition A id=N1 decision=use-as-is by=zed",
            ["major A"],
        ),
        "written up after it ended, of a day within": (
            RAISED
            + "person zed roles=inspector until=2026-03-03\n"
            + "2026-03-09 disposition A id=N1 decision=use-as-is by=zed date=2026-03-03",
            [],
        ),
        "the decision struck through": (
            RAISED
            + "2026-03-03 disposition A id=N1 decision=use-as-is by=engel\n"
            + "2026-03-04 voided A entry=2026-03-03-1 record=1 reason=wrong by=engel",
            ["major A"],
        ),
        "the clearing inspection struck through": (
            RAISED
            + "2026-03-03 disposition A id=N1 decision=rework by=engel\n"
            + "2026-03-05 accepted A to-drawing okafor clears=N1\n"
            + "2026-03-06 voided A entry=2026-03-05-1 record=1 reason=wrong",
            ["major A"],
        ),
        "cleared by a rejection": (
            RAISED
            + "2026-03-03 disposition A id=N1 decision=rework by=engel\n"
            + "2026-03-05 rejected A to-drawing okafor clears=N1",
            ["major A"],
        ),
        "cleared on the day of the decision, with no order": (
            RAISED
            + "2026-03-03 disposition A id=N1 decision=rework by=engel\n"
            + "2026-03-03 accepted A to-drawing okafor clears=N1",
            ["major A"],
        ),
        "cleared by a test of a stage, by no inspector": (
            RAISED
            + "2026-03-03 disposition A id=N1 decision=rework by=engel\n"
            + "2026-03-05 tested A stage=to-drawing by=bram result=passed clears=N1",
            ["major A"],
        ),
        "a use-as-is taken back": (
            RAISED
            + "2026-03-03 disposition A id=N1 decision=use-as-is by=engel\n"
            + "2026-03-04 disposition A id=N1 decision=rework by=engel",
            ["major A"],
        ),
        "raised again after it was cleared": (
            RAISED
            + "2026-03-03 disposition A id=N1 decision=rework by=engel\n"
            + "2026-03-05 accepted A to-drawing okafor clears=N1\n2026-03-06 nonconformance A id=N1",
            ["major A"],
        ),
        "returned instead": (
            RAISED + "2026-03-03 disposition A id=N1 decision=return by=engel\n2026-03-04 returned A",
            [],
        ),
        "another's number": (
            RAISED + "2026-03-03 disposition A id=N2 decision=use-as-is by=engel",
            ["major A"],
        ),
        "to be reworked": (RAISED + "2026-03-03 disposition A id=N1 decision=rework by=engel", ["major A"]),
        "reworked and cleared": (
            RAISED + "2026-03-03 disposition A id=N1 decision=rework by=engel\n2026-03-04 modified A\n"
            "2026-03-05 accepted A to-drawing okafor clears=N1",
            [],
        ),
        "reworked and passed, but not cleared by number": (
            RAISED + "2026-03-03 disposition A id=N1 decision=rework by=engel\n"
            "2026-03-05 accepted A to-drawing okafor",
            ["major A"],
        ),
        "cleared before it was decided": (
            RAISED + "2026-03-03 accepted A to-drawing okafor clears=N1\n"
            "2026-03-05 disposition A id=N1 decision=rework by=engel",
            ["major A"],
        ),
        "cleared by one without authority": (
            RAISED + "2026-03-03 disposition A id=N1 decision=repair by=engel\n"
            "2026-03-05 accepted A to-drawing bram clears=N1",
            ["major A"],
        ),
        "repaired and cleared by a test": (
            RAISED + "2026-03-03 disposition A id=N1 decision=repair by=engel\n"
            "2026-03-05 tested A by=okafor result=passed clears=N1",
            [],
        ),
        "a failed test clears nothing": (
            RAISED + "2026-03-03 disposition A id=N1 decision=repair by=engel\n"
            "2026-03-05 tested A by=okafor result=failed clears=N1",
            ["major A"],
        ),
        "to be scrapped, and still there": (
            RAISED + "2026-03-03 disposition A id=N1 decision=scrap by=engel",
            ["major A"],
        ),
        "scrapped": (
            RAISED + "2026-03-03 disposition A id=N1 decision=scrap by=engel\n2026-03-04 scrapped A",
            [],
        ),
        "the next article owes nothing": (RAISED + "2026-03-04 scrapped A\n2026-03-05 made A", []),
        "raised by mistake and struck": (
            RAISED + "2026-03-03 voided A entry=2026-03-02-1 record=1 reason=wrong",
            [],
        ),
        "two of them": (RAISED + "2026-03-03 nonconformance A id=N2", ["major A", "major A"]),
        "on one half of a pair": (
            "part A items=L,R\n2026-03-01 made A\n2026-03-02 nonconformance A/R id=N1",
            ["major A/R"],
        ),
    },
)


def test_it_says_what_and_what_is_left() -> None:
    (finding,) = found("nonconformance-open", RAISED)
    assert "N1" in finding.message
    assert "gap too wide" in finding.message
    (finding,) = found(
        "nonconformance-open", RAISED + "2026-03-03 disposition A id=N1 decision=rework by=engel"
    )
    assert "not cleared yet" in finding.message
    assert len(finding.rests) == 2

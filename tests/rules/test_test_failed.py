"""The rule `test-failed`: a test went wrong, and nothing since says that it went right."""

from __future__ import annotations

from tests.rules.histories import found, table

FAILED = "part A\n2026-03-01 made A\n2026-03-02 tested A what='leak test' by=bram result=failed\n"

test_test_failed = table(
    "test-failed",
    {
        "failed": (FAILED, ["major A"]),
        "the same test passed later": (
            FAILED + "2026-03-03 tested A what='leak test' by=bram result=passed",
            [],
        ),
        "written a little differently": (
            FAILED + "2026-03-03 tested A what='Leak  Test' by=bram result=passed",
            [],
        ),
        "another test passed": (
            FAILED + "2026-03-03 tested A what='proof load' by=bram result=passed",
            ["major A"],
        ),
        "passed before it failed": (
            (
                "part A\n2026-03-01 tested A what='leak test' by=bram result=passed\n"
                "2026-03-02 tested A what='leak test' by=bram result=failed"
            ),
            ["major A"],
        ),
        "the same day, no order": (
            FAILED + "2026-03-02 tested A what='leak test' by=bram result=passed",
            ["major A"],
        ),
        "the same day, by the clock": (
            (
                "part A\n2026-03-02 09:00 tested A what='leak test' result=failed\n"
                "2026-03-02 11:30 tested A what='leak test' result=passed"
            ),
            [],
        ),
        "the same session, one below the other": (
            (
                "part A\n2026-03-02\n    tested A what='leak test' result=failed\n"
                "    tested A what='leak test' result=passed"
            ),
            [],
        ),
        "a pass written up later, of a day before": (
            FAILED + "2026-03-09 tested A what='leak test' result=passed date=2026-03-01",
            ["major A"],
        ),
        "a failure written up later, of a day before the pass": (
            (
                "part A\n2026-02-28 made A\n2026-03-03 tested A what='leak test' result=passed\n"
                "2026-03-09 tested A what='leak test' result=failed date=2026-03-01"
            ),
            [],
        ),
        "failed twice is one finding": (
            FAILED + "2026-03-03 tested A what='leak test' by=bram result=failed",
            ["major A"],
        ),
        "two tests failed": (
            FAILED + "2026-03-03 tested A what='proof load' by=bram result=failed",
            ["major A", "major A"],
        ),
        "without a name": (
            "part A\n2026-03-01 tested A result=failed\n2026-03-02 tested A result=passed",
            [],
        ),
        "for a stage it is a rejection, and said there": (
            "part A\n2026-03-01 made A\n2026-03-02 tested A stage=to-drawing result=failed",
            [],
        ),
        "passed for a stage under the same name": (
            FAILED + "2026-03-03 tested A what='leak test' stage=to-drawing by=okafor result=passed",
            [],
        ),
        "an acceptance is no test": (FAILED + "2026-03-03 accepted A to-drawing okafor", ["major A"]),
        "its nonconformance is open, and said there": (
            (
                "part A\n2026-03-01 made A\n2026-03-02\n"
                "    tested A what=leak result=failed nonconformance=N1\n"
                "    nonconformance A id=N1"
            ),
            [],
        ),
        "its nonconformance was decided": (
            (
                "part A\n2026-03-01 made A\n2026-03-02\n"
                "    tested A what=leak result=failed nonconformance=N1\n"
                "    nonconformance A id=N1\n2026-03-05 disposition A id=N1 decision=use-as-is by=engel"
            ),
            [],
        ),
        "a nonconformance raised with it in the same session": (
            (
                "part A\n2026-03-01 made A\n2026-03-02\n    tested A what=leak result=failed\n"
                "    nonconformance A id=N1\n2026-03-05 disposition A id=N1 decision=use-as-is by=engel"
            ),
            [],
        ),
        "a nonconformance that nobody raised": (
            "part A\n2026-03-02 tested A what=leak result=failed nonconformance=N9",
            ["major A"],
        ),
        "a nonconformance decided before it failed": (
            (
                "part A\n2026-03-01 nonconformance A id=N1\n"
                "2026-03-02 disposition A id=N1 decision=use-as-is by=engel\n"
                "2026-03-03 tested A what=leak result=failed nonconformance=N1"
            ),
            ["major A"],
        ),
        "struck through": (
            FAILED + "2026-03-03 voided A entry=2026-03-02-1 record=1 reason=wrong by=okafor",
            [],
        ),
        "the pass struck through": (
            FAILED + "2026-03-03 tested A what='leak test' result=passed\n"
            "2026-03-04 voided A entry=2026-03-03-1 record=1 reason=wrong",
            ["major A"],
        ),
        "sent back": (FAILED + "2026-03-03 returned A", []),
        "the next article owes nothing": (FAILED + "2026-03-03 scrapped A\n2026-03-05 made A", []),
        "one of a pair": (
            (
                "part A items=L,R\n2026-03-01 made A\n2026-03-02 tested A/L what=leak result=failed\n"
                "2026-03-03 tested A/R what=leak result=passed"
            ),
            ["major A/L"],
        ),
        "on the last day of February": (
            (
                "part A\n2028-02-29 tested A what=leak result=failed\n"
                "2028-03-01 tested A what=leak result=passed"
            ),
            [],
        ),
    },
)


def test_it_says_which_and_when() -> None:
    (finding,) = found("test-failed", FAILED + "2026-03-04 tested A what='leak test' by=bram result=failed")
    assert "leak test" in finding.message
    assert "2026-03-04" in finding.message
    assert finding.entry == "2026-03-04-1"
    assert [rest.entry for rest in finding.rests] == ["2026-03-04-1", "2026-03-02-1"]


def test_it_says_where_a_pass_has_no_order_to_it() -> None:
    (finding,) = found("test-failed", FAILED + "2026-03-02 tested A what='leak test' by=bram result=passed")
    assert "no order" in finding.message

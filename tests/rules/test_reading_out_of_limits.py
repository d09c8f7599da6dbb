"""The rule `reading-out-of-limits`: a value outside its limits that nothing answers."""

from __future__ import annotations

from tests.rules.histories import found, table

RULE = "reading-out-of-limits"
MADE = "part A\n2026-03-01 made A\n"
WIDE = MADE + "2026-03-02 measured A what=gap value='0.8 mm' limits='0.5 mm max'\n"
BOLT = "fastener='root bolt' run_on='12 in-lb' limits='50 to 70 in-lb'"
SLACK = MADE + f"2026-03-02 torqued A {BOLT} value='55 in-lb'\n"
LEAP = "part A\n2028-02-29 measured A what=gap value='0.8 mm' limits='0.5 mm max'\n"
PAIR = "part A items=L,R\n2026-03-01 made A/L\n2026-03-01 made A/R\n"

test_reading_out_of_limits = table(
    RULE,
    {
        "outside": (WIDE, ["major A"]),
        "inside": (MADE + "2026-03-02 measured A what=gap value='0.4 mm' limits='0.5 mm max'", []),
        "exactly at the limit": (
            MADE + "2026-03-02 measured A what=gap value='0.5 mm' limits='0.5 mm max'",
            [],
        ),
        "exactly at the limit in another unit": (
            MADE + "2026-03-02 measured A what=bore value='1 in' limits='25.4 mm max'",
            [],
        ),
        "outside in another unit": (
            MADE + "2026-03-02 torqued A value='8 N m' limits='50 to 70 in-lb'",
            ["major A"],
        ),
        "a temperature, with its offset": (
            MADE + "2026-03-02 measured A what=cure value='50 °F' limits='10 to 30 °C'",
            [],
        ),
        "a torque below its own run-on, without limits": (
            MADE + "2026-03-02 torqued A fastener=M1 value='12 in-lb' run_on='78 in-lb'",
            ["major A"],
        ),
        "a torque below its own run-on, in other units": (
            MADE + "2026-03-02 torqued A fastener=M1 value='1 N m' run_on='9 in-lb'",
            ["major A"],
        ),
        "a torque that is its run-on and no more": (
            MADE + "2026-03-02 torqued A fastener=M1 value='12 in-lb' run_on='12 in-lb'",
            [],
        ),
        "a torque below its own run-on, and read again": (
            MADE + "2026-03-02 torqued A fastener=M1 value='12 in-lb' run_on='78 in-lb'\n"
            "2026-03-03 torqued A fastener=M1 value='78 in-lb' run_on='12 in-lb'",
            [],
        ),
        "without limits": (MADE + "2026-03-02 measured A what=gap value='80 mm'", []),
        "net of run-on inside, though what was set is not": (
            MADE + f"2026-03-02 torqued A {BOLT} value='78 in-lb'",
            [],
        ),
        "net of run-on outside, though what was set is inside": (SLACK, ["major A"]),
        "of minutes": (MADE + "2026-03-02 measured A what=run value='2 min' limits='3 min min'", ["major A"]),
        "bare numbers": (MADE + "2026-03-02 measured A what=slope value=11 limits='12 to 15'", ["major A"]),
        "part of a range outside": (
            MADE + "2026-03-02 measured A what=moisture value='8 to 11 %' limits='9 to 13 %'",
            ["major A"],
        ),
        "measured again, inside": (
            WIDE + "2026-03-03 measured A what=gap value='0.4 mm' limits='0.5 mm max'",
            [],
        ),
        "measured again in other letters and another unit": (
            WIDE + "2026-03-03 measured A what='  Gap' value='15 thou' limits='0.5 mm max'",
            [],
        ),
        "measured again, and outside again: one finding": (
            WIDE + "2026-03-03 measured A what=gap value='0.7 mm' limits='0.5 mm max'",
            ["major A"],
        ),
        "measured again, without limits": (
            WIDE + "2026-03-03 measured A what=gap value='0.4 mm'",
            ["major A"],
        ),
        "something else measured": (
            WIDE + "2026-03-03 measured A what=bow value='0.4 mm' limits='0.5 mm max'",
            ["major A"],
        ),
        "inside before, outside now": (
            MADE + "2026-03-01 measured A what=gap value='0.4 mm' limits='0.5 mm max'\n"
            "2026-03-02 measured A what=gap value='0.8 mm' limits='0.5 mm max'",
            ["major A"],
        ),
        "two characteristics": (
            WIDE + "2026-03-02 measured A what=bow value='9 mm' limits='2 mm max'",
            ["major A", "major A"],
        ),
        "without a name, and another without one": (
            MADE + "2026-03-02 measured A value='9 mm' limits='2 mm max'\n"
            "2026-03-03 measured A value='0.4 mm' limits='0.5 mm max'",
            ["major A"],
        ),
        "without a name, against the same limits again": (
            MADE + "2026-03-02 measured A value='9 mm' limits='2 mm max'\n"
            "2026-03-03 measured A value='1 mm' limits='2 mm max'",
            [],
        ),
        "reworked, and not measured again": (WIDE + "2026-03-03 modified A", ["major A"]),
        "with a nonconformance that names it": (
            WIDE + "2026-03-03 nonconformance A id=N1 description='The gap is too wide'",
            [],
        ),
        "with its own nonconformance": (
            MADE + "2026-03-02\n    nonconformance A id=N1\n"
            "    measured A what=gap value='0.8 mm' limits='0.5 mm max' nonconformance=N1",
            [],
        ),
        "with a nonconformance raised on another item, where it is put right": (
            MADE + "part B\n2026-03-02\n    nonconformance B id=N1\n"
            "    measured A what=gap value='0.8 mm' limits='0.5 mm max' nonconformance=N1",
            [],
        ),
        "with a nonconformance of something else": (
            WIDE + "2026-03-03 nonconformance A id=N1 description='A scratch across the gapping tool'",
            ["major A"],
        ),
        "a nonconformance from before": (
            MADE + "2026-03-01 nonconformance A id=N1 description='gap'\n"
            "2026-03-02 measured A what=gap value='0.8 mm' limits='0.5 mm max'",
            ["major A"],
        ),
        "a nonconformance raised by mistake and struck": (
            WIDE + "2026-03-03 nonconformance A id=N1 description='gap'\n"
            "2026-03-04 voided A entry=2026-03-03-1 record=1 reason=wrong",
            ["major A"],
        ),
        "outside again, with a nonconformance this time": (
            WIDE + "2026-03-03\n    nonconformance A id=N1\n"
            "    measured A what=gap value='0.7 mm' limits='0.5 mm max' nonconformance=N1",
            [],
        ),
        "struck": (WIDE + "2026-03-03 voided A entry=2026-03-02-1 record=1 reason=wrong", []),
        "what put it right is struck": (
            WIDE + "2026-03-03 measured A what=gap value='0.4 mm' limits='0.5 mm max'\n"
            "2026-03-04 voided A entry=2026-03-03-1 record=1 reason=wrong",
            ["major A"],
        ),
        "the same day, in one entry": (
            MADE + "2026-03-02\n    measured A what=gap value='0.8 mm' limits='0.5 mm max'\n"
            "    measured A what=gap value='0.4 mm' limits='0.5 mm max'",
            [],
        ),
        "the same day, with no order": (
            WIDE + "2026-03-02 measured A what=gap value='0.4 mm' limits='0.5 mm max'",
            ["major A"],
        ),
        "written up later, and from before": (
            WIDE + "2026-03-05 measured A what=gap value='0.4 mm' limits='0.5 mm max' date=2026-03-01",
            ["major A"],
        ),
        "on a leap day, put right the day after": (
            LEAP + "2028-03-01 measured A what=gap value='0.4 mm' limits='0.5 mm max'",
            [],
        ),
        "scrapped": (WIDE + "2026-03-03 scrapped A", []),
        "the second article": (WIDE + "2026-03-03 scrapped A\n2026-03-04 made A", []),
        "the second article too, and the first's good reading is no help": (
            MADE
            + "2026-03-02 measured A what=gap value='0.4 mm' limits='0.5 mm max'\n2026-03-03 scrapped A\n"
            "2026-03-04 made A\n2026-03-05 measured A what=gap value='0.8 mm' limits='0.5 mm max'",
            ["major A"],
        ),
        "torqued again, inside": (SLACK + f"2026-03-03 torqued A {BOLT} value='78 in-lb'", []),
        "another bolt torqued": (
            SLACK + "2026-03-03 torqued A fastener='tip bolt' value='60 in-lb' limits='50 to 70 in-lb'",
            ["major A"],
        ),
        "loosened since: that torque is gone": (SLACK + "2026-03-03 loosened A fastener='Root bolt'", []),
        "all loosened since": (SLACK + "2026-03-03 loosened A", []),
        "another bolt loosened": (SLACK + "2026-03-03 loosened A fastener='tip bolt'", ["major A"]),
        "one half of a pair": (
            PAIR + "2026-03-02 measured A/R what=gap value='0.8 mm' limits='0.5 mm max'\n"
            "2026-03-03 measured A/L what=gap value='0.4 mm' limits='0.5 mm max'",
            ["major A/R"],
        ),
        "a designator that looks like a number": (
            "part 1E5 items=007\n2026-03-02 measured 1E5/007 what=gap value='0.8 mm' limits='0.5 mm max'",
            ["major 1E5/007"],
        ),
        "put off by who may": (
            WIDE + "2026-03-03 deferred A rule=reading-out-of-limits by=okafor reason=r until=2026-04-01",
            ["major A"],
        ),
    },
)


def test_it_says_what_was_read_and_what_is_asked() -> None:
    (finding,) = found(RULE, SLACK)
    assert finding.message == (
        "The torque of “root bolt” was 55 in-lb on 2026-03-02 by Marit Solheim, 43 in-lb net of 12 in-lb "
        "run-on; its limits are 50 to 70 in-lb."
    )
    (finding,) = found(RULE, MADE + "2026-03-02 torqued A value='8 N m' limits='50 to 70 in-lb'")
    assert (
        "8 N m on 2026-03-02 by Marit Solheim (70.8 in-lb); its limits are 50 to 70 in-lb" in finding.message
    )
    (finding,) = found(RULE, WIDE + "2026-03-03 measured A what=gap value='0.7 mm' limits='0.5 mm max'")
    assert "0.7 mm" in finding.message
    assert [rest.entry for rest in finding.rests] == ["2026-03-03-1", "2026-03-02-1"]


def test_it_says_that_an_order_is_open() -> None:
    (finding,) = found(RULE, WIDE + "2026-03-02 measured A what=gap value='0.4 mm' limits='0.5 mm max'")
    assert "nothing says which came first" in finding.message


def test_it_says_when_a_value_only_may_be_outside() -> None:
    (finding,) = found(RULE, MADE + "2026-03-02 measured A what=r value='> 50 MΩ' limits='100 MΩ min'")
    assert "not shown to be within its limits, 100 MΩ min" in finding.message


def test_a_torque_below_its_own_run_on_hints_that_they_are_exchanged() -> None:
    exchanged = BOLT.replace("12 in-lb", "78 in-lb")
    for more in (exchanged, exchanged.partition(" limits")[0]):
        (finding,) = found(RULE, MADE + f"2026-03-02 torqued A {more} value='12 in-lb'")
        assert finding.message == (
            "The torque of “root bolt” was 12 in-lb on 2026-03-02 by Marit Solheim, less than its run-on of"
            " 78 in-lb. The value is what the wrench showed, run-on and all; perhaps the two are exchanged."
        )

"""The rule `torque-loosened`: loosened, and not torqued again."""

from __future__ import annotations

from tests.rules.histories import found, table

RULE = "torque-loosened"
MADE = "part A\npart W\n2026-03-01 made A\n"
SET = MADE + "2026-03-02 torqued A fastener='root bolt' value='60 in-lb'\n"
PAIR = "part A items=L,R\n2026-03-01 made A/L\n2026-03-01 made A/R\n"
SLACK = SET + "2026-03-03 loosened A fastener='root bolt'\n"
TWO = SET + "2026-03-02 torqued A fastener='tip bolt' value='60 in-lb'\n"

test_torque_loosened = table(
    RULE,
    {
        "torqued": (SET, []),
        "loosened": (SLACK, ["major A"]),
        "loosened, and never torqued before": (MADE + "2026-03-03 loosened A fastener=nut", ["major A"]),
        "torqued again": (SLACK + "2026-03-04 torqued A fastener='root bolt' value='60 in-lb'", []),
        "torqued again, the name in other letters": (
            SLACK + "2026-03-04 torqued A fastener='Root  Bolt' value='60 in-lb'",
            [],
        ),
        "another torqued": (
            SLACK + "2026-03-04 torqued A fastener='tip bolt' value='60 in-lb'",
            ["major A"],
        ),
        "torqued, without a name": (SLACK + "2026-03-04 torqued A value='60 in-lb'", ["major A"]),
        "loosened twice": (SLACK + "2026-03-04 loosened A fastener='root bolt'", ["major A"]),
        "two of them": (
            TWO + "2026-03-03 loosened A fastener='root bolt'\n2026-03-04 loosened A fastener='tip bolt'",
            ["major A", "major A"],
        ),
        "all loosened, none torqued": (TWO + "2026-03-03 loosened A", ["major A"]),
        "all loosened, one torqued": (
            TWO + "2026-03-03 loosened A\n2026-03-04 torqued A fastener='root bolt' value='60 in-lb'",
            ["major A"],
        ),
        "all loosened, each torqued": (
            TWO + "2026-03-03 loosened A\n2026-03-04 torqued A fastener='root bolt' value='60 in-lb'\n"
            "2026-03-05 torqued A fastener='tip bolt' value='60 in-lb'",
            [],
        ),
        "all loosened, all torqued": (
            TWO + "2026-03-03 loosened A\n2026-03-04 torqued A value='60 in-lb' count=2",
            [],
        ),
        "all loosened, where none had a name": (
            MADE + "2026-03-02 torqued A value='60 in-lb'\n2026-03-03 loosened A\n"
            "2026-03-04 torqued A fastener='root bolt' value='60 in-lb'",
            [],
        ),
        "all loosened, then one of them once more: two causes": (
            TWO + "2026-03-03 loosened A\n2026-03-04 loosened A fastener='tip bolt'",
            ["major A", "major A"],
        ),
        "torqued out of limits is torqued: that has its own rule": (
            SLACK + "2026-03-04 torqued A fastener='root bolt' value='90 in-lb' limits='50 to 70 in-lb'",
            [],
        ),
        "the same day, in one entry": (
            SET + "2026-03-03\n    loosened A fastener='root bolt'\n"
            "    torqued A fastener='root bolt' value='60 in-lb'",
            [],
        ),
        "the same day, with no order": (
            SLACK + "2026-03-03 torqued A fastener='root bolt' value='60 in-lb'",
            ["major A"],
        ),
        "the same day, with times": (
            SET + "2026-03-03 10:00 loosened A fastener='root bolt'\n"
            "2026-03-03 11:00 torqued A fastener='root bolt' value='60 in-lb'",
            [],
        ),
        "written up later, torqued before it": (
            SLACK + "2026-03-05 torqued A fastener='root bolt' value='60 in-lb' date=2026-03-02",
            ["major A"],
        ),
        "on a leap day": (
            "part A\n2028-02-29 loosened A fastener=nut\n2028-03-01 torqued A fastener=nut value='60 in-lb'",
            [],
        ),
        "struck": (SLACK + "2026-03-04 voided A entry=2026-03-03-1 record=1 reason=wrong", []),
        "what put it right is struck": (
            SLACK + "2026-03-04 torqued A fastener='root bolt' value='60 in-lb'\n"
            "2026-03-05 voided A entry=2026-03-04-1 record=1 reason=wrong",
            ["major A"],
        ),
        "scrapped": (SLACK + "2026-03-04 scrapped A", []),
        "the second article": (SLACK + "2026-03-04 scrapped A\n2026-03-05 made A", []),
        "the second article, torqued": (
            SLACK + "2026-03-04 scrapped A\n2026-03-05 made A\n2026-03-06 loosened A fastener='root bolt'",
            ["major A"],
        ),
        "taken off since: it wants its torque when it goes back on": (
            MADE + "2026-03-02 installed A on=W\n2026-03-03 loosened A fastener=nut\n2026-03-04 removed A",
            ["observation A"],
        ),
        "taken off and put on again": (
            MADE + "2026-03-02 installed A on=W\n2026-03-03 loosened A fastener=nut\n2026-03-04 removed A\n"
            "2026-03-05 installed A on=W",
            ["major A"],
        ),
        "taken off before it was loosened": (
            MADE + "2026-03-02 installed A on=W\n2026-03-03 removed A\n2026-03-04 loosened A fastener=nut",
            ["major A"],
        ),
        "one half of a pair": (
            PAIR
            + "2026-03-02 loosened A/R fastener=nut\n2026-03-03 torqued A/L fastener=nut value='60 in-lb'",
            ["major A/R"],
        ),
        "a fastener whose name looks like a number": (
            MADE
            + "2026-03-02 loosened A fastener=1E5\n2026-03-03 torqued A fastener=100000 value='60 in-lb'",
            ["major A"],
        ),
    },
)


def test_it_says_which_and_since_when() -> None:
    (finding,) = found(RULE, SLACK)
    assert "“root bolt” was loosened on 2026-03-03 by Marit Solheim" in finding.message
    (finding,) = found(
        RULE, TWO + "2026-03-03 loosened A\n2026-03-04 torqued A fastener='root bolt' value='60 in-lb'"
    )
    assert "“tip bolt”" in finding.message
    assert "root bolt" not in finding.message
    (finding,) = found(RULE, SLACK + "2026-03-03 torqued A fastener='root bolt' value='60 in-lb'")
    assert "nothing says which came first" in finding.message
    assert len(finding.rests) == 2

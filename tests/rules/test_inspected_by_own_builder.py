"""The rule `inspected-by-own-builder`: independence asked for, and the inspector worked on the article."""

from __future__ import annotations

from tests.rules.histories import found, table

PEOPLE = "person zed roles=builder,inspector\nperson ann roles=builder,inspector\n"
A = PEOPLE + "part A class=critical\n"

test_inspected_by_own_builder = table(
    "inspected-by-own-builder",
    {
        "made it": (
            A + "2026-03-01 made A by=zed\n2026-03-02 accepted A to-drawing zed",
            ["major A to-drawing"],
        ),
        "made by the people of the entry": (
            A + "2026-03-01 made A people=zed\n2026-03-02 accepted A to-drawing zed",
            ["major A to-drawing"],
        ),
        "worked on it": (
            A + "2026-03-01 work A hours=1 people=zed\n2026-03-02 accepted A to-drawing zed",
            ["major A to-drawing"],
        ),
        "only cleaned it": (
            A + "2026-03-01 made A\n2026-03-02 work A hours=1 kind=cleaning people=zed\n"
            "2026-03-03 accepted A to-drawing zed",
            [],
        ),
        "was present": (A + "2026-03-01 made A present=zed\n2026-03-02 accepted A to-drawing zed", []),
        "listed on an entry that only inspects": (
            A + "2026-03-01 made A\n2026-03-02 accepted A to-drawing zed people=zed,marit",
            [],
        ),
        "the class does not ask": (
            PEOPLE + "part A\n2026-03-01 made A by=zed\n2026-03-02 accepted A to-drawing zed",
            [],
        ),
        "the class asks for it later": (
            PEOPLE + "class general stages=to-drawing independent=true\npart A\n"
            "2026-03-01 made A by=zed\n2026-03-02 accepted A to-drawing zed",
            ["major A to-drawing"],
        ),
        "each other's work": (
            PEOPLE + "part A class=critical\npart B class=critical\n2026-03-01 made A by=zed\n"
            "2026-03-01 made B by=ann\n2026-03-02 accepted A to-drawing ann\n"
            "2026-03-02 accepted B to-drawing zed",
            [],
        ),
        "worked on it after": (
            A + "2026-03-01 made A\n2026-03-02 accepted A to-drawing zed\n2026-03-03 modified A by=zed",
            [],
        ),
        "an inspector who becomes a builder": (
            A + "2026-03-01 made A\n2026-03-02 accepted A to-drawing zed\n2026-03-03 modified A by=zed\n"
            "2026-03-04 accepted A to-drawing zed",
            ["major A to-drawing"],
        ),
        "worked on the article before this one": (
            A + "2026-03-01 made A by=zed\n2026-03-02 scrapped A\n2026-03-03 made A\n"
            "2026-03-04 accepted A to-drawing zed",
            [],
        ),
        "worked inside it, a stage that looks inside": (
            A + "part R parent=A\n2026-03-01 made R by=zed\n2026-03-02 made A\n"
            "2026-03-03 accepted A pre-close zed",
            ["major A pre-close"],
        ),
        "worked inside it, a stage that does not": (
            A + "part R parent=A\n2026-03-01 made R by=zed\n2026-03-02 made A\n"
            "2026-03-03 accepted A to-drawing zed",
            [],
        ),
        "accepted by somebody else since": (
            A + "2026-03-01 made A by=zed\n2026-03-02 accepted A to-drawing zed\n"
            "2026-03-03 accepted A to-drawing okafor",
            [],
        ),
        "the acceptance was struck": (
            A + "2026-03-01 made A by=zed\n2026-03-02 accepted A to-drawing zed\n"
            "2026-03-03 voided A entry=2026-03-02-1 record=1 reason=own",
            [],
        ),
        "one of two signers": (
            A + "2026-03-01 made A by=zed\n2026-03-02 accepted A to-drawing zed,okafor",
            ["major A to-drawing"],
        ),
        "torqued a fastener on it": (
            A + "2026-03-01 made A\n2026-03-02 torqued A value='60 in-lb' by=zed\n"
            "2026-03-03 accepted A to-drawing zed",
            ["major A to-drawing"],
        ),
        "only measured it": (
            A + "2026-03-01 made A\n2026-03-02 measured A value='3 mm' by=zed\n"
            "2026-03-03 accepted A to-drawing zed",
            [],
        ),
        "hung it on the aircraft": (
            A + "part P\n2026-03-01 made A\n2026-03-02 installed A on=P by=zed\n"
            "2026-03-03 accepted A to-drawing zed",
            ["major A to-drawing"],
        ),
        "named on the work line of an entry where they were only present": (
            A + "2026-03-01 made A\n2026-03-02 present=zed\n    work A hours=1 people=zed\n"
            "2026-03-03 accepted A to-drawing zed",
            ["major A to-drawing"],
        ),
        "what they did was struck through": (
            A + "2026-03-01 made A\n2026-03-02 modified A by=zed\n"
            "2026-03-03 voided A entry=2026-03-02-1 record=1 reason='it was bram'\n"
            "2026-03-04 accepted A to-drawing zed",
            [],
        ),
        "worked on it the same day, no order": (
            A + "2026-03-01 made A\n2026-03-02 modified A by=zed\n2026-03-02 accepted A to-drawing zed",
            ["major A to-drawing"],
        ),
        "worked on it that day, after": (
            A + "2026-03-01 made A\n2026-03-02 09:00 accepted A to-drawing zed\n"
            "2026-03-02 10:00 modified A by=zed",
            [],
        ),
        "worked two levels down": (
            A + "part R parent=A\npart S parent=R\n2026-03-01 made S by=zed\n2026-03-01 made A,R\n"
            "2026-03-03 accepted A pre-close zed",
            ["major A pre-close"],
        ),
        "what they made came in only after": (
            A + "part R\n2026-03-01 made R by=zed\n2026-03-01 made A\n2026-03-03 accepted A pre-close zed\n"
            "2026-03-04 installed R on=A",
            [],
        ),
        "what they made was out by then": (
            A + "part R\n2026-03-01 made R by=zed\n2026-03-01 made A\n2026-03-02 installed R on=A\n"
            "2026-03-03 removed R from=A by=marit\n2026-03-04 accepted A pre-close zed",
            [],
        ),
        "rejecting one's own work is fine": (
            A + "2026-03-01 made A by=zed\n2026-03-02 rejected A to-drawing zed",
            [],
        ),
    },
)


def test_it_says_who_and_where_they_worked() -> None:
    text = (
        A
        + "part R parent=A\n2026-03-01 made R by=zed\n2026-03-02 made A\n2026-03-03 accepted A pre-close zed"
    )
    (finding,) = found("inspected-by-own-builder", text)
    assert "worked inside it" in finding.message
    assert finding.person == "zed"

"""The rule `inspection-undone`: accepted, then undone by a later event on the item or inside it."""

from __future__ import annotations

from tests.rules.histories import found, table

PASSED = "part A\n2026-03-01 made A\n2026-03-02 accepted A to-drawing okafor\n"
WING = (
    "part W class=assembly\npart R parent=W\n2026-03-01 made W,R\n2026-03-02 installed R on=W\n"
    "2026-03-03 accepted W,R to-drawing okafor\n2026-03-04 accepted W pre-close okafor\n"
)

test_inspection_undone = table(
    "inspection-undone",
    {
        "changed after": (PASSED + "2026-03-03 modified A", ["major A to-drawing"]),
        "changed before": (
            "part A\n2026-03-01 made A\n2026-03-02 modified A\n2026-03-03 accepted A to-drawing okafor",
            [],
        ),
        "changed and passed again": (
            PASSED + "2026-03-03 modified A\n2026-03-04 accepted A to-drawing okafor",
            [],
        ),
        "an event that does not undo it": (PASSED + "2026-03-03 torqued A value='60 in-lb'", []),
        "damaged": (PASSED + "2026-03-03 damaged A", ["major A to-drawing"]),
        "the change was struck": (
            PASSED + "2026-03-03 modified A\n2026-03-04 voided A entry=2026-03-03-1 record=1 reason=no",
            [],
        ),
        "written up later with its own date": (
            PASSED + "2026-03-09 accepted A to-drawing okafor date=2026-03-06\n"
            "2026-03-12 modified A date=2026-03-05",
            [],
        ),
        "same day, no times: not undone but unclear": (PASSED + "2026-03-02 modified A", []),
        "same day, by the clock": (
            (
                "part A\n2026-03-01 made A\n2026-03-02 10:00 accepted A to-drawing okafor\n"
                "2026-03-02 11:00 modified A"
            ),
            ["major A to-drawing"],
        ),
        "same entry, by place in the file": (
            "part A\n2026-03-01 made A\n2026-03-02\n  accepted A to-drawing okafor\n  modified A",
            ["major A to-drawing"],
        ),
        "a child changed inside": (
            WING + "2026-03-05 modified R",
            ["major R to-drawing", "major W pre-close"],
        ),
        "a child put in": (
            WING + "part S\n2026-03-05 made S\n2026-03-06 installed S on=W",
            ["major W pre-close"],
        ),
        "a child changed before it was put in": (
            (
                "part W class=assembly\npart R\n2026-03-01 made W,R\n"
                "2026-03-02 accepted W to-drawing okafor\n"
                "2026-03-03 modified R\n2026-03-04 installed R on=W\n2026-03-05 accepted W pre-close okafor"
            ),
            [],
        ),
        "a child taken out, changed on the bench": (
            WING + "2026-03-05 removed R from=W\n2026-03-06 modified R\n2026-03-07 installed R on=W\n"
            "2026-03-08 accepted W pre-close okafor\n2026-03-08 accepted R to-drawing okafor",
            [],
        ),
        "a child taken out and put back": (
            WING + "2026-03-05 removed R from=W\n2026-03-06 installed R on=W",
            ["major W pre-close"],
        ),
        "a child gone for good no longer counts": (
            WING
            + "2026-03-05 removed R from=W\n2026-03-06 accepted W pre-close okafor\n2026-03-07 damaged R",
            ["major R to-drawing"],
        ),
        "a grandchild": (
            (
                "part W class=assembly\npart S\npart R\n2026-03-01 made W,S,R\n2026-03-02 installed R on=S\n"
                "2026-03-03 installed S on=W\n2026-03-04 accepted W pre-close okafor\n2026-03-05 modified R"
            ),
            ["major W pre-close"],
        ),
        "a place assumed from the parts list": (
            (
                "part W class=assembly\npart R parent=W\n2026-03-01 made W,R\n"
                "2026-03-02 accepted W pre-close okafor\n"
                "2026-03-03 damaged R"
            ),
            ["major W pre-close"],
        ),
        "closed, then hung on the aircraft": (
            WING + "part F\n2026-03-05 closed W\n2026-03-06 made F\n2026-03-07 installed W on=F",
            [],
        ),
        "closed, and a fitting outside changed": (
            WING
            + "part T parent=W\n2026-03-05 closed W hides=R\n2026-03-06 made T\n2026-03-07 installed T on=W",
            [],
        ),
        "closed, and what it hides was damaged": (
            WING + "2026-03-05 closed W\n2026-03-06 damaged R",
            ["major R to-drawing", "major W pre-close"],
        ),
        "opened again": (WING + "2026-03-05 closed W\n2026-03-06 opened W", ["major W pre-close"]),
        "of a pair, one half": (
            (
                "part A items=L,R\n2026-03-01 made A\n2026-03-02 accepted A/all to-drawing okafor\n"
                "2026-03-03 modified A/R"
            ),
            ["major A/R to-drawing"],
        ),
        "a second article owes nothing to the first": (
            PASSED + "2026-03-03 modified A\n2026-03-04 scrapped A\n2026-03-05 made A",
            [],
        ),
        "a stage the class no longer asks for": (
            "class general stages=fit\nstage fit\n" + PASSED + "2026-03-03 modified A",
            [],
        ),
        "a stage given other words in the settings": (
            "stage to-drawing undone_by=repaired\n" + PASSED + "2026-03-03 modified A",
            [],
        ),
        "a passed test undone": (
            (
                "part A\n2026-03-01 made A\n2026-03-02 tested A stage=to-drawing by=okafor result=passed\n"
                "2026-03-03 repaired A"
            ),
            ["major A to-drawing"],
        ),
        "a rejection after it speaks for itself": (
            PASSED + "2026-03-03 modified A\n2026-03-04 rejected A to-drawing okafor",
            [],
        ),
        "undone under an open nonconformance": (
            PASSED + "2026-03-03 modified A\n2026-03-04 nonconformance A id=N1",
            ["major A to-drawing"],
        ),
        "undone on the leap day": (
            (
                "part A\n2024-02-27 made A\n2024-02-28 accepted A to-drawing okafor\n"
                "2024-02-29 modified A\non 2024-02-29"
            ),
            ["major A to-drawing"],
        ),
        "undone after the day stood on": (PASSED + "2026-03-03 modified A\non 2026-03-02", []),
    },
)


def test_it_says_which_event_when_by_whom_and_in_what() -> None:
    finding = found("inspection-undone", WING + "2026-03-05 modified R by=bram")[1]
    assert "R" in finding.message
    assert "inside" in finding.message
    assert "modified" in finding.message
    assert "2026-03-05" in finding.message
    assert "Bram Lie" in finding.message
    assert [(rest.entry, rest.place) for rest in finding.rests] == [("2026-03-05-1", 1), ("2026-03-04-1", 1)]


def test_it_says_where_a_moved_grandchild_went_and_came_from() -> None:
    built = (
        "part W class=assembly\npart S\npart R\npart F\n2026-03-01 made W,S,R,F\n"
        "2026-03-02 installed R on=S\n"
        "2026-03-03 installed S on=W\n2026-03-04 accepted W pre-close okafor\n"
    )
    (finding,) = found("inspection-undone", built + "2026-03-05 removed R from=S")
    assert "R, inside it, was removed from S on 2026-03-05" in finding.message
    (finding,) = found("inspection-undone", built + "2026-03-05 installed R on=F")
    assert "R, inside it, was installed on F on 2026-03-05" in finding.message


def test_it_says_of_a_joint_what_it_joins() -> None:
    joint = (
        "class joint stages=to-drawing\npart J class=joint joins=A,B\npart A\npart B\n2026-03-01 made J,A,B\n"
        "2026-03-02 accepted J to-drawing okafor\n2026-03-03 modified A"
    )
    assert "A, which it joins, was modified" in found("inspection-undone", joint)[0].message


def test_it_points_at_the_event_that_undid_it() -> None:
    (finding,) = found("inspection-undone", PASSED + "2026-03-03 modified A\n2026-03-05 damaged A")
    assert finding.entry == "2026-03-03-1"
    assert [rest.entry for rest in finding.rests] == ["2026-03-03-1", "2026-03-05-1", "2026-03-02-1"]

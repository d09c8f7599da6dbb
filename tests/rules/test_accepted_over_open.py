"""The rule `accepted-over-open`: an assembly passed while something inside it was not."""

from __future__ import annotations

from tests.rules.histories import found, table

W = "part W class=assembly\npart A parent=W\npart B parent=A\n2026-03-01 made W,A,B\n"
PASSED = "2026-03-05 accepted W pre-close okafor\n"
JUST_W = ["minor W pre-close"]
A_B = "2026-03-02 accepted A,B to-drawing okafor\n"

test_accepted_over_open = table(
    "accepted-over-open",
    {
        "over a child that nobody looked at": (
            W + "2026-03-02 accepted B to-drawing okafor\n" + PASSED,
            JUST_W,
        ),
        "over a grandchild that nobody looked at": (
            W + "2026-03-02 accepted A to-drawing okafor\n" + PASSED,
            JUST_W,
        ),
        "over two of them: one finding": (W + PASSED, JUST_W),
        "all inside had been passed": (W + A_B + PASSED, []),
        "not passed yet": (W, []),
        "the child was passed only after": (W + PASSED + A_B.replace("-02", "-06"), JUST_W),
        "and the assembly again after that": (
            W + PASSED + A_B.replace("-02", "-06") + "2026-03-07 accepted W pre-close okafor",
            [],
        ),
        "passed rightly, and again over what was open": (
            W + A_B + PASSED + "2026-03-06 modified A\n2026-03-07 accepted W pre-close okafor",
            JUST_W,
        ),
        "the child was rejected": (
            W + A_B + "2026-03-03 rejected A to-drawing okafor\n" + PASSED,
            JUST_W,
        ),
        "the child was changed since it was passed": (W + A_B + "2026-03-03 modified A\n" + PASSED, JUST_W),
        "the child was on hold, and no more today": (
            W + A_B + "2026-03-03 nonconformance A id=N1\n" + PASSED + "2026-03-06 disposition A id=N1"
            " decision=use-as-is by=engel",
            JUST_W,
        ),
        "the child was changed after: undone says that": (W + A_B + PASSED + "2026-03-06 modified A", []),
        "the assembly was rejected since": (W + PASSED + "2026-03-06 rejected W pre-close okafor", []),
        "only a part of it was passed": (
            W + "2026-03-05 accepted W pre-close okafor scope='left end'",
            [],
        ),
        "by somebody without authority: that has its own finding": (
            W + "2026-03-05 accepted W pre-close bram",
            [],
        ),
        "a stage that does not look inside": (W + "2026-03-05 accepted W to-drawing okafor", []),
        "passed with the child in one record": (
            W + "2026-03-02 accepted B to-drawing okafor\n"
            "stage pre-close before=closed undone_by=modified undone_by_inside=modified\n"
            "class general stages=pre-close\n2026-03-05 accepted W,A,B pre-close okafor",
            [],
        ),
        "passed before the child, in one entry": (
            W + "2026-03-05\n    accepted W pre-close okafor\n    accepted A,B to-drawing okafor",
            JUST_W,
        ),
        "passed after the child, in one entry": (
            W + "2026-03-05\n    accepted A,B to-drawing okafor\n    accepted W pre-close okafor",
            [],
        ),
        "passed on the day of the child, no order": (
            W + "2026-03-05 accepted A,B to-drawing okafor\n" + PASSED,
            JUST_W,
        ),
        "the child in the morning, the assembly at night": (
            W
            + "2026-03-05 19:00 accepted W pre-close okafor\n2026-03-05 09:00 accepted A,B to-drawing okafor",
            [],
        ),
        "the child before, written up later": (
            W + PASSED + "2026-03-08 accepted A,B to-drawing okafor date=2026-03-04",
            [],
        ),
        "the child on the leap day, the last of the inspector's authority": (
            (
                "person zed roles=inspector until=2024-02-29\npart W class=assembly\npart A parent=W\n"
                "2024-02-01 made W,A\n2024-02-29 accepted A to-drawing zed\n"
                "2024-03-01 accepted W pre-close okafor"
            ),
            [],
        ),
        "the child was taken out first": (
            W + "2026-03-02 removed A from=W\n" + PASSED,
            [],
        ),
        "the child was put in after: undone says that": (
            "part W class=assembly\npart A\n2026-03-01 made W,A\n" + PASSED + "2026-03-06 installed A on=W",
            [],
        ),
        "the child was taken out after, and the assembly passed again": (
            W + PASSED + "2026-03-06 removed A from=W\n2026-03-07 accepted W pre-close okafor",
            [],
        ),
        "the child was made after: undone says that": (
            "part W class=assembly\npart A parent=W\n2026-03-01 made W\n" + PASSED + "2026-03-06 made A",
            [],
        ),
        "perhaps inside: put in that day, no order": (
            "part W class=assembly\npart A\n2026-03-01 made W,A\n2026-03-02 accepted W to-drawing okafor\n"
            "2026-03-05 installed A on=W\n" + PASSED,
            JUST_W,
        ),
        "a stage of the child that is due only before a milestone": (
            "stage run before=taxi\nclass engine stages=run\nmilestone taxi\npart W class=assembly\n"
            "part E class=engine parent=W\n2026-03-01 made W,E\n" + PASSED,
            [],
        ),
        "a stage of the child that is due before closing as its own is": (
            "class inner stages=pre-close\npart W class=assembly\npart A class=inner parent=W\n"
            "2026-03-01 made W,A\n" + PASSED,
            JUST_W,
        ),
        "kept by lot is quiet": (
            "class rivets bulk=true stages=to-drawing\npart W class=assembly\npart A class=rivets parent=W\n"
            "2026-03-01 made W,A\n" + PASSED,
            [],
        ),
        "a class of the child that asks for more, changed later": (
            "class general stages=to-drawing,fit\nstage fit\n" + W + A_B + PASSED,
            JUST_W,
        ),
        "the child's acceptance was struck": (
            W + A_B + PASSED + "2026-03-06 voided A entry=2026-03-02-1 record=1 reason=wrong",
            JUST_W,
        ),
        "the assembly's acceptance was struck": (
            W + PASSED + "2026-03-06 voided W entry=2026-03-05-1 record=1 reason=wrong",
            [],
        ),
        "the child that was there is scrapped, and another one passed": (
            W + PASSED + "2026-03-06 scrapped A\n2026-03-07 made A\n2026-03-08 accepted A to-drawing okafor",
            [],
        ),
        "a second article inside, not looked at, and the assembly passed again": (
            W
            + A_B
            + PASSED
            + "2026-03-06 scrapped A\n2026-03-07 made A\n2026-03-08 accepted W pre-close okafor",
            JUST_W,
        ),
        "the assembly is a second article": (
            W + PASSED + "2026-03-06 scrapped W\n2026-03-07 made W",
            [],
        ),
        "a child that was closed validly, and had things put on it": (
            (
                "part P class=assembly\npart W class=assembly parent=P\npart A parent=W\npart C\n"
                "2026-03-01 made P,W,A,C\n2026-03-02 accepted P,W,A,C to-drawing okafor\n"
                "2026-03-03 accepted W pre-close okafor\n2026-03-04 closed W\n2026-03-05 installed C on=W\n"
                "2026-03-06 accepted P pre-close okafor"
            ),
            [],
        ),
        "of two halves, the other": (
            (
                "part W class=assembly items=007,1E5\npart A parent=W items=007,1E5\n2026-03-01 made W,A\n"
                "2026-03-02 accepted A/007 to-drawing okafor\n"
                "2026-03-05 accepted W/007,W/1E5 pre-close okafor"
            ),
            ["minor W/1E5 pre-close"],
        ),
        "the child passed by who came to build it": (
            "class box stages=to-drawing independent=true\npart W class=assembly\npart A class=box parent=W\n"
            "2026-03-01 made W\n2026-03-02 made A by=okafor\n2026-03-03 accepted A to-drawing okafor\n"
            + PASSED,
            JUST_W,
        ),
    },
)


def test_it_names_what_was_open_inside() -> None:
    (finding,) = found("accepted-over-open", W + PASSED)
    assert "A (to-drawing" in finding.message
    assert "B (to-drawing" in finding.message
    assert finding.entry == "2026-03-05-1"

"""The rule `closed-before-inspection`: what was shut away, or shut, before its stage was current."""

from __future__ import annotations

from tests.rules.histories import checked, found, table

A = "part A class=assembly\n2026-03-01 made A\n2026-03-01 accepted A to-drawing okafor\n"
W = (
    "part W\npart A class=assembly parent=W\npart B parent=A\n2026-03-01 made A,W,B\n"
    "2026-03-01 accepted A,W,B to-drawing okafor\n"
)
JUST_A = ["major A pre-close"]

test_closed_before_inspection = table(
    "closed-before-inspection",
    {
        "closed and never looked at": (A + "2026-03-03 closed A", JUST_A),
        "passed, then closed": (A + "2026-03-02 accepted A pre-close okafor\n2026-03-03 closed A", []),
        "not closed": (A, []),
        "passed only after it was closed": (
            A + "2026-03-03 closed A\n2026-03-04 accepted A pre-close okafor",
            JUST_A,
        ),
        "opened, and nobody has looked yet": (A + "2026-03-03 closed A\n2026-03-04 opened A", JUST_A),
        "opened and passed": (
            A + "2026-03-03 closed A\n2026-03-04 opened A\n2026-03-05 accepted A pre-close okafor",
            [],
        ),
        "opened, passed, closed again": (
            (
                A + "2026-03-03 closed A\n2026-03-04 opened A\n2026-03-05 accepted A pre-close okafor\n"
                "2026-03-06 closed A"
            ),
            [],
        ),
        "opened and closed again without a look": (
            A + "2026-03-03 closed A\n2026-03-04 opened A\n2026-03-06 closed A",
            JUST_A,
        ),
        "opened, rejected, closed again": (
            (
                A + "2026-03-03 closed A\n2026-03-04 opened A\n2026-03-05 rejected A pre-close okafor\n"
                "2026-03-06 closed A"
            ),
            JUST_A,
        ),
        "passed, opened unlogged, and passed by the builder: no authority": (
            A + "2026-03-02 accepted A pre-close marit\n2026-03-03 closed A",
            JUST_A,
        ),
        "passed before by an inspector who had built it": (
            (
                "part A class=critical\n2026-03-01 made A by=okafor\n2026-03-02 accepted A pre-close okafor\n"
                "2026-03-03 closed A"
            ),
            JUST_A,
        ),
        "rejected and closed all the same": (
            A + "2026-03-02 rejected A pre-close okafor\n2026-03-03 closed A",
            JUST_A,
        ),
        "undone, then closed": (
            A + "2026-03-02 accepted A pre-close okafor\n2026-03-03 modified A\n2026-03-04 closed A",
            JUST_A,
        ),
        "closed, then undone": (
            A + "2026-03-02 accepted A pre-close okafor\n2026-03-03 closed A\n2026-03-04 modified A",
            [],
        ),
        "only a part of it was passed": (
            A + "2026-03-02 accepted A pre-close okafor scope='left end'\n2026-03-03 closed A",
            JUST_A,
        ),
        "one signature of two": (
            (
                "class two stages=pre-close signatures=2\npart A class=two\n2026-03-01 made A\n"
                "2026-03-02 accepted A pre-close okafor\n2026-03-03 closed A\n"
                "2026-03-04 accepted A pre-close brandt"
            ),
            JUST_A,
        ),
        "on hold when it was closed": (
            A + "2026-03-02 accepted A pre-close okafor\n2026-03-02 nonconformance A id=N1\n"
            "2026-03-03 closed A\n2026-03-04 disposition A id=N1 decision=use-as-is by=engel",
            JUST_A,
        ),
        "passed and closed in one entry": (
            A + "2026-03-02\n    accepted A pre-close okafor\n    closed A",
            [],
        ),
        "closed and passed in one entry, in that order": (
            A + "2026-03-02\n    closed A\n    accepted A pre-close okafor",
            JUST_A,
        ),
        "passed and closed on one day, no order": (
            A + "2026-03-02 accepted A pre-close okafor\n2026-03-02 closed A",
            ["minor A pre-close"],
        ),
        "passed in the morning and closed at night": (
            A + "2026-03-02 19:00 closed A\n2026-03-02 09:00 accepted A pre-close okafor",
            [],
        ),
        "passed before, written up later": (
            A + "2026-03-03 closed A\n2026-03-05 accepted A pre-close okafor date=2026-03-02",
            [],
        ),
        "the last day of authority": (
            (
                "person zed roles=inspector until=2024-02-29\npart A class=assembly\n2024-02-01 made A\n"
                "2024-02-29 09:00 accepted A pre-close zed\n2024-02-29 10:00 closed A"
            ),
            [],
        ),
        "a day after the last day of authority": (
            (
                "person zed roles=inspector until=2024-02-28\npart A class=assembly\n2024-02-01 made A\n"
                "2024-02-29 09:00 accepted A pre-close zed\n2024-02-29 10:00 closed A"
            ),
            JUST_A,
        ),
        "what another closing hid": (W + "2026-03-03 closed W", JUST_A),
        "hidden and passed before": (W + "2026-03-02 accepted A pre-close okafor\n2026-03-03 closed W", []),
        "hidden, and closed itself too: one finding": (
            W + "2026-03-02 closed A\n2026-03-03 closed W",
            JUST_A,
        ),
        "of two areas only what one hides": (
            W + "2026-03-03 closed W area=tip hides=B",
            [],
        ),
        "all but it": (W + "2026-03-03 closed W except=A", []),
        "another area is opened": (
            W + "2026-03-03 closed W area=root\n2026-03-04 opened W area=tip\n"
            "2026-03-05 accepted A pre-close okafor",
            JUST_A,
        ),
        "named by the closing, though it sits elsewhere": (
            "part W\npart A class=assembly\n2026-03-01 made A,W\n2026-03-03 closed W hides=A",
            JUST_A,
        ),
        "put in after it was closed": (
            (
                "part W\npart A class=assembly\n2026-03-01 made A,W\n2026-03-03 closed W\n"
                "2026-03-04 installed A on=W"
            ),
            [],
        ),
        "taken out and passed on the bench": (
            W + "2026-03-03 closed W\n2026-03-04 removed A from=W\n2026-03-05 accepted A pre-close okafor",
            [],
        ),
        "taken out and not looked at": (W + "2026-03-03 closed W\n2026-03-04 removed A from=W", JUST_A),
        "perhaps inside: put in that day, no order": (
            (
                "part W\npart A class=assembly\n2026-03-01 made A,W\n2026-03-03 closed W\n"
                "2026-03-03 installed A on=W"
            ),
            ["minor A pre-close"],
        ),
        "made after it was closed: it was not inside": (
            (
                "part W\npart A class=assembly parent=W\n2026-03-01 made W\n"
                "2026-03-03 closed W\n2026-03-04 made A"
            ),
            [],
        ),
        "a second article was not closed": (
            A + "2026-03-03 closed A\n2026-03-04 scrapped A\n2026-03-05 made A",
            [],
        ),
        "a second article was not hidden": (
            W + "2026-03-03 closed W\n2026-03-04 scrapped A\n2026-03-05 made A",
            [],
        ),
        "what hid it was scrapped": (W + "2026-03-03 closed W\n2026-03-04 scrapped W", []),
        "the closing was struck": (
            A + "2026-03-03 closed A\n2026-03-04 voided A entry=2026-03-03-1 record=1 reason=wrong",
            [],
        ),
        "the acceptance before it was struck": (
            A + "2026-03-02 accepted A pre-close okafor\n2026-03-03 closed A\n"
            "2026-03-04 voided A entry=2026-03-02-1 record=1 reason=wrong",
            JUST_A,
        ),
        "a class that asks for nothing before closing": (
            "part A\n2026-03-01 made A\n2026-03-03 closed A",
            [],
        ),
        "a class changed in the settings later": (
            "class general stages=to-drawing,pre-close\npart A\n2026-03-01 made A\n2026-03-03 closed A",
            JUST_A,
        ),
        "a renamed stage leaves the old name behind": (
            (
                "stage before-skin before=closed\nclass assembly stages=before-skin\npart A class=assembly\n"
                "2026-03-01 made A\n2026-03-02 accepted A pre-close okafor\n2026-03-03 closed A"
            ),
            ["major A before-skin"],
        ),
        "a stage due at once is not its matter": (
            "part A\n2026-03-01 made A\n2026-03-02 closed A",
            [],
        ),
        "kept by lot is quiet": (
            (
                "class rivets bulk=true stages=pre-close\npart W\npart A class=rivets parent=W\n"
                "2026-03-01 made A,W\n2026-03-02 closed W"
            ),
            [],
        ),
        "a pair: only the half that was closed": (
            "part A class=assembly items=007,1E5\n2026-03-01 made A\n2026-03-02 closed A/1E5",
            ["major A/1E5 pre-close"],
        ),
        "a change inside before it was closed": (
            W + "2026-03-02 accepted A pre-close okafor\n2026-03-03 modified B\n2026-03-04 closed A",
            JUST_A,
        ),
        "carried on under a new name": (
            (
                "part A class=assembly\npart N class=assembly\n2026-03-01 made A\n2026-03-03 closed A\n"
                "2026-03-04 reidentified A as=N carries=to-drawing"
            ),
            ["major N pre-close"],
        ),
        "on a day before it was closed": (A + "2026-03-03 closed A\non 2026-03-02", []),
    },
)


def test_it_names_the_closing_and_what_had_been_said_until_then() -> None:
    (finding,) = found(
        "closed-before-inspection", W + "2026-03-02 rejected A pre-close okafor\n2026-03-03 closed W by=bram"
    )
    assert finding.entry == "2026-03-03-1"
    assert [rest.entry for rest in finding.rests] == ["2026-03-03-1", "2026-03-02-1"]
    assert "W was closed over it on 2026-03-03 by Bram Lie" in finding.message
    assert "rejected" in finding.message


def test_what_was_passed_when_none_was_known_to_be_there_was_not_passed_before_it_was_closed() -> None:
    ghost = A + "2026-03-02 scrapped A\n2026-03-03 accepted A pre-close okafor\n2026-03-04 closed A"
    (finding,) = found("closed-before-inspection", ghost)
    assert (
        "it was unclear whether its acceptance for “Before closing up” (pre-close) counted" in finding.message
    )


def test_never_inspected_does_not_say_it_again() -> None:
    rules = [each.rule for each in checked(A + "2026-03-03 closed A").all if each.stage == "pre-close"]
    assert rules == ["closed-before-inspection"]


def test_a_deferral_holds_it_back() -> None:
    (finding,) = found(
        "closed-before-inspection",
        A + "2026-03-03 closed A\n"
        "2026-03-04 deferred A rule=closed-before-inspection by=okafor reason=photographs until=2027-01-01",
    )
    assert finding.deferred is not None

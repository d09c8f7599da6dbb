"""The rule `struck-without-authority`: a rejection, a damage and the like struck by who may not."""

from __future__ import annotations

import pytest

from buildlog.reckoning.knowledge import Status
from buildlog.reckoning.reckon import reckon
from tests.logs import facts
from tests.rules.histories import found, table

A = "person zed roles=inspector from=2024-02-29 until=2026-03-05 may_inspect=to-drawing\npart A\n"
MADE = A + "2026-03-01 made A\n"
NO = MADE + "2026-03-02 rejected A to-drawing okafor\n"
STRUCK = "voided A entry=2026-03-02-1 record=1 reason='we disagree'"
HIT = MADE + "2026-03-02 damaged A\n"
RAISED = MADE + "2026-03-02 nonconformance A id=N1\n"
DECIDED = RAISED + "2026-03-03 disposition A id=N1 decision=rework by=engel\n"
UNDECIDED = "2026-03-04 voided A entry=2026-03-03-1 record=1 reason=no"

test_struck_without_authority = table(
    "struck-without-authority",
    {
        "a builder strikes a rejection": (NO + "2026-03-03 " + STRUCK, ["major A to-drawing"]),
        "on the same day": (NO + "2026-03-02 " + STRUCK, ["major A to-drawing"]),
        "dated before the rejection": (
            NO + "2026-03-03 " + STRUCK + " date=2026-03-01",
            ["major A to-drawing"],
        ),
        "nobody strikes it": (NO + "2026-03-03 " + STRUCK + " people=", ["major A to-drawing"]),
        "the inspector strikes their own": (NO + "2026-03-03 " + STRUCK + " by=okafor", []),
        "another inspector": (NO + "2026-03-03 " + STRUCK + " by=brandt", []),
        "an inspector among those who struck it": (NO + "2026-03-03 " + STRUCK + " by=marit,brandt", []),
        "an engineer strikes a rejection": (
            NO + "2026-03-03 " + STRUCK + " by=engel",
            ["major A to-drawing"],
        ),
        "an inspector on their last day": (NO + "2026-03-05 " + STRUCK + " by=zed", []),
        "an inspector the day after": (NO + "2026-03-06 " + STRUCK + " by=zed", ["major A to-drawing"]),
        "written up later, of a day within": (
            NO + "2026-03-09 " + STRUCK + " by=zed date=2026-03-05",
            [],
        ),
        "their own, after their last day": (
            MADE + "2026-03-02 rejected A to-drawing zed\n2026-03-09 " + STRUCK + " by=zed",
            [],
        ),
        "a stage not theirs": (
            (NO + "2026-03-03 " + STRUCK + " by=zed").replace("may_inspect=to-drawing", "may_inspect=fit"),
            ["major A to-drawing"],
        ),
        "the striking is struck": (
            NO + "2026-03-03 " + STRUCK + "\n2026-03-04 voided A entry=2026-03-03-1 record=1 reason=wrong",
            [],
        ),
        "the striking of the striking is struck": (
            NO + "2026-03-03 " + STRUCK + "\n2026-03-04 voided A entry=2026-03-03-1 record=1 reason=wrong\n"
            "2026-03-05 voided A entry=2026-03-04-1 record=1 reason=right",
            ["major A to-drawing"],
        ),
        "struck again by one who may": (
            NO + "2026-03-03 " + STRUCK + "\n2026-03-04 " + STRUCK + " by=brandt",
            [],
        ),
        "struck before by one who may": (
            NO + "2026-03-03 " + STRUCK + " by=brandt\n2026-03-04 " + STRUCK,
            [],
        ),
        "the second article": (
            NO + "2026-03-03 " + STRUCK + "\n2026-03-04 scrapped A\n2026-03-05 made A",
            [],
        ),
        "the item has another name since": (
            NO.replace("part A\n", "part A\npart B\n")
            + "2026-03-03 reidentified A as=B carries=to-drawing\n2026-03-04 "
            + STRUCK.replace("voided A", "voided B"),
            ["major B to-drawing"],
        ),
        "struck without naming the item": (
            NO + "2026-03-03 " + STRUCK.replace("voided A", "voided"),
            ["major A to-drawing"],
        ),
        "an acceptance is no rejection": (
            MADE + "2026-03-02 accepted A to-drawing okafor\n2026-03-03 " + STRUCK,
            [],
        ),
        "a modification may be struck by anybody": (
            MADE + "2026-03-02 modified A by=bram\n2026-03-03 " + STRUCK,
            [],
        ),
        "a failed test, by its own people": (
            MADE + "2026-03-02 tested A result=failed\n2026-03-03 " + STRUCK,
            [],
        ),
        "a failed test, by others": (
            MADE + "2026-03-02 tested A result=failed by=bram\n2026-03-03 " + STRUCK,
            ["major A"],
        ),
        "a damage, by whoever saw it": (HIT + "2026-03-03 " + STRUCK, []),
        "a damage, by another builder": (HIT + "2026-03-03 " + STRUCK + " by=bram", ["major A"]),
        "a damage, by an engineer": (HIT + "2026-03-03 " + STRUCK + " by=engel", ["major A"]),
        "a nonconformance, by another builder": (RAISED + "2026-03-03 " + STRUCK + " by=bram", ["major A"]),
        "a nonconformance, by an engineer": (RAISED + "2026-03-03 " + STRUCK + " by=engel", []),
        "a nonconformance, by an inspector": (RAISED + "2026-03-03 " + STRUCK + " by=okafor", []),
        "a decision, by a builder": (DECIDED + UNDECIDED, ["major A"]),
        "a decision, by an inspector": (DECIDED + UNDECIDED + " by=okafor", []),
        "after the day stood on": (NO + "2026-03-04 " + STRUCK + "\non 2026-03-03", []),
    },
)


@pytest.mark.parametrize(
    ("by", "status"),
    [
        ("marit", Status.REJECTED),
        ("engel", Status.REJECTED),
        ("okafor", Status.CURRENT),
        ("brandt", Status.CURRENT),
    ],
)
def test_a_rejection_that_was_not_theirs_to_strike_counts_on(by: str, status: Status) -> None:
    looks = "2026-03-02 accepted A to-drawing okafor\n2026-03-03 rejected A to-drawing okafor\n"
    void = f"2026-03-04 voided A entry=2026-03-03-1 record=1 reason=no by={by}"
    story = reckon(facts(MADE + looks + void)).items
    (a,) = (each for item, each in story.items() if str(item) == "A")
    (stage,) = a.stages
    assert stage.apart is status


def test_an_open_nonconformance_struck_by_a_builder_stays_open() -> None:
    assert found("nonconformance-open", RAISED + "2026-03-03 " + STRUCK + " by=bram")
    assert not found("nonconformance-open", RAISED + "2026-03-03 " + STRUCK + " by=engel")
    assert found("damage-open", HIT + "2026-03-03 " + STRUCK + " by=bram")


def test_it_names_who_struck_what_and_points_at_both() -> None:
    (finding,) = found("struck-without-authority", NO + "2026-03-03 " + STRUCK)
    assert finding.message.startswith(
        "The rejection of 2026-03-02 was struck through on 2026-03-03 by Marit Solheim,"
    )
    assert [(rest.entry, rest.place) for rest in finding.rests] == [("2026-03-03-1", 1), ("2026-03-02-1", 1)]
    assert finding.where.file

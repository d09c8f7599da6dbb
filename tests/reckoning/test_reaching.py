"""Undoing reaches up, and closing reaches down: the cases that people get wrong from memory, one by one."""

from __future__ import annotations

import pytest

from buildlog.model.entry import Entry
from tests.reckoning.logs import entry, item, known, ok, rec, status

MADE = entry(1, rec("made", "PLANE WING/L WING/R RIB/L RIB/R SPAR/L BOX CLIP TIP/L"))
UP = (
    MADE,
    entry(2, rec("installed", "WING/L", on="PLANE"), rec("installed", "RIB/L", on="WING/L")),
    entry(3, ok("RIB/L"), ok("WING/L", "pre-close"), ok("PLANE", "pre-close")),
)

REACHING_UP = [
    # what happens after rib, wing and aircraft were passed on day 3, and where wing and aircraft stand then
    pytest.param([], "current", "current", id="nothing"),
    pytest.param([entry(4, rec("modified", "RIB/L"))], "undone", "undone", id="a child and grandchild"),
    pytest.param([entry(4, rec("modified", "RIB/R"))], "current", "undone", id="of the other wing"),
    pytest.param(
        [entry(4, rec("installed", "CLIP", on="RIB/L"))], "undone", "undone", id="put into a grandchild"
    ),
    pytest.param(
        [entry(4, rec("removed", "RIB/L")), entry(5, rec("installed", "RIB/L", on="WING/L"))],
        "undone",
        "undone",
        id="taken out and put back, unchanged",
    ),
    pytest.param(
        [
            entry(4, rec("removed", "RIB/L")),
            entry(5, rec("installed", "RIB/L", on="WING/L")),
            entry(6, ok("WING/L", "pre-close"), ok("PLANE", "pre-close")),
        ],
        "current",
        "current",
        id="taken out, put back, and all passed again",
    ),
    pytest.param(
        [
            entry(4, rec("removed", "RIB/L")),
            entry(5, ok("WING/L", "pre-close"), ok("PLANE", "pre-close")),
            entry(6, rec("modified", "RIB/L")),
        ],
        "current",
        "current",
        id="changed while it is out",
    ),
    pytest.param(
        [
            entry(4, rec("removed", "RIB/L"), ok("WING/L", "pre-close"), ok("PLANE", "pre-close")),
            entry(4, rec("modified", "RIB/L"), key="b"),
        ],
        "current",
        "current",
        id="taken out, passed without it, and changed that day: before that, or on the bench",
    ),
    pytest.param(
        [
            entry(4, ok("WING/L", "pre-close"), ok("PLANE", "pre-close"), rec("removed", "RIB/L")),
            entry(4, rec("modified", "RIB/L"), key="b"),
        ],
        "undone",
        "undone",
        id="passed with it in, and then taken out",
    ),
    pytest.param(
        [
            entry(4, ok("WING/L", "pre-close"), ok("PLANE", "pre-close")),
            entry(4, rec("modified", "RIB/L"), key="b"),
            entry(4, rec("modified", "TIP/L"), key="c"),
        ],
        "unclear",
        "unclear",
        id="passed and changed that day, inside all the while",
    ),
    pytest.param(
        [
            entry(4, rec("removed", "WING/L"), ok("WING/L", "pre-close"), ok("PLANE", "pre-close")),
            entry(4, rec("modified", "RIB/L"), key="b"),
        ],
        "unclear",
        "current",
        id="what it sits in taken off, both passed, and it was changed that day",
    ),
    pytest.param(
        [
            entry(4, rec("removed", "RIB/L"), ok("WING/L", "pre-close"), ok("PLANE", "pre-close")),
            entry(4, rec("installed", "RIB/L", on="WING/L"), key="b"),
            entry(4, rec("modified", "RIB/L"), key="c"),
        ],
        "unclear",
        "unclear",
        id="taken out, passed without it, and perhaps put back before it was changed",
    ),
    pytest.param(
        [
            entry(4, rec("removed", "RIB/L")),
            entry(5, rec("installed", "CLIP", on="WING/L")),
            entry(6, ok("WING/L", "pre-close"), ok("PLANE", "pre-close")),
            entry(7, rec("modified", "RIB/L")),
        ],
        "current",
        "current",
        id="swapped for another, and the old one changed",
    ),
    pytest.param(
        [
            entry(4, rec("removed", "RIB/L")),
            entry(5, rec("installed", "CLIP", on="WING/L")),
            entry(6, ok("WING/L", "pre-close"), ok("PLANE", "pre-close")),
            entry(7, rec("modified", "CLIP")),
        ],
        "undone",
        "undone",
        id="swapped for another, and the new one changed",
    ),
    pytest.param(
        [
            entry(4, rec("scrapped", "RIB/L")),
            entry(5, rec("made", "RIB/L"), rec("installed", "RIB/L", on="WING/L")),
        ],
        "undone",
        "undone",
        id="swapped for a second article",
    ),
    pytest.param(
        [
            entry(4, rec("modified", "CLIP")),
            entry(5, rec("installed", "CLIP", on="WING/L")),
            entry(6, ok("WING/L", "pre-close"), ok("PLANE", "pre-close")),
        ],
        "current",
        "current",
        id="a child changed before it was put in",
    ),
    pytest.param(
        [
            entry(4, rec("installed", "CLIP", on="WING/L")),
            entry(5, ok("WING/L", "pre-close")),
            entry(6, rec("modified", "CLIP", date=3, time="00:01")),
        ],
        "current",
        "undone",
        id="a child changed before it was put in, written up later",
    ),
]


@pytest.mark.parametrize(("entries", "wing", "plane"), REACHING_UP)
def test_undoing_reaches_up(entries: list[Entry], wing: str, plane: str) -> None:
    assert status("WING/L", "pre-close", *UP, *entries) == wing
    assert status("PLANE", "pre-close", *UP, *entries) == plane


SPLIT = entry(4, rec("removed", "WING/L", from_="PLANE"))
JOINED = entry(6, rec("installed", "WING/L", on="PLANE"))
AGAIN = entry(7, ok("PLANE", "pre-close"))

SPLIT_AND_JOINED = [
    # the aircraft, its wing taken off on day 4 and put on again on day 6: where wing and aircraft stand
    pytest.param([SPLIT], "current", "undone", id="split"),
    pytest.param([SPLIT, JOINED], "current", "undone", id="joined, and nothing was changed"),
    pytest.param([SPLIT, JOINED, AGAIN], "current", "current", id="joined and passed again"),
    pytest.param(
        [SPLIT, entry(5, rec("modified", "RIB/L")), JOINED, AGAIN],
        "undone",
        "current",
        id="changed between, and only the whole passed again",
    ),
    pytest.param(
        [SPLIT, JOINED, AGAIN, entry(8, rec("modified", "RIB/L"))],
        "undone",
        "undone",
        id="changed after it was joined again",
    ),
    pytest.param(
        [SPLIT, entry(5, ok("PLANE", "pre-close")), entry(5, rec("modified", "RIB/L"), key="b")],
        "undone",
        "current",
        id="passed without it, and the part that is off changed",
    ),
    pytest.param(
        [SPLIT, entry(5, ok("PLANE", "pre-close")), JOINED],
        "current",
        "undone",
        id="passed without it, then joined",
    ),
]


@pytest.mark.parametrize(("entries", "wing", "plane"), SPLIT_AND_JOINED)
def test_an_assembly_split_and_joined_again(entries: list[Entry], wing: str, plane: str) -> None:
    assert status("WING/L", "pre-close", *UP, *entries) == wing
    assert status("PLANE", "pre-close", *UP, *entries) == plane


def test_a_joint_is_disturbed_from_either_side_also_after_it_was_split_and_joined() -> None:
    passed = entry(2, ok("BOLT", "rigged"))
    for side in ("WING/L", "BOX"):
        changed = entry(4, rec("modified", side))
        assert status("BOLT", "rigged", MADE, passed, changed) == "undone"
        assert status("BOLT", "rigged", MADE, passed, changed, entry(5, ok("BOLT", "rigged"))) == "current"
    moved = (entry(3, rec("removed", "WING/L")), entry(4, rec("installed", "WING/L", on="PLANE")))
    assert status("BOLT", "rigged", MADE, passed, *moved) == "current", "its stage does not name moves"


DOWN = (
    MADE,
    entry(2, ok("RIB/L"), ok("SPAR/L", "to-drawing"), ok("SPAR/L", "pre-close"), ok("WING/L", "pre-close")),
    entry(3, rec("closed", "WING/L", area="root", hides="RIB/L")),
    entry(3, rec("closed", "WING/L", area="tip", hides="SPAR/L"), key="b"),
)

REACHING_DOWN = [
    # a wing passed, its root closed over the rib, its tip over the spar: the wing, and what is out of sight
    pytest.param([], "current", {"RIB/L", "SPAR/L"}, id="both areas closed"),
    pytest.param([entry(4, rec("damaged", "RIB/L"))], "undone", {"RIB/L", "SPAR/L"}, id="the rib it hides"),
    pytest.param([entry(4, rec("damaged", "TIP/L"))], "current", {"RIB/L", "SPAR/L"}, id="what none hides"),
    pytest.param([entry(4, rec("opened", "WING/L", area="tip"))], "undone", {"RIB/L"}, id="one area opened"),
    pytest.param(
        [
            entry(4, rec("opened", "WING/L", area="tip")),
            entry(5, ok("WING/L", "pre-close")),
            entry(6, rec("closed", "WING/L", area="tip", hides="SPAR/L")),
            entry(7, rec("installed", "WING/L", on="PLANE")),
        ],
        "current",
        {"RIB/L", "SPAR/L"},
        id="one area opened, passed, closed, and hung on the aircraft",
    ),
    pytest.param(
        [entry(4, rec("installed", "WING/L", on="PLANE"))],
        "current",
        {"RIB/L", "SPAR/L"},
        id="hung on the aircraft",
    ),
    pytest.param(
        [
            entry(4, rec("installed", "WING/L", on="PLANE")),
            entry(5, rec("removed", "WING/L", from_="PLANE")),
            entry(6, rec("installed", "WING/L", on="PLANE")),
        ],
        "current",
        {"RIB/L", "SPAR/L"},
        id="hung on the aircraft, taken off, hung on again",
    ),
    pytest.param([entry(4, rec("removed", "RIB/L"))], "undone", {"SPAR/L"}, id="taken out of a closed wing"),
    pytest.param(
        [entry(4, rec("removed", "RIB/L")), entry(5, rec("installed", "RIB/L", on="WING/L"))],
        "undone",
        {"SPAR/L"},
        id="taken out of a closed wing and put back",
    ),
    pytest.param(
        [entry(4, rec("scrapped", "RIB/L")), entry(5, rec("made", "RIB/L"))],
        "undone",
        {"SPAR/L"},
        id="a second article is not behind the old closing",
    ),
]


@pytest.mark.parametrize(("entries", "wing", "hidden"), REACHING_DOWN)
def test_closing_reaches_down_by_area(entries: list[Entry], wing: str, hidden: set[str]) -> None:
    found = known(*DOWN, *entries)
    assert status("WING/L", "pre-close", *DOWN, *entries) == wing
    assert {str(each) for each, story in found.items.items() if story.hidden_by} == hidden


def test_what_left_with_what_it_sits_in_is_hidden_no_more() -> None:
    """A clip in a rib: the closing hid both, and the rib was taken out with the clip in it."""
    days = (
        MADE,
        entry(2, rec("installed", "CLIP", on="RIB/L")),
        entry(3, rec("closed", "WING/L")),
        entry(4, rec("removed", "RIB/L", from_="WING/L")),
    )
    assert known(*days[:3]).items[item("CLIP")].hidden_by
    assert not known(*days).items[item("CLIP")].hidden_by

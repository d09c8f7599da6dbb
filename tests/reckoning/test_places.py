"""Where an item is, from DESIGN *Place*: by its records, else by the parts list, then marked assumed."""

from __future__ import annotations

import pytest

from buildlog.model.entry import Entry
from tests.reckoning.logs import articles, entry, item, known, ok, place, rec, status, work

MADE = entry(1, rec("made", "RIB/L RIB/R SPAR/L BOX CLIP PIN/1 WING/L PLANE"))

PLACES = [
    pytest.param("RIB/L", [], "WING/L assumed", id="the parent's item of the same designator"),
    pytest.param("WING/L", [], "PLANE assumed", id="the parent's only item"),
    pytest.param("CLIP", [], "BOX assumed", id="an only item in an only item"),
    pytest.param("PIN/1", [], "loose", id="no parent's item of that designator: unknown"),
    pytest.param("BOX", [], "loose", id="no parent"),
    pytest.param("PIN/2", [], "-", id="an item that no record names has no place"),
    pytest.param("RIB/L", [entry(2, rec("installed", "RIB/L", on="WING/L"))], "WING/L", id="recorded"),
    pytest.param(
        "RIB/L", [entry(2, rec("installed", "RIB/L", on="BOX"))], "BOX", id="not where the list has it"
    ),
    pytest.param("RIB/L", [entry(2, rec("removed", "RIB/L", from_="BOX"))], "loose", id="removed first"),
    pytest.param(
        "RIB/L",
        [entry(2, rec("installed", "RIB/L", on="BOX")), entry(3, rec("installed", "RIB/L", on="WING/R"))],
        "WING/R",
        id="moved without a removal",
    ),
    pytest.param(
        "RIB/L",
        [entry(2, rec("installed", "RIB/L", on="BOX")), entry(3, rec("removed", "RIB/L"))],
        "loose",
        id="removed, and not said from where",
    ),
    pytest.param(
        "RIB/L",
        [entry(3, rec("removed", "RIB/L")), entry(2, rec("installed", "RIB/L", on="BOX"))],
        "loose",
        id="by date, not by file",
    ),
    pytest.param("RIB/L", [entry(2, rec("installed", "RIB/L", on="WING"))], "loose", id="on which of two"),
    pytest.param(
        "RIB/L",
        [
            entry(2, rec("installed", "RIB/L", on="BOX")),
            entry(3, rec("voided", entry="2026-06-02-a", record=1, reason="another rib")),
        ],
        "WING/L assumed",
        id="a struck record moves nothing",
    ),
    pytest.param(
        "RIB/L",
        [entry(2, rec("installed", "RIB/L", on="BOX")), entry(3, rec("scrapped", "RIB/L"))],
        "-",
        id="scrapped",
    ),
    pytest.param(
        "RIB/L",
        [
            entry(2, rec("installed", "RIB/L", on="BOX")),
            entry(3, rec("scrapped", "RIB/L")),
            entry(4, rec("made", "RIB/L")),
        ],
        "WING/L assumed",
        id="a second article is where the list has it",
    ),
    pytest.param(
        "RIB/L",
        [
            entry(2, rec("scrapped", "RIB/L")),
            entry(3, rec("made", "RIB/L")),
            entry(4, rec("installed", "RIB/L", on="BOX")),
        ],
        "BOX",
        id="a second article put in",
    ),
    pytest.param(
        "WING/L",
        [entry(2, rec("installed", "WING/L", on="WING/L"))],
        "WING/L",
        id="inside itself, as written",
    ),
    pytest.param("X9", [entry(2, rec("installed", "X9", on="BOX"))], "BOX", id="a number on no list"),
    pytest.param("X9", [entry(2, rec("made", "X9"))], "loose", id="a number on no list, nowhere"),
]


@pytest.mark.parametrize(("name", "entries", "expected"), PLACES)
def test_where_an_item_is(name: str, entries: list[Entry], expected: str) -> None:
    assert place(name, MADE, *entries) == expected


def test_before_its_first_record_a_place_is_loose_or_what_the_removal_says() -> None:
    put = articles("RIB/L", MADE, entry(2, rec("installed", "RIB/L", on="BOX")))[0]
    assert [(stay.within, stay.assumed) for stay in put.stays] == [(None, False), (item("BOX"), False)]
    told = articles("RIB/L", MADE, entry(2, rec("removed", "RIB/L", from_="BOX")))[0]
    assert [(stay.within, stay.assumed) for stay in told.stays] == [(item("BOX"), False), (None, False)]
    untold = articles("RIB/L", MADE, entry(2, rec("removed", "RIB/L")))[0]
    assert [(stay.within, stay.assumed) for stay in untold.stays] == [(item("WING/L"), True), (None, False)]


def test_what_sits_in_an_item() -> None:
    found = known(MADE, entry(2, rec("installed", "CLIP", on="WING/L"))).items[item("WING/L")]
    assert found.holds == ((item("RIB/L"), True), (item("SPAR/L"), True), (item("CLIP"), False))


BOX_PASSED = entry(2, ok("BOX", "pre-close"))
PUT = entry(2, rec("installed", "RIB/L", on="BOX"), key="0", start="01:00")

INSIDE = [
    # what happens to others after BOX was passed before closing, and whether it undoes that
    pytest.param([entry(3, rec("modified", "CLIP"))], "undone", id="a child, by the list"),
    pytest.param([entry(3, rec("measured", "CLIP", value="1 mm"))], "current", id="only measured"),
    pytest.param([entry(3, rec("modified", "RIB/L"))], "current", id="not inside"),
    pytest.param([entry(3, rec("installed", "RIB/L", on="BOX"))], "undone", id="put in"),
    pytest.param([entry(3, rec("installed", "RIB/L", on="CLIP"))], "undone", id="put into a child"),
    pytest.param(
        [entry(3, rec("modified", "RIB/L")), entry(3, ok("BOX", "pre-close"), key="b", start="09:00")],
        "current",
        id="changed before it was put in",
    ),
    pytest.param([entry(3, rec("removed", "CLIP"))], "undone", id="taken out"),
    pytest.param(
        [entry(3, rec("removed", "RIB/L", from_="BOX"))], "undone", id="taken out of it, says the record"
    ),
    pytest.param(
        [entry(3, rec("installed", "CLIP", on="WING/L"))], "current", id="an article with moves was loose"
    ),
    pytest.param([entry(3, rec("scrapped", "CLIP"))], "undone", id="scrapped inside"),
    pytest.param([entry(3, rec("returned", "CLIP"))], "undone", id="returned from inside"),
    pytest.param([entry(3, rec("damaged", "BOX"))], "undone", id="the thing itself"),
    pytest.param([entry(2, rec("modified", "CLIP"), key="b")], "unclear", id="a child, on the day, no order"),
    pytest.param(
        [
            entry(3, rec("modified", "CLIP")),
            entry(4, rec("voided", entry="2026-06-03-a", record=1, reason="no")),
        ],
        "current",
        id="struck through",
    ),
    pytest.param([entry(3, work("CLIP", kind="filing"))], "current", id="hours inside are not the box's"),
]


@pytest.mark.parametrize(("entries", "expected"), INSIDE)
def test_what_happens_inside_reaches_up(entries: list[Entry], expected: str) -> None:
    assert status("BOX", "pre-close", MADE, BOX_PASSED, *entries) == expected


DEEP = [
    pytest.param([], "current", id="nothing"),
    pytest.param([entry(4, rec("damaged", "RIB/L"))], "undone", id="a grandchild"),
    pytest.param([entry(4, rec("removed", "RIB/L", from_="WING/L"))], "undone", id="a grandchild taken out"),
    pytest.param(
        [entry(4, rec("removed", "WING/L", from_="PLANE")), entry(6, ok("PLANE", "pre-close"))],
        "current",
        id="passed again without the wing",
    ),
    pytest.param(
        [
            entry(4, rec("removed", "WING/L", from_="PLANE")),
            entry(6, ok("PLANE", "pre-close")),
            entry(7, rec("damaged", "RIB/L")),
        ],
        "current",
        id="a grandchild of what was taken out",
    ),
    pytest.param(
        [
            entry(4, rec("removed", "WING/L", from_="PLANE")),
            entry(5, rec("damaged", "RIB/L")),
            entry(6, rec("installed", "WING/L", on="PLANE")),
            entry(7, ok("PLANE", "pre-close")),
        ],
        "current",
        id="changed while out, passed after it was back",
    ),
    pytest.param(
        [entry(4, rec("installed", "RIB/L", on="WING/R")), entry(5, rec("installed", "RIB/R", on="WING/L"))],
        "undone",
        id="children swapped",
    ),
]


@pytest.mark.parametrize("wing", ["WING/L", ""], ids=["wing with records", "wing that no record names"])
@pytest.mark.parametrize(("entries", "expected"), DEEP)
def test_depth(entries: list[Entry], expected: str, wing: str) -> None:
    """An assembly without a record of its own still holds what the parts list has in it."""
    made = entry(1, rec("made", f"RIB/L RIB/R PLANE {wing}"))
    assert status("PLANE", "pre-close", made, entry(3, ok("PLANE", "pre-close")), *entries) == expected


def test_moves_of_a_day_without_order_leave_open_where_it_is() -> None:
    """Put into the box and taken out, in two entries of one day: it may be there still."""
    moves = (
        entry(2, rec("removed", "RIB/L"), key="b"),
        entry(2, rec("installed", "RIB/L", on="BOX"), key="a"),
    )
    passed = entry(3, ok("BOX", "pre-close"))
    assert status("BOX", "pre-close", MADE, *moves, passed) == "current"
    assert status("BOX", "pre-close", MADE, *moves, passed, entry(4, rec("damaged", "RIB/L"))) == "unclear"
    surely = entry(2, rec("installed", "RIB/L", on="BOX"), key="c")
    damaged = entry(4, rec("damaged", "RIB/L"))
    assert status("BOX", "pre-close", MADE, moves[1], surely, passed, damaged) == "undone"


def test_where_it_was_before_its_first_move_is_open_where_that_is() -> None:
    """Of a removal and an installation of one day either was first: it was in the box, or loose."""
    passed = entry(2, ok("BOX", "pre-close"))
    damaged = entry(3, rec("damaged", "CLIP"))
    again = entry(4, ok("BOX", "pre-close"), key="0")
    moves = (entry(5, rec("removed", "CLIP")), entry(5, rec("installed", "CLIP", on="WING/L"), key="0"))
    assert status("BOX", "pre-close", MADE, passed, damaged, *moves) == "unclear"
    assert status("BOX", "pre-close", MADE, passed, damaged, again, *moves) == "unclear"
    assert status("BOX", "pre-close", MADE, passed, damaged, again, moves[1]) == "current"


def test_put_again_where_it_was_is_put_in_and_not_taken_out() -> None:
    put = entry(2, rec("installed", "RIB/L", on="BOX"))
    again = entry(4, rec("installed", "RIB/L", on="BOX"))
    passed = entry(3, ok("BOX", "pre-close"))
    found = known(MADE, put, passed, again).items[item("BOX")]
    against = next(each for each in found.stages if each.stage.key == "pre-close").against
    assert [event.kind for event in against] == ["installed"]


def test_a_ring_of_places_ends() -> None:
    ring = entry(2, rec("installed", "BOX", on="CLIP"), rec("installed", "CLIP", on="BOX"))
    passed = entry(3, ok("BOX", "pre-close"))
    assert status("BOX", "pre-close", MADE, ring, passed) == "current"
    assert status("BOX", "pre-close", MADE, ring, passed, entry(4, rec("damaged", "CLIP"))) == "undone"


@pytest.mark.parametrize(
    ("written", "expected"),
    [
        pytest.param("RIB", ("RIB/L", "RIB/R"), id="bare"),
        pytest.param("RIB/all", ("RIB/L", "RIB/R"), id="all"),
        pytest.param("BOX", ("BOX",), id="an only item"),
        pytest.param("RIB/R RIB", ("RIB/R", "RIB/L"), id="named twice counts once"),
    ],
)
def test_names_of_items(written: str, expected: tuple[str, ...]) -> None:
    found = known(entry(1, rec("made", written)))
    exist = {str(each) for each, story in found.items.items() if story.exists}
    assert exist == set(expected)
    assert all(len(found.items[item(each)].chronicle.events) == 1 for each in expected)


def test_a_number_may_hold_a_slash() -> None:
    found = known(entry(1, rec("made", "A/B/L")), entry(2, rec("made", "A/B")))
    exist = {(each.number, each.designator) for each, story in found.items.items() if story.exists}
    assert exist == {("A/B/L", ""), ("A/B", "L"), ("A/B", "R")}, "the whole text is a number first"


def test_what_is_on_no_list_keeps_its_history() -> None:
    found = known(entry(1, rec("made", "X9/2"), work("X9/2", 3)))
    story = found.items[item("X9/2")]
    assert story.part is None
    assert story.class_.key == "general"
    assert (len(story.chronicle.events), story.hours) == (1, 3)
    assert found.parts["X9"].part is None

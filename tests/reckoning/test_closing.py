"""Closing, from DESIGN *Closing* and "Once it was closed with the stage current …"."""

from __future__ import annotations

import pytest

from buildlog.model.entry import Entry
from buildlog.reckoning.closing import in_force
from buildlog.reckoning.containment import lineage, track
from buildlog.reckoning.index import moments
from buildlog.reckoning.leaning import AGAINST
from buildlog.reckoning.status import Bearing, status_at
from tests.reckoning.logs import STAGES, entry, item, known, no, ok, rec, stage, status, story

MADE = entry(1, rec("made", "PLANE WING/L RIB/L SPAR/L CLIP"))
PASSED = entry(2, ok("WING/L", "pre-close"))
SHUT = entry(3, rec("closed", "WING/L"))

SEALED = [
    # what happens after the wing was passed on day 2 and closed on day 3
    pytest.param([SHUT], "current", id="closed"),
    pytest.param(
        [SHUT, entry(4, rec("installed", "WING/L", on="PLANE"))], "current", id="hung on the aircraft"
    ),
    pytest.param(
        [SHUT, entry(4, rec("installed", "CLIP", on="WING/L"))], "current", id="something put on it"
    ),
    pytest.param(
        [SHUT, entry(4, rec("installed", "CLIP", on="WING/L")), entry(5, rec("damaged", "CLIP"))],
        "current",
        id="what was put on it after",
    ),
    pytest.param([SHUT, entry(4, rec("damaged", "RIB/L"))], "undone", id="what it hid"),
    pytest.param([SHUT, entry(4, rec("removed", "RIB/L"))], "undone", id="what it hid, taken out"),
    pytest.param([SHUT, entry(4, rec("damaged", "WING/L"))], "undone", id="the wing itself"),
    pytest.param([SHUT, entry(4, rec("opened", "WING/L"))], "undone", id="opened"),
    pytest.param([SHUT, entry(4, rec("made", "PIN/1"))], "current", id="made since, and in no known place"),
    pytest.param([SHUT, entry(4, rec("made", "TIP/L"))], "current", id="assumed in it, and made since"),
    pytest.param([entry(3, rec("made", "TIP/L"), rec("closed", "WING/L"))], "undone", id="made before it"),
    pytest.param(
        [entry(2, rec("made", "TIP/L"), key="0", start="00:30"), SHUT, entry(4, rec("damaged", "TIP/L"))],
        "undone",
        id="assumed in it, made before, and damaged since",
    ),
    pytest.param(
        [SHUT, entry(4, rec("damaged", "RIB/L")), entry(5, rec("installed", "RIB/L", on="WING/L"))],
        "unclear",
        id="damaged where it was assumed, and where it sat written down later",
    ),
    pytest.param(
        [SHUT, entry(4, rec("installed", "RIB/L", on="WING/L")), entry(5, rec("damaged", "RIB/L"))],
        "unclear",
        id="where it sat written down late, and then damaged",
    ),
    pytest.param(
        [SHUT, entry(4, rec("installed", "RIB/L", on="WING/L"))],
        "current",
        id="nothing but where it sat written down late, or put on the closed wing",
    ),
    pytest.param(
        [
            entry(3, rec("installed", "RIB/L", on="WING/R"), key="0", start="06:00"),
            SHUT,
            entry(4, rec("damaged", "RIB/L")),
            entry(5, rec("installed", "RIB/L", on="WING/L")),
        ],
        "current",
        id="was elsewhere when it was closed",
    ),
    pytest.param(
        [SHUT, entry(4, rec("made", "TIP/L")), entry(5, rec("installed", "TIP/L", on="WING/L"))],
        "current",
        id="made since, and put on it",
    ),
    pytest.param([entry(4, rec("installed", "CLIP", on="WING/L"))], "undone", id="not closed"),
    pytest.param(
        [entry(3, rec("installed", "CLIP", on="WING/L")), entry(4, rec("closed", "WING/L"))],
        "undone",
        id="undone before it was closed",
    ),
    pytest.param(
        [
            entry(3, rec("installed", "CLIP", on="WING/L")),
            entry(4, rec("closed", "WING/L")),
            entry(5, ok("WING/L", "pre-close")),
            entry(6, rec("removed", "CLIP")),
        ],
        "undone",
        id="passed only after it was closed",
    ),
    pytest.param(
        [
            SHUT,
            entry(4, rec("opened", "WING/L")),
            entry(5, ok("WING/L", "pre-close")),
            entry(6, rec("installed", "CLIP", on="WING/L")),
        ],
        "undone",
        id="opened, passed, not closed again",
    ),
    pytest.param(
        [
            SHUT,
            entry(4, rec("opened", "WING/L")),
            entry(5, ok("WING/L", "pre-close"), rec("closed", "WING/L")),
            entry(6, rec("installed", "CLIP", on="WING/L")),
        ],
        "current",
        id="opened, passed, closed again",
    ),
    pytest.param(
        [
            entry(3, rec("nonconformance", "WING/L", id="N")),
            entry(4, rec("closed", "WING/L")),
            entry(5, rec("disposition", "WING/L", id="N", decision="use-as-is", by="eva")),
            entry(6, rec("installed", "CLIP", on="WING/L")),
        ],
        "undone",
        id="closed while on hold",
    ),
    pytest.param(
        [
            entry(3, no("WING/L", "pre-close")),
            entry(4, rec("closed", "WING/L")),
            entry(5, ok("WING/L", "pre-close", date=2)),
            entry(6, rec("installed", "CLIP", on="WING/L")),
        ],
        "rejected",
        id="closed while refused",
    ),
    pytest.param(
        [
            entry(3, rec("closed", "WING/L", area="root", hides="RIB/L")),
            entry(4, rec("damaged", "SPAR/L")),
        ],
        "current",
        id="hides one: an event on another",
    ),
    pytest.param(
        [entry(3, rec("closed", "WING/L", hides="RIB/L")), entry(4, rec("damaged", "RIB/L"))],
        "undone",
        id="hides one: an event on it",
    ),
    pytest.param(
        [entry(3, rec("closed", "WING/L", except_="SPAR/L")), entry(4, rec("damaged", "SPAR/L"))],
        "current",
        id="all but one: an event on that",
    ),
    pytest.param(
        [entry(3, rec("closed", "WING/L", except_="SPAR/L")), entry(4, rec("damaged", "RIB/L"))],
        "undone",
        id="all but one: an event on another",
    ),
    pytest.param(
        [
            entry(3, rec("closed", "WING/L", area="root", hides="RIB/L")),
            entry(3, rec("closed", "WING/L", area="tip", hides="SPAR/L"), key="b"),
            entry(4, rec("damaged", "SPAR/L")),
        ],
        "undone",
        id="two areas: hidden by one of them",
    ),
    pytest.param(
        [SHUT, entry(3, rec("installed", "CLIP", on="WING/L"), key="b")],
        "unclear",
        id="put in on the day of closing, no order",
    ),
    pytest.param(
        [
            SHUT,
            entry(
                4,
                rec("voided", entry="2026-06-03-a", record=1, reason="r"),
                rec("removed", "CLIP", from_="WING/L"),
            ),
        ],
        "undone",
        id="a struck closing",
    ),
]


@pytest.mark.parametrize(("entries", "expected"), SEALED)
def test_a_closed_wing(entries: list[Entry], expected: str) -> None:
    assert status("WING/L", "pre-close", MADE, PASSED, *entries) == expected


def test_what_may_have_been_taken_out_before_it_was_closed_is_not_let_off_when_it_is_put_in_again() -> None:
    """Put in and taken out on one day without times: in one order the closing hid it."""
    once = [
        entry(2, rec("installed", "RIB/L", on="WING/L"), key="a"),
        entry(2, rec("removed", "RIB/L"), key="b"),
        entry(4, ok("WING/L", "pre-close")),
        entry(5, rec("closed", "WING/L")),
    ]
    again = entry(8, rec("installed", "RIB/L", on="WING/L"))
    assert status("WING/L", "pre-close", MADE, *once) == "current"
    assert status("WING/L", "pre-close", MADE, *once, again) == "unclear"


def test_the_closing_that_keeps_a_stage_is_told() -> None:
    found = stage("WING/L", "pre-close", MADE, PASSED, SHUT)
    assert found.sealed is not None
    assert found.sealed.kind == "closed"
    again = stage(
        "WING/L",
        "pre-close",
        MADE,
        PASSED,
        SHUT,
        entry(4, rec("opened", "WING/L")),
        entry(5, ok("WING/L", "pre-close")),
    )
    assert again.sealed is None


HIDDEN = [
    pytest.param({}, [], {"RIB/L", "SPAR/L"}, id="all inside that exists"),
    pytest.param({"hides": "RIB/L"}, [], {"RIB/L"}, id="what it hides"),
    pytest.param({"hides": "CLIP"}, [], {"CLIP"}, id="what it hides, wherever that is"),
    pytest.param({"except_": "RIB/L"}, [], {"SPAR/L"}, id="all but one"),
    pytest.param({"hides": "RIB/L SPAR/L", "except_": "RIB/L"}, [], {"SPAR/L"}, id="both"),
    pytest.param(
        {"hides": "RIB/L"},
        [rec("installed", "CLIP", on="RIB/L")],
        {"RIB/L", "CLIP"},
        id="and what is inside that",
    ),
    pytest.param(
        {"except_": "RIB/L"},
        [rec("installed", "CLIP", on="RIB/L")],
        {"SPAR/L"},
        id="all but one with its inside",
    ),
    pytest.param({}, [rec("removed", "RIB/L")], {"SPAR/L"}, id="not what was taken out"),
    pytest.param({}, [rec("scrapped", "RIB/L")], {"SPAR/L"}, id="not what was scrapped"),
    pytest.param(
        {}, [rec("installed", "CLIP", on="WING/L")], {"RIB/L", "SPAR/L", "CLIP"}, id="what was put in"
    ),
    pytest.param({"hides": "RIB"}, [], {"RIB/L", "RIB/R"}, id="a bare number is all its items"),
]


@pytest.mark.parametrize(("more", "before", "expected"), HIDDEN)
def test_what_a_closing_hides(more: dict[str, str], before: list, expected: set[str]) -> None:
    days = (
        MADE,
        entry(2, *before),
        entry(3, rec("closed", "WING/L", **more)),
        entry(4, rec("made", "PIN/1")),
    )
    found = known(*days)
    closing = found.items[item("WING/L")].closings[0]
    assert {str(each) for each in closing.hidden} == expected
    assert closing.unsure == ()
    by = {str(each) for each, told in found.items.items() if told.hidden_by}
    assert by == {each for each in expected if found.items[item(each)].exists}


def test_what_may_have_been_inside_is_hidden_and_unsure() -> None:
    closing = story("WING/L", MADE, SHUT, entry(3, rec("installed", "CLIP", on="WING/L"), key="b")).closings[
        0
    ]
    assert [str(each) for each in closing.unsure] == ["CLIP"]
    spared = story(
        "WING/L",
        MADE,
        entry(3, rec("closed", "WING/L", except_="RIB/L")),
        entry(3, rec("installed", "CLIP", on="RIB/L"), key="b"),
    ).closings[0]
    assert [str(each) for each in spared.unsure] == ["CLIP"]


OPENED = [
    pytest.param("", "", True, id="whole by whole"),
    pytest.param("root", "root", True, id="an area by its name"),
    pytest.param("root", "", True, id="every area at once"),
    pytest.param("root", "tip", False, id="another area"),
    pytest.param("", "root", False, id="the whole stays shut when an area is opened"),
]


@pytest.mark.parametrize(("shut", "opened", "expected"), OPENED)
def test_what_opens_a_closing(shut: str, opened: str, *, expected: bool) -> None:
    days = (
        MADE,
        entry(3, rec("closed", "WING/L", area=shut)),
        entry(4, rec("opened", "WING/L", area=opened)),
    )
    assert (story("WING/L", *days).closings[0].opened is not None) is expected


def test_an_opening_of_the_day_without_order_leaves_open_whether_it_is_shut() -> None:
    days = (MADE, PASSED, SHUT, entry(3, rec("opened", "WING/L"), key="0"))
    closing = story("WING/L", *days).closings[0]
    later = entry(5, rec("measured", "RIB/L", value="1 mm"))
    assert closing.opened is None, "by the names of the files it was opened first"
    assert in_force(closing, moments(later)[0]) is None
    assert in_force(closing, moments(PASSED)[0]) is False
    assert in_force(closing, moments(entry(3, rec("made", "CLIP"), key="c"))[0]) is None
    sure = story("WING/L", MADE, PASSED, SHUT, entry(4, rec("opened", "WING/L"))).closings[0]
    assert in_force(sure, moments(entry(4, rec("made", "CLIP"), key="c"))[0]) is None
    assert in_force(sure, moments(later)[0]) is False
    assert in_force(story("WING/L", MADE, SHUT).closings[0], moments(later)[0]) is True


def test_a_second_article_is_not_closed() -> None:
    days = (MADE, PASSED, SHUT, entry(4, rec("scrapped", "WING/L")), entry(5, rec("made", "WING/L")))
    assert story("WING/L", *days).closings == ()
    assert story("WING/L", *days[:4]).closings == ()


AT_CLOSING = [
    pytest.param([entry(2, ok("SPAR/L", "pre-close"))], True, id="passed"),
    pytest.param([], False, id="never looked at"),
    pytest.param([entry(3, ok("SPAR/L", "pre-close"), key="b")], False, id="passed that day, no order"),
    pytest.param([entry(4, ok("SPAR/L", "pre-close"))], False, id="passed after"),
    pytest.param([entry(2, ok("SPAR/L", "pre-close"), rec("damaged", "SPAR/L"))], False, id="undone before"),
    pytest.param(
        [entry(2, ok("SPAR/L", "pre-close")), entry(3, rec("damaged", "SPAR/L"), key="b")],
        False,
        id="perhaps undone before",
    ),
    pytest.param(
        [entry(2, ok("SPAR/L", "pre-close")), entry(4, rec("damaged", "SPAR/L"))], True, id="undone after"
    ),
    pytest.param(
        [entry(2, ok("SPAR/L", "pre-close"), rec("nonconformance", "SPAR/L", id="N"))], False, id="on hold"
    ),
    pytest.param(
        [
            entry(2, ok("SPAR/L", "pre-close")),
            entry(5, rec("scrapped", "SPAR/L")),
            entry(6, rec("made", "SPAR/L")),
        ],
        True,
        id="the article that was there then, not the one of today",
    ),
    pytest.param(
        [
            entry(1, ok("SPAR/L", "pre-close"), key="b", start="09:00"),
            entry(2, rec("scrapped", "SPAR/L"), rec("made", "SPAR/L")),
        ],
        False,
        id="the article before is no help",
    ),
    pytest.param(
        [entry(2, ok("SPAR/L", "pre-close"), rec("scrapped", "SPAR/L"))], False, id="no article then"
    ),
]


@pytest.mark.parametrize(("entries", "expected"), AT_CLOSING)
def test_whether_a_stage_was_current_when_it_was_closed(entries: list[Entry], *, expected: bool) -> None:
    found = known(MADE, SHUT, *entries)
    spar = found.items[item("SPAR/L")]
    stages = {each.key: each for each in STAGES}
    shut = moments(SHUT)[0]
    people = found.frame.people
    then = status_at(
        spar.chronicle, spar.class_, stages["pre-close"], stages, people, Bearing(), shut, AGAINST
    )
    assert (then.value == "current") is expected


def test_lineage_of_what_is_not_known_is_itself() -> None:
    tracks = {each: track(told.chronicle, None, known().names) for each, told in known(MADE).items.items()}
    assert [str(each.item) for each in lineage(item("X9"), tracks)] == ["X9"]

"""A lot of material that is itself received, looked at, put on hold, refused or thrown away."""

from __future__ import annotations

import pytest

from buildlog.reckoning.knowledge import LotStory
from buildlog.reckoning.reckon import reckon
from tests.logs import facts
from tests.rules.histories import found

LOTS = "part A\npart B\nlot L material=Glue\nlot M\nstage receiving undone_by=received,damaged\n"


def lot(text: str) -> LotStory:
    return reckon(facts(LOTS + text)).lots["L"]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        pytest.param("", [], id="no record about it"),
        pytest.param("2026-03-01 received L from=Shop", [], id="received"),
        pytest.param("2026-03-01 received L\n2026-03-02 accepted L receiving okafor", [], id="accepted"),
        pytest.param(
            "2026-03-01 received L\n2026-03-02 rejected L receiving okafor", ["rejected"], id="rejected"
        ),
        pytest.param(
            "2026-03-02 rejected L receiving okafor\n2026-03-03 accepted L receiving okafor",
            [],
            id="then accepted",
        ),
        pytest.param(
            "2026-03-02 rejected L receiving okafor\n2026-03-03 accepted L receiving bram",
            ["rejected"],
            id="then accepted by a builder",
        ),
        pytest.param(
            "2026-03-02 rejected L receiving okafor\n2026-03-02 accepted L receiving brandt",
            ["rejected"],
            id="both in one day, no order",
        ),
        pytest.param("2026-03-02 nonconformance L id=N1", ["on hold"], id="on hold"),
        pytest.param(
            "2026-03-02 nonconformance L id=N1\n2026-03-03 disposition L id=N1 decision=use-as-is by=engel",
            [],
            id="use as it is",
        ),
        pytest.param(
            "2026-03-02 nonconformance L id=N1\n2026-03-03 disposition L id=N1 decision=use-as-is by=marit",
            ["on hold"],
            id="decided by a builder",
        ),
        pytest.param(
            "2026-03-02 nonconformance L id=N1\n2026-03-03 disposition L id=N1 decision=scrap by=engel\n"
            "2026-03-04 scrapped L",
            ["on hold"],
            id="thrown away: what was used of it is still there",
        ),
        pytest.param(
            "2026-03-02 tested L what=block result=failed", ["failed a test"], id="a test block broke"
        ),
        pytest.param(
            "2026-03-02 tested L what=block result=failed\n2026-03-03 tested L what=Block result=passed",
            [],
            id="tried again",
        ),
        pytest.param(
            "2026-03-02 tested L what=block result=failed\n2026-03-03 tested L what=colour result=passed",
            ["failed a test"],
            id="another test passed",
        ),
        pytest.param(
            "2026-03-02 tested L stage=receiving by=okafor result=failed",
            ["rejected"],
            id="a test that counts as its inspection",
        ),
        pytest.param("2026-03-02 damaged L", ["damaged"], id="wet or frozen"),
        pytest.param(
            "2026-03-02 damaged L\n2026-03-03 accepted L receiving okafor", [], id="looked at since"
        ),
        pytest.param(
            "2026-03-02 nonconformance L id=N1\n2026-03-03 voided L entry=2026-03-02-1 record=1 reason=no",
            [],
            id="struck through",
        ),
        pytest.param(
            "2026-03-02 nonconformance L id=N1\n2026-03-02 nonconformance M id=N2",
            ["on hold"],
            id="another lot",
        ),
    ],
)
def test_what_stands_against_a_lot(text: str, words: list[str]) -> None:
    assert [each.word for each in lot(text).troubles] == words


@pytest.mark.parametrize(
    ("text", "subjects"),
    [
        pytest.param(
            "2026-03-01 made A lots=L\n2026-03-02 nonconformance L id=N1", ["A"], id="used, then held"
        ),
        pytest.param(
            "2026-03-01 nonconformance L id=N1\n2026-03-02 made A lots=L", ["A"], id="used while held"
        ),
        pytest.param(
            "2026-03-01 made A,B lots=L\n2026-03-02 rejected L receiving okafor", ["A", "B"], id="refused"
        ),
        pytest.param("2026-03-01 nonconformance L id=N1", [], id="on the shelf, it is quiet"),
        pytest.param("2026-03-01 made A lots=M\n2026-03-02 nonconformance L id=N1", [], id="another lot"),
        pytest.param(
            "2026-03-01 made A lots=L\n2026-03-02 nonconformance L id=N1\n2026-03-03 scrapped A",
            [],
            id="gone",
        ),
        pytest.param(
            "2026-03-01 made A lots=L\n2026-03-02 nonconformance L id=N1\n"
            "2026-03-03 disposition L id=N1 decision=use-as-is by=engel",
            [],
            id="settled",
        ),
        pytest.param(
            "2026-03-01 nonconformance L id=N1\n2026-03-02 disposition L id=N1 decision=scrap by=engel\n"
            "2026-03-03 scrapped L\n2026-03-04 received L\n2026-03-05 made A lots=L",
            [],
            id="of a second delivery",
        ),
        pytest.param(
            "2026-03-01 made A lots=L\n2026-03-02 nonconformance L id=N1\n"
            "2026-03-03 disposition L id=N1 decision=return by=engel\n2026-03-04 returned L",
            ["A"],
            id="the rest went back",
        ),
        pytest.param(
            "2026-03-01 made A lots=L\n2026-03-02 modified A lots=L\n2026-03-03 nonconformance L id=N1",
            ["A"],
            id="used twice, one finding",
        ),
        pytest.param(
            "2026-03-01 made A lots=L\n2026-03-02 nonconformance L id=N1\n"
            "2026-03-03 voided A entry=2026-03-01-1 record=1 reason=no",
            [],
            id="the use struck through",
        ),
    ],
)
def test_what_a_bad_lot_went_into(text: str, subjects: list[str]) -> None:
    findings = found("nonconformance-open", LOTS + text)
    assert [each.subject for each in findings] == subjects
    for each in findings:
        assert each.grade.word == "major"
        assert "L (Glue), which went into it on 2026-03-0" in each.message
        assert each.rests[0].sort == "record"


def test_it_says_why() -> None:
    text = LOTS + "2026-03-01 made A lots=L\n2026-03-02 nonconformance L id=N1 by=bram"
    (held,) = found("nonconformance-open", text)
    assert held.message == (
        "L (Glue), which went into it on 2026-03-01 (made), is on hold: nonconformance N1, raised on"
        " 2026-03-02 by Bram Lie."
    )
    assert [rest.entry for rest in held.rests] == ["2026-03-01-1", "2026-03-02-1"]


def test_a_part_of_the_same_name_is_the_part() -> None:
    """The reader refuses such a record; were one to come, it is the part's, as before there were lots."""
    known = reckon(facts("part L\nlot L\n2026-03-01 nonconformance L id=N1"))
    assert known.lots["L"].chronicle is None
    assert [event.kind for story in known.items.values() for event in story.chronicle.events] == [
        "nonconformance"
    ]


def test_a_lot_makes_no_item() -> None:
    known = reckon(
        facts(LOTS + "2026-03-01 received L\n2026-03-02 accepted L receiving okafor tool=T\ntool T")
    )
    assert [str(item) for item in known.items] == ["A", "B"]
    assert [str(event.item) for event in known.people["okafor"].inspected] == ["L"]
    assert [str(use.item) for use in known.tools["T"].uses] == ["L"]
    assert found("not-on-parts-list", LOTS + "2026-03-01 received L") == []

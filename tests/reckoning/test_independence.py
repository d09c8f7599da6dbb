"""Who may pass what, from DESIGN *Inspection status*: independence, signatures, signed documents."""

from __future__ import annotations

import pytest

from buildlog.model.entry import Entry
from tests.reckoning.logs import entry, ok, rec, stage, status, work

MADE = entry(1, rec("made", "RIB/L SPAR/L SPAR/R BOX CLIP TAB LUG BOLT WING/L WING/R"))


INDEPENDENT = [
    # BOX is of a class that asks for independence and looks inside before closing; CLIP is assumed in it
    pytest.param("to-drawing", [entry(3, ok("BOX", by="bo"))], "current", id="did not work on it"),
    pytest.param(
        "to-drawing",
        [entry(2, work("BOX"), people="bo"), entry(3, ok("BOX", by="bo"))],
        "none",
        id="hours on it",
    ),
    pytest.param(
        "to-drawing",
        [entry(2, work("BOX", people="bo")), entry(3, ok("BOX", by="bo"))],
        "none",
        id="named on the work line",
    ),
    pytest.param(
        "to-drawing",
        [entry(2, work("BOX", {"ann": 1, "bo": 1})), entry(3, ok("BOX", by="bo"))],
        "none",
        id="named in the table of hours alone",
    ),
    pytest.param(
        "to-drawing",
        [entry(2, work("BOX"), present="bo"), entry(3, ok("BOX", by="bo"))],
        "current",
        id="only present",
    ),
    pytest.param(
        "to-drawing",
        [entry(2, work("BOX", kind="inspection"), people="bo"), entry(3, ok("BOX", by="bo"))],
        "current",
        id="hours of looking at it",
    ),
    pytest.param(
        "to-drawing",
        [entry(3, ok("BOX", by="bo"), people="bo")],
        "current",
        id="listed where it is only inspected",
    ),
    pytest.param(
        "to-drawing",
        [entry(2, rec("modified", "BOX", by="bo")), entry(3, ok("BOX", by="bo"))],
        "none",
        id="changed it",
    ),
    pytest.param(
        "to-drawing",
        [entry(2, rec("modified", "BOX"), people="ann bo"), entry(3, ok("BOX", by="bo"))],
        "none",
        id="one of the people of the entry",
    ),
    pytest.param(
        "to-drawing",
        [entry(2, rec("modified", "BOX", by="ann"), people="ann bo"), entry(3, ok("BOX", by="bo"))],
        "current",
        id="the record says it was another",
    ),
    pytest.param(
        "to-drawing",
        [entry(3, ok("BOX", by="bo")), entry(4, rec("installed", "BOX", on="WING/L", by="bo"))],
        "current",
        id="an inspector who becomes a builder",
    ),
    pytest.param(
        "to-drawing",
        [entry(3, ok("BOX", by="bo")), entry(3, rec("torqued", "BOX", value="9 N m", by="bo"), key="b")],
        "none",
        id="worked on it that day, no order",
    ),
    pytest.param(
        "to-drawing",
        [
            entry(2, rec("scrapped", "BOX", by="bo")),
            entry(3, rec("made", "BOX")),
            entry(4, ok("BOX", by="bo")),
        ],
        "current",
        id="worked on the article before",
    ),
    pytest.param(
        "to-drawing",
        [entry(2, work("CLIP"), people="bo"), entry(3, ok("BOX", by="bo"))],
        "current",
        id="worked inside, for a stage that does not look inside",
    ),
    pytest.param(
        "pre-close",
        [entry(2, work("CLIP"), people="bo"), entry(3, ok("BOX", "pre-close", by="bo"))],
        "none",
        id="worked inside",
    ),
    pytest.param(
        "pre-close",
        [
            entry(2, work("CLIP"), people="bo"),
            entry(3, rec("removed", "CLIP")),
            entry(4, ok("BOX", "pre-close", by="bo")),
        ],
        "current",
        id="worked on what is no longer inside",
    ),
    pytest.param(
        "pre-close",
        [
            entry(2, rec("modified", "CLIP", by="bo")),
            entry(3, rec("scrapped", "CLIP", by="ann"), rec("made", "CLIP")),
            entry(4, ok("BOX", "pre-close", by="bo")),
        ],
        "current",
        id="worked on the article inside that was scrapped",
    ),
    pytest.param(
        "pre-close",
        [
            entry(2, rec("modified", "CLIP", by="bo")),
            entry(4, ok("BOX", "pre-close", by="bo")),
            entry(5, rec("scrapped", "CLIP", by="ann"), rec("made", "CLIP")),
        ],
        "none",
        id="worked on what was inside then",
    ),
    pytest.param(
        "to-drawing",
        [
            entry(2, rec("modified", "BOX", by="bo")),
            entry(3, rec("nonconformance", "BOX", id="N1")),
            entry(4, rec("disposition", "BOX", id="N1", decision="rework", by="eva")),
            entry(5, ok("BOX", by="ida")),
            entry(6, ok("BOX", by="bo", clears="N1")),
        ],
        "on hold",
        id="own work clears nothing",
    ),
]


@pytest.mark.parametrize(("key", "entries", "expected"), INDEPENDENT)
def test_independence(key: str, entries: list[Entry], expected: str) -> None:
    assert status("BOX", key, MADE, *entries) == expected


def test_two_may_pass_each_others_work() -> None:
    days = (
        entry(2, rec("made", "SPAR/L", by="bo"), rec("made", "SPAR/R", by="ida")),
        entry(3, ok("SPAR/L", by="ida"), ok("SPAR/R", by="bo")),
    )
    assert status("SPAR/L", "to-drawing", *days) == "current"
    assert status("SPAR/R", "to-drawing", *days) == "current"


def test_whose_acceptance_does_not_count_and_why() -> None:
    found = stage(
        "BOX", "to-drawing", MADE, entry(2, work("BOX"), people="bo"), entry(3, ok("BOX", by="ann bo"))
    )
    assert [(each.person, each.own_work) for each in found.refusals] == [("ann", False), ("bo", True)]
    assert [why for _, why in found.counts_not] == ["ann has no role of inspector; bo worked on it"]
    one = stage("BOX", "to-drawing", MADE, entry(3, ok("BOX", by="ann ida")))
    assert (one.status.value, one.signers, one.counts_not) == ("current", ("ida",), ())
    nobody = stage("RIB/L", "to-drawing", MADE, entry(3, ok("RIB/L", by=""), people=""))
    assert [why for _, why in nobody.counts_not] == ["nobody is named who passed it"]
    told = {
        stage("RIB/L", key, MADE, entry(day, ok("RIB/L", key, by=by))).refusals[0].reason
        for day, key, by in ((2, "to-drawing", "ole"), (25, "to-drawing", "ole"), (2, "pre-close", "ivo"))
    }
    assert told == {
        "had authority only from 2026-06-05",
        "had authority only until 2026-06-20",
        "may not inspect pre-close",
    }


SIGNATURES = [
    pytest.param("TAB", [entry(2, ok("TAB"))], "partial", id="one of two"),
    pytest.param("TAB", [entry(2, ok("TAB", by="ida ivo"))], "current", id="two on one record"),
    pytest.param("TAB", [entry(2, ok("TAB")), entry(3, ok("TAB", by="ivo"))], "current", id="on two records"),
    pytest.param("TAB", [entry(2, ok("TAB")), entry(3, ok("TAB"))], "partial", id="the same twice"),
    pytest.param("TAB", [entry(2, ok("TAB", by="ida ann"))], "partial", id="one may not"),
    pytest.param(
        "TAB",
        [entry(2, ok("TAB")), entry(3, ok("TAB", by="ivo", scope="web"))],
        "partial",
        id="the second looked at a part",
    ),
    pytest.param(
        "TAB",
        [entry(2, ok("TAB")), entry(3, rec("damaged", "TAB")), entry(4, ok("TAB", by="ivo"))],
        "partial",
        id="the first undone",
    ),
    pytest.param(
        "TAB",
        [entry(2, ok("TAB", by="ida ivo")), entry(3, rec("damaged", "TAB"))],
        "undone",
        id="both undone",
    ),
    pytest.param("LUG", [entry(2, ok("LUG"))], "partial", id="no document"),
    pytest.param("LUG", [entry(2, ok("LUG", document="scan.pdf"))], "current", id="a document"),
    pytest.param(
        "LUG",
        [entry(2, ok("LUG", document="scan.pdf")), entry(3, ok("LUG"))],
        "current",
        id="a later look without one",
    ),
]


@pytest.mark.parametrize(("name", "entries", "expected"), SIGNATURES)
def test_signatures_and_documents(name: str, entries: list[Entry], expected: str) -> None:
    assert status(name, "to-drawing", MADE, *entries) == expected

"""Inspection status, from DESIGN *Inspection status* and *Nonconformance*: small histories, with results."""

from __future__ import annotations

import pytest

from buildlog.model.entry import Entry
from buildlog.model.lists import Part, Task
from buildlog.model.settings import Milestone
from tests.reckoning.logs import entry, no, ok, rec, stage, status, story, work

MADE = entry(1, rec("made", "RIB/L SPAR/L SPAR/R BOX CLIP TAB LUG BOLT WING/L WING/R"))


def nc(day: int, of: str = "RIB/L", id: str = "N1") -> Entry:  # noqa: A002 - the record's own key
    return entry(day, rec("nonconformance", of, id=id))


def decided(day: int, decision: str, by: str = "eva", of: str = "RIB/L", id: str = "N1") -> Entry:  # noqa: A002
    return entry(day, rec("disposition", of, id=id, decision=decision, by=by))


DRAWING = [
    # what happens to RIB/L (class general) after it was made on day 1, and its status at stage to-drawing
    pytest.param([], "none", id="never looked at"),
    pytest.param([entry(2, ok("RIB/L"))], "current", id="passed"),
    pytest.param([entry(2, no("RIB/L"))], "rejected", id="refused"),
    pytest.param([entry(2, ok("RIB/R"))], "none", id="the other half says nothing"),
    pytest.param([entry(2, no("RIB/L")), entry(3, ok("RIB/L"))], "current", id="refused, then passed"),
    pytest.param([entry(2, ok("RIB/L")), entry(3, no("RIB/L"))], "rejected", id="passed, then refused"),
    pytest.param([entry(2, no("RIB/L", by="ann"))], "rejected", id="refused by anyone"),
    pytest.param(
        [entry(2, no("RIB/L")), entry(3, ok("RIB/L", by="ann"))], "rejected", id="passed by who may not"
    ),
    pytest.param([entry(2, ok("RIB/L", scope="web"))], "partial", id="a part of it"),
    pytest.param(
        [entry(2, ok("RIB/L")), entry(3, ok("RIB/L", scope="web"))], "current", id="whole, then a part"
    ),
    pytest.param(
        [entry(2, no("RIB/L")), entry(3, ok("RIB/L", scope="web"))], "partial", id="refused, then a part"
    ),
    pytest.param(
        [entry(2, ok("RIB/L", scope="web")), entry(3, rec("damaged", "RIB/L"))], "undone", id="a part, undone"
    ),
    pytest.param(
        [entry(2, ok("RIB/L")), entry(3, rec("damaged", "RIB/L")), entry(4, ok("RIB/L", scope="web"))],
        "partial",
        id="undone, and a part of it passed again: the last inspection decides",
    ),
    *(
        pytest.param([entry(2, ok("RIB/L")), entry(3, rec(kind, "RIB/L"))], "undone", id=kind)
        for kind in ("made", "modified", "repaired", "damaged")
    ),
    *(
        pytest.param([entry(2, ok("RIB/L")), entry(3, rec(kind, "RIB/L", **more))], "current", id=kind)
        for kind, more in (
            ("installed", {"on": "BOX"}),
            ("removed", {}),
            ("received", {}),
            ("measured", {"value": "1 mm"}),
            ("torqued", {"value": "9 N m"}),
            ("loosened", {}),
            ("weighed", {"value": "1 kg"}),
            ("closed", {}),
            ("opened", {}),
            ("drawing_changed", {"to": "D"}),
        )
    ),
    pytest.param(
        [entry(2, ok("RIB/L")), entry(3, rec("damaged", "RIB/L")), entry(4, ok("RIB/L"))],
        "current",
        id="undone and passed again",
    ),
    pytest.param(
        [entry(2, rec("tested", "RIB/L", result="passed", by="ida"))], "none", id="tested for no stage"
    ),
    pytest.param(
        [entry(2, rec("tested", "RIB/L", stage="to-drawing", result="passed", by="ida"))],
        "current",
        id="a test that names the stage",
    ),
    pytest.param(
        [entry(2, rec("tested", "RIB/L", stage="to-drawing", result="failed", by="ann"))],
        "rejected",
        id="a failed test that names the stage",
    ),
    pytest.param(
        [entry(2, rec("tested", "RIB/L", stage="to-drawing", result="passed"))],
        "none",
        id="a test by the builder names the stage in vain",
    ),
    pytest.param([entry(2, ok("RIB/L", by="ann"))], "none", id="no inspector"),
    pytest.param([entry(2, ok("RIB/L", by="eva"))], "none", id="an engineer is no inspector"),
    pytest.param([entry(2, ok("RIB/L", by="zoe"))], "none", id="nobody knows them"),
    pytest.param([entry(2, ok("RIB/L", by="ivo"))], "current", id="one of their stages"),
    pytest.param([entry(4, ok("RIB/L", by="ole"))], "none", id="the day before authority begins"),
    pytest.param([entry(5, ok("RIB/L", by="ole"))], "current", id="its first day"),
    pytest.param([entry(20, ok("RIB/L", by="ole"))], "current", id="its last day"),
    pytest.param([entry(21, ok("RIB/L", by="ole"))], "none", id="the day after"),
    pytest.param([entry(21, ok("RIB/L", by="ole", date=20))], "current", id="written up a day late"),
    pytest.param([entry(2, ok("RIB/L", by="bo"), people="bo")], "current", id="no independence asked for"),
    pytest.param(
        [entry(2, ok("RIB/L")), entry(3, rec("voided", entry="2026-06-02-a", record=1, reason="r"))],
        "none",
        id="struck",
    ),
    pytest.param(
        [
            entry(2, ok("RIB/L")),
            entry(3, rec("voided", entry="2026-06-02-a", record=1, reason="r")),
            entry(4, rec("voided", entry="2026-06-03-a", record=1, reason="right after all")),
        ],
        "current",
        id="a striking struck",
    ),
    pytest.param(
        [
            entry(2, ok("RIB/L")),
            entry(3, rec("voided", entry="2026-06-02-a", record=1, reason="r"), key="b"),
            entry(3, rec("voided", entry="2026-06-03-b", record=1, reason="right"), key="a"),
        ],
        "current",
        id="a striking struck on its own day: it names what it strikes, whatever the files are called",
    ),
    pytest.param(
        [
            entry(2, ok("RIB/L")),
            entry(3, rec("voided", entry="2026-06-02-a", record=1, reason="r")),
            entry(4, rec("voided", entry="2026-06-03-a", record=1, reason="right after all")),
            entry(5, rec("voided", entry="2026-06-04-a", record=1, reason="no, wrong")),
        ],
        "none",
        id="struck three deep",
    ),
    pytest.param(
        [
            entry(2, ok("RIB/L")),
            entry(3, rec("voided", entry="2026-06-02-a", record=1, reason="r")),
            entry(4, rec("voided", entry="2026-06-02-a", record=1, reason="twice")),
            entry(5, rec("voided", entry="2026-06-03-a", record=1, reason="no")),
        ],
        "none",
        id="struck twice, one of them struck",
    ),
    pytest.param(
        [
            entry(2, ok("RIB/L")),
            entry(3, rec("damaged", "RIB/L")),
            entry(4, rec("voided", entry="2026-06-03-a", record=1, reason="the other rib")),
        ],
        "current",
        id="a struck damage",
    ),
    pytest.param(
        [entry(2, ok("RIB/L")), entry(3, work("RIB/L", kind="filing"))], "unclear", id="untold work"
    ),
    pytest.param([entry(2, ok("RIB/L")), entry(3, work("RIB/L"))], "unclear", id="untold work of no kind"),
    pytest.param(
        [entry(2, ok("RIB/L")), entry(3, work("RIB", kind="filing"))], "unclear", id="on both, by number"
    ),
    pytest.param(
        [entry(2, ok("RIB/L")), entry(3, work("RIB/R", kind="filing"))], "current", id="on the other"
    ),
    pytest.param(
        [entry(2, ok("RIB/L")), entry(3, work("RIB/L", kind="cleaning"))], "current", id="harmless work"
    ),
    pytest.param(
        [entry(2, ok("RIB/L")), entry(3, work("RIB/L", kind="filing"), rec("modified", "RIB/L"))],
        "undone",
        id="work that says it changed it",
    ),
    pytest.param(
        [entry(2, ok("RIB/L")), entry(3, work("RIB/L", kind="fit"), rec("installed", "RIB/L", on="BOX"))],
        "current",
        id="work that says what else it was",
    ),
    pytest.param(
        [entry(2, ok("RIB/L")), entry(3, work("RIB/L", kind="filing"), ok("RIB/L", "pre-close"))],
        "unclear",
        id="an inspection does not say what work changed",
    ),
    pytest.param(
        [
            entry(2, ok("RIB/L")),
            entry(3, work("RIB/L", kind="filing"), rec("measured", "RIB/L", value="1 mm")),
            entry(4, rec("voided", entry="2026-06-03-a", record=1, reason="r")),
        ],
        "unclear",
        id="a struck record does not say it either",
    ),
    pytest.param(
        [entry(2, ok("RIB/L")), entry(3, work("RIB/L", kind="filing")), entry(4, ok("RIB/L"))],
        "current",
        id="untold work, passed again",
    ),
    pytest.param(
        [entry(2, ok("RIB/L")), entry(3, work("RIB/L", kind="filing")), entry(4, rec("damaged", "RIB/L"))],
        "undone",
        id="undone goes before unclear",
    ),
]


@pytest.mark.parametrize(("entries", "expected"), DRAWING)
def test_made_to_drawing(entries: list[Entry], expected: str) -> None:
    assert status("RIB/L", "to-drawing", MADE, *entries) == expected


HOLDS = [
    pytest.param([nc(3)], "on hold", id="raised"),
    pytest.param([nc(3), decided(4, "use-as-is")], "current", id="use as is"),
    pytest.param([nc(3), decided(4, "use-as-is", by="ida")], "current", id="an inspector may decide"),
    pytest.param([nc(3), decided(4, "use-as-is", by="ann")], "on hold", id="a builder may not"),
    pytest.param([nc(3), decided(4, "use-as-is", id="N2")], "on hold", id="another number"),
    pytest.param([nc(3), decided(2, "use-as-is")], "on hold", id="decided before it was raised"),
    pytest.param([nc(3), decided(4, "use-as-is"), nc(5)], "on hold", id="raised again"),
    pytest.param([nc(3), nc(4, id="N2"), decided(5, "use-as-is")], "on hold", id="one of two"),
    pytest.param(
        [nc(3), entry(3, rec("disposition", "RIB/L", id="N1", decision="use-as-is", by="eva"), key="0")],
        "current",
        id="decided on its day in another entry: it names what was raised",
    ),
    pytest.param([nc(3), decided(4, "rework")], "on hold", id="rework not done"),
    pytest.param(
        [nc(3), decided(4, "rework"), entry(5, ok("RIB/L"))], "on hold", id="passed, clearing nothing"
    ),
    pytest.param([nc(3), decided(4, "rework"), entry(5, ok("RIB/L", clears="N1"))], "current", id="cleared"),
    pytest.param(
        [nc(3), decided(4, "repair"), entry(5, ok("RIB/L", clears="N1"))], "current", id="repair cleared"
    ),
    pytest.param([nc(3), decided(4, "rework"), entry(5, no("RIB/L", clears="N1"))], "on hold", id="refused"),
    pytest.param(
        [nc(3), decided(4, "rework"), entry(5, ok("RIB/L", by="ann", clears="N1"))],
        "on hold",
        id="cleared without authority",
    ),
    pytest.param(
        [nc(3), entry(3, ok("RIB/L", clears="N1"), key="b"), decided(4, "rework")],
        "on hold",
        id="cleared before the decision",
    ),
    pytest.param(
        [nc(3), decided(4, "rework"), entry(5, rec("tested", "RIB/L", result="passed", clears="N1"))],
        "current",
        id="a passed test clears",
    ),
    pytest.param(
        [nc(3), decided(4, "rework"), entry(5, rec("tested", "RIB/L", result="failed", clears="N1"))],
        "on hold",
        id="a failed one does not",
    ),
    pytest.param([nc(3), decided(4, "scrap")], "on hold", id="to be scrapped, and still there"),
    pytest.param([nc(3), entry(4, rec("scrapped", "RIB/L"))], "-", id="scrapped"),
    pytest.param(
        [nc(3), entry(4, rec("scrapped", "RIB/L")), entry(5, rec("made", "RIB/L"))], "none", id="made again"
    ),
    pytest.param([nc(3), decided(4, "rework"), decided(5, "use-as-is")], "current", id="the last decision"),
    pytest.param(
        [
            nc(3),
            entry(4, rec("disposition", "RIB/L", id="N1", decision="use-as-is", by="eva")),
            entry(4, rec("disposition", "RIB/L", id="N1", decision="rework", by="eva"), key="0"),
        ],
        "on hold",
        id="two decisions of one day",
    ),
    pytest.param(
        [nc(3), entry(4, rec("voided", entry="2026-06-03-a", record=1, reason="no"))], "current", id="struck"
    ),
    pytest.param([nc(3), entry(4, rec("damaged", "RIB/L"))], "on hold", id="on hold goes before undone"),
]


@pytest.mark.parametrize(("entries", "expected"), HOLDS)
def test_nonconformances(entries: list[Entry], expected: str) -> None:
    assert status("RIB/L", "to-drawing", MADE, entry(2, ok("RIB/L")), *entries) == expected


def test_beneath_a_hold_the_status_is_still_told() -> None:
    found = stage(
        "RIB/L", "to-drawing", MADE, entry(2, ok("RIB/L")), nc(3), entry(4, rec("damaged", "RIB/L"))
    )
    assert (found.status.value, found.apart.value) == ("on hold", "undone")


JOINTS = [
    # BOLT joins WING (two items) and BOX; its stage `rigged` is undone by modified and damaged
    pytest.param([], "current", id="nothing"),
    pytest.param([entry(3, rec("modified", "BOX"))], "undone", id="one side"),
    pytest.param([entry(3, rec("damaged", "WING/L"))], "undone", id="the other side"),
    pytest.param([entry(3, rec("damaged", "WING/R"))], "undone", id="it holds both of a pair"),
    pytest.param([entry(3, rec("made", "BOX"))], "current", id="not what undoes the stage"),
    pytest.param([entry(3, rec("damaged", "CLIP"))], "current", id="what is inside a side is no side"),
    pytest.param([entry(2, rec("damaged", "BOX"), key="b")], "unclear", id="on the day, no order"),
    pytest.param(
        [entry(3, rec("damaged", "BOX")), entry(4, ok("BOLT", "rigged"))], "current", id="passed again"
    ),
    pytest.param(
        [
            entry(3, rec("damaged", "BOX")),
            entry(4, rec("voided", entry="2026-06-03-a", record=1, reason="r")),
        ],
        "current",
        id="struck",
    ),
]


@pytest.mark.parametrize(("entries", "expected"), JOINTS)
def test_a_joint_is_undone_from_either_side(entries: list[Entry], expected: str) -> None:
    assert status("BOLT", "rigged", MADE, entry(2, ok("BOLT", "rigged")), *entries) == expected


def test_a_joint_holds_the_items_of_its_own_designator() -> None:
    parts = (
        Part(number="WING", name="Wing", items=("L", "R")),
        Part(number="BOX", name="Box"),
        Part(number="J", name="Joints of pairs", class_="joint", items=("L", "R"), joins=("WING", "BOX")),
        Part(number="K", name="Joints by number", class_="joint", items=("1", "2"), joins=("WING", "GONE")),
    )
    made = entry(1, rec("made", "J/L J/R K/1 WING/L WING/R BOX"))
    passed = entry(2, ok("J/L J/R K/1", "rigged"))
    left = entry(3, rec("damaged", "WING/L"))
    found = {name: status(name, "rigged", made, passed, left, parts=parts) for name in ("J/L", "J/R", "K/1")}
    assert found == {"J/L": "undone", "J/R": "current", "K/1": "unclear"}
    box = entry(3, rec("damaged", "BOX"))
    assert status("J/R", "rigged", made, passed, box, parts=parts) == "undone"


def test_which_stages_are_told_and_when_they_are_due() -> None:
    drawn = story("RIB/L", MADE, entry(2, ok("RIB/L", "pre-close"), ok("RIB/L", "of old times")))
    assert [(each.stage.key, each.asked) for each in drawn.stages] == [
        ("to-drawing", True),
        ("pre-close", False),
    ]
    milestones = (Milestone(key="taxi", title="Taxi"),)
    tasks = (Task(task="T1", title="Rig", milestone="taxi"),)
    early = stage("BOLT", "rigged", MADE, milestones=milestones, tasks=tasks)
    late = stage("BOLT", "rigged", MADE, entry(2, completes="T1"), milestones=milestones, tasks=tasks)
    assert (early.due, late.due) == (False, True)
    assert stage("RIB/L", "to-drawing", MADE).due, "without `before`, as soon as the item exists"
    shut = entry(3, rec("closed", "WING/L"))
    assert not stage("WING/L", "pre-close", MADE).due
    assert stage("WING/L", "pre-close", MADE, shut).due
    assert stage("SPAR/L", "pre-close", MADE, shut).due, "what the closing hides is due too"
    assert not stage("SPAR/R", "pre-close", MADE, shut).due
    assert not stage("SPAR/L", "pre-close", MADE, shut, entry(4, rec("opened", "WING/L"))).due

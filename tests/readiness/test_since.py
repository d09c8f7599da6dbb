"""Since the last visit: what an inspector has not seen, and nothing that they have."""

from __future__ import annotations

import datetime

import pytest

from buildlog.readiness.since import Happened, Sort, last_visit, since_day, since_visit
from buildlog.reckoning.knowledge import Knowledge
from buildlog.reckoning.reckon import reckon
from buildlog.reckoning.whereabouts import seats_of
from buildlog.rules.chain import check
from tests.logs import facts

PARTS = """
part PLANE class=none
class none stages=
part WING class=assembly parent=PLANE
part SPAR parent=WING
part TAIL parent=PLANE
part FIN parent=TAIL
part BOLT class=hardware parent=PLANE
"""
VISIT = "2026-03-01 made PLANE,WING,SPAR,TAIL\n2026-03-02 09:00 accepted SPAR,TAIL to-drawing okafor\n"


def known(text: str) -> Knowledge:
    return reckon(facts(PARTS + text))


def since(text: str, inspector: str = "okafor") -> dict[str, Happened]:
    knowledge = known(text)
    found = since_visit(knowledge, check(knowledge), seats_of(knowledge.items, knowledge.names), inspector)
    return {str(each.assembly): each for each in found}


def told(of: Happened) -> dict[str, list[str]]:
    return {
        sort.name: [f"{event.kind} {event.item} {event.moment.day.day}" for event in events]
        for sort, events in of.events.items()
    }


def test_by_assembly_what_came_after() -> None:
    found = since(
        VISIT + "2026-03-03 modified SPAR\n2026-03-04 closed WING\n2026-03-05 opened WING\n"
        "2026-03-05 nonconformance SPAR id=N1\n2026-03-06 accepted WING pre-close brandt\n"
        "2026-03-06 measured WING value=1\n2026-03-07 work SPAR hours=2 kind=bonding\n"
        "2026-03-08 modified TAIL"
    )
    assert list(found) == ["WING", "TAIL"]
    assert told(found["WING"]) == {
        "CLOSED": ["closed WING 4", "opened WING 5"],
        "CHANGED": ["modified SPAR 3"],
        "FOUND": ["nonconformance SPAR 5"],
        "LOOKED": ["accepted WING 6".replace("accepted", "inspected")],
        "DONE": ["measured WING 6"],
    }
    assert [work.kind for work in found["WING"].labour] == ["bonding"]
    assert told(found["TAIL"]) == {"CHANGED": ["modified TAIL 8"]}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        pytest.param("2026-03-01 modified TAIL", {}, id="before the visit"),
        pytest.param("2026-03-02 10:00 modified TAIL", {"CHANGED": ["modified TAIL 2"]}, id="later that day"),
        pytest.param("2026-03-02 08:00 modified TAIL", {}, id="earlier that day"),
        pytest.param(
            "2026-03-02 modified TAIL", {"CHANGED": ["modified TAIL 2"]}, id="that day, no order: told"
        ),
        pytest.param(
            "2026-03-09 modified TAIL date=2026-02-20",
            {"CHANGED": ["modified TAIL 20"]},
            id="before it, written up after it: told",
        ),
        pytest.param(
            "2026-03-09 voided TAIL entry=2026-03-01-1 record=1 reason=no",
            {"STRUCK": ["made TAIL 1"]},
            id="struck through since",
        ),
        pytest.param("2026-03-02 12:00 accepted TAIL to-drawing okafor", {}, id="a second look of that day"),
        pytest.param(
            "2026-03-05 deferred TAIL rule=never-inspected by=brandt reason=x until=2027-01-01",
            {"FOUND": ["deferred TAIL 5"]},
            id="put off since",
        ),
    ],
)
def test_what_is_after_the_visit(text: str, expected: dict[str, list[str]]) -> None:
    found = since(VISIT + text)
    events = told(found["TAIL"]) if "TAIL" in found else {}
    assert events == expected


def test_each_assembly_from_when_they_last_looked_in_it() -> None:
    found = since(
        VISIT
        + "2026-03-03 modified SPAR\n2026-03-03 modified TAIL\n"
        + "2026-03-05 accepted TAIL to-drawing okafor"
    )
    assert told(found["WING"]) == {"CHANGED": ["modified SPAR 3"]}
    assert (found["WING"].day, [str(look.item) for look in found["WING"].looks]) == (
        datetime.date(2026, 3, 2),
        ["SPAR"],
    )
    assert told(found["TAIL"]) == {}
    assert found["TAIL"].day == datetime.date(2026, 3, 5)


def test_what_they_never_looked_at_is_told_from_their_last_visit() -> None:
    text = (
        "2026-03-01 made WING,SPAR,TAIL\n2026-03-02 accepted TAIL to-drawing okafor\n"
        "2026-03-02 modified WING\n2026-03-03 modified SPAR"
    )
    wing = since(text)["WING"]
    assert (wing.day, wing.looks, wing.since) == (None, (), datetime.date(2026, 3, 2))
    assert told(wing) == {"CHANGED": ["modified SPAR 3"]}


def test_who_never_came_reads_what_stands() -> None:
    found = since(VISIT + "2026-03-03 modified SPAR", "brandt")
    assert told(found["WING"]) == {}
    stands = {(str(each.item), each.rule) for each in found["WING"].findings}
    assert stands == {("SPAR", "inspection-undone"), ("WING", "never-inspected")}
    assert found["WING"].new == 0


def test_findings_that_are_new_come_first() -> None:
    found = since(VISIT + "2026-03-03 modified SPAR")["WING"]
    assert [each.rule for each in found.findings[: found.new]] == ["inspection-undone"]
    assert [each.rule for each in found.findings[found.new :]] == ["never-inspected"]
    put_off = since(
        VISIT + "2026-03-03 modified SPAR\n"
        "2026-03-04 deferred SPAR rule=inspection-undone by=brandt reason=x until=2027-01-01"
    )["WING"]
    assert put_off.findings[0].deferred is not None, "what is put off is told"


def test_the_visit_of_a_struck_inspection_was_none() -> None:
    text = VISIT + "2026-03-03 voided TAIL entry=2026-03-02-1 record=1 reason=no"
    assert last_visit(known(VISIT), "okafor") == datetime.date(2026, 3, 2)
    assert last_visit(known(text), "okafor") is None
    assert last_visit(known(VISIT), "nobody") is None


def test_after_a_day() -> None:
    knowledge = known(VISIT + "2026-03-03 modified SPAR\n2026-03-04 modified TAIL")
    found = since_day(
        knowledge,
        check(knowledge),
        seats_of(knowledge.items, knowledge.names),
        datetime.date(2026, 3, 3),
    )
    assert {str(each.assembly): told(each) for each in found if each.events} == {
        "TAIL": {"CHANGED": ["modified TAIL 4"]}
    }


def test_what_holds_nothing_is_told_under_the_top() -> None:
    found = since(
        VISIT + "2026-03-02 accepted PLANE to-drawing okafor\n"
        "2026-03-05 received BOLT\n2026-03-06 modified TAIL"
    )
    assert told(found["PLANE"])[Sort.CHANGED.name][0] == "received BOLT 5"

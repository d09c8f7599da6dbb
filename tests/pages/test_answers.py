"""The head of an item's page: short enough for a laptop, and nothing that stands against it left unsaid."""

from __future__ import annotations

import pytest

from buildlog.pages.answers import LINES, REASONS
from buildlog.pages.frame import Link
from buildlog.pages.sheets import ItemSheet
from tests.pages.test_items import item, said, sheets

SPAR_IN = "2026-01-01 made SPAR/L,WING/L\n2026-01-02 installed SPAR/L on=WING/L\n"
PASSED = "2026-01-03 10:00 accepted WING/L,SPAR/L to-drawing okafor\n"
PASSED += "2026-01-03 11:00 accepted WING/L,SPAR/L pre-close okafor\n"


def test_what_stands_against_what_is_inside_stands_against_the_whole() -> None:
    good = item(SPAR_IN + PASSED)
    assert (good.verdict, good.verdict_says) == ("Nothing in this log stands against it.", ())
    bad = item(SPAR_IN + PASSED + "2026-01-04 nonconformance SPAR/L id=N1")
    assert bad.verdict == "Not as the log stands: something inside it has a major finding."
    assert said(bad.verdict_says) == ["Something major stands against what is inside it: SPAR/L."]
    put_off = item(
        SPAR_IN + PASSED + "2026-01-04 nonconformance SPAR/L id=N1\n"
        "2026-01-05 deferred SPAR/L rule=nonconformance-open until=2027-01-01 by=engel reason=paint"
    )
    assert put_off.verdict == "Nothing in this log stands against it."
    out = item(
        SPAR_IN + PASSED + "2026-01-04 removed SPAR/L from=WING/L\n2026-01-05 nonconformance SPAR/L id=N1"
    )
    assert "inside it has" not in out.verdict


def test_what_was_passed_when_none_is_known_to_be_there_is_no_answer() -> None:
    sheet = item(
        "2026-01-01 made PLATE\n2026-01-02 scrapped PLATE\n2026-01-03 accepted PLATE to-drawing okafor",
        "items/PLATE.html",
    )
    assert sheet.verdict == "Not as the log stands: one major finding stands against it."
    assert sheet.stages[0].status.word == "unclear"
    assert said(sheet.stages[0].says)[0] == (
        "What it passed is not known: no record before it says that another was made or received since"
        " 2026-01-02: 2026-01-02-1"
    )


def test_what_was_opened_and_passed_in_sight_may_be_closed() -> None:
    early = SPAR_IN + PASSED.replace("accepted WING/L,SPAR/L pre", "rejected WING/L pre")
    early += "2026-01-04 closed WING/L hides=WING/L\n2026-01-05 08:00 opened WING/L\n"
    assert item(early).verdict.startswith("Not as the log stands")
    seen = item(early + "2026-01-05 09:00 accepted WING/L,SPAR/L pre-close okafor")
    assert seen.verdict == "Nothing in this log stands against it."


def test_many_things_inside_are_counted() -> None:
    rows = "".join(f"part P{n}\n2026-01-01 installed P{n} on=WING/L\n" for n in range(LINES + 3))
    says = said(item(rows).verdict_says)
    assert says == ["Something major stands against what is inside it: P0, P1, P2, P3, P4, P5 and 3 more."]


def test_more_findings_than_have_room_are_below_all_of_them() -> None:
    text = "2026-01-01 made PLATE\n2026-01-02 accepted PLATE to-drawing okafor\n" + "".join(
        f"2026-01-03 nonconformance PLATE id=N{n}\n" for n in range(REASONS + 2)
    )
    sheet = item(text, "items/PLATE.html")
    assert len(sheet.reasons) == REASONS
    assert len(sheet.further) == 2
    assert sheet.verdict_says == ((Link("two more findings below", "items/PLATE.html#findings"),),)


@pytest.mark.parametrize(
    ("before", "verdict", "waits"),
    [
        (
            "closed",
            "Not as the log stands: it is still to be inspected before it is closed up.",
            "“Fit” is still to be passed before it is closed up.",
        ),
        (
            "taxi",
            "Nothing major in this log stands against it; it is to be inspected before “First taxi”.",
            "“Fit” is still to be passed before “First taxi”.",
        ),
    ],
)
def test_what_is_to_be_inspected_before_what(before: str, verdict: str, waits: str) -> None:
    text = (
        f'milestone taxi title="First taxi"\nstage fit title=Fit before={before}\nclass fitted stages=fit\n'
        "part BOX class=fitted\ntask T milestone=taxi\n2026-01-01 made BOX"
    )
    sheet = item(text, "items/BOX.html")
    assert (sheet.verdict, sheet.waits) == (verdict, (waits,))


def test_no_answer_calls_anything_airworthy() -> None:
    text = SPAR_IN + PASSED
    for address, sheet in sheets(text).items():
        if isinstance(sheet, ItemSheet):
            assert "airworth" not in sheet.verdict.lower(), address
            assert any(word in sheet.verdict for word in ("in this log", "the log stands", "There is none"))


def test_what_one_entry_says_in_one_word_is_one_line() -> None:
    moves = "".join(f"    installed PLATE{n} on=WING/L\n" for n in range(3))
    parts = "".join(f"part PLATE{n}\n" for n in range(3))
    sheet = item(parts + SPAR_IN + PASSED + "2026-01-04\n" + moves)
    (line,) = sheet.since
    assert (line.kind, [link.text for link in line.of]) == ("Installed on it", ["PLATE0", "PLATE1", "PLATE2"])


def test_since_keeps_to_its_room_and_says_so() -> None:
    later = "".join(f"2026-02-{n:02d} measured WING/L value=1\n" for n in range(1, 13))
    sheet = item(SPAR_IN + PASSED + later)
    assert [row.day for row in sheet.since] == [f"2026-02-{n:02d}" for n in range(7, 13)]
    assert sheet.since_says == "The latest of 12; the history has them all."


def test_the_lots_in_it_and_in_what_is_inside_it() -> None:
    text = (
        "lot G-1 material=Glue expires=2026-12-31\n2026-01-01 made SPAR/L lots=G-1 quantity='90 g'\n"
        "2026-01-02 installed SPAR/L on=WING/L lots=B-7\n2026-01-03 closed WING/L lots=G-1"
    )
    wing = item(text)
    assert [(line.lot, line.name, line.until) for line in wing.lots] == [
        (Link("B-7", "lots/B-7.html"), "on no list", ""),
        (Link("G-1", "lots/G-1.html"), "Glue", "2026-12-31"),
    ]
    assert said(wing.lots[1].ways) == ["closed 2026-01-03", "SPAR/L: made 90 g 2026-01-01"]
    assert wing.lots[1].ways[1][-1].to == "entries/2026-01-01-1.html#r1"
    spar = item(text, "items/SPAR/L.html")
    assert said(spar.lots[1].ways) == ["made 90 g 2026-01-01"]
    loose = item(text + "\n2026-01-04 removed SPAR/L from=WING/L")
    assert [said(line.ways) for line in loose.lots] == [["closed 2026-01-03"]]


def test_a_lot_with_many_ways_leads_to_its_page() -> None:
    rows = "".join(f"part P{n}\n2026-01-01 installed P{n} on=WING/L lots=H\n" for n in range(15))
    (line,) = item(rows).lots
    assert len(line.ways) == 12
    assert line.more == "and three more records, all on the page of the lot"

"""The page of a lot or tool: where all that it touched is now, and what a calibration puts in doubt."""

from __future__ import annotations

from buildlog.pages.frame import Link
from buildlog.pages.stock_sheets import StockSheet
from tests.pages.test_items import said, sheets

LOT = """lot G-1 material=Glue
2026-01-01 made SPAR/L lots=G-1 quantity='90 g'
2026-01-02 installed SPAR/L on=WING/L
2026-01-03 closed WING/L area=top
2026-01-04 made PLATE lots=G-1
2026-01-05 scrapped PLATE
2026-01-06 modified SPAR/L lots=G-1
2026-01-07 voided SPAR/L entry=2026-01-06-1 record=1 reason=no
"""


def stock(text: str, address: str) -> StockSheet:
    sheet = sheets(text)[address]
    assert isinstance(sheet, StockSheet)
    return sheet


def test_where_a_lot_is_now() -> None:
    sheet = stock(LOT, "lots/G-1.html")
    (line,) = sheet.now
    assert line.item == Link("SPAR/L", "items/SPAR/L.html")
    assert said(line.by) == ["made 90 g, 2026-01-01"]
    assert [link.text for link in line.where] == ["WING/L"]
    assert said(line.shut) == ["WING/L (top), 2026-01-03"]
    assert line.shut[0][-1].to == "entries/2026-01-03-1.html#r1"
    assert [mark.word for mark in line.stamps] == ["none yet"]
    assert said(sheet.gone) == ["PLATE, article 1: made 2026-01-04; scrapped 2026-01-05"]
    assert [(each.item.text, [link.text for link in each.holds]) for each in sheet.holders] == [
        ("WING/L", ["SPAR/L"])
    ]
    assert [row.struck is not None for row in sheet.rows] == [False, False, True]


def test_a_place_the_log_leaves_open_is_told_so() -> None:
    text = "2026-01-01 made SPAR/L lots=G-1\n2026-01-02 installed SPAR/L on=WING/L\n"
    text += "2026-01-02 installed SPAR/L on=PLATE"
    (line,) = stock(text, "lots/G-1.html").now
    assert sorted(link.text for link in line.where) == ["PLATE (perhaps)", "WING/L (perhaps)"]
    assumed = stock("2026-01-01 made SPAR/L lots=G-1", "lots/G-1.html").now[0]
    assert [link.text for link in assumed.where] == ["WING/L (assumed)"]


def test_the_readings_of_a_tool_by_its_calibration() -> None:
    text = """tool T calibrated=2026-01-10 due=2026-01-20
2026-01-09 measured PLATE what=gap value=1 tool=T
2026-01-10 torqued PLATE value=1 tool=T
2026-01-20 weighed PLATE value=1 tool=T
2026-01-21 tested PLATE by=okafor result=passed tool=T
2026-01-22 modified PLATE tool=T"""
    sheet = stock(text, "tools/T.html")
    told = {group.title: [row.day for row in group.rows] for group in sheet.groups}
    assert told == {
        "Readings after its calibration fell due on 2026-01-20": ["2026-01-21"],
        "Readings since the calibration of 2026-01-10": ["2026-01-10", "2026-01-20"],
        "Readings before the calibration of 2026-01-10": ["2026-01-09"],
        "Other records that name it": ["2026-01-22"],
    }
    assert sheet.rows == ()
    never = stock("tool U\n2026-01-09 measured PLATE value=1 tool=U", "tools/U.html")
    assert [group.title for group in never.groups] == ["Readings with no calibration on the list"]


HELD = """lot G-1 material=Glue
stage receiving title="Received and checked"
tool T name=Meter
2026-01-01 received G-1 from='A shop' quantity='2 kg'
2026-01-02 accepted G-1 receiving okafor
2026-01-03 made SPAR/L lots=G-1
2026-01-04 measured G-1 what=colour value=1 tool=T
2026-01-05 nonconformance G-1 id=N1 description=stringy
2026-01-06 measured G-1 value=1
2026-01-07 voided G-1 entry=2026-01-06-1 record=1 reason='another tin'
"""


def test_a_lot_that_is_on_hold_says_so_wherever_it_is() -> None:
    found = sheets(HELD)
    lot = stock(HELD, "lots/G-1.html")
    assert lot.stamp is not None
    assert lot.stamp.word == "on hold"
    assert said(lot.says) == [
        "Received 2026-01-01 from A shop by Marit Solheim.",
        "Received and checked: accepted 2026-01-02 by J. Okafor.",
        "It stands against all that it went into: nonconformance N1, on hold since 2026-01-05.",
    ]
    assert [row.kind for row in lot.own] == [
        "Received",
        "Inspected",
        "Measured",
        "Nonconformance",
        "Measured",
        "Voided",
    ]
    assert lot.own[4].struck is not None
    lines = found["lots/index.html"].lines
    assert [line.stamp.word for line in lines] == ["on hold"]
    spar = found["items/SPAR/L.html"]
    assert spar.lots[0].stamp.word == "on hold"
    assert "nonconformance-open" in [each.rule.text for each in spar.reasons]
    entry = found["entries/2026-01-06-1.html"]
    assert entry.records[0].struck is not None
    assert entry.records[0].of == (Link("G-1", "lots/G-1.html"),)


def test_a_record_about_a_lot_leads_to_the_lot() -> None:
    found = sheets(HELD)
    person, tool = found["people/okafor.html"], found["tools/T.html"]
    assert person.looked[0].of == (Link("G-1", "lots/G-1.html"),)
    assert tool.groups[0].rows[0].of == (Link("G-1", "lots/G-1.html"),)
    assert tool.now[0].item == Link("G-1", "lots/G-1.html")
    assert not any(address.startswith(("items/G-1", "parts/G-1")) for address in found)


def test_a_lot_by_its_own_records() -> None:
    def word(text: str) -> str:
        stamp = stock(f"lot G-1\nstage receiving\n{text}", "lots/G-1.html").stamp
        return stamp.word if stamp else ""

    assert word("") == ""
    assert word("2026-01-01 received G-1") == "received, not inspected"
    assert word("2026-01-01 received G-1\n2026-01-02 accepted G-1 receiving okafor") == "current"
    assert word("2026-01-01 received G-1\n2026-01-02 rejected G-1 receiving okafor") == "rejected"
    assert word("2026-01-01 received G-1\n2026-01-02 scrapped G-1") == "gone"
    assert word("2026-01-01 received G-1\n2026-01-02 tested G-1 result=failed") == "failed a test"

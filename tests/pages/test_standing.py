"""How everything stands, and stood: what the pages say, and that they are drawn again only when they must."""

from __future__ import annotations

import re
from collections.abc import Iterable

from buildlog.model.names import Item
from buildlog.pages.frame import Link
from buildlog.pages.site import lay_out
from buildlog.pages.standing_sheets import DaysSheet, StandingSheet, StoodSheet, TreeLine
from buildlog.pages.stood import draw_month
from buildlog.printroom.trees import tree
from buildlog.reckoning.reckon import reckon
from buildlog.rules.chain import check
from buildlog.works.memo import Memo
from tests.logs import facts
from tests.pages.test_items import PARTS, sheets
from tests.pages.tiny_log import drawn

LOG = (
    "2026-01-01 made SPAR/L,WING/L,SPAR/R\n2026-01-02 installed SPAR/L on=WING/L\n"
    "2026-01-03 09:00 accepted SPAR/L to-drawing okafor\n2026-01-20 closed WING/L area=root\n"
    "2026-03-05 opened WING/L\n2026-03-06 removed SPAR/L\n2026-03-09 scrapped SPAR/R\n"
)

_WING = "standing/2026-03.html#items/WING/L.html"
_FOUND = re.compile("; open findings:[^;]*")


def written(lines: Iterable[TreeLine]) -> list[str]:
    """The tree as a reader sees it: an indent for each level."""
    found, depth = [], 0
    for line in lines:
        notes = ["".join(link.text for link in note) for note in line.notes]
        said = [*(stamp.word for stamp in line.stamps), *([line.dates] if line.dates else []), *notes]
        found.append(f"{'  ' * depth}{line.item.text}: {'; '.join(said)}")
        depth += 1 if line.fold else -line.closes
    assert depth == 0
    return found


def standing(text: str) -> dict[str, list[str]]:
    sheet = sheets(text)["standing/index.html"]
    assert isinstance(sheet, StandingSheet)
    return {section.title: written(section.lines) for section in sheet.sections}


def stood(text: str, month: str) -> StoodSheet:
    sheet = sheets(text)[f"standing/{month}.html"]
    assert isinstance(sheet, StoodSheet)
    return sheet


def test_as_it_stands() -> None:
    closed = LOG.partition("2026-03-05")[0]
    found = {title: [_FOUND.sub("", line) for line in lines] for title, lines in standing(closed).items()}
    assert found == {
        "The aircraft": [
            "WING/L: none yet; closed up: root",
            "  SPAR/L: none yet; behind a closing of WING/L",
            "WING/R: no record of it",
            "  SPAR/R: none yet; place assumed from the parts list",
        ]
    }


def test_what_the_parts_list_puts_into_no_one_item_is_listed_as_of_unknown_place() -> None:
    """Ribs L1 and L2 of wings L and R: nothing says which wing holds them."""
    found = standing(
        "part RIB items=L1,L2,R1 parent=WING\n2026-01-01 made WING/L,RIB/L1,RIB/L2,RIB/R1\n"
        "2026-01-02 installed RIB/R1 on=WING/R\n"
    )
    assert [line.partition(":")[0] for line in found["Place unknown"]] == ["RIB/L1", "RIB/L2"]
    assert [line.partition(":")[0] for line in found["The aircraft"]] == ["WING/L", "WING/R", "  RIB/R1"]


def test_how_many_findings_are_open() -> None:
    findings = check(reckon(facts(PARTS + LOG)))
    grades = [each.grade.word for each in findings.by_item[Item("WING", "L")] if each.deferred is None]
    counts = [
        f"{grades.count(word)} {word}{'s' if word == 'observation' and grades.count(word) > 1 else ''}"
        for word in ("major", "minor", "observation")
        if word in grades
    ]
    assert counts
    assert f"open findings: {', '.join(counts)}" in standing(LOG)["The aircraft"][0]


def test_what_was_scrapped_is_not_there_and_what_was_taken_out_is_loose() -> None:
    found = standing(LOG)
    assert [line.split(":")[0] for line in found["The aircraft"]] == ["WING/L"]
    assert [line.split(":")[0] for line in found["Loose"]] == ["SPAR/L"]


def test_the_evenings_of_a_month() -> None:
    sheet = stood(LOG, "2026-03")
    assert [(day.id, [row.kind for row in day.rows]) for day in sheet.days] == [
        ("2026-03-05", ["Opened"]),
        ("2026-03-06", ["Removed"]),
        ("2026-03-09", ["Scrapped"]),
    ]
    assert {section.title: written(section.lines) for section in sheet.sections} == {
        "The aircraft": [
            "WING/L: since 2026-01-01; closed up (root) from 2026-01-20 until 2026-03-05",
            "  SPAR/L: since 2026-01-02 until 2026-03-06",
            "WING/R: since 2026-01-01 until 2026-03-09; no record of it yet",
            "  SPAR/R: since 2026-01-01 until 2026-03-09; place assumed from the parts list",
        ],
        "Loose": ["SPAR/L: from 2026-03-06"],
    }


def test_no_status_of_today_on_a_page_of_the_past() -> None:
    assert not [line for section in stood(LOG, "2026-03").sections for line in section.lines if line.stamps]


def test_a_closing_says_what_it_hid() -> None:
    (day,) = (each for each in stood(LOG, "2026-01").days if each.id == "2026-01-20")
    assert ["".join(link.text for link in said) for said in day.says] == [
        "Closed up, WING/L (root) hid SPAR/L."
    ]


def test_what_did_not_change_is_listed_by_the_month_that_did() -> None:
    (line,) = (
        each
        for section in stood(LOG + "2026-05-01 made BOX\n", "2026-05").sections
        for each in section.lines
        if each.item.text == "WING/L"
    )
    assert line.notes == ((Link("what is in it: "), Link("listed in March 2026", line.notes[0][1].to)),)
    assert line.notes[0][1].to == "standing/2026-03.html#items/WING/L.html"


def test_every_day_is_found_from_one_page() -> None:
    sheet = sheets(LOG)["standing/days.html"]
    assert isinstance(sheet, DaysSheet)
    assert [(month.text, [day.text for day in days]) for month, days in sheet.months] == [
        ("March 2026", ["5", "6", "9"]),
        ("January 2026", ["1", "2", "20"]),
    ]
    assert sheet.months[0][1][0].to == "standing/2026-03.html#2026-03-05"


def test_a_log_without_a_record() -> None:
    assert standing("") == {}


def test_a_name_is_escaped() -> None:
    shown = tree((TreeLine(item=Link("<b>"), name="a<b", dates="<i>", notes=((Link("<u>"),),)),), "../")
    assert "<b>" not in shown.replace("<b>&lt;", "")
    assert "<u>" not in shown
    assert "a&lt;b" in shown


def test_an_entry_that_moves_nothing_draws_no_past_month_again() -> None:
    memo = Memo()

    def drawn_again(text: str) -> set[object]:
        memo.begin()
        known = reckon(facts(PARTS + text))
        drawn(lay_out(known, check(known), remember=memo), memo)
        memo.end()
        return {each.key for each in memo.misses if each.step is draw_month and not each.cut_off}

    assert drawn_again(LOG) == {"2026-01", "2026-03"}
    assert drawn_again(LOG + "2026-03-10 measured WING/L value=1\n") == set()
    assert drawn_again(LOG + "2026-03-10 accepted WING/L to-drawing okafor\n") == set()
    assert drawn_again(LOG + "2026-05-10 made BOX\n") == {"2026-03", "2026-05"}


def test_what_moved_within_the_month_leads_to_where_it_is_told_with_what_is_in_it() -> None:
    sheet = stood(
        "2026-01-01 made WING/L\n2026-03-01 made BOX\n2026-03-02 installed SPAR/L on=WING/L\n"
        "2026-03-04 installed WING/L on=BOX\n2026-03-20 removed WING/L from=BOX\n",
        "2026-03",
    )
    lines = [line for section in sheet.sections for line in section.lines if line.item.text == "WING/L"]
    # first made and nowhere, so loose until it is put in
    assert {line.dates: (line.fold, [note[-1] for note in line.notes]) for line in lines} == {
        "since 2026-01-01 until 2026-03-04": ("", [Link("see where it was last in this month", _WING)]),
        "from 2026-03-04 until 2026-03-20": ("", [Link("see where it was last in this month", _WING)]),
        "from 2026-03-20": ("What was in it", []),
    }


def test_the_same_log_gives_the_same_pages_whatever_was_before() -> None:
    memo = Memo()
    for text in (LOG, LOG + "2026-05-10 made BOX\n", LOG):
        memo.begin()
        known = reckon(facts(PARTS + text))
        kept = drawn(lay_out(known, check(known), remember=memo), memo)
        memo.end()
        fresh = drawn(lay_out(known, check(known)))
        assert [each for each in kept if each.address.startswith("standing/")] == [
            each for each in fresh if each.address.startswith("standing/")
        ]

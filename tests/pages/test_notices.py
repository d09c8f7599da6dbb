"""On an item's page: departures for good, what is put off, what counts for nothing, and a former name."""

from __future__ import annotations

import csv
import io

from buildlog.pages.site import draw, lay_out
from buildlog.reckoning.reckon import reckon
from buildlog.rules.chain import check
from tests.logs import facts
from tests.pages.test_items import item, said, sheets

RAISED = "2026-01-01 made WING/L\n2026-01-02 nonconformance WING/L id=N1 description='gap of 2 mm.'\n"


def departures(text: str) -> list[str]:
    return said(item(text).departures)


def test_used_as_it_is_stays_said_for_good() -> None:
    text = RAISED + (
        "2026-01-03 disposition WING/L id=N1 decision=use-as-is by=engel\n"
        "2026-01-04 accepted WING/L to-drawing okafor\n2027-01-04 accepted WING/L pre-close okafor"
    )
    (told,) = departures(text)
    assert told == (
        "Accepted with a departure: nonconformance N1, gap of 2 mm; use-as-is, decided by E. Engel on"
        " 2026-01-03, 2026-01-03-1"
    )


def test_a_repair_only_once_it_is_cleared_and_a_rework_never() -> None:
    decided = RAISED + "2026-01-03 disposition WING/L id=N1 decision={} by=engel\n"
    cleared = "2026-01-05 accepted WING/L to-drawing okafor clears=N1"
    assert departures(decided.format("repair")) == []
    (told,) = departures(decided.format("repair") + cleared)
    assert "repair, decided by" in told
    assert departures(decided.format("rework") + cleared) == []
    assert departures(RAISED) == []


def test_the_next_article_starts_without() -> None:
    text = RAISED + (
        "2026-01-03 disposition WING/L id=N1 decision=use-as-is by=engel\n"
        "2026-01-04 scrapped WING/L\n2026-01-05 made WING/L"
    )
    assert departures(text) == []


def test_the_data_say_it_too() -> None:
    text = (
        "part WING items=L,R\n" + RAISED + "2026-01-03 disposition WING/L id=N1 decision=use-as-is by=engel"
    )
    known = reckon(facts(text))
    (table,) = [
        page
        for bundle in lay_out(known, check(known))
        for page in draw(bundle)
        if page.address == "data/items.csv"
    ]
    rows = {row["item"]: row for row in csv.DictReader(io.StringIO(b"".join(table.sheet.pieces).decode()))}
    assert rows["WING/L"]["departures"] == "N1: use-as-is"
    assert rows["WING/R"]["departures"] == ""


def test_what_is_put_off_is_said_beside_the_verdict() -> None:
    text = (
        "2026-01-01 made WING/L\n"
        "2026-01-02 deferred WING/L rule=never-inspected until=2026-06-01 by=okafor reason='the visit'"
    )
    sheet = item(text)
    assert sheet.put_off == "Put off and not settled: one major finding, one observation; see below."
    assert all(
        "Put off by J. Okafor until 2026-06-01: the visit" in each.deferred
        for each in sheet.observations
        if each.deferred
    )
    assert item("2026-01-01 made WING/L").put_off == ""


def test_a_decision_by_somebody_who_may_not_reads_so() -> None:
    text = RAISED + (
        "2026-01-03 disposition WING/L id=N1 decision=use-as-is by=bram\n"
        "2026-01-04 deferred WING/L rule=never-inspected until=2026-06-01 by=bram reason=r\n"
        "2026-01-05 deferred WING/L rule=never-inspected until=2026-06-01 by=engel reason=r"
    )
    (history,) = item(text).articles
    idle = [
        row.day for row in history.rows if any(each.label == "counts for nothing" for each in row.details)
    ]
    assert idle == ["2026-01-03", "2026-01-04"]


NAMED = (
    "part OLD\npart NEW\n2026-01-01 work OLD hours=2 kind=milling\n2026-01-02 made OLD\n"
    "2026-01-03 accepted OLD to-drawing okafor\n2026-01-04 installed OLD on=WING/L\n"
    "2026-01-05 reidentified OLD as=NEW\n2026-01-06 modified NEW\n"
)


def test_the_history_comes_along_under_the_former_name() -> None:
    sheet = item(NAMED, "items/NEW.html")
    (history,) = sheet.articles
    told = [
        (row.kind, [link.text for each in row.details if each.label == "as" for link in each.values])
        for row in history.rows
    ]
    assert told == [
        ("Milling", ["OLD"]),
        ("Made", ["OLD"]),
        ("Inspected", ["OLD"]),
        ("Installed", ["OLD"]),
        ("Goes on under this name", []),
        ("Modified", []),
    ]
    assert [link.text for link in sheet.where] == ["WING/L WING"]
    assert "major finding" in sheet.verdict
    assert "Inside it" not in sheet.since_says
    assert sheet.hours == ()


def test_a_word_that_counts_for_nothing_reads_so_under_the_new_name_too() -> None:
    text = NAMED + "2026-01-04 disposition OLD id=N1 decision=use-as-is by=bram"
    (history,) = item(text, "items/NEW.html").articles
    told = [row for row in history.rows if any(each.label == "counts for nothing" for each in row.details)]
    assert [row.kind for row in told] == ["Disposition"]


def test_what_showed_it_under_its_former_name_shows_it() -> None:
    text = NAMED + "2026-01-02 media old.jpg shows=OLD\n2026-02-01 media later.jpg shows=OLD"
    sheet = item(text, "items/NEW.html")
    assert [each.day for each in sheet.photos] == ["2026-01-02"]
    assert not [each for each in sheet.observations if each.rule.text == "evidence-missing"]


def test_the_former_name_says_where_it_went() -> None:
    sheet = item(NAMED, "items/OLD.html")
    assert sheet.verdict == "There is none now. It goes on as NEW since 2026-01-05."
    (history,) = sheet.articles
    assert history.end == "It goes on as NEW since 2026-01-05."
    assert sheet.hours


def test_an_article_that_gave_way_says_to_what() -> None:
    text = "2025-01-01 made NEW\n" + NAMED
    first = item(text, "items/NEW.html").articles[-1]
    assert first.end == "It gave way on 2026-01-05 to what was OLD until then."
    assert [row.kind for row in first.rows] == ["Made"]


def test_every_page_is_drawn_for_a_log_with_names_that_changed() -> None:
    assert sheets(NAMED + "2026-02-01 reidentified NEW as=OLD carries=to-drawing\n2026-02-02 closed OLD")

"""The inspector's pages: since the last visit, and what to look at on the next."""

from __future__ import annotations

from buildlog.pages.frame import Link
from buildlog.pages.sheets import HomeSheet
from buildlog.pages.visit_sheets import VisitSheet, VisitsSheet
from tests.pages.test_items import said, sheets

LOG = (
    "2026-01-01 made SPAR/L,WING/L\n2026-01-02 installed SPAR/L on=WING/L\n"
    "2026-01-03 09:00 accepted SPAR/L to-drawing okafor\n2026-01-04 modified SPAR/L\n"
    "2026-01-05 people=bram\n    work SPAR/L hours=2 kind=filing\n    measured SPAR/L,WING/L value=1\n"
)


def visit(text: str, key: str = "okafor") -> VisitSheet:
    sheet = sheets(text)[f"visits/{key}.html"]
    assert isinstance(sheet, VisitSheet)
    return sheet


def following(text: str) -> VisitsSheet:
    sheet = sheets(text)["visits/index.html"]
    assert isinstance(sheet, VisitsSheet)
    return sheet


def test_each_inspector_has_a_page_and_the_first_sheet_leads_there() -> None:
    found = sheets(LOG)
    assert {"visits/okafor.html", "visits/brandt.html"} <= set(found)
    assert "visits/marit.html" not in found
    home = found["index.html"]
    assert isinstance(home, HomeSheet)
    assert [(line.visit, line.last) for line in home.visits] == [
        (Link("Since the last visit of J. Okafor", "visits/okafor.html"), "2026-01-03"),
        (Link("Since the last visit of K. Brandt", "visits/brandt.html"), ""),
    ]
    assert following(LOG).visits == home.visits


def test_what_happened_since() -> None:
    (section,) = visit(LOG).sections
    assert (section.item.text, section.counts) == (
        "WING/L",
        "one change, one other record, one work line, one new finding",
    )
    assert said((section.looked,)) == ["They last looked at something in it on 2026-01-03: SPAR/L."]
    rows = {
        title: [(row.kind, [link.text for link in row.of], row.day) for row in rows]
        for title, rows in section.groups
    }
    assert rows == {
        "Changed, put in, taken out": [("Modified", ["SPAR/L"], "2026-01-04")],
        "Measured, torqued and else recorded": [("Measured", ["WING/L", "SPAR/L"], "2026-01-05")],
        "Worked on": [("Filing", ["SPAR/L"], "2026-01-05")],
    }
    assert "inspection-undone" in [each.rule.text for each in section.new]
    assert {each.rule.text for each in section.standing} == {"never-inspected"}


def test_an_inspector_who_never_came() -> None:
    sheet = visit(LOG, "brandt")
    (section,) = sheet.sections
    assert (sheet.last, section.groups, section.counts) == ("", (), "nothing recorded since")
    assert said((section.looked,))[0].startswith("They inspected nothing yet")
    assert section.standing


def test_an_empty_log() -> None:
    assert visit("").sections == ()
    assert following("").groups == ()


def test_the_next_visit_in_order() -> None:
    groups = following(LOG).groups
    assert [group.title for group in groups] == [
        "To be looked at before it is closed",
        "Can be looked at now",
    ]
    lines = [
        (line.number, line.item.text, line.stage, line.status.word)
        for group in groups
        for line in group.lines
    ]
    assert lines == [
        (1, "SPAR/L", "Made to drawing", "undone"),
        (2, "SPAR/L", "Before closing up", "none yet"),
        (3, "WING/L", "Before closing up", "none yet"),
        (4, "WING/L", "Made to drawing", "none yet"),
    ]
    first, _, wing = groups[0].lines
    assert first.last == Link("2026-01-03", "entries/2026-01-03-1.html#r1")
    assert [link.text for link in first.who] == ["J. Okafor", "K. Brandt"]
    assert said(wing.says) == ["After what is inside it: SPAR/L."]


def test_what_is_closed_says_behind_what() -> None:
    (group,) = [
        group
        for group in following(LOG + "2026-01-06 closed WING/L area=top").groups
        if "Behind" in group.title
    ]
    assert [line.item.text for line in group.lines] == ["SPAR/L", "SPAR/L", "WING/L"]
    assert said(group.lines[0].says)[-1] == "WING/L (top) was closed on 2026-01-06."


def test_what_was_put_off_is_not_silent_when_the_next_visit_is_prepared() -> None:
    put_off = (
        "2026-01-06 deferred SPAR/L rule=inspection-undone by=engel until=2027-01-01 reason='paint first'"
    )
    (line,) = (
        line
        for group in following(LOG + put_off).groups
        for line in group.lines
        if line.item.text == "SPAR/L" and line.status.word == "undone"
    )
    assert "The finding inspection-undone is put off until 2027-01-01 by E. Engel: paint first" in said(
        line.says
    )
    assert not any("put off" in each for g in following(LOG).groups for each in map(str, g.lines))


def test_why_not_yet() -> None:
    groups = following(LOG + "2026-01-06 nonconformance SPAR/L id=N1 description=gap").groups
    last = groups[-1]
    assert last.title == "Not yet, and why"
    told = [each for line in last.lines for each in said(line.says)]
    assert any(each.startswith("Nonconformance N1, raised on 2026-01-06") for each in told)

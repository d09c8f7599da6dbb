"""What an item's page answers, on small histories."""

from __future__ import annotations

import pytest

from buildlog.pages.frame import Link
from buildlog.pages.sheets import ItemSheet, PersonSheet, TaskSheet
from buildlog.pages.site import lay_out
from buildlog.pages.stock_sheets import StockSheet
from buildlog.reckoning.reckon import reckon
from buildlog.rules.chain import check
from tests.logs import facts
from tests.pages.tiny_log import drawn

PARTS = """
part WING class=assembly items=L,R
part SPAR class=critical parent=WING items=L,R drawing=D-1 revision=B system=57 source=made
part PLATE use=not-for-flight
part BOLT class=hardware
"""


def sheets(text: str) -> dict[str, object]:
    known = reckon(facts(PARTS + text))
    return {page.address: page.sheet for page in drawn(lay_out(known, check(known)))}


def item(text: str, address: str = "items/WING/L.html") -> ItemSheet:
    sheet = sheets(text)[address]
    assert isinstance(sheet, ItemSheet)
    return sheet


def said(sentences: tuple[tuple[Link, ...], ...]) -> list[str]:
    return ["".join(link.text for link in sentence) for sentence in sentences]


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("", "There is none yet: nothing is recorded of it."),
        ("2026-01-01 made WING/L\n2026-01-02 scrapped WING/L", "There is none now: the last one is gone."),
        ("2026-01-01 made WING/L", "Not as the log stands: one major finding stands against it."),
        (
            "2026-01-01 made WING/L\n2026-01-02 accepted WING/L to-drawing okafor",
            "Not as the log stands: it is still to be inspected before it is closed up.",
        ),
        (
            (
                "2026-01-01 made WING/L\n2026-01-02 accepted WING/L to-drawing okafor\n"
                "2026-01-03 accepted WING/L pre-close okafor"
            ),
            "Nothing in this log stands against it.",
        ),
        (
            "2026-01-01 made PLATE\n2026-01-02 accepted PLATE to-drawing okafor scope=front",
            "Nothing major in this log stands against it; one minor finding open.",
        ),
    ],
)
def test_the_verdict_says_only_what_the_log_says(text: str, verdict: str) -> None:
    address = "items/PLATE.html" if "PLATE" in text else "items/WING/L.html"
    assert item(text, address).verdict == verdict


def test_what_it_is() -> None:
    what = {
        each.label: each.values[0].text
        for each in item("2026-01-01 made SPAR/L serial=7", "items/SPAR/L.html").what
    }
    assert what == {
        "part": "SPAR SPAR",
        "class": "critical: independent inspection",
        "drawing": "D-1 rev B",
        "system": "57",
        "source": "made",
        "serial": "7",
    }
    plate = item("", "items/PLATE.html").what
    assert {each.label: each.values[0].text for each in plate}["use"] == "not for flight"


def test_a_class_says_what_it_asks_for() -> None:
    asks = "class two stages=to-drawing signatures=2 signed=true bulk=true\npart X class=two\n"
    what = {each.label: each.values[0].text for each in item(asks, "items/X.html").what}
    assert what["class"] == "two: two signatures, signed document, kept by lot"


@pytest.mark.parametrize(
    ("text", "where"),
    [
        (
            "2026-01-01 made SPAR/L\n2026-01-02 made WING/L",
            ["Assumed from the parts list; no record says so."],
        ),
        (
            "2026-01-01 made SPAR/L\n2026-01-02 installed SPAR/L on=WING/L",
            ["Installed on 2026-01-02: 2026-01-02-1"],
        ),
        (
            "2026-01-02 installed SPAR/L on=WING/L\n2026-01-03 removed SPAR/L from=WING/L",
            ["Loose since 2026-01-03: 2026-01-03-1"],
        ),
        ("", ["Nowhere: there is none yet."]),
        (
            "2026-01-01 made SPAR/L\n2026-01-02 scrapped SPAR/L",
            ["Nowhere: the last one is gone."],
        ),
        (
            "2026-01-02 installed SPAR/L on=WING/L\n2026-01-03 closed SPAR/L area=top",
            ["Installed on 2026-01-02: 2026-01-02-1", "It was closed up (top) on 2026-01-03: 2026-01-03-1"],
        ),
        (
            "2026-01-01 made SPAR/L\n2026-01-02 installed SPAR/L on=WING/L\n2026-01-03 closed WING/L",
            [
                "Installed on 2026-01-02: 2026-01-02-1",
                "Out of sight since WING/L was closed on 2026-01-03: 2026-01-03-1",
            ],
        ),
    ],
)
def test_where_it_is(text: str, where: list[str]) -> None:
    assert said(item(text, "items/SPAR/L.html").where_says) == where


def test_a_place_that_nothing_tells_is_unknown() -> None:
    sheet = item("2026-01-01 made WING/L")
    assert said(sheet.where_says) == ["Nothing in the log says that it sits in anything."]
    assert sheet.where == ()


def test_a_place_that_the_parts_list_leaves_open_is_told_as_far_as_it_goes() -> None:
    sheet = item(
        "part RIB items=L1,L2 parent=WING\n2026-01-01 made WING/L,WING/R,RIB/L1", "items/RIB/L1.html"
    )
    assert said(sheet.where_says) == [
        "In WING by the parts list; neither that nor a record says in which one."
    ]
    assert sheet.where == ()


def test_where_it_sits_and_what_sits_in_it() -> None:
    text = (
        "2026-01-01 made SPAR/L\n2026-01-01 made WING/L\n2026-01-01 made PLATE\n"
        "2026-01-02 installed WING/L on=PLATE\n2026-01-03 installed SPAR/L on=WING/L"
    )
    found = sheets(text)
    spar, wing = found["items/SPAR/L.html"], found["items/WING/L.html"]
    assert isinstance(spar, ItemSheet)
    assert isinstance(wing, ItemSheet)
    assert [link.text for link in spar.where] == ["WING/L WING", "PLATE PLATE"]
    assert [(seat.item.text, seat.assumed) for seat in wing.inside] == [("SPAR/L", False)]
    kinds = [row.kind for article in wing.articles for row in article.rows]
    assert kinds == ["Made", "Installed", "Installed on it"]


def test_who_looked_and_what_undid_it() -> None:
    text = (
        "2026-01-01 made SPAR/L\n2026-01-02 installed SPAR/L on=WING/L\n"
        "2026-01-03 accepted WING/L pre-close okafor\n2026-01-04 modified SPAR/L"
    )
    sheet = item(text)
    stage = {each.stage: each for each in sheet.stages}["Before closing up"]
    assert stage.status.word == "undone"
    assert [link.text for link in stage.people] == ["J. Okafor"]
    assert said(stage.says) == ["Undone by: modified SPAR/L, 2026-01-04, 2026-01-04-1"]
    assert sheet.since_says == "Inside it: SPAR/L modified on 2026-01-04."


def test_signatures_refusals_and_seals() -> None:
    text = """
class two stages=to-drawing,pre-close signatures=2
part BOX class=two
2026-01-01 made BOX by=bram
2026-01-02 accepted BOX to-drawing okafor
2026-01-03 accepted BOX pre-close okafor,brandt
2026-01-04 closed BOX
2026-01-05 made SPAR/L by=okafor
2026-01-06 accepted SPAR/L to-drawing okafor
2026-01-07 accepted SPAR/L mystery okafor
stage mystery
"""
    found = sheets(text)
    box, spar = found["items/BOX.html"], found["items/SPAR/L.html"]
    assert isinstance(box, ItemSheet)
    assert isinstance(spar, ItemSheet)
    lines = {each.stage: said(each.says) for each in box.stages}
    assert lines["Made to drawing"] == ["one signature of 2."]
    assert lines["Before closing up"] == ["Held by the closing of 2026-01-04: 2026-01-04-1"]
    lines = {each.stage: said(each.says) for each in spar.stages}
    assert lines["Made to drawing"][0].startswith("The name of J. Okafor does not count, who ")
    assert lines["mystery"][0] == "Its class does not ask for it."
    assert lines["Before closing up"] == ["Not due yet."]


def test_what_the_log_leaves_open_is_perhaps() -> None:
    text = "2026-01-01 made PLATE\n2026-01-02 accepted PLATE to-drawing okafor\n2026-01-02 modified PLATE"
    [stage] = item(text, "items/PLATE.html").stages
    assert stage.status.word == "unclear"
    assert said(stage.says) == ["Perhaps undone by: modified PLATE, 2026-01-02, 2026-01-02-2"]


def test_what_happened_since() -> None:
    quiet = item("2026-01-01 made PLATE\n2026-01-02 accepted PLATE to-drawing okafor", "items/PLATE.html")
    assert (quiet.since, quiet.since_says) == ((), "Nothing is recorded since 2026-01-02.")
    never = item("2026-01-01 made PLATE", "items/PLATE.html")
    assert never.since_says == "It was never inspected; its history is below."
    worked = item(
        "2026-01-01 made PLATE\n2026-01-02 accepted PLATE to-drawing okafor\n"
        "2026-01-03 people=bram\n    work PLATE hours=2 kind=filing",
        "items/PLATE.html",
    )
    assert [(row.kind, row.day) for row in worked.since] == [("Filing", "2026-01-03")]


def test_records_after_the_last_article_stand_apart() -> None:
    text = (
        "2026-01-01 made PLATE\n2026-01-02 scrapped PLATE\n2026-01-03 made PLATE\n2026-01-04 returned PLATE\n"
        "2026-01-05 drawing_changed PLATE to=C effect=none"
    )
    articles = item(text, "items/PLATE.html").articles
    assert [each.title for each in articles] == [
        "After the last article",
        "The second article",
        "The first article",
    ]
    assert [each.end for each in articles] == [
        "",
        "It was returned on 2026-01-04.",
        "It was scrapped on 2026-01-02.",
    ]


def test_a_stand_in_and_its_milestone_read_as_their_titles() -> None:
    text = (
        'milestone taxi title="First taxi"\n2026-01-01 made PLATE\n'
        "2026-01-02 installed PLATE on=WING/L until=taxi tool=T9 document=scan.pdf data=M-1"
    )
    rows = {row.kind: row for row in item(text, "items/PLATE.html").articles[0].rows}
    details = {each.label: each.values[0] for each in rows["Installed"].details}
    assert details["until"].text == "First taxi"
    assert details["on"] == Link("WING/L", "items/WING/L.html")
    assert details["tool"] == Link("T9", "tools/T9.html")
    assert details["document"] == Link("scan.pdf")
    assert details["data"].text == "M-1"


def test_what_is_on_no_list_has_its_pages() -> None:
    text = (
        "2026-01-01 made STRAY/9 lots=L-1 tool=T-1\n"
        "2026-01-02 people=marit,bram\n    work STRAY/9 hours=1 task=T-X"
    )
    found = sheets(text)
    stray, task, lot = found["items/STRAY/9.html"], found["tasks/T-X.html"], found["lots/L-1.html"]
    assert isinstance(stray, ItemSheet)
    assert isinstance(task, TaskSheet)
    assert isinstance(lot, StockSheet)
    assert stray.name == "on no parts list"
    assert (task.title, task.facts) == ("on no task list", ())
    assert (lot.name, lot.facts) == ("on no list of lots", ())
    assert "tools/T-1.html" in found
    assert {link.text for link, _ in task.hours[0].rows} == {"Marit Solheim", "Bram Lie"}


def test_a_person_without_a_trace_and_one_with_too_long_a_day() -> None:
    found = sheets("2026-01-01 people=bram\n    work PLATE hours=17 kind=filing")
    bram, engel = found["people/bram.html"], found["people/engel.html"]
    assert isinstance(bram, PersonSheet)
    assert isinstance(engel, PersonSheet)
    assert [each.rule.text for each in bram.remarks] == ["day-too-long"]
    assert bram.remarks[0].about[-1].text == "Bram Lie"
    assert (engel.hours, engel.months, engel.remarks) == ("0 h", (), ())


def test_a_deferred_finding_stays_listed() -> None:
    text = (
        'milestone taxi title="First taxi"\n2026-01-01 made PLATE\n'
        '2026-01-02 deferred PLATE rule=never-inspected by=okafor reason="no jig" until=taxi'
    )
    found = sheets(text)
    plate, whole = found["items/PLATE.html"], found["findings.html"]
    assert isinstance(plate, ItemSheet)
    told = [each.deferred for each in plate.observations if each.deferred]
    assert told == ["Put off by J. Okafor until First taxi: no jig (2026-01-02-1)"]
    assert [each.deferred for each in whole.deferred] == told
    assert plate.verdict == "Nothing in this log stands against it."


def test_a_task_finding_stands_on_its_task() -> None:
    listed = sheets("task T-1\n2026-01-01 people=bram\n    work PLATE hours=1 task=T-X")["tasks/T-X.html"]
    assert isinstance(listed, TaskSheet)
    assert [each.rule.text for each in listed.remarks] == ["not-on-task-list"]
    assert listed.remarks[0].about[-1] == Link("T-X", "tasks/T-X.html")


def test_a_part_on_no_list_that_nothing_is_logged_of_is_named_and_leads_nowhere() -> None:
    drawn_ = sheets("task T parts=X-9,SPAR/L\ntask U parts=X-8/L,X-8/R\n2026-01-01 made SPAR/L")
    task = drawn_["tasks/T.html"]
    assert isinstance(task, TaskSheet)
    assert [(link.text, bool(link.to)) for link in task.parts] == [("X-9", False), ("SPAR/L", True)]
    (remark,) = task.remarks
    assert [(link.text, bool(link.to)) for link in remark.about] == [("X-9", False), ("T", True)]
    assert remark.rests == ()
    other = drawn_["tasks/U.html"]
    assert isinstance(other, TaskSheet)
    assert [(link.text, bool(link.to)) for link in other.remarks[0].about] == [("X-8", False), ("U", True)]

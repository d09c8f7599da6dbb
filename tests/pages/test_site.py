"""The pages of a tiny log: golden copies, links both ways, and nothing that depends on elsewhere."""

from __future__ import annotations

import csv
import io
import json
import re
from html.parser import HTMLParser
from pathlib import PurePosixPath
from typing import Any

import msgspec
import pytest

from buildlog.model.key import Audience
from buildlog.pages.cells import rearm
from buildlog.pages.frame import Page
from buildlog.pages.site import lay_out
from buildlog.pages.words import grade, status
from buildlog.reckoning.knowledge import Status
from buildlog.reckoning.reckon import reckon
from buildlog.rules.chain import check
from buildlog.works.memo import Memo
from tests.pages.tiny_log import GOLDEN, MEDIA, SHOWN, drawn, pages, pages_of, printed, tiny


@pytest.mark.parametrize("address", SHOWN)
def test_a_page_is_as_its_golden_copy(address: str) -> None:
    # Renew with `python -m tests.pages.tiny_log`, then read what git says has changed.
    assert printed()[address].encode() == (GOLDEN / address).read_bytes()


class Refs(HTMLParser):
    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.links: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if name == "id":
                self.ids.append(value or "")
            elif name in ("href", "src"):
                self.links.append(value or "")
            elif name == "srcset":
                self.links += [each.split()[0] for each in (value or "").split(",")]


def landed(address: str, link: str) -> str:
    """Where a relative link on a page lands, from the root."""
    path = PurePosixPath(address).parent / link.partition("#")[0] if link.partition("#")[0] else address
    parts: list[str] = []
    for part in str(path).split("/"):
        if part == "..":
            parts.pop()
        else:
            parts.append(part)
    return "/".join(parts)


REFS = {address: Refs(text) for address, text in printed().items() if address.endswith(".html")}


def test_every_link_leads_somewhere() -> None:
    shown = {f"media/{each.name}" for medium in MEDIA for each in medium.renditions}
    known = {*printed(), *shown, "sheet.css", "sheet.js"}
    for address, refs in REFS.items():
        assert len(set(refs.ids)) == len(refs.ids), address
        for link in refs.links:
            if link.startswith("https://example.org/"):
                continue
            assert not re.match(r"[a-z]+:|/", link), link
            to = landed(address, link)
            assert to in known, (address, link)
            if "#" in link:
                assert link.partition("#")[2] in REFS[to].ids, (address, link)


def subject(address: str) -> str:
    """The page of a part stands for its items too: each leads to the other."""
    return "/".join(address.removesuffix(".html").replace("items/", "parts/").split("/")[:2])


def test_every_cross_reference_runs_both_ways() -> None:
    """Between two pages about things (no lists, no days), a link one way comes with a link the other way."""
    lists = {"parts/tree.html", "entries/2026-02.html", "entries/2026-03.html"}
    lists |= {"findings/by-rule.html", "findings/by-part.html"}
    things = {at for at in REFS if "/" in at and not at.endswith("index.html")} - lists
    leads = {
        (subject(one), subject(landed(one, link)))
        for one in things
        if not one.startswith(("format/", "visits/", "standing/"))
        for link in REFS[one].links
        if landed(one, link) in things
    }
    missing = {(one, other) for one, other in leads if (other, one) not in leads and "format/" not in other}
    # A person's page tells entries, items and inspections; tasks, lots and tools name people by entry.
    # A lot inside an item is told on its page with its record, which names the item that it went into.
    # A lot or tool leads to what its items are in, and to the closing that they are behind.
    # A struck record is told on its item's page with the record that strikes it; that one names the record.
    assert missing == {
        ("tasks/T-1", "people/ada"),
        ("lots/EPX-1", "people/ada"),
        ("tools/GAUGE-1", "people/ada"),
        ("people/ivo", "entries/2026-02-08-spar-planed"),
        ("people/ivo", "people/ada"),  # who struck what the other inspected
        ("parts/W-100", "entries/2026-02-01-spars-bonded"),
        ("lots/EPX-1", "entries/2026-03-05-wing-begun"),
        ("tools/GAUGE-1", "entries/2026-03-05-wing-begun"),
        ("tools/GAUGE-1", "parts/W-100"),
    }


def test_addresses_differ_where_case_does_not_count() -> None:
    found = [page.address.lower() for page in pages()]
    assert len(set(found)) == len(found)


def test_what_was_struck_through_stays_in_the_history() -> None:
    text = printed()["items/W-110/R.html"]
    assert "<s>Inspected</s>" in text
    assert "entered for the wrong half" in text
    assert "It was never inspected" in text


def test_a_second_article_has_a_history_of_its_own() -> None:
    text = printed()["items/W-120.html"]
    assert text.index("The second article") < text.index("The first article")
    assert "It was scrapped on 2026-02-08." in text


def test_an_item_answers_in_order() -> None:
    text = printed()["items/W-110/L.html"]
    questions = (
        "What is it?",
        "Where is it?",
        "May it be closed up or used today?",
        "Who looked at it",
        "What has happened since?",
        "History",
        "Evidence",
    )
    places = [text.index(f"<h2>{each}") for each in questions]
    assert places == sorted(places)
    assert "Not as the log stands: two major findings stand against it." in text
    assert "Out of sight since" in text


STATUS = {
    *(status(each).outline for each in Status),
    *(grade(word).outline for word in ("major", "minor", "observation")),
}
"""The outlines of every status and grade."""


def test_the_caution_stands_once_where_status_is_shown() -> None:
    for address, text in printed().items():
        if address.endswith(".html") and any(f'class="stamp {each}"' in text for each in STATUS):
            assert text.count("It certifies nothing") == 1, address


def test_drafts_are_set_aside_visibly() -> None:
    text = printed()["drafts.html"]
    assert "2026-03-06-not-yet" in text
    assert "hours" in text
    assert not any("not-yet" in page for address, page in printed().items() if address != "drafts.html")


def test_the_title_block_names_the_sheet() -> None:
    text = printed()["items/W-110/L.html"]
    for told in ("Wren &amp; Co", "items/W-110/L", "W-110/L Spar", "shop", "2026-03-05"):
        assert f">{told}<" in text, told
    digests = re.findall(r'class="mono">([0-9a-f]{12})<', "".join(printed().values()))
    assert len(set(digests)) == len(digests) == len(REFS)


def remembered(log: Any, memo: Memo) -> tuple[Page, ...]:
    memo.begin()
    known = reckon(log, remember=memo)
    found = drawn(lay_out(known, check(known, memo), remember=memo), memo)
    memo.end()
    return found


def test_nothing_is_drawn_again_for_an_unchanged_log() -> None:
    memo = Memo()
    first = remembered(tiny(), memo)
    again = remembered(tiny(), memo)
    assert again == first
    assert not memo.misses
    assert not memo.counts.clashes


def edited(key: str, **changes: Any) -> Any:
    entries = tuple(
        msgspec.structs.replace(each, **changes) if each.key == key else each for each in tiny().entries
    )
    return msgspec.structs.replace(tiny(), entries=entries)


def changed(log: Any) -> set[str]:
    """The addresses of what differs between the tiny log's pages and those of another."""
    memo = Memo()
    before = {page.address: page for page in remembered(tiny(), memo)}
    after = {page.address: page for page in remembered(log, memo)}
    assert {page.address: page for page in drawn(lay_out(reckon(log), check(reckon(log))))} == after
    return {address for address in before.keys() | after.keys() if before.get(address) != after.get(address)}


def test_a_change_of_prose_changes_its_own_page_and_what_says_it() -> None:
    log = edited("2026-03-05-wing-begun", body="Nothing to see.")
    assert changed(log) == {"entries/2026-03-05-wing-begun.html", "feed.xml", "data/log.json"}


def test_a_title_changes_what_names_it_and_no_more() -> None:
    log = edited("2026-03-02", title="Thoughts")
    assert changed(log) == {
        "entries/2026-03-02.html",
        "entries/2026-02-08-spar-planed.html",
        "entries/2026-03-05-wing-begun.html",
        "entries/2026-03.html",
        "tasks/T-2.html",
        "index.html",
        "feed.xml",
        "data/log.json",
        "parts/STRAY-9.html",
        "items/STRAY-9.html",
    }


def test_another_audience_is_named_and_nothing_else() -> None:
    known = reckon(tiny())
    shop = drawn(lay_out(known, check(known)))
    inspector = drawn(lay_out(known, check(known), Audience.INSPECTOR))
    for one, other in zip(shop, inspector, strict=True):
        if one.template not in ("", "feed.xml"):
            block = msgspec.structs.replace(other.sheet.block, edition="shop")
            assert msgspec.structs.replace(other.sheet, block=block) == one.sheet


def test_an_empty_log_has_its_pages() -> None:
    bare = msgspec.structs.replace(
        tiny(), entries=(), parts=(), tasks=(), lots=(), tools=(), notes=(), drafts=(), media=()
    )
    found = {page.address for page in pages_of(bare)}
    assert {"index.html", "entries/index.html", "parts/index.html", "404.html", "feed.xml"} <= found


def rows(address: str) -> list[dict[str, str]]:
    read = csv.DictReader(io.StringIO(printed()[address], newline=""))
    return [{key: rearm(value) for key, value in row.items()} for row in read]


def test_the_tables_hold_what_the_log_says() -> None:
    records = rows("data/records.csv")
    assert [row["kind"] for row in records[:4]] == ["made", "measured", "inspected", "inspected"]
    assert records[3]["struck by"] == "2026-02-08-spar-planed 2"
    assert records[2]["day"] == "2026-02-03"
    assert records[2]["time"] == ""
    assert records[0]["time"] == "18:30"
    (reading,) = rows("data/readings.csv")
    assert (reading["value"], reading["from"], reading["to"], reading["low"]) == ("0.4 mm", "0.4", "0.4", "")
    assert (reading["high"], reading["unit"], reading["within"]) == ("0.5", "mm", "yes")
    hours = rows("data/hours.csv")
    assert [(row["person"], row["parts"]) for row in hours] == [("ada", "W-110"), ("ada", "W-110/L W-120")]
    assert sum(float(row["hours"]) for row in hours) == pytest.approx(10 / 3)
    items = {row["item"]: row for row in rows("data/items.csv")}
    assert items["W-110/L"]["in"] == "W-100/L"
    assert items["W-110/L"]["stages"] == "to-drawing: undone; pre-close: none"
    assert items["W-120"]["article"] == "2"
    assert items["B-4"]["exists"] == "no"
    parts = {row["number"]: row for row in rows("data/parts.csv")}
    assert parts["W-110"]["class"] == "critical"
    assert parts["STRAY-9"]["name"] == ""
    assert {row["rule"] for row in rows("data/findings.csv")} >= {"inspection-undone", "not-on-parts-list"}


def test_the_json_holds_the_log_under_its_own_keys() -> None:
    log = json.loads(printed()["data/log.json"])
    assert log["format"] == 1
    assert log["edition"] == "shop"
    assert log["day"] == "2026-03-05"
    assert [each["key"] for each in log["entries"]] == [each.key for each in tiny().entries]
    record = log["entries"][1]["records"][2]
    assert (record["kind"], record["on"]) == ("installed", "W-100/L")
    assert log["parts"][1]["class"] == "critical"
    assert log["entries"][0]["work"][0]["hours"][0]["hours"] == 7 / 3
    assert log["entries"][0]["where"]["file"] == "entries/2026-02-01-spars-bonded.md"


def test_no_entry_is_a_log_all_the_same() -> None:
    bare = msgspec.structs.replace(tiny(), entries=())
    page = next(each for each in pages_of(bare) if each.address == "data/log.json")
    assert json.loads(b"".join(page.sheet.pieces))["entries"] == []

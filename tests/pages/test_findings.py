"""The sheets of findings: chosen by links, each finding once in each order, none too large to open."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from buildlog.pages.finding_sheets import FindingsSheet, SortedFindingsSheet
from buildlog.pages.findings import FULL, SHORT, Told, draw_findings
from buildlog.pages.frame import Page
from buildlog.printroom.press import Press
from tests.logs import facts
from tests.pages.many_findings import GUIDE, TREE, many
from tests.pages.test_items import sheets
from tests.pages.tiny_log import THEME

SANE = 450_000
"""Bytes: with 5,000 findings each sheet stays below this (before it was one of over 3 MB)."""


def drawn(told: tuple[Told, ...]) -> dict[str, Page]:
    return {page.address: page for page in draw_findings(GUIDE, told, {}, TREE, "2026-03-01")}


def printed(told: tuple[Told, ...]) -> dict[str, str]:
    press = Press(THEME)
    return {address: press.press(page).decode() for address, page in drawn(told).items()}


@pytest.fixture(scope="module")
def huge() -> dict[str, str]:
    return printed(many(5000))


def test_no_sheet_of_five_thousand_is_too_large(huge: dict[str, str]) -> None:
    assert len(huge) > 3
    assert {address: len(text) for address, text in huge.items() if len(text) > SANE} == {}


@pytest.mark.parametrize("count", [0, 1, 13, FULL - 1, FULL, FULL + 1, SHORT, SHORT + 1, 2 * FULL + 7])
def test_each_finding_stands_once_in_each_order(count: int) -> None:
    texts = printed(many(count))
    for order in ("findings", "findings/by-rule", "findings/by-part"):
        mine = [t for address, t in texts.items() if re.fullmatch(rf"{order}(-\d+)?\.html", address)]
        told = Counter(word for text in mine for word in re.findall(r"finding no\. (\d+)\.", text))
        assert told == Counter(str(number) for number in range(count)), order
        assert mine, "there is a sheet even where there is nothing to say"


def test_every_link_and_anchor_between_the_sheets_is_there(huge: dict[str, str]) -> None:
    ids = {address: re.findall(r' id="([^"]+)"', text) for address, text in huge.items()}
    assert all(len(set(each)) == len(each) for each in ids.values())
    leads = 0
    for address, text in huge.items():
        for link in re.findall(r'href="([^"]*findings[^"]*)"', text):
            to, _, spot = link.removeprefix("../").partition("#")
            assert to in huge, (address, link)
            assert not spot or spot in ids[to], (address, link)
            leads += bool(spot)
    assert leads > 100


def test_the_sheets_of_an_order_lead_to_one_another(huge: dict[str, str]) -> None:
    first = huge["findings.html"]
    count = sum(re.fullmatch(r"findings(-\d+)?\.html", address) is not None for address in huge)
    assert f"sheet {count}" in first
    assert "Findings, sheet 2 of" in huge["findings-2.html"]
    # the grades that begin later are named on the first, so that an old link to them still arrives
    assert 'id="observation"' in first


def by_part(text: str) -> SortedFindingsSheet:
    sheet = sheets(text)["findings/by-part.html"]
    assert isinstance(sheet, SortedFindingsSheet)
    return sheet


LOG = (
    "task T-1\n2026-01-01 made WING/L\n2026-01-01 made SPAR/L\n2026-01-02 made X-9\n"
    "2026-01-03 work PLATE hours=17 task=T-2\n"
    "2026-01-04 deferred SPAR/L rule=never-inspected by=okafor until=2026-06-01 reason=later"
)


def test_an_assembly_comes_before_what_is_in_it_and_counts_it() -> None:
    sheet = by_part(LOG)
    assert [(each.to.text, each.depth) for each in sheet.index] == [
        ("WING", 0),
        ("SPAR", 1),
        ("PLATE", 0),
        ("X-9", 0),
        ("Tasks", 0),
        ("People", 0),
    ]
    wing, spar = sheet.sections[:2]
    assert wing.counts == "1 major, 3 observations, 2 put off in all"
    assert spar.counts == "1 observation, 2 put off"
    assert wing.id == "of-WING"
    assert sheet.index[0].to.to == "findings/by-part.html#of-WING"


def test_what_is_put_off_stands_in_every_order() -> None:
    drawn_ = sheets(LOG)
    whole, rules = drawn_["findings.html"], drawn_["findings/by-rule.html"]
    assert isinstance(whole, FindingsSheet)
    assert isinstance(rules, SortedFindingsSheet)
    assert len(whole.deferred) == 2
    assert whole.begins[-1].text == "2 put off"
    assert whole.begins[-1].to == "findings.html#deferred"
    held = [each for section in rules.sections for each in section.remarks if each.deferred]
    assert {each.deferred for each in held} == {"Put off by J. Okafor until 2026-06-01: later (2026-01-04-1)"}
    text = Press(THEME).press(Page("findings/by-rule.html", "findings_sorted.html", rules)).decode()
    assert "Put off by J. Okafor" in text


def test_rules_come_by_what_they_found_the_most_serious_first() -> None:
    rules = sheets(LOG)["findings/by-rule.html"]
    assert isinstance(rules, SortedFindingsSheet)
    assert [each.title.text for each in rules.sections] == [
        "never-inspected",
        "not-on-parts-list",
        "not-on-task-list",
        "day-too-long",
        "evidence-missing",
    ]


def test_nothing_to_say() -> None:
    texts = printed(())
    assert set(texts) == {"findings.html", "findings/by-rule.html", "findings/by-part.html"}
    assert all("nothing to say about this log" in text for text in texts.values())
    assert facts("")

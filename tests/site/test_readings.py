"""The sheet about torque works the setting of a wrench out, and a chart of readings reads as it should."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, Page

from tests.site.editions import Edition
from tests.site.test_access import violations

pytestmark = pytest.mark.outside

SERIES = ("items/TN-57-1950/R.html", "items/TN-27-1220/R.html")


@pytest.fixture
def sheet(sample: Edition, browser: Browser):
    page = browser.new_page()
    page.goto(sample.url("format/torque.html"))
    yield page
    page.close()


@pytest.mark.parametrize(
    ("torque", "wrench", "way", "adapter", "told"),
    [
        # AC 43.13-1B, figure 7-2, as CHECKS has it
        ("135", "10", "longer", "1.5", "Set the wrench to 117.4,"),
        ("135", "10", "shorter", "1.5", "Set the wrench to 158.8,"),
        ("135", "10", "square", "", "Set the wrench to 135.0,"),
        ("135", "10", "longer", "1,5", "Set the wrench to 117.4,"),
        ("135", "10", "shorter", "10", "Nothing to set"),
        ("135", "ten", "longer", "1.5", "Nothing to set"),
        ("135", "0", "square", "", "Nothing to set"),
        ("135", "10", "longer", "", ""),
    ],
)
def test_the_wrench(sheet: Page, torque: str, wrench: str, way: str, adapter: str, told: str) -> None:
    sheet.get_by_label("Torque that the fastener is to get").fill(torque)
    sheet.get_by_label("Length of the wrench").fill(wrench)
    sheet.get_by_label("The adapter").select_option(way)
    if way == "square":
        assert sheet.get_by_label("By how much").is_disabled()
    else:
        sheet.get_by_label("By how much").fill(adapter)
    said = sheet.locator("#wrench .verdict").inner_text()
    assert said.startswith(told)
    assert bool(said) == bool(told)


def test_without_script_the_worked_examples_stand(sample: Edition, browser: Browser) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(sample.url("format/torque.html"))
    text = page.locator("main").inner_text()
    for words in ("117.4", "158.8", "T · L / (L + E)", "formula and the worked examples above"):
        assert words in text
    assert page.locator("main input").count() == 0
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_no_violation_at_a_chart(sample: Edition, browser: Browser, scheme: str) -> None:
    context = browser.new_context(bypass_csp=True, color_scheme=scheme)
    page = context.new_page()
    for address in SERIES:
        page.goto(sample.url(address))
        assert page.locator("figure.chart svg").count() == 1
        assert violations(page) == []
    context.close()


@pytest.mark.parametrize("address", SERIES)
def test_no_word_of_a_chart_lies_on_another(sample: Edition, browser: Browser, address: str) -> None:
    page = browser.new_page(viewport={"width": 390, "height": 800})
    page.goto(sample.url(address))
    outer = page.locator("figure.chart svg").bounding_box()
    boxes = [each.bounding_box() for each in page.locator("figure.chart text").all()]
    assert outer
    assert len(boxes) > 4
    for at, box in enumerate(boxes):
        assert box
        assert outer["x"] <= box["x"]
        assert box["x"] + box["width"] <= outer["x"] + outer["width"]
        assert outer["y"] <= box["y"]
        for other in boxes[:at]:
            assert other
            apart = (
                box["x"] >= other["x"] + other["width"] - 1
                or other["x"] >= box["x"] + box["width"] - 1
                or box["y"] >= other["y"] + other["height"] - 3
                or other["y"] >= box["y"] + box["height"] - 3
            )
            assert apart
    page.close()


def test_a_chart_says_in_words_what_it_draws(sample: Edition) -> None:
    page = (sample.folder / SERIES[0]).read_text("utf-8")
    (label,) = re.findall(r'<svg [^>]*role="img" aria-label="([^"]*)"', page)
    assert label == (
        "Torque of front root bolt: 2026-02-07 146 in-lb; 2026-02-14 116 in-lb. "
        "Limits at the last reading: 100 to 140 in-lb."
    )

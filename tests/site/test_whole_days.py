"""No day is broken at its hyphens on a phone (390 px), in real Chromium."""

from __future__ import annotations

import pytest
from playwright.sync_api import Browser

from tests.site.editions import Edition

SHEETS = (
    "items/TN-57-0001/L.html",
    "items/TN-32-1000/R.html",
    "findings.html",
    "visits/okafor.html",
    "standing/2025-05.html",
    "lots/EPX-2231.html",
)

BROKEN = r"""() => {
  const found = [];
  for (const element of document.querySelectorAll("main *")) {
    for (const text of element.childNodes) {
      if (text.nodeType !== Node.TEXT_NODE) continue;
      for (const day of text.data.matchAll(/\d{4}-\d{2}-\d{2}/g)) {
        const range = document.createRange();
        range.setStart(text, day.index);
        range.setEnd(text, day.index + 10);
        if (range.getClientRects().length > 1) found.push(text.data);
      }
    }
  }
  return found;
}"""


@pytest.mark.outside
def test_no_day_is_broken_over_two_lines(sample: Edition, browser: Browser) -> None:
    context = browser.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    broken = {}
    for address in SHEETS:
        page.goto(sample.url(address))
        assert page.locator("main").inner_text().count("20") > 1
        if found := page.evaluate(BROKEN):
            broken[address] = found
    context.close()
    assert broken == {}

"""The five answers of an item stand on the first screen of a laptop (1280 x 800), in real Chromium.

Common practice, no source: an inspector opens the page on whatever laptop is in the hangar, and reads before
scrolling. 1280 x 800 is the smallest that is still about.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.site.editions import Edition

QUESTIONS = [
    "What is it?",
    "Where is it?",
    "May it be closed up or used today?",
    "Who looked at it, for what, and when?",
    "What has happened since?",
]

ITEMS = {
    "the whole aeroplane": "items/TN-00-0001.html",
    "a closed wing, undone from inside": "items/TN-57-0001/L.html",
    "a closed wing that stands": "items/TN-57-0001/R.html",
    "a spar with something put off": "items/TN-57-1100/R.html",
    "a joint that was slackened": "items/TN-57-1950/L.html",
    "an engine that was bought": "items/TN-85-1000.html",
    "a leg with a long story since": "items/TN-32-1000/R.html",
    "a strainer on hold": "items/TN-28-1110.html",
    "a rib that was notched": "items/TN-57-1310/5.html",
    "a part that is not there yet": "items/TN-61-1000.html",
}


@pytest.fixture
def laptop(browser: Browser) -> Iterator[Page]:
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    yield context.new_page()
    context.close()


@pytest.mark.outside
@pytest.mark.parametrize("address", ITEMS.values(), ids=ITEMS)
def test_the_five_answers_stand_on_the_first_screen(sample: Edition, laptop: Page, address: str) -> None:
    laptop.goto(sample.url(address))
    asked = laptop.locator(".answers > section > h2")
    assert asked.all_inner_texts() == QUESTIONS
    for question in QUESTIONS:
        section = laptop.locator(".answers > section", has=laptop.get_by_role("heading", name=question))
        box = section.bounding_box()
        assert box is not None
        assert box["y"] >= 0
        assert box["y"] + box["height"] <= 800, f"{question} ends at {box['y'] + box['height']:.0f} px"
        said = section.inner_text().removeprefix(question).strip()
        assert said, f"{question} has no answer"
    assert laptop.evaluate("window.scrollY") == 0
    verdict = laptop.locator(".ready .verdict").inner_text()
    assert any(words in verdict for words in ("in this log", "as the log stands", "There is none"))
    assert laptop.locator(".notes").count() == 1, "the caution stands once"


@pytest.mark.outside
def test_most_items_of_the_sample_do(sample: Edition, laptop: Page) -> None:
    """Not only those that were chosen: of all of them, none may need more than a flick of the wheel."""
    too_long = {}
    for address in sorted(sample.pages):
        if address.startswith("items/"):
            laptop.goto(sample.url(address))
            box = laptop.locator(".answers").bounding_box()
            assert box is not None
            if box["y"] + box["height"] > 800:
                too_long[address] = box["y"] + box["height"]
    assert too_long == {}

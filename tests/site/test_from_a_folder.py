"""The pages from `file://` in real Chromium: without script, without network, on a phone, on paper."""

from __future__ import annotations

import fnmatch
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pypdf
import pytest
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Request

from tests.site.editions import Edition

pytestmark = pytest.mark.outside

Visit = Callable[..., tuple[Page, list[str], list[str]]]

WATCH = """
document.addEventListener("securitypolicyviolation", (event) =>
  console.error("policy: " + event.violatedDirective + " " + event.blockedURI));
"""
WAIT_FOR_IMAGES = """
() => Promise.all(Array.from(document.images, (image) => { image.loading = "eager"; return image.decode(); }))
"""
HIDDEN = """
() => Array.from(document.querySelectorAll("main *")).filter((each) =>
  each.childElementCount === 0 && each.textContent.trim() &&
  !each.matches("option") && !each.checkVisibility({opacityProperty: true, visibilityProperty: true})
).map((each) => each.outerHTML.slice(0, 80))
"""
WIDER = """
() => Array.from(document.querySelectorAll("body *")).filter((each) =>
  each.getBoundingClientRect().right > document.documentElement.clientWidth + 1
).slice(0, 5).map((each) => each.tagName + "." + each.className + ": " + each.textContent.trim().slice(0, 40))
"""


class Watched:
    """A context of the browser that remembers what its pages asked for and what they complained of."""

    def __init__(self, context: BrowserContext) -> None:
        self.requests: list[str] = []
        self.complaints: list[str] = []
        context.add_init_script(WATCH)
        context.on("request", lambda request: self.requests.append(request.url))
        context.on("console", self._heard)
        context.on("weberror", lambda error: self.complaints.append(str(error.error)))
        context.on("dialog", self._asked)
        self.page = context.new_page()
        self.page.on("requestfailed", self._failed)

    def _failed(self, request: Request) -> None:
        # A page that is left before its last picture came breaks that off: nothing is wrong with the picture.
        if request.failure != "net::ERR_ABORTED":
            self.complaints.append(f"failed: {request.url} {request.failure}")

    def _heard(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            self.complaints.append(message.text)

    def _asked(self, dialog) -> None:
        self.complaints.append(f"dialog: {dialog.message}")
        dialog.dismiss()


@pytest.fixture
def watched(browser: Browser) -> Iterator[Callable[..., Watched]]:
    opened: list[BrowserContext] = []

    def watch(**options) -> Watched:
        opened.append(browser.new_context(**options))
        return Watched(opened[-1])

    yield watch
    for context in opened:
        context.close()


def words(text: str) -> str:
    return re.sub(r"\s+", " ", text).strip()


def test_without_script_every_page_shows_its_content(printed: tuple[Edition, str], browser: Browser) -> None:
    edition, name = printed
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(edition.url(name))
    assert page.locator(".filter").count() == 0, "what the page's own script adds is not there"
    assert page.locator("h1").is_visible()
    assert page.evaluate(HIDDEN) == []
    block = page.locator("dl.block")
    assert block.is_visible()
    assert words(block.locator(".title dd").inner_text()) in words(page.title())
    assert page.locator("noscript").count() == 0
    context.close()


def test_with_script_nothing_complains_and_nothing_leaves_the_folder(
    printed: tuple[Edition, str], watched: Callable[..., Watched]
) -> None:
    edition, name = printed
    seen = watched()
    seen.page.goto(edition.url(name))
    seen.page.evaluate(WAIT_FOR_IMAGES)
    seen.page.wait_for_load_state("networkidle")
    assert seen.complaints == []
    home = edition.folder.as_uri() + "/"
    assert [url for url in seen.requests if not url.startswith(home)] == []
    asked = {url.removeprefix(home) for url in seen.requests}
    assert {"sheet.css", "sheet.js"} <= asked, "the page's own look and script are let in by its policy"
    assert seen.page.evaluate("getComputedStyle(document.querySelector('.frame')).borderTopWidth") != "0px"


@pytest.mark.parametrize("name", ["sample", "sample_public"])
def test_photos_show_at_their_true_size(
    name: str, request: pytest.FixtureRequest, watched: Callable[..., Watched]
) -> None:
    edition: Edition = request.getfixturevalue(name)
    seen = watched()
    illustrated = [at for at, each in edition.pages.items() if "img " in each.kinds]
    seen.page.goto(edition.url(max(fnmatch.filter(illustrated, "entries/????-??-??-*"))))
    seen.page.evaluate(WAIT_FOR_IMAGES)
    shown = seen.page.evaluate(
        "Array.from(document.images, (i) => [i.naturalWidth / i.naturalHeight, i.getAttribute('width') /"
        " i.getAttribute('height'), i.alt])"
    )
    assert shown
    for natural, told, text in shown:
        assert natural == pytest.approx(told, rel=0.01)
        assert text


def test_the_script_only_narrows_long_lists(sample: Edition, watched: Callable[..., Watched]) -> None:
    page = watched().page
    page.goto(sample.url("parts/index.html"))
    rows = page.locator("main tbody tr")
    before = rows.count()
    assert before > 50
    page.get_by_label("Show only what holds").first.fill("rib")
    page.wait_for_function("document.querySelectorAll('main tbody tr[hidden]').length > 0")
    assert 0 < page.locator("main tbody tr:visible").count() < before
    page.get_by_label("Show only what holds").first.fill("")
    page.wait_for_function("document.querySelectorAll('main tbody tr[hidden]').length === 0")


def test_on_a_phone_no_page_scrolls_sideways(
    printed: tuple[Edition, str], watched: Callable[..., Watched]
) -> None:
    edition, name = printed
    page = watched(viewport={"width": 360, "height": 740}).page
    page.goto(edition.url(name))
    _fits(page)


def test_on_a_phone_no_hostile_page_scrolls_sideways(
    hostile: Edition, watched: Callable[..., Watched]
) -> None:
    page = watched(viewport={"width": 360, "height": 740}).page
    wide = {}
    for name in hostile.of_a_folder:
        page.goto(hostile.url(name), wait_until="domcontentloaded")
        if width := _overflow(page):
            wide[name] = (width, page.evaluate(WIDER))
    assert wide == {}


def _overflow(page: Page) -> int:
    width: int = page.evaluate("document.scrollingElement.scrollWidth - document.documentElement.clientWidth")
    return width


def _fits(page: Page) -> None:
    assert _overflow(page) == 0, page.evaluate(WIDER)


def test_every_sheet_of_a_print_has_the_title_block(
    printed: tuple[Edition, str], browser: Browser, tmp_path: Path
) -> None:
    edition, name = printed
    page = browser.new_page()
    page.goto(edition.url(name))
    digest = page.locator("dl.block .digest dd").inner_text()
    title = words(page.locator("dl.block .title dd").inner_text())
    page.emulate_media(media="print")
    page.pdf(path=tmp_path / "sheet.pdf", prefer_css_page_size=True)
    page.close()
    sheets = [words(each.extract_text()) for each in pypdf.PdfReader(tmp_path / "sheet.pdf").pages]
    assert sheets
    for number, sheet in enumerate(sheets, start=1):
        assert digest in sheet, f"sheet {number} of {len(sheets)}"
        assert title.replace(" ", "") in sheet.replace(" ", ""), f"sheet {number} of {len(sheets)}"


@pytest.mark.parametrize("bypass", [False, True], ids=["under its policy", "without the policy"])
def test_hostile_prose_and_names_run_nothing(
    hostile: Edition, watched: Callable[..., Watched], bypass: bool
) -> None:
    """With the policy taken away too: what is escaped needs no policy to be harmless."""
    seen = watched(bypass_csp=bypass)
    for name in hostile.of_a_folder:
        seen.page.goto(hostile.url(name))
        assert seen.page.evaluate("window.ran") is None, name
    assert seen.complaints == []
    home = hostile.folder.as_uri() + "/"
    assert [url for url in seen.requests if not url.startswith(home)] == []


def test_a_policy_stops_what_would_be_let_through(empty: Edition, watched, tmp_path: Path) -> None:
    """The policy of a page against a page with holes: script in it, an event, a picture from abroad."""
    text = (empty.folder / "index.html").read_text("utf-8")
    holes = (
        "<script>window.ran=1</script><img src=x onerror='window.ran=2'>"
        "<img src='http://127.0.0.1:9/x.png'><script src='http://127.0.0.1:9/x.js'></script>"
        "<style>h1{color:red}</style><iframe src='http://127.0.0.1:9/'></iframe>"
    )
    (tmp_path / "index.html").write_text(text.replace("</main>", holes + "</main>"), "utf-8")
    for name in ("sheet.css", "sheet.js"):
        (tmp_path / name).write_bytes((empty.folder / name).read_bytes())
    seen = watched()
    seen.page.goto((tmp_path / "index.html").as_uri())
    assert seen.page.evaluate("window.ran") is None
    assert seen.page.evaluate("getComputedStyle(document.querySelector('h1')).color") != "rgb(255, 0, 0)"
    refused = "\n".join(seen.complaints)
    for directive in ("script-src", "img-src", "style-src"):
        assert directive in refused

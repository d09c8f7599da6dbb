"""The press: small pieces, what is escaped, and what a template may not do."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import feedparser
import jinja2
import pytest

from buildlog.pages.data import raw
from buildlog.pages.frame import Block, Detail, Link, Page, Prose
from buildlog.pages.sheets import LostSheet
from buildlog.printroom.pieces import coded, details, link, names, says
from buildlog.printroom.press import Press, sheets
from buildlog.printroom.prose import render
from tests.pages.tiny_log import THEME, pages, printed, tiny

BLOCK = Block(project="A & <B>", number="404", title="No such sheet", edition="shop")


def test_links_escape_their_text() -> None:
    assert link(Link('<"&'), "../") == "&lt;&quot;&amp;"
    assert link(Link("<a>", "x.html"), "../") == '<a class="key" href="../x.html">&lt;a&gt;</a>'
    assert names((Link("a", "b.html"), Link("c")), "") == '<a class="key" href="b.html">a</a>, c'
    assert link(Link("two words", "x.html"), "") == '<a href="x.html">two words</a>'
    assert link(Link("X" * 25, "x.html"), "") == f'<a class="long" href="x.html">{"X" * 25}</a>'
    assert says((Link("see "), Link("c", "d.html")), "") == 'see <a class="key" href="d.html">c</a>'


def test_details_read_in_one_line() -> None:
    told = details((Detail("lots", (Link("E", "e.html"), Link("F"))), Detail("", (Link("2 h"),))), "")
    assert told == '<span class="label">lots</span> <a class="key" href="e.html">E</a>, F; 2 h'


def test_code_in_a_message() -> None:
    assert coded("set `a<b` or `c`; a ` alone") == "set <code>a&lt;b</code> or <code>c</code>; a ` alone"


@pytest.mark.parametrize(
    ("address", "marked"),
    [
        ("parts/index.html", '<a href="../parts/index.html" aria-current="page">Parts</a>'),
        ("items/W/L.html", '<a href="../../parts/index.html" aria-current="true">Parts</a>'),
        ("hours.html", '<a href="hours.html" aria-current="page">Hours</a>'),
    ],
)
def test_the_head_marks_where_one_is(address: str, marked: str) -> None:
    told = sheets((Link("Parts", "parts/index.html"), Link("Hours", "hours.html")), address)
    assert marked in told
    assert told.count("aria-current") == 1


def test_elsewhere_nothing_is_marked() -> None:
    assert "aria-current" not in sheets((Link("Parts", "parts/index.html"),), "404.html")


def test_a_sheet_bears_the_digest_of_its_own_content() -> None:
    page = Page("404.html", "lost.html", LostSheet(block=BLOCK))
    data = Press(THEME).press(page)
    [told] = re.findall(rb'class="mono">([0-9a-f]{12})<', data)
    assert told.decode() == hashlib.sha256(data.replace(told, b"\x00")).hexdigest()[:12]
    assert data == Press(THEME).press(page)


def test_what_has_no_template_is_printed_as_it_is() -> None:
    assert Press(THEME).press(raw("data/x.csv", b"a,b\r\n", b"1,2\r\n")) == b"a,b\r\n1,2\r\n"


def test_a_template_that_asks_for_more_than_its_sheet_has_fails(tmp_path: Path) -> None:
    (tmp_path / "x.html").write_text("{{ sheet.nothing }}")
    with pytest.raises(jinja2.UndefinedError):
        Press(tmp_path).press(Page("x.html", "x.html", LostSheet(block=BLOCK)))


def test_the_theme_brings_one_stylesheet_and_one_script() -> None:
    assets = Press(THEME).assets()
    assert set(assets) == {"sheet.css", "sheet.js"}
    assert all(assets.values())
    # nothing is fetched from anywhere
    assert b"url(" not in assets["sheet.css"]
    assert b"@import" not in assets["sheet.css"]
    assert b"http" not in assets["sheet.js"]


def test_every_page_says_where_requests_may_go() -> None:
    policy = (
        "default-src 'none'; img-src 'self'; media-src 'self'; style-src 'self'; script-src 'self'; "
        "base-uri 'none'; form-action 'none'"
    )
    for address, text in printed().items():
        if address.endswith(".html"):
            assert f'<meta http-equiv="Content-Security-Policy" content="{policy}">' in text
            assert '<meta name="referrer" content="no-referrer">' in text
            assert not re.search(r"\sstyle=|\son[a-z]+=|<style|<script(?! src)", text), address


def test_every_template_is_pressed_by_the_tiny_log() -> None:
    used = {page.template for page in pages()} | {"frame.html", "pieces.html", "readings.html", ""}
    assert used == {path.name for path in THEME.iterdir() if path.suffix in (".html", ".xml")} | {""}


def test_the_feed_is_read_by_a_feed_reader() -> None:
    """Atom (RFC 4287), judged by PyPI `feedparser`."""
    feed = feedparser.parse(printed()["feed.xml"].encode())
    assert not feed.bozo
    assert feed.version == "atom10"
    assert feed.feed.title == "Wren & Co"
    assert feed.feed.updated == "2026-03-05T00:00:00Z"
    titles = [entry.title_detail.value for entry in feed.entries]
    assert (
        titles == ["Wing begun", "2026-03-02", "Spar <planed> & glued", "Spars bonded"]
        or titles[0] == "Wing begun"
    )
    assert len(feed.entries) == len(tiny().entries)
    assert len({entry.id for entry in feed.entries} | {feed.feed.id}) == len(feed.entries) + 1
    assert all(entry.id.startswith("urn:uuid:") and entry.summary is not None for entry in feed.entries)
    assert feed.entries[0].link == "entries/2026-03-05-wing-begun.html"


def test_chores_done_elsewhere_change_no_byte() -> None:
    prose = [Prose("Mixed *resin* for TN-1.", (("TN-1", "parts/TN-1.html"),)), Prose("Sanded.")]
    elsewhere = Press(THEME)
    kept: dict[bytes, str] = {}
    here = Press(THEME, kept)
    made = [elsewhere.chore(chore) for chore in elsewhere.chores(prose)]
    here.done(made)
    assert sorted(kept.values()) == sorted(render(each) for each in prose)
    page = Page("404.html", "lost.html", LostSheet(block=BLOCK))
    assert here.press(page) == Press(THEME).press(page)


def test_a_template_compiled_elsewhere_is_not_compiled_again(monkeypatch: pytest.MonkeyPatch) -> None:
    elsewhere, here = Press(THEME), Press(THEME)
    here.done([elsewhere.chore(chore) for chore in elsewhere.chores(())])

    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("compiled again")

    monkeypatch.setattr("jinja2.Environment.compile", refuse)
    assert b"</html>" in here.press(Page("404.html", "lost.html", LostSheet(block=BLOCK)))

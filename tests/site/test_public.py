"""The public edition as its readers and their programs meet it: feeds, cards, robots, a server."""

from __future__ import annotations

import functools
import http.server
import json
import re
import threading
import xml.etree.ElementTree as ET
from collections import Counter
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

import feedparser
import jsonschema
import pytest
from PIL import Image
from playwright.sync_api import Browser

from buildlog.model.log import Rendition
from buildlog.pages.frame import Block, Link, Page, Photo
from buildlog.pages.public.sheets import Card, EntrySheet
from buildlog.printroom.press import Press
from tests.site.editions import REPOSITORY, Edition
from tests.site.mean_log import HIDDEN, RUN
from tests.site.test_html import told

AUTHOR = {
    "type": "object",
    "minProperties": 1,
    "properties": {key: {"type": "string", "minLength": 1} for key in ("name", "url", "avatar")},
    "additionalProperties": False,
}
JSON_FEED = {
    "type": "object",
    "required": ["version", "title", "items"],
    "properties": {
        "version": {"const": "https://jsonfeed.org/version/1.1"},
        "title": {"type": "string", "minLength": 1},
        "home_page_url": {"type": "string", "format": "uri"},
        "feed_url": {"type": "string", "format": "uri"},
        "description": {"type": "string"},
        "authors": {"type": "array", "items": AUTHOR},
        "language": {"type": "string"},
        "items": {
            "type": "array",
            "items": {
                "type": "object",
                "required": ["id"],
                "anyOf": [{"required": ["content_html"]}, {"required": ["content_text"]}],
                "properties": {
                    "id": {"type": "string", "minLength": 1},
                    "url": {"type": "string", "format": "uri"},
                    "title": {"type": "string"},
                    "content_html": {"type": "string"},
                    "content_text": {"type": "string"},
                    "summary": {"type": "string"},
                    "image": {"type": "string", "format": "uri"},
                    "date_published": {"type": "string", "pattern": r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ$"},
                    "authors": {"type": "array", "items": AUTHOR},
                },
                "additionalProperties": False,
            },
        },
    },
    "additionalProperties": False,
}
"""The rules of JSON Feed 1.1 (jsonfeed.org/version/1.1, "Top-level", "Items"), of the keys used here:
what must be there and of which type; dates are RFC 3339; a key that is not of the format begins with `_`."""

SITEMAP = "{http://www.sitemaps.org/schemas/sitemap/0.9}"
W3C_DAY = r"\d{4}-\d\d-\d\d"

POLICY = {
    "default-src": {"'none'"},
    "img-src": {"'self'"},
    "media-src": {"'self'"},
    "style-src": {"'self'"},
    "script-src": {"'self'"},
    "base-uri": {"'none'"},
    "form-action": {"'none'"},
}
"""A policy (W3C, Content Security Policy Level 3) by which a page may ask its own site alone."""


class _Tags(HTMLParser):
    """Every element of a page with its attributes."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, {name: value or "" for name, value in attrs}))


def tags(edition: Edition, name: str) -> list[tuple[str, dict[str, str]]]:
    reader = _Tags()
    reader.feed((edition.folder / name).read_text("utf-8"))
    reader.close()
    return reader.tags


def metas(edition: Edition, name: str) -> Counter[tuple[str, str]]:
    """The metadata of a page: name or property, with its content."""
    return Counter(
        (each.get("property") or each.get("name") or each.get("http-equiv", ""), each["content"])
        for tag, each in tags(edition, name)
        if tag == "meta" and "content" in each
    )


def one(edition: Edition, name: str, key: str) -> str | None:
    """The content of a piece of metadata; that it is not given twice is seen to."""
    found = [content for named, content in metas(edition, name).elements() if named == key]
    assert len(found) <= 1, (name, key)
    return found[0] if found else None


def file_at(edition: Edition, address: str) -> Path:
    """The file of the edition that stands at an address on the net."""
    assert edition.address.startswith("https://")
    assert address.startswith(edition.address), address
    return edition.folder / unquote(address.removeprefix(edition.address))


def test_the_json_feed_keeps_the_rules_of_json_feed(for_all: Edition) -> None:
    feed = json.loads((for_all.folder / "feed.json").read_bytes())
    jsonschema.Draft202012Validator(
        JSON_FEED, format_checker=jsonschema.Draft202012Validator.FORMAT_CHECKER
    ).validate(feed)
    ids = [each["id"] for each in feed["items"]]
    assert len(set(ids)) == len(ids)
    if for_all.address:
        assert feed["home_page_url"] == for_all.address
        assert feed["feed_url"] == f"{for_all.address}feed.json"
        for each in feed["items"]:
            assert file_at(for_all, each["url"]).is_file()
            assert "image" not in each or file_at(for_all, each["image"]).is_file()
    else:
        assert not {"home_page_url", "feed_url"} & feed.keys()
    assert any("image" in each for each in feed["items"]) == bool(feed["items"])


def test_the_schema_sees_what_is_wrong() -> None:
    good = {"version": "https://jsonfeed.org/version/1.1", "title": "x", "items": []}
    validator = jsonschema.Draft202012Validator(JSON_FEED)
    assert validator.is_valid(good)
    for bad in (
        {**good, "version": "https://jsonfeed.org/version/1"},
        {**good, "items": [{"id": "1"}]},
        {**good, "items": [{"content_text": "x"}]},
        {**good, "items": [{"id": "1", "content_text": "x", "authors": [{}]}]},
        {**good, "edition": "public"},
    ):
        assert not validator.is_valid(bad)


def test_the_two_feeds_tell_of_the_same_entries(for_all: Edition) -> None:
    """Judge: feedparser."""
    atom = feedparser.parse((for_all.folder / "feed.xml").read_bytes(), sanitize_html=False)
    feed = json.loads((for_all.folder / "feed.json").read_bytes())
    assert [(each.id, each.title_detail.value, each.updated) for each in atom.entries] == [
        (each["id"], each["title"], each["date_published"]) for each in feed["items"]
    ]
    assert atom.feed.title_detail.value == feed["title"]
    if for_all.address:
        for each in (atom.feed, *atom.entries):
            for link in each.links:
                assert file_at(for_all, link.href).is_file(), link.href


def test_the_sitemap_has_every_page_and_no_other(for_all: Edition) -> None:
    """sitemaps.org, protocol 0.9: UTF-8, its namespace, `loc` whole, of one host, below the map's own folder,
    shorter than 2,048 letters; `lastmod` a W3C day; at most 50,000 addresses."""
    path = for_all.folder / "sitemap.xml"
    if not for_all.address:
        assert not path.exists()
        return
    root = ET.fromstring(path.read_bytes())  # noqa: S314 - our own file
    assert root.tag == f"{SITEMAP}urlset"
    assert {each.tag for each in root} == {f"{SITEMAP}url"}
    assert {child.tag for each in root for child in each} <= {f"{SITEMAP}loc", f"{SITEMAP}lastmod"}
    told_of = [each.findtext(f"{SITEMAP}loc") or "" for each in root]
    assert all(len(each) < 2048 and each.startswith(for_all.address) for each in told_of)
    assert len(told_of) < 50_000
    days = [each.findtext(f"{SITEMAP}lastmod") for each in root]
    assert any(days)
    assert all(re.fullmatch(W3C_DAY, day) for day in days if day is not None)
    found = Counter(unquote(each.removeprefix(for_all.address)) or "index.html" for each in told_of)
    assert found == Counter(set(for_all.pages) - {"404.html"})


def test_every_page_has_its_own_canonical_address(for_all: Edition) -> None:
    """RFC 6596: the address that a page is to be known by. What a server shows for a lost one has none."""
    found = {}
    for name in for_all.pages:
        links = [
            each["href"] for tag, each in tags(for_all, name) if tag == "link" and each["rel"] == "canonical"
        ]
        assert len(links) <= 1, name
        found[name] = links[0] if links else None
    if for_all.address:
        own = {name: for_all.address + ("" if name == "index.html" else name) for name in for_all.pages}
        assert found == {**own, "404.html": None}
    else:
        assert set(found.values()) == {None}


def test_every_page_has_a_card(for_all: Edition) -> None:
    """ogp.me, "Basic Metadata": title, type, image and url; "Structured Properties" for the image."""
    for name in for_all.pages:
        title, kind = one(for_all, name, "og:title"), one(for_all, name, "og:type")
        assert title
        assert kind == ("article" if re.match(r"entries/\d{4}-\d\d-\d\d", name) else "website"), name
        address, image = one(for_all, name, "og:url"), one(for_all, name, "og:image")
        if not for_all.address:
            assert (address, image) == (None, None)
            continue
        assert name == "404.html" or file_at(for_all, address or "").is_file() or name == "index.html"
        # each of these logs has pictures, so there is one for every page
        assert image, name
        with Image.open(file_at(for_all, image)) as picture:
            size = (one(for_all, name, "og:image:width"), one(for_all, name, "og:image:height"))
            assert size == (str(picture.width), str(picture.height)), name
        assert one(for_all, name, "og:image:alt"), name
        description = one(for_all, name, "og:description")
        assert description == one(for_all, name, "description")
        assert description


def test_every_page_of_every_edition_is_under_the_same_strict_policy(edition: Edition) -> None:
    for name in edition.pages:
        found = tags(edition, name)
        policy = one(edition, name, "Content-Security-Policy") or ""
        directives = {each.split()[0]: set(each.split()[1:]) for each in policy.split(";")}
        assert directives == POLICY, name
        assert one(edition, name, "referrer") == "no-referrer", name
        order = [tag for tag, _ in found]
        assert order.index("meta") < order.index("link") < order.index("body"), name
        for tag, each in found:
            assert tag not in ("style", "iframe", "object", "embed", "base", "form"), name
            assert not [key for key in each if key == "style" or key.startswith("on")], (name, tag, each)
            if tag == "script":
                assert re.fullmatch(r"(\.\./|/([^/]+/)*)*sheet\.js", each["src"]), (name, each)


def test_nothing_of_the_shop_is_in_any_file(mean_public: Edition) -> None:
    """Names, suppliers, serial numbers and what a camera called its files, in no name and in no byte."""
    for name in mean_public.files:
        data = (mean_public.folder / name).read_bytes()
        assert [each for each in HIDDEN if each in name or each.encode() in data] == [], name


def test_no_camera_named_a_published_file(sample_public: Edition) -> None:
    """The sample's photographs are named after day and subject: that stays at home."""
    addresses = "\n".join(sample_public.pages)
    originals = [path.stem for path in (sample_public.log / "media").iterdir()]
    # an entry is called after its day and title, as a few of the photographs are
    originals = [each for each in originals if each not in addresses]
    assert len(originals) > 20
    for name in sample_public.files:
        data = (sample_public.folder / name).read_bytes()
        assert [each for each in originals if each in name or each.encode() in data] == [], name


def test_no_page_says_that_anything_was_left_out(sample_public: Edition, empty_public: Edition) -> None:
    """A reader of the public pages knows of no other edition."""
    telling = re.compile(
        r"\bhidden\b|\bedition|left out|withheld|not shown|redact|for the shop|for the inspector|\bprivate\b"
        r"|\bdeclassif|\baudience\b",
        re.IGNORECASE,
    )
    for edition in (sample_public, empty_public):
        for name, page in edition.pages.items():
            assert telling.findall(page.text) == [], name
            kinds = "\n".join(page.kinds)
            assert telling.findall(kinds) == [], name
            assert "<!--" not in (edition.folder / name).read_text("utf-8"), name


def test_readers_are_led_by_names_not_by_numbers(sample_public: Edition) -> None:
    """But where an author wrote a number."""
    led = re.compile(r'<a href="(?:\.\./)?(?:parts|tasks)/[^"]+">([^<]*)</a>')
    numbered = re.compile(r"(TN|WING|FUS|TAIL|GEAR|FUEL|ELEC|PWR|CTRL|SHOP)-\d")
    seen = 0
    for name in sample_public.pages:
        text = (sample_public.folder / name).read_text("utf-8")
        for written in (r'<div class="held".*?</div>', r'<div class="prose">.*?</div>'):
            text = re.sub(written, "", text, flags=re.DOTALL)
        links = led.findall(text)
        seen += len(links)
        assert [each for each in links if numbered.match(each)] == [], name
    assert seen > 500


def test_the_data_tells_what_the_pages_tell(for_all: Edition) -> None:
    data = json.loads((for_all.folder / "data" / "log.json").read_bytes())
    assert {each["page"] for each in data["entries"]} == {
        name for name in for_all.pages if re.match(r"entries/(?!\d{4}-\d\d\.html|index)", name)
    }
    for each in data["entries"]:
        alts = " ".join(found.get("alt", "") for _, found in tags(for_all, each["page"]))
        text = set(f"{for_all.pages[each['page']].text} {alts}".split())
        assert set(each.get("prose", "").split()) <= text, each["page"]
        for medium in each.get("media", ()):
            assert set(medium["files"]) <= for_all.files
    assert not [
        key for each in data["entries"] for key in each if key in ("hours", "records", "key", "start")
    ]


@pytest.mark.outside
def test_no_date_breaks_over_a_line(sample_public: Edition, browser: Browser) -> None:
    page = browser.new_page(viewport={"width": 360, "height": 740})
    seen = 0
    for name in ("index.html", "entries/2025-03.html", "photographs/index.html", "parts/TN-57-1100.html"):
        page.goto(sample_public.url(name))
        lines = page.evaluate(
            "Array.from(document.querySelectorAll('time'), (each) => each.getClientRects().length)"
        )
        seen += len(lines)
        assert set(lines) == {1}, name
    assert seen > 20
    page.close()


class _Server(http.server.SimpleHTTPRequestHandler):
    """Serves an edition at its own path, and its 404 for what is not there, as hosts of folders do."""

    def __init__(self, *args, edition: Edition, **kwargs) -> None:
        self.edition = edition
        super().__init__(*args, **kwargs)

    def do_GET(self) -> None:
        path = urlsplit(self.path).path.removeprefix(urlsplit(self.edition.address).path)
        file = self.edition.folder / (unquote(path) or "index.html")
        there = file.is_file() and not path.startswith("/")
        data = (file if there else self.edition.folder / "404.html").read_bytes()
        self.send_response(200 if there else 404)
        self.send_header("Content-Type", self.guess_type(str(file)) if there else "text/html")
        self.end_headers()
        self.wfile.write(data)

    def log_message(self, format: str, *args) -> None:  # noqa: A002 - the name that its base gave it
        pass


@pytest.fixture(params=["sample_public", "mean_public"])
def served(request: pytest.FixtureRequest) -> Iterator[tuple[Edition, str]]:
    """An edition that stands on a server, and the address of its root there."""
    edition: Edition = request.getfixturevalue(request.param)
    handler = functools.partial(_Server, edition=edition)
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        yield edition, f"http://127.0.0.1:{server.server_port}{urlsplit(edition.address).path}"
        server.shutdown()
        thread.join()


@pytest.mark.outside
def test_a_lost_address_leads_home_from_any_depth(served: tuple[Edition, str], browser: Browser) -> None:
    _, root = served
    page = browser.new_page()
    answer = page.goto(f"{root}entries/deep/er/2020-01-01-gone.html")
    assert answer is not None
    assert answer.status == 404
    assert page.evaluate("getComputedStyle(document.querySelector('.frame')).borderTopWidth") != "0px"
    assert page.evaluate("window.ran") is None
    page.get_by_role("link", name="Begin at the first page").click()
    assert page.url == f"{root}index.html"
    assert page.locator("h1").is_visible()
    page.go_back()
    page.get_by_role("link", name="Feeds and data").click()
    assert page.url == f"{root}data/index.html"
    page.close()


def test_what_is_lost_runs_nothing(mean_public: Edition) -> None:
    assert RUN in (mean_public.folder / "404.html").read_text("utf-8"), "the title of that log is hostile"


@pytest.mark.outside
def test_a_clip_stands_in_its_own_size_with_a_still_and_a_name(tmp_path: Path) -> None:
    """Judge: the Nu HTML checker. That a clip has a name, a size and a still: common practice, no source."""
    still = (Rendition("first-aa.jpg", 640, 360), Rendition("first-bb.jpg", 1280, 720))
    named = 'The first "run" & more'
    photos = (
        Photo(id="m1", sort="clip", text=named, copy="c.mp4", poster=still, width=1280, height=720),
        Photo(id="m2", sort="clip", text=named, copy="d.mp4"),
        Photo(id="m3", sort="sound", text=named, copy="e.m4a", caption=named),
        Photo(id="m4", sort="document", text=named, copy="f.pdf", caption=named),
    )
    sheet = EntrySheet(
        block=Block(project="Tansy", number="x", title="x", edition=""),
        card=Card(),
        day="2026-01-01",
        weekday="Thursday",
        month=Link("January 2026", "entries/2026-01.html"),
        photos=photos,
    )
    press = Press(REPOSITORY / "themes" / "sheet")
    page = Edition(tmp_path, tmp_path)
    (tmp_path / "x.html").write_bytes(press.press(Page("entries/x.html", "public/entry.html", sheet)))
    found = tags(page, "x.html")
    clips = [each for tag, each in found if tag == "video"]
    assert [each["aria-label"] for each in clips] == [named, named]
    assert clips[0]["poster"] == "../media/first-bb.jpg"
    assert (clips[0]["width"], clips[0]["height"]) == ("1280", "720")
    assert not {"poster", "width", "height", "autoplay"} & clips[1].keys()
    assert [each["aria-label"] for tag, each in found if tag == "audio"] == [named]
    assert ("a", {"href": "../media/f.pdf"}) in found
    assert [each["message"] for each in told([tmp_path / "x.html"])] == []

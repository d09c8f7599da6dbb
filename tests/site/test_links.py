"""Every address on every page leads somewhere, nothing leads out, and every page can be come to."""

from __future__ import annotations

import posixpath
import re
import xml.etree.ElementTree as ET
from collections import Counter, deque
from urllib.parse import unquote, urlsplit

import pytest

from tests.site.editions import PUBLIC_TEMPLATES, REPOSITORY, TEMPLATES, Edition, read_page

ABROAD = ("http", "https", "mailto")
NOT_FOR_READERS = ("404.html",)
"""Pages that a server shows by itself; nothing links to them."""


def target(page: str, address: str) -> tuple[str, str]:
    """The file of the edition and the fragment that an address written on a page means.

    Raises:
        ValueError: it means no file of the edition.
    """
    asked = urlsplit(address)
    if asked.scheme or asked.netloc or asked.query or asked.path.startswith("/"):
        raise ValueError("is no plain relative address")
    path = unquote(asked.path)
    if "\\" in path:
        raise ValueError("holds a backslash")
    joined = posixpath.normpath(posixpath.join(posixpath.dirname(page), path)) if path else page
    if joined == ".." or joined.startswith("../"):
        raise ValueError("leads out of the edition")
    return joined, unquote(asked.fragment)


def broken(edition: Edition, page: str, address: str, element: str = "a") -> str:
    """What is wrong with an address written on a page; empty if nothing is."""
    scheme = urlsplit(address).scheme
    if edition.address and address.startswith(edition.address):
        # an address as it will be on the net
        page, address = "index.html", address.removeprefix(edition.address) or "index.html"
    elif page in NOT_FOR_READERS and edition.address:
        # a server shows that page at any depth, so it says where it leads from the root of the server
        address = address.removeprefix(urlsplit(edition.address).path)
    elif scheme:
        return "" if scheme in ABROAD and element == "a" else f"goes to {scheme}:"
    try:
        file, fragment = target(page, address)
    except ValueError as error:
        return str(error)
    if file not in edition.files:
        return "leads to no file"
    if fragment and fragment not in edition.pages[file].ids:
        return f"leads to {file}, where nothing is called {fragment}"
    return ""


def test_every_address_on_every_page_leads_somewhere(edition: Edition) -> None:
    wrong = [
        f"{name}:{each.line}: <{each.element} {each.attribute}={each.value!r}> {problem}"
        for name, page in edition.pages.items()
        for each in page.references
        if (problem := broken(edition, name, each.value, each.element))
    ]
    assert wrong == []
    assert sum(len(page.references) for page in edition.pages.values()) > 8 * len(edition.pages) > 20


def test_the_feed_leads_somewhere(edition: Edition) -> None:
    root = ET.fromstring((edition.folder / "feed.xml").read_text("utf-8"))  # noqa: S314 - our own file
    links = [each.get("href", "") for each in root.iter("{http://www.w3.org/2005/Atom}link")]
    assert len(links) >= 2
    assert [each for each in links if broken(edition, "feed.xml", each)] == []


def test_the_stylesheet_fetches_nothing_but_files_of_the_edition(edition: Edition) -> None:
    sheets = [name for name in edition.files if name.endswith(".css")]
    assert sheets
    for name in sheets:
        text = re.sub(r"/\*.*?\*/", "", (edition.folder / name).read_text("utf-8"), flags=re.DOTALL)
        addresses = re.findall(r"url\(\s*['\"]?([^'\")]*)", text) + re.findall(
            r"@import\s+['\"]([^'\"]*)", text
        )
        assert [each for each in addresses if broken(edition, name, each, "style")] == []


def test_no_id_stands_twice_on_a_page(edition: Edition) -> None:
    twice = {
        name: again
        for name, page in edition.pages.items()
        if (again := [each for each, times in Counter(page.ids).items() if times > 1 or not each])
    }
    assert twice == {}


def test_every_page_can_be_come_to_from_the_first(edition: Edition) -> None:
    met, ahead = {"index.html"}, deque(["index.html"])
    while ahead:
        page = ahead.popleft()
        for each in edition.pages[page].references:
            if each.element == "a" and not urlsplit(each.value).scheme and page not in NOT_FOR_READERS:
                file, _ = target(page, each.value)
                if file in edition.pages and file not in met:
                    met.add(file)
                    ahead.append(file)
    assert sorted(set(edition.pages) - met) == [*NOT_FOR_READERS]


def test_every_file_of_media_and_data_is_used(edition: Edition) -> None:
    used = {
        target(name, each.value)[0]
        for name, page in edition.pages.items()
        for each in page.references
        if not urlsplit(each.value).scheme and name not in NOT_FOR_READERS
    }
    kept = {name for name in edition.files if name.startswith(("media/", "data/"))}
    assert sorted(kept - used) == []


def test_nothing_else_is_published(edition: Edition) -> None:
    """What may lie in an edition: pages, and a short list of files that serve them."""
    others = {name for name in edition.files if not name.endswith(".html") and not name.startswith("media/")}
    public = edition.folder.name == "public"
    tables = "entries parts tasks" if public else "parts items records readings hours findings"
    data = {"log.json", *(f"{each}.csv" for each in tables.split()), *([] if public else ["README.txt"])}
    served = {"feed.json"} if public else set()
    served |= {"sitemap.xml"} if edition.address else set()
    served |= {"SHA256SUMS", "feed.xml", "sheet.css", "sheet.js"}
    assert others == served | {f"data/{each}" for each in data}


def test_names_of_files_suit_every_file_system(edition: Edition) -> None:
    """Windows: "Naming Files, Paths, and Namespaces", Microsoft Learn; macOS: case does not count."""
    device = re.compile(r"(CON|PRN|AUX|NUL|CONIN\$|CONOUT\$|(COM|LPT)[0-9¹²³])(\..*)?", re.IGNORECASE)
    for name in edition.files:
        assert len(name) < 200, name
        for step in name.split("/"):
            assert re.fullmatch(r"[A-Za-z0-9~.\-]+", step), name
            assert not device.fullmatch(step), name
            assert step[-1] not in " .", name
            assert step[0] != ".", name
    folded = Counter(name.casefold() for name in edition.files)
    assert [name for name, times in folded.items() if times > 1] == []
    folders = {"/".join(name.casefold().split("/")[:depth]) for name in edition.files for depth in (1, 2)}
    assert folders & {name for name in folded if "/" not in name} <= set(folded)


def test_every_template_of_a_page_is_judged(sample: Edition, sample_public: Edition) -> None:
    """So that a new template cannot escape the tests that look at one page of each."""
    theme = REPOSITORY / "themes" / "sheet"
    whole = {
        path.relative_to(theme).as_posix()
        for path in theme.rglob("*.html")
        if "{% extends " in path.read_text() and path.name != "frame.html"
    }
    assert {*TEMPLATES, *PUBLIC_TEMPLATES} == whole
    assert len({sample.of_template(each) for each in TEMPLATES}) == len(TEMPLATES)
    assert len({sample_public.of_template(each) for each in PUBLIC_TEMPLATES}) == len(PUBLIC_TEMPLATES)


@pytest.mark.parametrize(
    ("address", "problem"),
    [
        ("nowhere.html", "leads to no file"),
        ("../outside.html", "leads out"),
        ("/index.html", "no plain relative"),
        ("//example.org/x", "no plain relative"),
        ("javascript:alert(1)", "goes to javascript:"),
        ("data:text/html,x", "goes to data:"),
        ("index.html#nobody", "nothing is called nobody"),
        ("%2e%2e/%2e%2e/x.html", "leads out"),
        ("index.html", ""),
        ("#main", ""),
        ("https://example.org/", ""),
    ],
)
def test_the_check_itself(empty: Edition, address: str, problem: str) -> None:
    found = broken(empty, "index.html", address)
    assert problem in found
    assert bool(found) == bool(problem)


def test_the_reader_sees_every_kind_of_address(tmp_path) -> None:
    path = tmp_path / "x.html"
    path.write_text('<p id=a><a href="b"><img src=c srcset="d 1w, e 2w"><video poster=f></a><form action=g>')
    assert [each.value for each in read_page(path).references] == list("bcdefg")

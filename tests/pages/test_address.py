"""Addresses are safe and all different, on every file system."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pathvalidate import Platform, is_valid_filename

from buildlog.model.names import Item
from buildlog.pages import address

PLAIN = ("TN-57-1100", "007", "1E5", "NO", "A.B-9", "X" * 80, "-1", "COM", "COM10", "CONSOLE", "NUL-1")

# Windows: "Naming Files, Paths, and Namespaces", Microsoft Learn. macOS: APFS and HFS+ know no case.
# Linux: path_resolution(7). Each of these is unsafe as it is on at least one of them, or where case or
# Unicode form does not count.
HOSTILE = (
    "a/b", "A/B", "A#B", "A?B", "A%B", "A:B", 'A"B', "A<B", "A>B", "A|B",
    "A\\B", "A*B", "A B", " A", "A ", ".", "..", ".A", "A.", "A..", "~",
    "A~B", "X" * 81, "X" * 200, "é", "e\u0301", "Ä-1", "部品", "CON",
    "con", "AUX", "aux", "PRN", "NUL", "COM1", "LPT9", "COM¹", "CONIN$", "CON.TXT",
    "NUL.1.2", "tn-57", "Tn-57", "INDEX", "TREE", "X.HTML",
    "A\tB", "A\nB", "A\u202eB", "ß", "SS?", "ﬁ", "FI?",
)  # fmt: skip


@pytest.mark.parametrize("name", PLAIN)
def test_a_plain_name_is_used_as_it_is(name: str) -> None:
    assert address.of_part(name) == f"parts/{name}.html"
    assert address.of_entry(name.lower()) == f"entries/{name.lower()}.html"


@pytest.mark.parametrize("name", HOSTILE)
def test_any_other_name_becomes_a_slug_with_a_mark_of_its_own(name: str) -> None:
    assert re.fullmatch(r"parts/[A-Z0-9\-]*~[0-9a-f]{10}\.html", address.of_part(name))


@pytest.mark.parametrize("name", [*PLAIN, *HOSTILE])
def test_file_names_pass_the_rules_of_each_system(name: str) -> None:
    for stem in (address.upper(name), address.lower(name)):
        for platform in (Platform.WINDOWS, Platform.MACOS, Platform.LINUX):
            assert is_valid_filename(f"{stem}.html", platform=platform), stem
            assert is_valid_filename(stem, platform=platform), stem


def test_addresses_of_different_names_differ_where_case_does_not_count() -> None:
    names = dict.fromkeys((*PLAIN, *HOSTILE, *(name.lower() for name in PLAIN)))
    for of in (address.of_part, address.of_task, address.of_person, address.of_entry):
        found = [of(name).lower() for name in names]
        assert len(set(found)) == len(found)


def test_an_item_lies_below_its_part() -> None:
    assert address.of_item(Item("W-1")) == "items/W-1.html"
    assert address.of_item(Item("W-1", "L")) == "items/W-1/L.html"
    assert address.of_item(Item("W/1", "l")).startswith("items/W-1~")
    assert address.of_item(Item("A/B")) != address.of_item(Item("A", "B"))


def test_a_folder_of_items_never_meets_the_file_of_another() -> None:
    folder = address.of_item(Item("X.HTML", "L")).rpartition("/")[0]
    assert folder.lower() != address.of_item(Item("X")).lower()


def test_the_lists_keep_their_addresses() -> None:
    assert address.of_part("INDEX") != "parts/INDEX.html"
    assert address.of_part("TREE") != "parts/TREE.html"


@given(st.lists(st.text(min_size=1, max_size=100), min_size=2, unique=True))
def test_any_names_have_safe_addresses_of_their_own(names: list[str]) -> None:
    stems = [address.upper(name) for name in names]
    assert len({stem.lower() for stem in stems}) == len(names)
    assert all(re.fullmatch(r"[A-Za-z0-9.\-~]{1,91}", stem) for stem in stems)


@given(st.text(min_size=1))
def test_an_address_needs_no_escaping_in_a_link(name: str) -> None:
    for made in (address.of_part(name), address.of_lot(name), address.of_tool(name), address.of_topic(name)):
        assert re.fullmatch(r"[A-Za-z0-9.\-~/]+", made)


def test_month_and_topic() -> None:
    assert address.of_month("2026-03") == "entries/2026-03.html"
    assert address.of_topic("drawing_changed") == "format/drawing-changed.html"

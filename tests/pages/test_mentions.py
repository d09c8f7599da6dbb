"""A name counts where it stands by itself: longest first, not in code, not inside a longer number."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.pages.mentions import mentions, spans

NAMES = ("TN-57-1100", "TN-57-1100/L", "TN-57", "WING-12", "WING-1", "12", "Ä1", "A/B", "A")


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("TN-57-1100/L went in", ["TN-57-1100/L"]),
        ("(TN-57-1100/L)", ["TN-57-1100/L"]),
        ("TN-57-1100.", ["TN-57-1100"]),
        ("TN-57-1100, TN-57", ["TN-57-1100", "TN-57"]),
        ("TN-57-1100-2", []),
        ("TN-57-1100.2", []),
        ("TN-57-11000", []),
        ("XTN-57-1100", []),
        ("X-TN-57-1100", []),
        ("TN-57-1100/R", ["TN-57-1100"]),
        ("TN-57-1100/LL", ["TN-57-1100"]),
        ("TN-57-1100/12", ["TN-57-1100"]),
        ("TN-57-1100_L", []),
        ("WING-12/WING-1", ["WING-12", "WING-1"]),
        ("WING-123", []),
        ("12 ribs, 12.5 mm, 112, 12", ["12", "12"]),
        ("1.12", []),
        ("Ä1 and xÄ1", ["Ä1"]),
        ("A/B or A/C", ["A/B", "A"]),
        ("wing-12", []),
        ("– WING-12 –", ["WING-12"]),
        ("WING-12-", ["WING-12"]),
        ("", []),
    ],
)
def test_where_a_name_stands(text: str, found: list[str]) -> None:
    assert [name for _, _, name in spans(NAMES, text)] == found
    assert mentions(NAMES, text) == tuple(dict.fromkeys(found))


@pytest.mark.parametrize(
    "body",
    ["`WING-12`", "``a ` WING-12``", "```\nWING-12\n```", "````text\n```\nWING-12\n````\n"],
)
def test_code_mentions_nothing(body: str) -> None:
    assert mentions(NAMES, body) == ()


def test_code_hides_only_itself() -> None:
    assert mentions(NAMES, "`WING-1` then WING-12 and `A`") == ("WING-12",)


def test_a_name_with_marks_at_its_ends() -> None:
    assert mentions(("(X)", "#9"), "a(X)b #9, #91") == ("(X)", "#9")


def test_no_names_no_mentions() -> None:
    assert mentions((), "WING-12") == ()


@given(
    st.lists(st.text("AB1-/. ", min_size=1, max_size=4), min_size=1, max_size=6, unique=True),
    st.text("AB1-/. ", max_size=40),
)
def test_both_searches_find_the_same(names: list[str], text: str) -> None:
    found = spans(names, text)
    assert mentions(tuple(names), text) == tuple(dict.fromkeys(name for _, _, name in found))
    assert all(text[start:end] == name for start, end, name in found)
    assert all(one[1] <= other[0] for one, other in itertools.pairwise(found))

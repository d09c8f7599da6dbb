"""Links that lead to what an audience does not have go without a trace; all others stay as they are."""

from __future__ import annotations

import datetime
import re

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.edition.links import Known, unled
from buildlog.edition.view import view
from buildlog.model.entry import Entry
from buildlog.model.key import Audience
from buildlog.model.log import Log
from buildlog.model.prose import parser
from buildlog.model.settings import Settings

KNOWN = Known({"one"}, {"RIB"}, {"one.jpg"})


@pytest.mark.parametrize(
    ("body", "left"),
    [
        ("a [x](2026-03-01-hidden.md) b", "a x b"),
        ("[x](<2026-03-01-hidden.md> 'said')", "x"),
        ("[x](../entries/2020/hidden.md#spot)", "x"),
        ("[x](hidden%2Emd)", "x"),
        ("[x\ny](\nhidden.md) z", "x\ny\n z"),
        ("**[x *y*](hidden.md)**", "**x *y***"),
        ("[s][h], [h], [H][], [x][i].\n\n[h]: hidden.md\n[i]: one.md", "s, h, H, [x][i].\n\n\n[i]: one.md"),
        ("[h]\n\n[h]:\n  hidden.md\n  'said'", "h\n\n\n\n"),
        ("[a]\n\n[a]: one.md\n[A]: hidden.md", "[a]\n\n[a]: one.md\n"),
        ("![what *it* is](bill.jpg \"said\")", "what *it* is"),
        ("[![alt](one.jpg)](hidden.md)", "![alt](one.jpg)"),
        ("[![alt](bill.jpg)](one.md)", "[alt](one.md)"),
        ("![alt][b]\n\n[b]: ../media/bill.jpg", "alt\n\n"),
        ("`[x](hidden.md)`", "`x`"),
        ("> - [h]\n>\n> [h]: hidden.md\n> end", "> - h\n>\n> \n> end"),
        ("[x](g(h).md) y", "x y"),
        ("[part](../parts/HUSH.md)", "part"),
    ],
)  # fmt: skip
def test_a_link_to_what_is_hidden_leaves_its_text(body: str, left: str) -> None:
    assert unled(body, KNOWN) == left


@pytest.mark.parametrize(
    "body",
    [
        "[x](one.md)",
        "[x](../entries/one.md#spot 'said')",
        "[x](https://example.org/hidden.md) [y](mailto:hidden.md@example.org) [z](#hidden.md)",
        "![alt](one.jpg) [![alt](../media/one.jpg)](one.md)",
        "[rib](../parts/RIB.md)",
        "[x] and [y] (hidden.md), [z]: hidden.md within",
        "- [ ] open\n- [x] done",
    ],
)
def test_all_else_stays(body: str) -> None:
    assert unled(body, KNOWN) == body


PIECES = st.sampled_from(
    (*"[]()<>`*\\x\n", "![", "](", "[h]", "]: ", "hidden.md", "one.md", "\n\n", " 'a'", '"')
)


@given(st.lists(PIECES, max_size=14).map("".join))
def test_whatever_is_written_no_link_to_what_is_hidden_is_left(body: str) -> None:
    """As markdown-it reads what is left; and no line is lost, so that places are told right."""
    left = unled(body, KNOWN)
    assert left.count("\n") == body.count("\n")
    tokens = [child for token in parser().parse(left) for child in token.children or ()]
    leads = [str(each.attrs.get("href", each.attrs.get("src", ""))) for each in tokens]
    assert [each for each in leads if re.fullmatch(r"hidden\.md", each)] == []


@pytest.mark.parametrize("audience", [Audience.INSPECTOR, Audience.PUBLIC])
def test_what_a_hidden_entry_is_called_changes_nothing(audience: Audience) -> None:
    """Its file renamed, and the link with it, as the reader asks."""

    def told(key: str) -> Log:
        day = datetime.date(2026, 3, 1)
        hidden = Entry(key=key, date=day, audience=Audience.SHOP)
        shown = Entry(key="one", date=day, audience=Audience.PUBLIC, body=f"See [what we did]({key}.md).")
        log = Log(settings=Settings(title="T"), entries=(hidden, shown))
        return view(log, audience)

    assert told("2026-03-01-hidden") == told("2026-03-02-einar")
    assert told("x").entries[0].body == "See what we did."
    assert msgspec.json.encode(told("storspove")).find(b"storspove") < 0

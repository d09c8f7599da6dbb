"""Cutting passages: nothing of them is left, not even a blank line."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.model.fences import Passage, cut, cut_lines, fence_problems, passages, withhold
from buildlog.model.key import Audience
from buildlog.model.prose import link_allowed, parser, scheme_of

PUBLIC, INSPECTOR, SHOP = Audience
BODY = "One.\n\n~~~ shop only\nInvoice.\n~~~\n\nTwo.\n~~~ inspector only\nGap 0.4.\n~~~\nThree."


def test_what_each_audience_reads() -> None:
    assert cut(BODY, PUBLIC) == "One.\n\nTwo.\nThree."
    assert cut(BODY, INSPECTOR) == "One.\n\nTwo.\n\nGap 0.4.\n\nThree."
    assert cut(BODY, SHOP) == "One.\n\nInvoice.\n\nTwo.\n\nGap 0.4.\n\nThree."


def test_passages_bear_their_audience_and_line() -> None:
    assert passages(BODY) == (
        Passage(PUBLIC, "One.", 1),
        Passage(SHOP, "Invoice.", 4),
        Passage(PUBLIC, "Two.", 7),
        Passage(INSPECTOR, "Gap 0.4.", 9),
        Passage(PUBLIC, "Three.", 11),
    )
    assert passages("") == ()
    assert passages("~~~ shop only\n\n~~~") == ()
    assert passages("~~~ shop only\nx") == (Passage(SHOP, "x", 2),)


def test_withholding_leaves_the_other_fences_for_pages_to_mark() -> None:
    assert withhold(BODY, SHOP) == BODY
    assert withhold(BODY, INSPECTOR) == "One.\n\nTwo.\n~~~ inspector only\nGap 0.4.\n~~~\nThree."
    assert withhold(BODY, PUBLIC) == cut(BODY, PUBLIC)
    assert withhold("plain", PUBLIC) == "plain"


@pytest.mark.parametrize(
    ("body", "public"),
    [
        ("~~~ shop only\nx\n~~~", ""),
        ("a\n\n~~~ shop only\nx\n~~~", "a"),
        ("~~~ shop only\nx\n~~~\n\na", "a"),
        ("a\n~~~ shop only\nx\n~~~\nb", "a\nb"),
        ("a\n\n\n~~~ shop only\nx\n~~~\n\n\nb", "a\n\nb"),
        ("a\n\n~~~ shop only\nx\n~~~\nb", "a\n\nb"),
        ("a\n~~~ shop only\nx\n~~~\n\nb", "a\n\nb"),
        ("- a\n~~~ shop only\n- x\n~~~\n- b", "- a\n- b"),
        ("a\n\n~~~ shop only\nx\n~~~\n\n~~~ shop only\ny\n~~~\n\nb", "a\n\nb"),
        ("a\n\n~~~ shop only\nx\n\n\ny\n~~~\n\nb", "a\n\nb"),
        ("a\n\n~~~ shop only\nnever closed\n\nb", "a"),
    ],
)
def test_no_trace_in_spacing(body: str, public: str) -> None:
    assert cut(body, PUBLIC) == public


def test_lines_of_a_cut_know_where_they_came_from() -> None:
    assert cut_lines(BODY, INSPECTOR) == (
        ("One.", 1),
        ("", 0),
        ("Two.", 7),
        ("", 0),
        ("Gap 0.4.", 9),
        ("", 0),
        ("Three.", 11),
    )


LINE = st.sampled_from(
    ["", "text", "- point", "  more", "~~~ shop only", "~~~ inspector only", "~~~", "~~~ x", " ~~~"]
)
BODIES = st.lists(LINE, max_size=12).map("\n".join)


@given(BODIES, st.sampled_from(Audience))
def test_cutting_twice_is_cutting_once(body: str, audience: Audience) -> None:
    once = withhold(body, audience)
    assert withhold(once, audience) == once or fence_problems(body)
    assert cut(once, audience) == cut(body, audience) or fence_problems(body)


@given(
    st.lists(st.sampled_from(["", "text", "- point"]), max_size=6),
    st.text("xyz\n", max_size=9),
    st.text("xyz\n", max_size=9),
)
def test_what_a_passage_says_and_how_long_it_is_changes_nothing(
    around: list[str], one: str, other: str
) -> None:
    before, after = "\n".join(around[:3]), "\n".join(around[3:])
    bodies = [f"{before}\n~~~ shop only\n{text}\n~~~\n{after}" for text in (one, other)]
    assert cut(bodies[0], PUBLIC) == cut(bodies[1], PUBLIC)
    assert withhold(bodies[0], INSPECTOR) == withhold(bodies[1], INSPECTOR)


@given(st.text(max_size=60) | BODIES)
def test_any_body(body: str) -> None:
    for audience in Audience:
        if "~~~" not in body:
            assert cut(body, audience) == body
        cut(body, audience)
    assert all(passage.text.strip() for passage in passages(body))
    fence_problems(body)


def test_links() -> None:
    assert scheme_of(" \x01JavaScript:x") == "javascript"
    assert scheme_of("a/b:c") == ""
    assert link_allowed("https://x")
    assert link_allowed("MAILTO:x")
    assert link_allowed("../x")
    assert not link_allowed("javascript:x")
    assert not link_allowed("//x")
    assert not link_allowed("\\\\x")


def test_the_parser_of_pages_lets_neither_html_nor_such_links_through() -> None:
    """Raw HTML and forbidden links are errors before a page is made; this is the second bolt on the door."""
    html = parser().render("<b>x</b> [y](javascript:z) ![p](data:image/png;base64,x)\n\n<script>1</script>")
    assert "<b>" not in html
    assert "<script" not in html
    assert "href" not in html
    assert "<img" not in html

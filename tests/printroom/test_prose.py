"""Prose to HTML: names linked, headings below the page's own, nothing that a page's policy would refuse."""

from __future__ import annotations

import itertools

import commonmark
import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.model.fences import cut
from buildlog.model.key import Audience
from buildlog.model.log import Rendition
from buildlog.model.prose import parser
from buildlog.pages.frame import Photo, Prose
from buildlog.printroom.prose import Typesetter, digest, plain, render

NAMES = (("W-1", "parts/W-1.html"), ("W-1/L", "items/W-1/L.html"))
PHOTO = Photo(id="", sort="photo", text="spar", sizes=(Rendition("a.jpg", 4, 3), Rendition("b.jpg", 8, 6)))
SCAN = Photo(id="", sort="document", text="scan", copy="c.pdf")
LOST = Photo(id="", sort="photo", text="lost", problem="missing")


def set_(body: str, **more: object) -> str:
    return render(Prose(body, names=NAMES, **more))


@pytest.mark.parametrize(
    ("body", "html"),
    [
        ("W-1/L fits", '<p><a href="../items/W-1/L.html">W-1/L</a> fits</p>\n'),
        ("fits W-1", '<p>fits <a href="../parts/W-1.html">W-1</a></p>\n'),
        ("W-1-2 `W-1`", "<p>W-1-2 <code>W-1</code></p>\n"),
        ("*W-1*", '<p><em><a href="../parts/W-1.html">W-1</a></em></p>\n'),
        ("[W-1](https://e.org)", '<p><a href="https://e.org" rel="noreferrer">W-1</a></p>\n'),
        ("    W-1", "<pre><code>W-1\n</code></pre>\n"),
        ("# W-1", '<h2><a href="../parts/W-1.html">W-1</a></h2>\n'),
        ("## A", "<h2>A</h2>\n"),
        ("###### A", "<h2>A</h2>\n"),
        ("# A\n\n#### B\n\n### C\n\n# D", "<h2>A</h2>\n<h3>B</h3>\n<h4>C</h4>\n<h2>D</h2>\n"),
        ("a  \nb", "<p>a<br>\nb</p>\n"),
        ("<b>", "<p>&lt;b&gt;</p>\n"),
        ("[a](javascript:x)", "<p>[a](javascript:x)</p>\n"),
        ("[a](mailto:a@b.c)", '<p><a href="mailto:a@b.c" rel="noreferrer">a</a></p>\n'),
        ("[a](#top) [b](x.md) [c](y/z.pdf)", "<p>a b c</p>\n"),
    ],
)
def test_prose(body: str, html: str) -> None:
    assert set_(body) == html


def test_a_table_has_classes_for_styles() -> None:
    text = set_("| a | b | c |\n|:--|:-:|--:|\n| 1 | 2 | 3 |")
    assert "style=" not in text
    assert "<td>1</td>" in text
    assert '<td class="center">2</td>' in text
    assert '<td class="right">3</td>' in text


def test_links_into_the_log() -> None:
    places = (("2026-01-01-a", "entries/2026-01-01-a.html"), ("W.1", "parts/W.1.html"))
    body = "[a](2026-01-01-a.md) [b](../entries/x/2026-01-01-a.md#r1) [c](W.1.md) [d](2026%2D01-01-a.md)"
    text = set_(body, places=places)
    assert text.count('href="../entries/2026-01-01-a.html"') == 3
    assert 'href="../parts/W.1.html"' in text


def test_pictures_and_files_of_the_log() -> None:
    pictures = (("p.jpg", PHOTO), ("c.pdf", SCAN), ("l.jpg", LOST))
    assert set_("![a <b>](../media/p.jpg)", pictures=pictures) == (
        '<p><img src="../media/a.jpg" srcset="../media/a.jpg 4w, ../media/b.jpg 8w" '
        'sizes="(min-width: 62rem) 41rem, 100vw" width="8" height="6" alt="a &lt;b&gt;" '
        'loading="lazy" decoding="async"></p>\n'
    )
    assert 'alt="spar"' in set_("![](media/p.jpg)", pictures=pictures)
    assert set_("![](p.jpg) is [here](p.jpg)", pictures=pictures).endswith(
        ' is <a href="../media/b.jpg">here</a></p>\n'
    )
    assert set_("![scan](c.pdf)", pictures=pictures) == '<p><a href="../media/c.pdf">scan</a></p>\n'
    assert set_("[![scan](c.pdf)](c.pdf)", pictures=pictures) == '<p><a href="../media/c.pdf">scan</a></p>\n'
    assert set_("![gone](l.jpg) [so](l.jpg) ![none](n.jpg)", pictures=pictures) == "<p>gone so none</p>\n"


def test_a_passage_for_the_shop_stands_in_a_box() -> None:
    text = set_("Open.\n\n~~~ shop only\n*Closed* W-1.\n~~~\n\nOpen again.")
    assert text == (
        "<p>Open.</p>\n"
        '<div class="fence"><p class="label">For the shop only</p>\n'
        '<p><em>Closed</em> <a href="../parts/W-1.html">W-1</a>.</p>\n</div>\n'
        "<p>Open again.</p>\n"
    )


def test_a_link_may_be_defined_on_the_other_side_of_a_fence() -> None:
    text = set_("[a]\n\n~~~ inspector only\nb\n~~~\n\n[a]: https://e.org")
    assert '<a href="https://e.org" rel="noreferrer">a</a>' in text
    assert "For the inspector only" in text


def test_prose_is_kept_by_all_that_it_depends_on() -> None:
    kept: dict[bytes, str] = {}
    setter = Typesetter(kept)
    one, other = Prose("W-1", names=NAMES), Prose("W-1")
    assert setter.set(one) == setter.set(one) == render(one)
    assert setter.set(other) == "<p>W-1</p>\n"
    assert set(kept) == {digest(one), digest(other)}
    kept[digest(one)] = "from before"
    assert setter.set(one) == "from before"
    assert Typesetter().set(one) == render(one)


@pytest.mark.parametrize(
    ("body", "most", "text"),
    [
        ("# Head\n\nOne *two*\nthree `four`.\n\nFive.", 99, "One two three four."),
        ("One two three", 9, "One two …"),
        ("| a |\n|---|\n| b |", 99, ""),
        ("~~~ shop only\nIn.\n~~~", 99, "In."),
        ("", 99, ""),
    ],
)
def test_the_first_paragraph_as_plain_text(body: str, most: int, text: str) -> None:
    assert plain(body, most) == text


def test_prose_reads_as_a_second_parser_reads_it() -> None:
    """CommonMark 0.31.2, judged by the reference implementation's port (PyPI `commonmark`)."""
    body = "Para *a* **b** `c`\nline\n\n- one\n- two\n\n1. x\n2. y\n\n> q\n\n```\ncode\n```"
    body += "\n\n\\*no\\* &amp; end"
    assert render(Prose(body)) == commonmark.commonmark(body)


WORDS = st.text("W-1/L2 *_`#>\n[]()!~&<a", max_size=60)


@given(WORDS)
def test_any_prose_is_rendered_and_linked_only_in_text(body: str) -> None:
    text = set_(body)
    assert '<a href="../items/W-1/L.html"><a' not in text
    bare = render(Prose(body))
    unlinked = text
    for _, address in NAMES:
        unlinked = unlinked.replace(f'<a href="../{address}">W-1/L</a>', "W-1/L")
        unlinked = unlinked.replace(f'<a href="../{address}">W-1</a>', "W-1")
    assert unlinked == bare


@given(st.text(max_size=40))
def test_no_prose_brings_a_tag_of_its_own(body: str) -> None:
    text = render(Prose(body))
    opened = {token.split(">")[0].split(" ")[0].strip("/") for token in text.split("<")[1:]}
    assert opened <= {
        "p", "a", "em", "strong", "code", "pre", "ul", "ol", "li", "blockquote", "hr", "br",
        "h2", "h3", "h4", "h5", "h6", "table", "thead", "tbody", "tr", "th", "td", "div",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("body", "told"),
    [
        ("# Head\n\nThe *first* paragraph.\n\nThe second.", "The first paragraph."),
        ("    code\n\n    more code\n\nAfter it.", "After it."),
        ("```\nno\n\nstill code\n```\n\nAfter it.", "After it."),
        ("- a point\n\n- another", "a point"),
        ("> quoted\n\nOutside.", "quoted"),
        ("See [here][x].\n\n[x]: https://example.org/", "See here."),
        ("~~~ inspector only\nFor one.\n~~~\n\nFor all.", "For one."),
        ("| a |\n| - |\n| b |\n\nAfter the table.", "After the table."),
        ("***\n\nAfter a rule.", "After a rule."),
        ("", ""),
    ],
)
def test_the_first_paragraph_in_plain_text(body: str, told: str) -> None:
    assert plain(body, 100) == told
    whole = itertools.pairwise(parser().parse(cut(body, Audience.SHOP)))
    first = next((token for before, token in whole if before.type == "paragraph_open"), None)
    children = first.children or [] if first else []
    letters = "".join(" " if "break" in child.type else child.content for child in children)
    assert letters == told, "as the whole body, read at once, begins"

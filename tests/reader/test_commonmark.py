"""Our Markdown against a second parser: PyPI `commonmark` (the reference implementation in Python).

It follows CommonMark 0.29 and knows no tables; what is generated here stays within what 0.29 and 0.31.2 read
alike (ASCII, no raw HTML). Both outputs are normalised: attributes in order, character references decoded,
white space between blocks dropped and within text folded, for HTML shows it so. Link definitions stand in
blocks of their own: a line right below one in a list is the list's for the one parser, and not for the other.
One blank line stands at most: after two behind an empty point ours begins a new list, the other goes on.
Where marks of emphasis fall as they may, PyPI `mistune` is a third judge, and ours must side with one of the
two: the reference parser errs on `**5*6**` (rules 9 and 10 of emphasis, on multiples of 3).
"""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import commonmark
import mistune
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from buildlog.model.fences import cut
from buildlog.model.key import Audience
from buildlog.model.prose import parser
from buildlog.reader.read import read_sheet

SAMPLE = Path(__file__).parents[2] / "sample_site"
EDGES = {"code", "p", "h1", "h2", "h3", "h4", "h5", "h6", "ul", "ol", "li", "blockquote", "pre", "hr", "br"}


class _Normal(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.parts: list[tuple[str, ...]] = []
        self._in_pre = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._in_pre = self._in_pre or tag == "pre"
        self.parts.append(("<", tag, *(f"{name}={value}" for name, value in sorted(attrs, key=str))))
        if tag in ("hr", "br", "img"):
            self.parts.append((">", tag))

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)

    def handle_endtag(self, tag: str) -> None:
        self._in_pre = self._in_pre and tag != "pre"
        self.parts.append((">", tag))

    def handle_data(self, data: str) -> None:
        if self._in_pre:
            self.parts.append(("raw", data))
        else:
            self.parts.append(("text", " ".join(f"|{data}|".split())[1:-1]))


def normal(html: str) -> list[tuple[str, ...]]:
    reader = _Normal()
    reader.feed(html)
    reader.close()
    found: list[tuple[str, ...]] = []
    for part in reader.parts:
        if part[0] in ("text", "raw") and found and found[-1][0] == part[0]:
            found[-1] = (part[0], found[-1][1] + part[1])
        else:
            found.append(part)
    trimmed = []
    for at, part in enumerate(found):
        if part[0] == "text":
            text = part[1]
            before, after = found[at - 1] if at else None, found[at + 1] if at + 1 < len(found) else None
            if before is None or before[1] in EDGES:
                text = text.lstrip(" \n")
            if after is None or after[1] in EDGES:
                text = text.rstrip(" \n")
            if text:
                trimmed.append(("text", text))
        else:
            trimmed.append(part)
    return trimmed


def both_agree(markdown: str) -> None:
    text = f"{markdown}\n"
    assert normal(parser().render(text)) == normal(commonmark.commonmark(text)), markdown


def ours_is_not_alone(markdown: str) -> None:
    text = f"{markdown}\n"
    ours = normal(parser().render(text))
    others = (commonmark.commonmark(text), mistune.html(text))
    assert ours in [normal(str(html)) for html in others], markdown


_FAR_OFF = re.compile(r"^ *(?:[-+*]|\d+[.)]) {3,}\S.*\n {4,}\S", re.MULTILINE)
"""A point whose text is set off by several blanks, and a line below it indented by four.

Where that line is of marks (`---`, `#`), markdown-it-py takes it for code; both judges let the paragraph go
on (CommonMark 0.31.2, 5.2, laziness). Nobody writes it, and it is known.
"""

WORDS = r"spar glue TN-57-1100/L 0.4 ` `` [ ] ](x) (y) ! \* &amp; &lt; # ## - + 1. 2) > = === --- ```".split()
WORDS += ["[a]", "'t'"]
MARKS = "* ** *** _ __ a_b 5*6".split()
BLANKS = ["    ", "  ", " "]


def lines_of(words: list[str]) -> st.SearchStrategy[str]:
    line = st.lists(st.sampled_from(words), max_size=6)
    text = st.lists(line.map(" ".join) | line.map("".join), max_size=8).map("\n".join)
    return text.map(lambda each: re.sub(r"\n(?: *\n){2,}", "\n\n", each))


PLAIN = st.lists(
    st.sampled_from(["glue", "spar", "clamp", "*long*", "**hot**", "`TN-1`", "[rib](x.md)", "[rib]"]),
    min_size=1,
    max_size=8,
)
PROSE = PLAIN.map(" ".join)


@given(lines_of([*WORDS, *BLANKS]))
@settings(max_examples=500)
def test_generated_text(markdown: str) -> None:
    assume(not _FAR_OFF.search(markdown))
    both_agree(markdown)


@given(st.lists(st.sampled_from([*MARKS, "spar", "(glue)", "0.4", " "]), max_size=7).map("".join))
@settings(max_examples=500)
def test_generated_emphasis(marks: str) -> None:
    ours_is_not_alone(f"glue {marks}")


@given(
    st.lists(
        st.one_of(
            PROSE,
            PROSE.map("# {}".format),
            PROSE.map("> {}".format),
            st.lists(PROSE, min_size=1, max_size=4).map(
                lambda points: "\n".join(f"- {each}" for each in points)
            ),
            st.lists(PROSE, min_size=1, max_size=4).map(
                lambda points: "\n".join(f"1. {each}" for each in points)
            ),
            PROSE.map("    {}".format),
            PROSE.map("```\n{}\n```".format),
            st.just("---"),
            st.just("[rib]: x.md"),
        ),
        max_size=6,
    ).map("\n\n".join)
)
def test_generated_prose(markdown: str) -> None:
    both_agree(markdown)


@pytest.mark.parametrize("audience", Audience)
def test_the_sample_log(audience: Audience) -> None:
    files = sorted(SAMPLE.glob("entries/**/*.md"))
    assert files
    for file in files:
        entry = read_sheet(f"entries/{file.name}", file.read_bytes()).entry
        if entry and "|" not in entry.body and entry.body.isascii():
            both_agree(cut(entry.body, audience))


def test_tables_are_read_besides() -> None:
    html = parser().render("| a | b |\n|---|--:|\n| 1 | 2 |\n")
    assert "<table>" in html
    assert '<td style="text-align:right">2</td>' in html

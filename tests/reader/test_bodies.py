"""What prose may not hold, with file, line and column."""

from __future__ import annotations

from pathlib import Path

import pytest

from buildlog.reader.limits import BRACKETS_IN_A_BLOCK, LINE_CHARACTERS, LINES
from buildlog.reader.log import read_log
from buildlog.reader.read import read_sheet
from tests import logs
from tests.reader.conftest import ReadEntry

HEADER = "---\ntitle: x\n---\n\n"


def places(entry: ReadEntry, body: str) -> list[tuple[int, int]]:
    """Line and column within the body."""
    return [(each.where.line - 4, each.where.column) for each in entry(HEADER + body).problems]


@pytest.mark.parametrize(
    ("body", "place", "found"),
    [
        ("a <b>bold</b>", (1, 3), "raw HTML"),
        ("<div>\nx\n</div>", (1, 1), "raw HTML"),
        ("one\n\n> quoted <br> text", (3, 10), "raw HTML"),
        ("- one\n- two\n\n  more <i>x", (4, 8), "raw HTML"),
        ("| a | b |\n|---|---|\n| 1 | <b> |", (3, 7), "raw HTML"),
        ("`<b>` and <u>", (1, 11), "raw HTML"),
        ("`<u>` and\n`<u>` and <u>", (2, 11), "raw HTML"),
        ("a <!-- secret --> b", (1, 3), "an HTML comment"),
        ("<!-- secret\nmore -->", (1, 1), "an HTML comment"),
        ("text <!-- secret\nmore --> end", (1, 6), "an HTML comment"),
        ("<?php x ?>", (1, 1), "raw HTML"),
        ("<![CDATA[x]]>", (1, 1), "raw HTML"),
        ("<!DOCTYPE html>", (1, 1), "raw HTML"),
        ("<script>alert(1)</script>", (1, 1), "raw HTML"),
        ("see ![a](b.jpg)", (1, 5), "the picture"),
        ("see ![a]\n\n[a]: b.jpg", (1, 5), "the picture"),
        ("[x](javascript:alert(1))", (1, 3), "`javascript:`"),
        ("[x](JaVaScRiPt:alert(1))", (1, 3), "`javascript:`"),
        ("[x](&#106;avascript:alert(1))", (1, 3), "`javascript:`"),
        ("[x](java&#115;cript:alert(1))", (1, 3), "`javascript:`"),
        ("[x](<javascript:alert(1)>)", (1, 3), "`javascript:`"),
        ("<javascript:alert(1)>", (1, 1), "`javascript:`"),
        ("[x][y]\n\n[y]: javascript:alert(1)", None, "`javascript:`"),
        ("[x](data:text/html,y)", (1, 3), "`data:`"),
        ("[x](file:///etc/passwd)", (1, 3), "`file:`"),
        ("[x](vbscript:y)", (1, 3), "`vbscript:`"),
        ("[x](tel:123)", (1, 3), "`tel:`"),
        ("[x](//example.org)", (1, 3), "leads out of the log"),
        ("[x](/etc/passwd)", (1, 3), "leads out of the log"),
        ("[x](../../../x)", (1, 3), "leads out of the log"),
        ("[x](..%2f..%2f..%2fx)", (1, 3), "leads out of the log"),
        ("[x](a\\\\b)", (1, 3), "leads out of the log"),
    ],
)
def test_what_prose_may_not_hold(
    entry: ReadEntry, body: str, place: tuple[int, int] | None, found: str
) -> None:
    problems = entry(HEADER + body).problems
    assert problems
    assert found in problems[0].found
    assert problems[0].todo
    if place:
        assert (problems[0].where.line - 4, problems[0].where.column) == place


@pytest.mark.parametrize(
    "body",
    [
        "`<b>` in code",
        "```\n<b>\n<!-- x -->\n[x](javascript:y)\n```",
        "    <b>indented code</b>",
        "a < b and c > d, <5 mm",
        "&lt;b&gt;",
        "\\<b>",
        "[x](https://example.org) [y](http://e.org) [z](mailto:a@b.c) <https://e.org> <a@b.c>",
        "[x](../../parts/TN-1.md) [z](#here) [q](a.md?x)",
        "[x] and [y](not closed",
        "[ ] a task",
        "> one\n>> two\n\n1. a\n   - b\n     - c",
        "javascript: is a word here",
        "| a |\n|---|\n| 1 |",
        "-----------------------------",
        "* * * * * * * * * * * * * * *",
    ],
)
def test_what_prose_may_hold(entry: ReadEntry, body: str) -> None:
    assert entry(HEADER + body).problems == ()


def test_every_fault_of_a_body_is_told(entry: ReadEntry) -> None:
    body = "<b> and <i>\n\n<u> [x](file:y) ![p](q)\n\n> <s>"
    assert places(entry, body) == [(1, 1), (1, 9), (3, 1), (3, 7), (3, 17), (5, 3)]


def test_part_notes_are_checked_alike() -> None:
    sheet = read_sheet("parts/TN-57-1100.md", b"\n\nGood.\n\n<b>\n")
    assert [(each.where.line, each.where.column) for each in sheet.problems] == [(5, 1)]
    assert sheet.note
    assert (sheet.note.number, sheet.note.body, sheet.note.body_line) == ("TN-57-1100", "Good.\n\n<b>", 3)
    assert read_sheet("parts/.md", b"x").note is None


@pytest.mark.parametrize("mark", [">", "- ", "1. ", "> - "])
def test_deep_nesting_is_told_and_costs_nothing(entry: ReadEntry, mark: str) -> None:
    (problem,) = entry(HEADER + "fine\n\n" + mark * 4000 + "x").problems
    assert "nested more than" in problem.found
    assert problem.where.line == 7


def test_deep_nesting_by_indents(entry: ReadEntry) -> None:
    body = "\n".join("  " * depth + "- a" for depth in range(60))
    (problem,) = entry(HEADER + body).problems
    assert "nested more than" in problem.found
    shallow = "\n".join("  " * depth + "- a" for depth in range(12))
    assert entry(HEADER + shallow).problems == ()


def test_sizes_of_prose(entry: ReadEntry) -> None:
    assert "20,001 lines" in entry(HEADER + "a\n" * LINES + "a").problems[0].found
    (problem,) = entry(HEADER + "b\n" + "a" * (LINE_CHARACTERS + 1)).problems
    assert "20,001 characters" in problem.found
    assert problem.where.line == 6
    (problem,) = entry(HEADER + "b\n\n" + "[" * (BRACKETS_IN_A_BLOCK + 1)).problems
    assert "`[`" in problem.found
    assert problem.where.line == 7
    block = "[" * 600 + "\n\n"
    assert entry(HEADER + block * 30).problems == ()
    assert entry(HEADER + block * 40).problems[0].where.line == 5 + 2 * 33


@pytest.mark.parametrize(
    ("body", "place", "found"),
    [
        ("a\n\n~~~ shop only\nx", (3, 1), "never closed"),
        ("- ~~~ shop only\n  x", (1, 3), "stands in a list"),
        ("1. ~~~ shop only", (1, 4), "stands in a list"),
        ("> ~~~ shop only", (1, 3), "stands in a quote"),
        (" ~~~ shop only", (1, 2), "is indented"),
        ("    ~~~ shop only", (1, 5), "is indented"),
        ("\u00a0~~~ shop only", None, "is indented"),
        ("~~~ nobody only", (1, 1), "a fence for nobody"),
        ("~~~ public only", (1, 1), "a fence for nobody"),
        ("~~~ only", (1, 1), "a fence for nobody"),
        ("~~~ python", (1, 1), "a fence for nobody"),
        ("~~~~ shop only", (1, 1), "a fence for nobody"),
        ("~~ shop only", (1, 1), "a fence for nobody"),
        ("``` shop only", (1, 1), "a fence for nobody"),
        ("∼∼∼ shop only", (1, 1), "a fence for nobody"),
        ("~~~", (1, 1), "never begun"),
        ("~~~ shop only\na\n~~~ inspector only\nb\n~~~", (3, 1), "inside the audience fence of line 1"),
        ("```\n~~~ x\n```", (2, 1), "a fence for nobody"),
    ],
)
def test_fences_that_are_none(entry: ReadEntry, body: str, place: tuple[int, int] | None, found: str) -> None:
    problems = entry(HEADER + body).problems
    assert len(problems) == 1
    assert found in problems[0].found
    assert problems[0].todo
    if place:
        assert (problems[0].where.line - 4, problems[0].where.column) == place


def test_good_fences_and_tildes_within_a_line(entry: ReadEntry) -> None:
    body = "~~~ shop only\na\n~~~\n\n~~~Inspector  only \nb\n~~~ \nabout ~~~ and `~~~`\n~5 mm\n~~struck~~"
    assert entry(HEADER + body).problems == ()


def test_each_audience_reads_its_own_markdown(entry: ReadEntry) -> None:
    """What is harmless in the shop may turn into HTML where a passage between is cut away."""
    body = "a <b\n~~~ shop only\nx\n~~~\nclass=c> d"
    assert places(entry, body) == [(1, 3)]
    assert places(entry, "fine\n\n~~~ shop only\nx <i>\n~~~\n\n<u>") == [(4, 3), (7, 1)]


MEDIA_ENTRY = """---
media:
  - file: 2026/spar.jpg
    caption: The spar
---
{prose}
"""


@pytest.mark.parametrize(
    "prose",
    [
        "![The spar](2026/spar.jpg)",
        "![The spar](../../media/2026/spar.jpg)",
        "[the spar](2026/spar.jpg)",
        "![a]\n\n[a]: 2026/spar.jpg",
    ],
)
def test_prose_may_show_and_lead_to_what_the_entry_lists(prose: str) -> None:
    sheet = read_sheet("entries/2026/2026-03-01-x.md", MEDIA_ENTRY.format(prose=prose).encode())
    assert sheet.problems == ()


@pytest.mark.parametrize(
    ("prose", "found", "todo"),
    [
        ("![The spar](2026/spra.jpg)", "2026/spra.jpg", "2026/spar.jpg"),
        ("[the spar](2026/spra.jpg)", "leads to nothing", "2026/spar.jpg"),
        ("[list](../parts.csv)", "leads to nothing", "an entry"),
    ],
)
def test_prose_that_shows_or_leads_to_anything_else_is_told(prose: str, found: str, todo: str) -> None:
    sheet = read_sheet("entries/2026/2026-03-01-x.md", MEDIA_ENTRY.format(prose=prose).encode())
    assert len(sheet.problems) == 1
    assert found in sheet.problems[0].found
    assert todo in sheet.problems[0].todo
    assert sheet.problems[0].where.line == 6


def test_a_link_to_an_entry_that_is_not_there_is_told(tmp_path: Path) -> None:
    root = logs.write(tmp_path, "2026-03-01 key=2026-03-01-spar\n")
    path = root / "entries" / "2026-03-02-next.md"
    path.write_text("As [before](2026-03-01-spar.md), and [not](2026-03-01-sparr.md).\n", "utf-8")
    _, problems = read_log(root)
    assert len(problems) == 1
    assert (problems[0].where.line, problems[0].where.column) == (1, 42)
    assert "no entry" in problems[0].found
    assert '"2026-03-01-spar"' in problems[0].todo


def test_a_link_to_a_draft_stops_nothing(tmp_path: Path) -> None:
    root = logs.write(tmp_path, "2026-03-01 key=2026-03-01-spar\n")
    (root / "entries" / "2026-03-02-later.md").write_text("---\ndraft: true\n---\n", "utf-8")
    (root / "entries" / "2026-03-03-next.md").write_text("See [later](2026-03-02-later.md).\n", "utf-8")
    _, problems = read_log(root)
    assert problems == ()

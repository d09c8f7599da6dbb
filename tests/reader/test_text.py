"""Bytes to text: encodings, line ends, what no editor shows."""

from __future__ import annotations

import pytest

from buildlog.reader.limits import LIST_BYTES, PROSE_BYTES, SETTINGS_BYTES
from buildlog.reader.read import read_sheet
from tests.reader.conftest import ReadEntry

HEADER = "---\ntitle: Spar\nplace: Shop\n---\n"


@pytest.mark.parametrize("codec", ["utf-16", "utf-16-le", "utf-16-be"])
def test_utf_16_says_what_to_save_it_as(entry: ReadEntry, codec: str) -> None:
    problem = entry(HEADER.encode(codec)).problems[0]
    assert "UTF-16" in str(problem)
    assert "UTF-8" in problem.todo
    assert problem.where.line == 1


def test_byte_order_mark_is_tolerated(entry: ReadEntry) -> None:
    sheet = entry(b"\xef\xbb\xbf" + HEADER.encode())
    assert sheet.problems == ()
    assert sheet.entry
    assert sheet.entry.title == "Spar"


@pytest.mark.parametrize("end", ["\r\n", "\r"])
def test_other_line_ends_give_the_same_entry_with_the_same_lines(entry: ReadEntry, end: str) -> None:
    text = HEADER + "\nOne.\n\nTwo.\n"
    assert entry(text.replace("\n", end)) == entry(text)


def test_a_nul_byte_is_found_in_its_place(entry: ReadEntry) -> None:
    (problem,) = entry(HEADER + "ab\0c\n").problems
    assert (problem.where.line, problem.where.column) == (5, 3)
    assert "NUL" in problem.found


def test_control_characters_are_found_and_very_many_counted(entry: ReadEntry) -> None:
    (one,) = entry(HEADER + "a\x07\n").problems
    assert "U+0007" in one.found
    problems = entry(HEADER + "a\x07\n" * 100).problems
    assert len(problems) == 6
    assert "95 more" in problems[-1].found
    (c1,) = entry(HEADER + "é\x9fa\n").problems
    assert (c1.where.column, "U+009F" in c1.found) == (2, True)


def test_a_byte_that_is_no_utf_8_is_found_in_its_place(entry: ReadEntry) -> None:
    (problem,) = entry(HEADER.encode() + b"one\r\ntwo \xfc\n").problems
    assert (problem.where.line, problem.where.column) == (6, 5)
    assert "0xFC" in problem.found


def test_line_separators_of_unicode_do_not_count_as_lines(entry: ReadEntry) -> None:
    """Editors break lines at LF, CR and CRLF; U+2028, U+2029 and U+0085 are just characters to them."""
    sheet = entry("---\ntitle: Left\u2028spar\nplace: a\u0085b\nwrong: x\n---\na\u2028b\nc\n<b>\n")
    assert [(each.where.line, each.where.column) for each in sheet.problems] == [(4, 1), (8, 1)]
    assert sheet.entry
    assert sheet.entry.title == "Left spar"
    assert sheet.entry.place == "a b"
    assert sheet.entry.body == "a\u2028b\nc\n<b>"


@pytest.mark.parametrize(
    ("file", "limit"),
    [
        ("entries/2026-03-14-x.md", PROSE_BYTES),
        ("parts/TN-1.md", PROSE_BYTES),
        ("parts.csv", LIST_BYTES),
        ("buildlog.toml", SETTINGS_BYTES),
    ],
)
def test_files_have_a_size(file: str, limit: int) -> None:
    (problem,) = read_sheet(file, b"x" * (limit + 1)).problems
    assert "the limit is" in problem.found
    assert problem.todo


def test_very_many_problems_are_cut_short(entry: ReadEntry) -> None:
    header = "\n".join(f"wrong{number}: x" for number in range(70))
    problems = entry(f"---\n{header}\n---\n").problems
    assert len(problems) == 51
    assert "20 more" in problems[-1].found


def test_a_file_that_no_log_has() -> None:
    assert "no such file" in read_sheet("notes.txt", b"").problems[0].found

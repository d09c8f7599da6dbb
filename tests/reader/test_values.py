"""Dates, times, numbers and words, each by its key's own type."""

from __future__ import annotations

import calendar
import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.reader.names import media_path_problem, name_in, quoted
from buildlog.reader.nodes import Text
from buildlog.reader.reading import Reading
from buildlog.reader.values import date_of, number_of
from tests.reader.conftest import ReadEntry


def value(entry: ReadEntry, line: str) -> tuple[object, list[str]]:
    key = line.partition(":")[0]
    sheet = entry(f"---\n{line}\n---\n")
    assert sheet.entry
    return getattr(sheet.entry, key), [str(problem) for problem in sheet.problems]


@pytest.mark.parametrize(
    "text", ["2026-03-14", "2024-02-29", "2000-02-29", "2026–03–14", "2026‑03‑14", '"2026-03-14"']
)
def test_dates(entry: ReadEntry, text: str) -> None:
    sheet = entry(f"---\ndate: {text}\n---\n")
    assert sheet.problems == ()
    assert sheet.entry
    assert sheet.entry.header_date
    assert isinstance(sheet.entry.date, datetime.date)


@pytest.mark.parametrize(
    ("text", "found", "todo"),
    [
        ("2026-02-30", "there is no day", "calendar"),
        ("2023-02-29", "there is no day", "calendar"),
        ("1900-02-29", "there is no day", "calendar"),
        ("0000-01-01", "there is no day", "calendar"),
        ("2026-13-01", "there is no day", "calendar"),
        ("14.03.2026", "not a date of this log", "`2026-03-14`"),
        ("14/03/2026", "not a date of this log", "`2026-03-14`"),
        ("03/04/2026", "not a date of this log", "`2026-04-03` or `2026-03-04`"),
        ("2026-3-14", "not a date of this log", "`2026-03-14`"),
        ("2026/03/14", "not a date of this log", "`2026-03-14`"),
        ("99.99.2026", "is not a date", "year, month and day"),
        ("14 March 2026", "is not a date", "year, month and day"),
        ("2026-03-14T10:00", "is not a date", "year, month and day"),
        ("20260314", "is not a date", "year, month and day"),
        ("2026-W11-6", "is not a date", "year, month and day"),
        ("٢٠٢٦-٠٣-١٤", "is not a date", "year, month and day"),
    ],
)
def test_bad_and_impossible_dates(entry: ReadEntry, text: str, found: str, todo: str) -> None:
    (problem,) = entry(f"---\ndate: {text}\n---\n").problems
    assert (problem.where.line, problem.where.column) == (2, 7)
    assert found in problem.found
    assert text in problem.found
    assert todo in problem.todo


def test_leap_days_against_the_calendar_of_the_standard_library() -> None:
    for year in range(1, 2500):
        assert (date_of(f"{year:04}-02-29") is not None) == calendar.isleap(year)


@given(st.dates())
def test_every_day_is_read_back(day: datetime.date) -> None:
    assert date_of(day.isoformat()) == day


@pytest.mark.parametrize(
    ("text", "time"), [("18:30", (18, 30)), ("7:05", (7, 5)), ("00:00", (0, 0)), ("23:59", (23, 59))]
)
def test_times(entry: ReadEntry, text: str, time: tuple[int, int]) -> None:
    assert value(entry, f"start: {text}") == (datetime.time(*time), [])


@pytest.mark.parametrize("text", ["24:00", "18.30", "7:5", "18:60", "half past six", "18:30:00", "[18:30]"])
def test_bad_times(entry: ReadEntry, text: str) -> None:
    found, problems = value(entry, f"start: {text}")
    assert found is None
    assert len(problems) == 1
    assert ":2:8: " in problems[0]


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("2", "2"),
        ("2.50", "2.5"),
        (".5", "0.5"),
        ("-1", None),
        ("2,5", None),
        ("1e3", None),
        ("٣", None),
        ("", None),
    ],
)
def test_numbers(text: str, number: str | None) -> None:
    found = number_of(text)
    assert (found is None) if number is None else (found is not None and float(found) == float(number))


def test_words_of_a_few(entry: ReadEntry) -> None:
    _, problems = value(entry, "audience: pubic")
    assert 'the nearest is "public"' in problems[0]
    _, problems = value(entry, "audience: zzz")
    assert "`public` or `inspector` or `shop`" in problems[0]
    _, problems = value(entry, "draft: maybe")
    assert "`true` or `false`" in problems[0]


@pytest.mark.parametrize(
    "name",
    [
        "TN/1",
        "TN#1",
        "TN?",
        "50%",
        "a:b",
        '"a"',
        "<a>",
        "a|b",
        "with two spaces",
        ".hidden",
        "x" * 200,
        "Ærø-№7",
        "CON",
        "aux",
        "007",
        "1E5",
        "NO",
        "日本",
        "a\u200db",
    ],
)
def test_names_may_be_nearly_anything(name: str) -> None:
    reading = Reading("x.md")
    assert name_in(reading, Text(name, 1, 1)) == name
    assert reading.problems() == ()


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("", "a name is missing"),
        ("   ", "a name is missing"),
        ("x" * 201, "201 characters"),
        ("a\u202eb", "U+202E"),
        ("a\u2066b", "U+2066"),
        ("a\u200bb", "U+200B"),
        ("a\u2028b", "U+2028"),
        ("a\nb", "U+000A"),
        ("a\x00b", "U+0000"),
        ("a\ufeffb", "U+FEFF"),
        ("a\ud800b", "U+D800"),
    ],
)
def test_what_no_name_may_be(name: str, found: str) -> None:
    reading = Reading("x.md")
    assert name_in(reading, Text(name, 3, 4)) is None
    (problem,) = reading.problems()
    assert found in problem.found
    assert (problem.where.line, problem.where.column) == (3, 4)


def test_names_are_composed_and_their_blanks_plain() -> None:
    reading = Reading("x.md")
    assert name_in(reading, Text(" E\u0301\u00a01 ", 1, 1)) == "\u00c9 1"


@pytest.mark.parametrize(
    "file", ["a.jpg", "2026/spar left.jpg", ".hidden.jpg", "a..b.jpg", "ærø.jpg", "console.jpg", "com10.txt"]
)
def test_good_media_paths(file: str) -> None:
    assert media_path_problem(file) is None


@pytest.mark.parametrize(
    ("file", "found"),
    [
        ("../secrets.txt", "`..`"),
        ("a/../../b.jpg", "`..`"),
        ("..", "`..`"),
        ("/etc/passwd", "absolute"),
        ("C:/x.jpg", "drive"),
        ("c:x.jpg", "drive"),
        ("a\\b.jpg", "backslash"),
        ("\\\\host\\x.jpg", "backslash"),
        ("https://example.org/x.jpg", "address"),
        ("file:///etc/passwd", "address"),
        ("CON", "device"),
        ("a/aux.jpg", "device"),
        ("nul.tar.gz", "device"),
        ("COM1.jpg", "device"),
        ("lpt¹.jpg", "device"),
        ("a//b.jpg", "empty step"),
        ("./a.jpg", "empty step"),
        ("a/", "empty step"),
        ("", "empty step"),
        ("a?.jpg", "Windows"),
        ("ab:c.jpg", "Windows"),
        ("a./b.jpg", "Windows"),
        ("a.jpg ", "Windows"),
        ("a\u202eb.jpg", "U+202E"),
        ("x" * 501, "501 characters"),
    ],
)
def test_media_paths_that_leave_the_log_or_cannot_be_kept(file: str, found: str) -> None:
    """Device names and characters: Microsoft, "Naming Files, Paths, and Namespaces"."""
    problem = media_path_problem(file)
    assert problem
    assert found in problem[0]
    assert problem[1]


def test_device_names_agree_with_a_second_judge() -> None:
    """PyPI `pathvalidate` keeps its own table of names that Windows reserves."""
    pathvalidate = pytest.importorskip("pathvalidate")
    for name in (
        "CON",
        "PRN",
        "AUX",
        "NUL",
        *(f"COM{n}" for n in range(1, 10)),
        *(f"LPT{n}" for n in range(1, 10)),
    ):
        assert not pathvalidate.is_valid_filename(name, platform="Windows")
        assert media_path_problem(name)
    for name in ("CONE", "AUXILIARY", "COM", "LPT", "spar.jpg"):
        assert pathvalidate.is_valid_filename(name, platform="Windows")
        assert media_path_problem(name) is None


def test_quotes_show_what_cannot_be_seen_and_not_too_much() -> None:
    assert quoted("a\u202e\nb") == '"a\\u202e\\u000ab"'
    assert len(quoted("x" * 500)) < 90

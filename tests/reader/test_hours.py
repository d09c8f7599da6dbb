"""Hours, exactly, and what could mean two things."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.reader.hours import duration
from tests.reader.conftest import ReadEntry

ONE = "people: marit"
TWO = "people: [marit, bram]"


def line(entry: ReadEntry, hours: str, people: str = ONE) -> tuple[dict[str, Fraction], list[str]]:
    sheet = entry(f"---\n{people}\nwork:\n  - task: A\n    hours: {hours}\n---\n")
    assert sheet.entry
    got = {each.person: each.hours for each in sheet.entry.work[0].hours}
    return got, [str(problem) for problem in sheet.problems]


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("2.5", "5/2"),
        ("2", "2"),
        (".5", "1/2"),
        ("0.1", "1/10"),
        ("2:30", "5/2"),
        ("0:05", "1/12"),
        ("12:00", "12"),
        ("2h30", "5/2"),
        ("2 h 30 min", "5/2"),
        ("2h5min", "25/12"),
        ("2h", "2"),
        ("1.25 hours", "5/4"),
        ("150 min", "5/2"),
        ("20min", "1/3"),
        ("7 minutes", "7/60"),
        ("2H30", "5/2"),
        ("2.5 total", "5/2"),
        ("20 min each", "1/3"),
        ("0", "0"),
    ],
)
def test_forms_with_one_person(entry: ReadEntry, text: str, hours: str) -> None:
    assert line(entry, text) == ({"marit": Fraction(hours)}, [])


@pytest.mark.parametrize(
    ("text", "each"),
    [
        ("2.5 each", "5/2"),
        ("20 min each", "1/3"),
        ("5 total", "5/2"),
        ("2:30 total", "5/4"),
        ("1 Total", "1/2"),
        ("1h30 EACH", "3/2"),
    ],
)
def test_forms_with_several(entry: ReadEntry, text: str, each: str) -> None:
    assert line(entry, text, TWO) == ({"marit": Fraction(each), "bram": Fraction(each)}, [])


def test_a_third_stays_a_third(entry: ReadEntry) -> None:
    got, problems = line(entry, "10 total", "people: [marit, bram, ann]")
    assert problems == []
    assert sum(got.values()) == 10
    assert set(got.values()) == {Fraction(10, 3)}


def test_a_table_gives_each_their_own(entry: ReadEntry) -> None:
    for text in ("{marit: 2.5, bram: 1:15}", "\n      marit: 2.5\n      bram: 75 min"):
        assert line(entry, text, TWO) == ({"marit": Fraction(5, 2), "bram": Fraction(5, 4)}, [])


def test_hours_of_nobody(entry: ReadEntry) -> None:
    assert line(entry, "2.5", "place: Shop") == ({"": Fraction(5, 2)}, [])
    got, (problem,) = line(entry, "2.5 each", "place: Shop")
    assert got == {}
    assert "nobody is named" in problem


def test_people_of_the_line_come_first(entry: ReadEntry) -> None:
    got, problems = line(entry, "2.5\n    people: bram", TWO)
    assert (got, problems) == ({"bram": Fraction(5, 2)}, [])
    got, (problem,) = line(entry, "{marit: 1}\n    people: bram", TWO)
    assert '"marit" has hours' in problem


def test_a_bare_number_with_several_asks_which_is_meant(entry: ReadEntry) -> None:
    got, (problem,) = line(entry, "2.5", TWO)
    assert got == {}
    assert problem.startswith("entries/2026/2026-03-14-left-spar.md:5:12: ")
    assert "each of 2 people or of all together" in problem
    assert "`2.5 each`, `2.5 total`" in problem


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("-2.5", "less than nothing"),
        ("−2", "less than nothing"),
        ("two", "cannot be read as hours"),
        ("about 3", "cannot be read as hours"),
        ("two and a half each", "cannot be read as hours"),
        ("all day", "cannot be read as hours"),
        ("2,5", "two ways"),
        ("1,500", "two ways"),
        ("2:75", "not hours and minutes"),
        ("2:5", "not hours and minutes"),
        ("18:30-21:00", "from one time to another"),
        ("2h5", "cannot be read as hours"),
        ("2.", "cannot be read as hours"),
        ("1e3", "cannot be read as hours"),
        ("٣", "cannot be read as hours"),
        ("1234567", "cannot be read as hours"),
        ("each", "cannot be read as hours"),
        ("[1, 2]", "holds a list"),
        ("{marit: two}", "cannot be read as hours"),
        ("{marit: [1]}", "not one value"),
        ('{marit: ""}', "`hours` is empty"),
        ('{"": 1}', "a name is missing"),
    ],
)
def test_ambiguous_negative_and_wordy_hours_are_refused(entry: ReadEntry, text: str, found: str) -> None:
    got, problems = line(entry, text)
    assert got == {}
    (problem,) = problems
    assert found in problem
    assert ":5:" in problem


@given(st.integers(0, 99999), st.integers(0, 59))
def test_clock_and_minutes_agree(hours: int, minutes: int) -> None:
    exact = hours + Fraction(minutes, 60)
    assert duration(f"{hours}:{minutes:02}") == exact
    assert duration(f"{hours}h{minutes:02}") == exact


@given(st.decimals(0, 99999, places=3, allow_nan=False))
def test_decimals_are_exact(number: object) -> None:
    assert duration(str(number)) == Fraction(str(number))


@given(st.text(max_size=12))
def test_any_text_is_hours_or_none(text: str) -> None:
    found = duration(text)
    assert found is None or found >= 0

"""What YAML would do behind one's back is refused; each test runs on the C parser and on the other one."""

from __future__ import annotations

import pytest
import yaml

from tests.reader.conftest import ReadEntry

pytestmark = pytest.mark.parametrize("with_libyaml", [True, False])


@pytest.fixture(autouse=True)
def _parser(with_libyaml: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(yaml, "__with_libyaml__", with_libyaml)


@pytest.mark.parametrize(
    ("line", "column", "found"),
    [
        ("place: &home Shop", 8, "`&home` is an anchor"),
        ("place: *home", 8, "`*home` is an alias"),
        ("place: !!str Shop", 8, "is a tag"),
        ("place: ! Shop", 8, "is a tag"),
        ("<<: {place: Shop}", 1, "`<<` merges"),
        ("place: TN #3", 11, "`#` would cut off"),
        ('place: "TN" # the spar', 13, "`#` would cut off"),
        ("people: [marit] # both", 17, "`#` would cut off"),
        ("people: [marit, #bram]", 17, "`#` would cut off"),
        ("place: # in the shop", 8, "`#` would cut off"),
        ("place: Shop: north", 12, "a colon and a blank"),
        ("place: @home", 8, "cannot begin with this character"),
        ("place: **bold**", 9, "cannot begin with `*`"),
        ('place: "Shop', 8, "never closed"),
        ("place: 'Shop", 8, "never closed"),
        ("people: [marit, bram", 9, "never closed"),
        ("people: {marit: 1", 9, "never closed"),
        ('place: "Shop" north', 15, "does not go with the keys"),
        ('place: "a\\q"', 10, "a backslash"),
        ('place: "a\\xzz"', 11, "a backslash"),
        ("place: > 20 mm", 10, "cannot begin with `>`"),
        ("place: ? maybe", 8, "cannot begin with `?`"),
        ("place: , x", 8, "cannot begin with this character"),
        ("place:Shop", None, "neither `key: value`"),
        ("place: - a", 8, "a list cannot begin here"),
        ("[a, b]: c", 1, "a key is a list or table"),
        ("place\ntitle: x", None, ""),
        ("place: a\n...\n%YAML", None, ""),
    ],
)
def test_refusals_have_their_place(entry: ReadEntry, line: str, column: int | None, found: str) -> None:
    problems = entry(f"---\ntitle: Spar\n{line}\n---\n").problems
    assert problems
    assert problems[0].todo
    if column is None:
        assert problems[0].where.line in (3, 4, 5, 6)
        return
    assert problems[0].where.line == 3
    # at the backslash the one parser tells the place of the letter behind it
    assert problems[0].where.column - column in ((0, 1) if "\\" in line else (0,))
    assert found in problems[0].found


def test_duplicate_keys_name_the_first(entry: ReadEntry) -> None:
    (problem,) = entry("---\ntitle: a\nplace: b\ntitle: c\n---\n").problems
    assert (problem.where.line, problem.where.column) == (4, 1)
    assert problem.found == '"title" is here twice; the first is on line 2'


def test_directives_and_second_documents(entry: ReadEntry) -> None:
    assert entry("---\n%YAML 1.1\n--- \ntitle: x\n---\n").problems
    assert "`%`" in entry("---\n%YAML 1.1\n--- # x\ntitle: a\n---\n").problems[0].found
    assert "second document" in entry("---\ntitle: a\n--- # b\ntitle: c\n---\n").problems[0].found


def test_comments_on_lines_of_their_own_and_hashes_in_values(entry: ReadEntry) -> None:
    sheet = entry(
        "---\n# first # and more\ntitle: C#5 and a#b\nwork:\n  # within\n  - kind: 'quoted #3'\n"
        '    note: |\n      a #4\n      # b\n    task: "x # y"\n---\n'
    )
    assert sheet.problems == ()
    assert sheet.entry
    assert sheet.entry.title == "C#5 and a#b"
    line = sheet.entry.work[0]
    assert (line.kind, line.note, line.task) == ("quoted #3", "a #4\n# b", "x # y")


def test_every_cut_value_is_told(entry: ReadEntry) -> None:
    problems = entry("---\ntitle: a #1\nplace: b #2 #3\nconditions: c\n---\n").problems
    assert [(each.where.line, each.where.column) for each in problems] == [(2, 10), (3, 10)]


def test_a_quote_left_open_is_told_and_not_the_hash_in_it(entry: ReadEntry) -> None:
    (problem,) = entry('---\ntitle: a\nplace: "b #2\nconditions: c\n---\n').problems
    assert problem.where.line == 3
    assert "never closed" in problem.found


def test_values_are_text(entry: ReadEntry) -> None:
    """YAML 1.1 reads these as numbers, booleans, nulls, dates and base 60; here they are part numbers."""
    for text in (
        "1E5",
        "007",
        "NO",
        "0x1F",
        "1.10",
        "10:30",
        "~",
        "null",
        "2026-01-01",
        "1_000",
        "yes",
        ".inf",
    ):
        sheet = entry(f"---\nmedia:\n  - file: a.jpg\n    shows: {text}\nplace: {text}\n---\n")
        assert sheet.problems == ()
        assert sheet.entry
        assert sheet.entry.place == text
        assert sheet.entry.media[0].shows == (text,)


def test_lists_and_single_values(entry: ReadEntry) -> None:
    one = entry("---\npeople:\n  marit\ncompletes: A\n---\n").entry
    several = entry("---\npeople:\n  - marit\ncompletes: [A]\n---\n").entry
    assert one
    assert one == several


def test_long_texts_fold(entry: ReadEntry) -> None:
    sheet = entry("---\nplace: >\n  in the\n  shop\nconditions: |\n  21 °C\n  48 %\ntitle: a\n  b\n---\n")
    assert sheet.entry
    assert (sheet.entry.place, sheet.entry.conditions) == ("in the shop", "21 °C\n48 %")
    assert sheet.entry.title == "a b"


def test_depth_and_number_are_bounded(entry: ReadEntry) -> None:
    assert "nested too deep" in entry("---\nplace: " + "[" * 5000 + "\n---\n").problems[0].found
    assert "holds too much" in entry("---\npeople: [" + "a," * 60_000 + "]\n---\n").problems[0].found


def test_escapes_to_what_no_text_holds(entry: ReadEntry) -> None:
    (problem,) = entry('---\ntitle: "a\\0b"\n---\n').problems
    assert "U+0000" in problem.found
    assert entry('---\ntitle: "a\\ud800b"\n---\n').problems
    (problem,) = entry('---\npeople: "a\\u202eb"\n---\n').problems
    assert "U+202E" in problem.found


def test_what_yaml_cannot_hold_is_told_with_its_place(entry: ReadEntry) -> None:
    problems = entry("---\ntitle: a\nplace: a\ufeffb\n---\n").problems
    assert all(each.where.line == 3 for each in problems)

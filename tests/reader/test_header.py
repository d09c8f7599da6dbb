"""The two halves of an entry, and what a phone does to them."""

from __future__ import annotations

import datetime

import pytest

from buildlog.reader.limits import HEADER_CHARACTERS
from tests.reader.conftest import ReadEntry


def told(sheet: object) -> list[str]:
    return [str(problem) for problem in sheet.problems]


def test_a_header_never_closed(entry: ReadEntry) -> None:
    (problem,) = entry("---\ntitle: Spar\n\nWe began.\n").problems
    assert (problem.where.line, problem.where.column) == (1, 1)
    assert "never closed" in problem.found
    assert "`---`" in problem.todo


def test_a_header_never_closed_below_blank_lines_is_placed_at_its_dashes(entry: ReadEntry) -> None:
    (problem,) = entry("\n\n---\ntitle: Spar\n").problems
    assert problem.where.line == 3


def test_a_header_never_begun_is_not_taken_for_prose(entry: ReadEntry) -> None:
    (problem,) = entry("\nDate: 2026-03-14\npeople: marit\n---\nWe began.\n").problems
    assert problem.where.line == 2
    assert "no line `---` begins it" in problem.found


def test_prose_alone_takes_day_and_title_from_the_file_name(entry: ReadEntry) -> None:
    sheet = entry("Mixed the glue.\n", "entries/2026/2026-03-14-left-spar-splice.md")
    assert sheet.problems == ()
    assert sheet.entry
    assert sheet.entry.date == sheet.entry.file_date == datetime.date(2026, 3, 14)
    assert not sheet.entry.header_date
    assert sheet.entry.title == "Left spar splice"
    assert sheet.entry.body == "Mixed the glue."
    assert sheet.entry.key == "2026-03-14-left-spar-splice"


@pytest.mark.parametrize("text", ["", "\n\n", "---\n---\n", "---\n\n---\n", "---\n# only a comment\n---\n"])
def test_nothing_is_an_entry_too(entry: ReadEntry, text: str) -> None:
    sheet = entry(text)
    assert sheet.problems == ()
    assert sheet.entry
    assert sheet.entry.title == "Left spar"


@pytest.mark.parametrize(
    ("file", "title"),
    [
        ("entries/2026-03-14.md", "2026-03-14"),
        ("entries/2026-03-14_tail_wheel.md", "Tail wheel"),
        ("entries/2026-03-14 Tail wheel.md", "Tail wheel"),
        ("entries/a/b/2026-03-14-éclisse.md", "Éclisse"),
    ],
)
def test_file_names(entry: ReadEntry, file: str, title: str) -> None:
    sheet = entry("", file)
    assert sheet.problems == ()
    assert sheet.entry
    assert sheet.entry.title == title


@pytest.mark.parametrize(
    ("name", "todo"),
    [
        ("left-spar", "name it after its day, like `2026-03-14-left-spar.md`"),
        ("2026-02-30-spar", "rename it to its day, like `2026-03-14-spar.md`"),
        ("2026-13-22-x", "rename it to its day, like `2026-03-14-x.md`"),
        ("2026-13-22", "rename it to its day, like `2026-03-14-left-spar.md`"),
        ("2026-22-03-tail wheel", "rename it to `2026-03-22-tail-wheel.md`, if that is the day"),
        ("2026-3-4-spar", "rename it to `2026-03-04-spar.md`, if that is the day"),
        ("2026.03.14 spar", "rename it to `2026-03-14-spar.md`, if that is the day"),
        ("2026-03-14x", "rename it to `2026-03-14-x.md`, if that is the day"),
        ("20260314", "rename it to `2026-03-14.md`, if that is the day"),
        ("20260314-1", "rename it to `2026-03-14-1.md`, if that is the day"),
        ("202603145", "name it after its day, like `2026-03-14-202603145.md`"),
    ],
)
def test_a_file_name_without_a_day_says_how_to_name_it(entry: ReadEntry, name: str, todo: str) -> None:
    sheet = entry("", f"entries/{name}.md")
    (problem,) = sheet.problems
    assert sheet.entry is None
    assert name in problem.found
    assert problem.todo == todo
    assert len(entry("---\ndate: 2026-03-14\n---\n", f"entries/{name}.md").problems) == 1


def test_a_file_name_may_have_200_characters(entry: ReadEntry) -> None:
    name = "2026-03-14-" + "x" * 189
    assert entry("", f"entries/{name}.md").problems == ()
    assert "201 characters" in entry("", f"entries/{name}x.md").problems[0].found


def test_a_file_name_with_what_cannot_be_seen(entry: ReadEntry) -> None:
    assert "U+202E" in entry("", "entries/2026-03-14-a\u202eb.md").problems[0].found


@pytest.mark.parametrize(
    "dashes", ["---", "—-", "–-", "—", "-–", "----", "--- ", "---\u00a0", "‑‑‑", "−−−", "--", "⸻"]
)
def test_dashes_as_a_phone_writes_them(entry: ReadEntry, dashes: str) -> None:
    sheet = entry(f"{dashes}\ntitle: Spar splice\n{dashes}\nBody.\n")
    assert sheet.problems == ()
    assert sheet.entry
    assert (sheet.entry.title, sheet.entry.body, sheet.entry.body_line) == ("Spar splice", "Body.", 4)


def test_a_single_dash_is_a_list_and_no_header(entry: ReadEntry) -> None:
    sheet = entry("- one\n- two\n")
    assert sheet.entry
    assert sheet.entry.body == "- one\n- two"


@pytest.mark.parametrize(
    ("written", "title"),
    [
        ("“Left spar: splice”", "Left spar: splice"),
        ("„Left spar: splice“", "Left spar: splice"),
        ("«Left spar: splice»", "Left spar: splice"),
        ("‘Left spar: splice’", "Left spar: splice"),
        ("“Left’s spar: 'a'”", "Left’s spar: 'a'"),
        ("“Left” and “right”", "“Left” and “right”"),
        ("Marit’s spar", "Marit’s spar"),
        ("“Left”", "Left"),
    ],
)
def test_curly_quotes_around_a_value(entry: ReadEntry, written: str, title: str) -> None:
    sheet = entry(f"---\ntitle: {written}\n---\n")
    assert told(sheet) == []
    assert sheet.entry
    assert sheet.entry.title == title


def test_curly_quotes_in_a_list_and_around_what_holds_both_straight_ones(entry: ReadEntry) -> None:
    sheet = entry("---\npeople: [“marit”, ‘bram’]\nplace: “it's 5\" wide”\n---\n")
    assert told(sheet) == []
    assert sheet.entry
    assert sheet.entry.people == ("marit", "bram")
    assert sheet.entry.place == "it's 5\" wide"


def test_capital_keys_and_kinds_and_words(entry: ReadEntry) -> None:
    sheet = entry(
        "---\nTitle: Spar\nAudience: Public\n"
        "Records:\n  - Inspected: TN-1\n    Stage: x\n    By: a\n    Result: Accepted\n---\n"
    )
    assert told(sheet) == []
    assert sheet.entry
    assert sheet.entry.audience.word == "public"
    assert sheet.entry.records[0].result == "accepted"


@pytest.mark.parametrize("keys", [("title", "Title"), ("Title", "title"), ("TITLE", "Title")])
def test_a_key_twice_in_capitals_and_small_letters(entry: ReadEntry, keys: tuple[str, str]) -> None:
    (problem,) = entry(f"---\n{keys[0]}: Spar\n{keys[1]}: Rib\n---\n").problems
    assert problem.where.line == 3
    assert "twice" in problem.found


def test_no_break_spaces(entry: ReadEntry) -> None:
    sheet = entry(
        "---\ntitle:\u00a0Left\u00a0spar\n"
        "work:\n\u00a0\u00a0-\u202ftask: A\n\u00a0\u00a0\u00a0\u00a0kind: x\n---\n"
    )
    assert told(sheet) == []
    assert sheet.entry
    assert sheet.entry.title == "Left spar"
    assert sheet.entry.work[0].kind == "x"


def test_places_count_characters_not_bytes(entry: ReadEntry) -> None:
    (problem,) = entry("---\ntitle: “Ærlig”\npeople: [“é”, {x: y}]\n---\n").problems
    assert (problem.where.line, problem.where.column) == (3, 15)


def test_tabs_are_all_told_and_the_rest_is_still_read(entry: ReadEntry) -> None:
    sheet = entry("---\ntitle:\tSpar\nplace: a\tb\nwrong: x\n---\na\tb\n")
    assert [(each.where.line, each.where.column) for each in sheet.problems] == [(2, 7), (3, 9), (4, 1)]
    assert "use spaces" in sheet.problems[0].todo
    assert sheet.entry
    assert sheet.entry.body == "a\tb"


def test_a_tab_that_indents_is_told_alone(entry: ReadEntry) -> None:
    (problem,) = entry("---\nwork:\n\t- task: A\n---\n").problems
    assert (problem.where.line, problem.where.column) == (3, 1)


def test_a_header_has_a_size(entry: ReadEntry) -> None:
    (problem,) = entry("---\nplace: " + "x" * HEADER_CHARACTERS + "\n---\n").problems
    assert "the limit is" in problem.found


@pytest.mark.parametrize("header", ["- a\n- b", "just words", "'quoted'", "[a, b]"])
def test_a_header_that_is_no_table(entry: ReadEntry, header: str) -> None:
    (problem,) = entry(f"---\n{header}\n---\n").problems
    assert problem.where.line == 2
    assert "`key: value`" in problem.todo


def test_draft_sets_aside_whatever_else_is_wrong(entry: ReadEntry) -> None:
    for text in (
        "---\ndraft: true\ndate: nonsense\nwrong: x\n---\n<b>\n",
        "---\nDraft: “true”\ntitle: a: b: c\n---\n",
        "---\ndraft: true\ntitle: x\n",
        "---\ntitle: {\ndraft: TRUE\n---\n",
    ):
        sheet = entry(text)
        assert sheet.problems == ()
        assert sheet.entry is None
        assert sheet.draft
        assert sheet.draft.problems
        assert all(each.startswith("entries/2026/2026-03-14-left-spar.md:") for each in sheet.draft.problems)


def test_a_draft_keeps_its_title(entry: ReadEntry) -> None:
    draft = entry("---\ntitle: Right spar\ndraft: true\n---\n").draft
    assert draft
    assert (draft.title, draft.problems) == ("Right spar", ())


def test_draft_false_is_an_entry(entry: ReadEntry) -> None:
    sheet = entry("---\ndraft: false\n---\n")
    assert sheet.entry
    assert sheet.draft is None

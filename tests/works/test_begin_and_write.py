"""A new log compiles at once; a new entry has what was used lately as ready lines, and compiles as it is."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from buildlog.reader.log import read_log
from buildlog.works.begin import begin
from buildlog.works.compile import compile_log
from buildlog.works.outcome import Plan
from buildlog.works.standing import Refused
from buildlog.works.write import write
from tests.works.test_line import quiet, small

TODAY = datetime.date(2026, 7, 1)
NOW = datetime.datetime(2026, 7, 1, 18, 5)


@pytest.mark.parametrize("title", ["Tansy", 'A "quoted" \\ title', "Ørn, 2 seats"])
def test_a_new_log_compiles_at_once(tmp_path: Path, title: str) -> None:
    root = tmp_path / "mylog"
    written = begin(root, title, TODAY)
    assert all((root / name).is_file() for name in written)
    outcome = compile_log(root, Plan(), quiet)
    assert outcome.problems == ()
    assert outcome.title == title
    assert (root / "private" / "shop" / "items" / "P-57-0003" / "1.html").is_file()


def test_what_git_must_not_keep_is_named(tmp_path: Path) -> None:
    begin(tmp_path, "T", TODAY)
    ignored = (tmp_path / ".gitignore").read_text("utf-8").split("\n")
    assert {"private/", "site/", "secrets.txt"} <= set(ignored)


def test_a_folder_with_something_in_it_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear")
    with pytest.raises(Refused, match="something in it"):
        begin(tmp_path, "T", TODAY)
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_a_folder_that_git_began_is_empty_enough(tmp_path: Path) -> None:
    (tmp_path / ".git").mkdir()
    assert "buildlog.toml" in begin(tmp_path, "T", TODAY)


def test_a_new_entry_compiles_as_it_is_and_when_its_ready_lines_are_used(tmp_path: Path) -> None:
    root = small(tmp_path / "log")
    path = write(root, "Left spar: bonded", NOW)
    assert path.as_posix() == "entries/2026/2026-07-01-left-spar-bonded.md"
    text = (root / path).read_text("utf-8")
    for ready in ("task: W-1", "parts: TN-2/L", "kind: bonding", "made: TN-2/L", "by: okafor", "lots: EPX-1"):
        assert ready in text
    log, problems = read_log(root)
    assert problems == ()
    assert log is not None
    entry = next(entry for entry in log.entries if entry.key == path.stem)
    assert (entry.title, entry.people, entry.work) == ("Left spar: bonded", ("marit",), ())
    used = "\n".join(line.removeprefix("# ") if "Ready" not in line else line for line in text.split("\n"))
    (root / path).write_text(used, "utf-8")
    log, problems = read_log(root)
    assert problems == ()
    assert log is not None
    entry = next(entry for entry in log.entries if entry.key == path.stem)
    assert entry.work[0].task == "W-1"
    assert len(entry.records) >= 3


def test_a_task_that_is_complete_is_not_offered(tmp_path: Path) -> None:
    root = small(tmp_path / "log")
    (root / "entries" / "2026-06-01-done.md").write_text("---\ncompletes: W-1\n---\n", "utf-8")
    text = (root / write(root, "Next", NOW)).read_text("utf-8")
    assert "task: W-1" not in text


def test_a_second_entry_of_one_name_gets_a_number(tmp_path: Path) -> None:
    root = small(tmp_path / "log")
    assert [write(root, "Session", NOW).name for _ in range(3)] == [
        "2026-07-01-session.md",
        "2026-07-01-session-2.md",
        "2026-07-01-session-3.md",
    ]


def test_an_entry_starts_even_while_another_one_is_wrong(tmp_path: Path) -> None:
    root = small(tmp_path / "log")
    (root / "entries" / "2026-06-30-bad.md").write_text("---\ndate: never\n", "utf-8")
    assert (root / write(root, "Ærlig «talt»", NOW)).is_file()


def test_what_is_no_log_gets_no_entry(tmp_path: Path) -> None:
    with pytest.raises(Refused, match=r"buildlog\.toml"):
        write(tmp_path, "T", NOW)
    assert not list(tmp_path.iterdir())

"""A new log compiles at once; a new entry has what was used lately as ready lines, and compiles as it is."""

from __future__ import annotations

import datetime
import os
import subprocess
import sys
import tomllib
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
NOW = datetime.datetime(2026, 7, 1, 18, 5, tzinfo=datetime.UTC)
MIDNIGHT = datetime.datetime(2026, 6, 30, 22, 30, tzinfo=datetime.UTC)
"""Half past midnight on 1 July in Oslo, which keeps summer time: UTC + 2 h (the IANA time zone database)."""


@pytest.mark.parametrize("title", ["Tansy", 'A "quoted" \\ title', "Ørn, 2 seats"])
def test_a_new_log_compiles_at_once(tmp_path: Path, title: str) -> None:
    root = tmp_path / "mylog"
    written = begin(root, title, TODAY)
    assert all((root / name).is_file() for name in written)
    outcome = compile_log(root, Plan(), quiet)
    assert outcome.problems == ()
    assert outcome.title == title
    assert (root / "private" / "shop" / "items" / "P-57-0003" / "1.html").is_file()


def zone_of(root: Path) -> str:
    return str(tomllib.loads((root / "buildlog.toml").read_text("utf-8"))["project"].get("zone", "none"))


@pytest.mark.parametrize(
    ("machine", "zone"),
    [
        ("Europe/Oslo", "Europe/Oslo"),
        (":Europe/Oslo", "Europe/Oslo"),
        ("UTC", "none"),
        ("<+05>-5", "none"),
        ("Nowhere/Else", "none"),
    ],
)
def test_a_new_log_is_where_its_machine_is_if_that_is_a_place(
    tmp_path: Path, machine: str, zone: str
) -> None:
    root = tmp_path / "log"
    command = [sys.executable, "-m", "buildlog", "begin", str(root)]
    done = subprocess.run(command, env={**os.environ, "TZ": machine}, capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (0, b"")
    assert zone_of(root) == zone
    assert read_log(root)[1] == ()


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


def with_zone(root: Path, zone: str) -> Path:
    settings = root / "buildlog.toml"
    settings.write_text(
        settings.read_text("utf-8").replace("[project]", f'[project]\nzone = "{zone}"'), "utf-8"
    )
    return root


def test_an_entry_is_dated_where_the_log_is_and_not_where_the_machine_thinks_it_is(tmp_path: Path) -> None:
    root = with_zone(small(tmp_path / "log"), "Europe/Oslo")
    path = write(root, "Late", MIDNIGHT)
    assert path.as_posix() == "entries/2026/2026-07-01-late.md"
    assert "date: 2026-07-01\nstart: 00:30\n" in (root / path).read_text("utf-8")
    west = with_zone(small(tmp_path / "west"), "America/Los_Angeles")
    assert write(west, "Early", MIDNIGHT).name == "2026-06-30-early.md"


def test_a_log_without_a_zone_goes_by_the_clock_it_is_given(tmp_path: Path) -> None:
    assert write(small(tmp_path / "log"), "Late", MIDNIGHT).name == "2026-06-30-late.md"


def test_a_day_that_is_asked_for_is_kept(tmp_path: Path) -> None:
    root = with_zone(small(tmp_path / "log"), "Europe/Oslo")
    path = write(root, "Late", MIDNIGHT, datetime.date(2024, 2, 29))
    assert path.as_posix() == "entries/2024/2024-02-29-late.md"
    assert "date: 2024-02-29\nstart: 00:30\n" in (root / path).read_text("utf-8")


@pytest.mark.parametrize(
    ("zone", "near"),
    [("Europe/Olso", "Europe/Oslo"), ("../Europe/Oslo", "Europe/Oslo"), ("Europe", "Europe/")],
)
def test_a_zone_that_is_none_is_told_with_the_nearest(tmp_path: Path, zone: str, near: str) -> None:
    root = with_zone(small(tmp_path / "log"), zone)
    with pytest.raises(Refused, match=rf"buildlog\.toml:\d+:\d+: .* no IANA time zone.*{near}"):
        write(root, "Late", MIDNIGHT)
    assert not list((root / "entries").rglob("*late*"))


def test_settings_that_are_wrong_elsewhere_keep_nobody_from_writing(tmp_path: Path) -> None:
    root = small(tmp_path / "log")
    (root / "buildlog.toml").write_text("[project\n", "utf-8")
    assert (root / write(root, "Late", MIDNIGHT)).is_file()


@pytest.mark.parametrize(
    ("expires", "offered"), [("2026-06-30", False), ("2026-07-01", True), ("", True), ("2027-01-01", True)]
)
def test_no_lot_is_offered_past_its_last_good_day(tmp_path: Path, expires: str, offered: bool) -> None:
    root = small(tmp_path / "log")
    (root / "lots.csv").write_text(f"lot,material,expires\nEPX-1,Epoxy,{expires}\n", "utf-8")
    assert ("EPX-1" in (root / write(root, "Next", NOW)).read_text("utf-8")) is offered


def test_a_number_that_the_list_does_not_have_is_not_handed_on(tmp_path: Path) -> None:
    root = small(tmp_path / "log")
    (root / "entries" / "2026-06-20-slip.md").write_text("---\nrecords:\n  - made: TN-2O/L\n---\n")
    text = (root / write(root, "Next", NOW)).read_text("utf-8")
    assert "TN-2O" not in text
    assert "made: TN-2/L" in text


def test_what_is_bought_is_received_and_what_is_made_is_made(tmp_path: Path) -> None:
    root = small(tmp_path / "log")
    (root / "parts.csv").write_text("number,name,items,source\nTN-2,Spar,L R,Bought\nTN-3,Rib,,made\n")
    ribs = "inspected: TN-3\n    stage: to-drawing\n    by: okafor\n    result: accepted\n"
    (root / "entries" / "2026-06-20-ribs.md").write_text(f"---\nrecords:\n  - {ribs}---\n")
    text = (root / write(root, "Next", NOW)).read_text("utf-8")
    assert "#   - received: TN-2/L\n" in text
    assert "made: TN-2/L" not in text
    assert "#   - made: TN-3\n" in text


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

"""The commands as a person types them: what they print, where, and their exit status."""

from __future__ import annotations

import csv
import io
import json
import os
import pty
import re
import subprocess
import sys
from pathlib import Path

import pytest

from buildlog.cli.start import COMMANDS, main
from tests.works.test_line import small


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return small(tmp_path / "log")


def test_help_names_every_command(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["--help"])
    assert ended.value.code == 0
    told = capsys.readouterr().out
    assert all(re.search(rf"^\s+{name}\s", told, re.MULTILINE) for name in COMMANDS)
    assert "exit status" in told
    assert "airworth" in told.lower()


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_explains_itself(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main([command, "--help"])
    assert ended.value.code == 0
    assert command in capsys.readouterr().out


def test_a_wrong_call_is_2() -> None:
    with pytest.raises(SystemExit) as ended:
        main(["compile"])
    assert ended.value.code == 2


def test_compile_says_what_it_made_and_where(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["compile", str(log)]) == 0
    told = capsys.readouterr()
    assert "written" in told.out
    assert str(log / "private" / "shop" / "index.html") in told.out
    assert "major" in told.out
    assert told.err == ""
    assert main(["compile", str(log)]) == 0
    assert "nothing changed" in capsys.readouterr().out
    (log / "entries" / "2026-07-01-more.md").write_text("More.\n", "utf-8")
    assert main(["compile", str(log), "--why"]) == 0
    assert "written    entries/2026-07-01-more.html" in capsys.readouterr().out


def test_compile_reports_what_leaves_the_shop(
    log: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    entry = log / "entries" / "2026-06-01-more.md"
    (log / "media").mkdir(exist_ok=True)
    (log / "media" / "plan.pdf").write_bytes(b"%PDF-1.4 ")
    parts = log / "parts.csv"
    parts.write_text("number,name,supplier\nTN-1,Spar,Kleivdal Coatings\n", "utf-8")
    entry.write_text(
        "---\nallow: Kleivdal Coatings\nmedia:\n  - file: plan.pdf\n---\nFrom Kleivdal Coatings.\n", "utf-8"
    )
    report = tmp_path / "report.json"
    main(["compile", str(log), "--report", str(report), "--dry-run"])
    assert [each["edition"] for each in json.loads(report.read_text("utf-8"))["editions"]] == [
        "shop",
        "inspector",
        "public",
    ]
    assert not (log / "private" / "inspector").exists()
    assert main(["compile", str(log), "--report", str(report)]) == 0
    inspector = json.loads(report.read_text("utf-8"))["editions"][1]
    assert inspector["originals"] == ["plan.pdf"]
    assert inspector["allowed"] == ["entries/2026-06-01-more.md:6:1: “Kleivdal Coatings”, a supplier"]
    assert inspector["pages"] == sum(each.endswith(".html") for each in inspector["written"])
    assert "plan.pdf" in capsys.readouterr().out
    entry.write_text("---\naudience: shop\nmedia:\n  - file: plan.pdf\n---\nQuiet.\n", "utf-8")
    assert main(["compile", str(log), "--report", str(report)]) == 0
    inspector = json.loads(report.read_text("utf-8"))["editions"][1]
    assert "entries/2026-06-01-more.html" in inspector["withdrawn"]
    assert inspector["originals"] == []
    assert "may remember" in capsys.readouterr().out


def test_no_report_goes_into_an_edition(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    inside = log / "private" / "inspector" / "report.json"
    assert main(["compile", str(log)]) == 0
    assert main(["compile", str(log), "--report", str(inside)]) == 2
    assert not inside.exists()
    assert "lies in an edition" in capsys.readouterr().err


def test_compile_tells_every_problem_and_is_2(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (log / "entries" / "2026-07-01-bad.md").write_text("---\ndate: 2026-13-01\nwrok: 1\n---\n", "utf-8")
    assert main(["compile", str(log)]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "entries/2026-07-01-bad.md:2:7" in told.err
    assert "entries/2026-07-01-bad.md:3:1" in told.err
    assert "work" in told.err
    assert "2 problems" in told.err


def test_compile_refused_is_1(log: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "out" / "shop").mkdir(parents=True)
    (tmp_path / "out" / "shop" / "mine.txt").write_text("mine")
    assert main(["compile", str(log), "--out", str(tmp_path / "out")]) == 1
    assert "mine.txt" in capsys.readouterr().err


def test_what_is_no_log_is_2_for_every_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for command in (["compile"], ["findings"], ["hours"], ["write"], ["follow"]):
        assert main([*command, str(tmp_path / "nowhere")]) == 2
        assert "buildlog.toml" in capsys.readouterr().err


def test_findings_hold_at_a_grade(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["findings", str(log)]) == 1
    assert "inspection-undone" in capsys.readouterr().out
    assert main(["findings", str(log), "--hold-at", "nothing"]) == 0
    capsys.readouterr()
    assert main(["findings", str(log), "--on", "2026-03-01", "--format", "json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["day"] == "2026-03-01"
    assert {finding["rule"] for finding in told["findings"]} >= {"never-inspected"}
    keys = {"rule", "grade", "item", "part", "task", "stage", "entry", "file", "line", "message"}
    assert all(set(finding) == keys for finding in told["findings"])


def test_a_day_that_is_none_is_told(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["findings", str(log), "--on", "1.3.2026"])
    assert ended.value.code == 2
    assert "2026-03-14" in capsys.readouterr().err


def test_hours_in_every_form(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["hours", str(log), "--by", "task"]) == 0
    assert re.search(r"^W-1\s+2\.00$", capsys.readouterr().out, re.MULTILINE)
    assert main(["hours", str(log), "--by", "person", "--format", "json"]) == 0
    assert json.loads(capsys.readouterr().out) == {"total": 2.0, "rows": [{"key": "marit", "hours": 2.0}]}
    assert main(["hours", str(log), "--by", "part", "--format", "csv"]) == 0
    rows = list(csv.reader(io.StringIO(capsys.readouterr().out)))
    assert rows == [["part", "hours", "exact"], ["TN-2", "2.00", "2"]]


def test_meaning_of_a_rule_a_kind_a_key_and_of_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    for name in ("never-inspected", "inspected", "entry", "hours"):
        assert main(["meaning", name]) == 0
        assert len(capsys.readouterr().out) > 80
    assert main(["meaning"]) == 0
    assert "never-inspected" in capsys.readouterr().out
    assert main(["meaning", "never-inspectde"]) == 2
    assert "never-inspected" in capsys.readouterr().err


def test_begin_and_write(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "mine"
    assert main(["begin", str(folder), "--title", "Mine"]) == 0
    assert "buildlog compile" in capsys.readouterr().out
    assert main(["write", str(folder), "Second session", "--date", "2026-03-14"]) == 0
    assert capsys.readouterr().out.strip() == str(
        folder / "entries" / "2026" / "2026-03-14-second-session.md"
    )
    assert main(["compile", str(folder)]) == 0
    capsys.readouterr()
    assert main(["begin", str(folder)]) == 2
    assert "something in it" in capsys.readouterr().err


def run(*args: str, **environment: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "buildlog", *args],
        capture_output=True,
        text=True,
        check=False,
        env=os.environ | environment,
    )


def on_a_terminal(*args: str, **environment: str) -> str:
    """What a person at a terminal sees."""
    master, slave = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-m", "buildlog", *args],
        stdout=slave,
        stderr=slave,
        stdin=slave,
        env=os.environ | {"TERM": "xterm"} | environment,
    )
    os.close(slave)
    seen = b""
    while True:
        try:
            piece = os.read(master, 4096)
        except OSError:
            break
        if not piece:
            break
        seen += piece
    process.wait()
    os.close(master)
    return seen.decode()


def test_a_pipe_gets_no_colour_and_no_progress(log: Path) -> None:
    told = run("findings", str(log))
    assert "\x1b" not in told.stdout + told.stderr
    assert "\r" not in told.stdout + told.stderr


def test_a_terminal_gets_colour_unless_it_is_not_wanted(log: Path) -> None:
    assert "\x1b[31m" in on_a_terminal("findings", str(log), NO_COLOR="")
    assert "\x1b[3" not in on_a_terminal("findings", str(log), NO_COLOR="1")


def test_output_cut_off_by_its_reader_is_no_error(log: Path) -> None:
    command = f"{sys.executable} -m buildlog findings {log} | head -n 1"
    told = subprocess.run(["bash", "-c", command], capture_output=True, text=True, check=True)
    assert "Traceback" not in told.stderr

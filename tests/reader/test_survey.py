"""Which files there are, and what stands in the way."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from buildlog.reader import survey as module
from buildlog.reader.survey import media_problem, survey
from tests.reader.conftest import MakeLog, ReadLog, one_entry

on_posix = pytest.mark.skipif(os.name != "posix", reason="names and links of POSIX")


def test_files_are_sorted_with_size_and_time(make_log: MakeLog) -> None:
    root = make_log(
        {
            "entries/b/2026-03-14-x.md": "12345",
            "entries/2026-03-15-y.md": "",
            "parts/TN-1.md": "x",
            "parts/A/B.md": "x",
            "lots.csv": "lot\n",
            "media/spar.jpg": "no",
            "media/notes.md": "no",
            "secrets.txt": "no",
            "site/entries/2026-03-14-x.md": "no",
            "entries/.2026-03-14-x.md.swp": "no",
            "entries/.hidden/2026-03-14-x.md": "no",
            "entries/2026-03-14-x.md~": "no",
            "entries/#2026-03-14-x.md#": "no",
            "entries/README.txt": "no",
        }
    )
    found = survey(root)
    assert found.problems == ()
    assert [source.file for source in found.files] == [
        "buildlog.toml",
        "entries/2026-03-15-y.md",
        "entries/b/2026-03-14-x.md",
        "lots.csv",
        "parts.csv",
        "parts/A/B.md",
        "parts/TN-1.md",
        "secrets.txt",
        "tasks.csv",
    ]
    entry = found.files[2]
    assert entry.size == 5
    assert entry.mtime_ns == (root / entry.file).stat().st_mtime_ns


def test_a_folder_that_is_no_log(tmp_path: Path) -> None:
    found = survey(tmp_path)
    assert found.files == ()
    (problem,) = found.problems
    assert problem.where.file == "buildlog.toml"
    assert problem.todo


def test_names_that_are_nearly_right(make_log: MakeLog) -> None:
    root = make_log({"Parts.csv": "x", "Entries/2026-03-14-x.md": "x"}, without=("parts.csv",))
    found = [problem.todo for problem in survey(root).problems]
    assert found == ["rename it to `entries`", "rename it to `parts.csv`"]


def test_entries_that_would_be_lost(make_log: MakeLog) -> None:
    root = make_log(
        {"entries/2026-03-14-x.txt": "", "entries/2026-03-14-y.JPG": "", "parts/2026-03-14.jpg": ""}
    )
    text, photo = survey(root).problems
    assert "`.md`" in text.todo
    assert "media/" in photo.todo


def test_sizes_depths_and_numbers(make_log: MakeLog, monkeypatch: pytest.MonkeyPatch) -> None:
    deep = "/".join("d" * 20)
    root = make_log(
        {f"entries/{deep}/2026-03-14-x.md": "", "entries/2026-03-14-big.md": b"x" * (1024 * 1024 + 1)}
    )
    big, depth = survey(root).problems
    assert "the limit is 1 MiB" in big.found
    assert "more than 16 deep" in depth.found
    monkeypatch.setattr(module, "FILES", 2)
    found = survey(root)
    assert any("the limit is 2" in problem.found for problem in found.problems)
    assert len(found.files) == 2


def test_a_settings_file_too_large_is_told_once(make_log: MakeLog) -> None:
    (problem,) = survey(make_log({"buildlog.toml": b"#" * (1024 * 1024 + 1)})).problems
    assert "1,048,577 bytes" in problem.found


@on_posix
def test_links_that_leave_the_log(make_log: MakeLog, tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "2026-03-14-x.md").write_text("secret")
    root = make_log({"entries/2026-03-15-y.md": ""})
    (root / "entries/2026-03-14-x.md").symlink_to(outside / "2026-03-14-x.md")
    (root / "entries/2026-03-16-gone.md").symlink_to(outside / "gone.md")
    (root / "entries/2026-03-18-inside.md").symlink_to(root / "entries/2026-03-19-gone.md")
    (root / "entries/linked").symlink_to(outside)
    (root / "entries/2026-03-17-z.md").symlink_to(root / "entries/2026-03-15-y.md")
    (root / "parts").symlink_to(outside)
    found = survey(root)
    told = {problem.where.file: problem.found for problem in found.problems}
    assert "leaves the log" in told["entries/2026-03-14-x.md"]
    assert "a symbolic link to nothing" in told.pop("entries/2026-03-18-inside.md")
    assert set(told) == {"entries/2026-03-14-x.md", "entries/2026-03-16-gone.md", "entries/linked", "parts"}
    assert "entries/2026-03-17-z.md" in [source.file for source in found.files]


@on_posix
def test_a_log_may_itself_be_reached_by_a_link(make_log: MakeLog, tmp_path: Path) -> None:
    root = make_log({"entries/2026-03-15-y.md": ""})
    (tmp_path / "link").symlink_to(root)
    assert survey(tmp_path / "link") == survey(root)


@on_posix
def test_things_that_are_no_files(make_log: MakeLog) -> None:
    root = make_log({"parts": "a file"})
    (root / "entries").mkdir()
    (root / "entries/2026-03-14-dir.md").mkdir()
    os.mkfifo(root / "entries/2026-03-14-pipe.md")
    told = {problem.where.file: problem.found for problem in survey(root).problems}
    assert "a folder is expected" in told["parts"]
    assert "no ordinary file" in told["entries/2026-03-14-dir.md"]
    assert "no ordinary file" in told["entries/2026-03-14-pipe.md"]


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux keeps such names")
def test_names_that_are_no_utf_8(make_log: MakeLog) -> None:
    root = make_log({"entries/2026-03-14-ærlig.md": ""})
    (root / "entries" / os.fsdecode(b"2026-03-14-\xff.md")).write_bytes(b"")
    (root / os.fsdecode(b"\xff")).write_bytes(b"")
    found = survey(root)
    assert [problem.where.file for problem in found.problems] == ["entries/2026-03-14-\ufffd.md", "\ufffd"]
    assert "entries/2026-03-14-ærlig.md" in [source.file for source in found.files]


@on_posix
def test_a_file_that_goes_away_meanwhile_or_cannot_be_read(
    make_log: MakeLog, monkeypatch: pytest.MonkeyPatch, log_of: ReadLog
) -> None:
    root = make_log({"entries/2026-03-14-x.md": ""})

    def refuse(path: Path) -> bytes:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "read_bytes", refuse)
    _, problems = log_of()
    assert {problem.where.file for problem in problems} >= {"buildlog.toml", "entries/2026-03-14-x.md"}
    assert "Permission denied" in problems[0].found

    class Gone:
        name, path = "parts.csv", str(root / "parts.csv")

        def is_symlink(self) -> bool:
            return False

        def stat(self) -> os.stat_result:
            raise FileNotFoundError(2, "gone")

    monkeypatch.setattr(module._Walk, "_entries", lambda self, folder, file: iter([Gone()]))
    assert survey(root).files == ()


@on_posix
def test_media_that_leave_the_log_by_a_link(make_log: MakeLog, tmp_path: Path, log_of: ReadLog) -> None:
    outside = tmp_path / "private"
    outside.mkdir()
    (outside / "x.jpg").write_bytes(b"x")
    files = one_entry(
        "media:\n  - file: in/x.jpg\n  - file: out/x.jpg\n  - file: x.jpg\n"
        "  - file: missing.jpg\n  - file: secrets.txt"
    )
    root = make_log({**files, "media/in/x.jpg": b"x", "secrets.txt": "whisper"})
    (root / "media/out").symlink_to(outside)
    (root / "media/x.jpg").symlink_to(outside / "x.jpg")
    (root / "media/secrets.txt").symlink_to(root / "secrets.txt")
    (root / "media/alias.jpg").symlink_to(root / "media/in/x.jpg")
    assert media_problem(root, "in/x.jpg") is None
    assert media_problem(root, "alias.jpg") is None
    assert media_problem(root, "missing.jpg") is None
    assert media_problem(root, "../secrets.txt")
    _, problems = log_of(files)
    assert [(problem.where.line, "symbolic link" in problem.found) for problem in problems] == [
        (4, True),
        (5, True),
        (7, True),
    ]


def test_a_missing_media_file_is_no_error(log_of: ReadLog) -> None:
    log, problems = log_of(
        one_entry("media: [{file: not-there.jpg}]\nrecords: [{damaged: X, document: scan.pdf}]")
    )
    assert problems == ()
    assert log


def test_media_of_a_draft_stop_nothing(log_of: ReadLog) -> None:
    assert log_of(one_entry("draft: true\nmedia: [{file: ../x.jpg}]"))[1] == ()


def test_a_folder_that_is_not_there_is_told_as_that_and_nothing_else(tmp_path: Path) -> None:
    (problem,) = survey(tmp_path / "mylgo").problems
    assert str(problem).startswith(
        f"there is no folder {tmp_path / 'mylgo'}; name the one that holds buildlog.toml"
    )
    (tmp_path / "buildlog.toml").write_text("format = 1\n")
    (problem,) = survey(tmp_path / "buildlog.toml").problems
    assert str(problem).endswith("buildlog.toml is no folder; name the folder that holds buildlog.toml")

"""Small logs and single files to read."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings

from buildlog.model.log import Log, Problem
from buildlog.reader.log import read_log
from buildlog.reader.read import read_sheet
from buildlog.reader.sheets import Sheet

# how long an example takes depends on what else the machine does
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")

SETTINGS = """\
format = 1
[project]
title = "Tansy"
[people.marit]
name = "Marit Solheim"
roles = ["builder"]
[people.bram]
name = "Bram Ostervald"
[people.okafor]
name = "J. Okafor"
roles = ["inspector"]
[milestones.first-taxi]
title = "First taxi"
"""
PARTS = """\
number,name,class,items,parent
TN-57-1000,Wing,assembly,L R,
TN-57-1100,Spar,critical,L R,TN-57-1000
TN-57-1210,Rib,,4,TN-57-1000
TN-32-0040,Tail wheel,,,
"""
TASKS = """\
task,title,after
WING-11,Cut the spars,
WING-12,Splice the spars,WING-11
"""

Files = dict[str, str | bytes]
ReadEntry = Callable[..., Sheet]
MakeLog = Callable[..., Path]
ReadLog = Callable[..., tuple[Log | None, tuple[Problem, ...]]]


@pytest.fixture
def entry() -> ReadEntry:
    def read(text: str | bytes, file: str = "entries/2026/2026-03-14-left-spar.md") -> Sheet:
        return read_sheet(file, text.encode() if isinstance(text, str) else text)

    return read


@pytest.fixture
def make_log(tmp_path: Path) -> MakeLog:
    """A log with builders, an inspector, four parts, two tasks; the files given come beside or instead."""

    def make(files: Files | None = None, *, without: tuple[str, ...] = ()) -> Path:
        root = tmp_path / "mylog"
        base: Files = {"buildlog.toml": SETTINGS, "parts.csv": PARTS, "tasks.csv": TASKS}
        for name, content in {**base, **(files or {})}.items():
            if name in without:
                continue
            path = root / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content.encode() if isinstance(content, str) else content)
        return root

    return make


@pytest.fixture
def log_of(make_log: MakeLog) -> ReadLog:
    def read(
        files: Files | None = None, *, without: tuple[str, ...] = (), rules: tuple[str, ...] = ()
    ) -> tuple[Log | None, tuple[Problem, ...]]:
        return read_log(make_log(files, without=without), rules)

    return read


def one_entry(header: str, body: str = "") -> Files:
    """An entry of 14 March 2026 with this header."""
    return {"entries/2026-03-14-left-spar.md": f"---\n{header}\n---\n{body}"}

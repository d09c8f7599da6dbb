"""The house stands as DESIGN draws it: who may import whom, and where a clock, a printer or a file may be."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "buildlog"

MAY_IMPORT = {
    "model": set(),
    "reader": {"model"},
    "edition": {"model"},
    "reckoning": {"model"},
    "rules": {"model", "reckoning"},
    "readiness": {"model", "reckoning", "rules"},
    "media": {"model"},
    "pages": {"model", "edition", "reckoning", "rules", "readiness", "media"},
    "printroom": {"pages", "model"},
    "works": {
        "model",
        "reader",
        "edition",
        "reckoning",
        "rules",
        "readiness",
        "media",
        "pages",
        "printroom",
    },
    "cli": {
        "model",
        "reader",
        "edition",
        "reckoning",
        "rules",
        "readiness",
        "media",
        "pages",
        "printroom",
        "works",
    },
}

PURE = ("model", "edition", "reckoning", "rules", "readiness", "pages")
"""Rooms that know no clock, no environment and no file."""

IMPURE_MODULES = {
    "os",
    "time",
    "random",
    "secrets",
    "socket",
    "subprocess",
    "tempfile",
    "getpass",
}

MODULES = sorted(PACKAGE.rglob("*.py"))


def room_of(path: Path) -> str:
    inner = path.relative_to(PACKAGE).parts
    return inner[0] if len(inner) > 1 else ""


def imported(tree: ast.AST) -> Iterator[tuple[str, int]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield alias.name, node.lineno
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute, so that the table can be checked"
            yield node.module or "", node.lineno
            for alias in node.names:
                yield f"{node.module}.{alias.name}", node.lineno


def test_every_room_is_in_the_table() -> None:
    rooms = {path.name for path in PACKAGE.iterdir() if path.is_dir() and list(path.glob("*.py"))}
    assert rooms <= set(MAY_IMPORT) | {"themes"}


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_a_room_imports_only_what_it_may(path: Path) -> None:
    room = room_of(path)
    if not room:
        return
    for name, line in imported(ast.parse(path.read_text("utf-8"))):
        parts = name.split(".")
        if parts[0] == "buildlog" and len(parts) > 1 and parts[1] in MAY_IMPORT:
            assert parts[1] == room or parts[1] in MAY_IMPORT[room], f"{path}:{line} imports {name}"


@pytest.mark.parametrize(
    "path",
    [path for path in MODULES if room_of(path) in PURE],
    ids=lambda path: str(path.relative_to(PACKAGE)),
)
def test_a_pure_room_has_no_clock_and_no_file(path: Path) -> None:
    tree = ast.parse(path.read_text("utf-8"))
    for name, line in imported(tree):
        assert name.split(".")[0] not in IMPURE_MODULES, f"{path}:{line} imports {name}"
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            called = node.func
            name = called.attr if isinstance(called, ast.Attribute) else getattr(called, "id", "")
            assert name not in {"now", "today", "utcnow", "open", "read_text", "read_bytes", "write_text"}, (
                f"{path}:{node.lineno} calls {name}"
            )


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_no_file_is_long(path: Path) -> None:
    assert len(path.read_text("utf-8").splitlines()) <= 420, "split it: a file has one subject"


def test_only_the_command_line_prints() -> None:
    for path in MODULES:
        if room_of(path) == "cli":
            continue
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                assert node.func.id != "print", f"{path}:{node.lineno}"


def test_no_drawer_for_odds_and_ends() -> None:
    assert not [path for path in MODULES if path.stem in {"utils", "util", "common", "misc", "helpers"}]

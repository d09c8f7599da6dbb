"""Reckoning is pure: it may not even name what reads a clock, a file, the environment or chance."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import buildlog.reckoning

MODULES = sorted(Path(buildlog.reckoning.__file__).parent.glob("*.py"))

ALLOWED = {
    "__future__",
    "bisect",
    "buildlog.model",
    "buildlog.reckoning",
    "collections",
    "collections.abc",
    "datetime",
    "enum",
    "fractions",
    "functools",
    "msgspec",
    "itertools",
    "math",
    "operator",
    "typing",
    "zlib",
}
CALLS = {"open", "print", "input", "eval", "exec", "id", "hash", "vars", "globals", "__import__"}
CLOCKS = {"now", "today", "utcnow", "fromtimestamp", "time_ns"}


def imported(tree: ast.AST) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            found.add(node.module or "." * node.level)
    return found


def test_there_is_something_to_look_at() -> None:
    assert {"reckon.py", "status.py", "hours.py"} <= {path.name for path in MODULES}


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.name)
def test_a_module_imports_only_what_cannot_look_around(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    rooms = {
        ".".join(name.split(".")[:2]) if name.startswith("buildlog.") else name for name in imported(tree)
    }
    assert rooms <= ALLOWED
    calls = [node.func for node in ast.walk(tree) if isinstance(node, ast.Call)]
    names = {node.id for node in calls if isinstance(node, ast.Name)}
    attributes = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
    assert not names & CALLS
    assert not attributes & CLOCKS
    assert not any(isinstance(node, ast.Global | ast.Nonlocal) for node in ast.walk(tree))


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.name)
def test_what_a_module_holds_cannot_change(path: Path) -> None:
    """Whatever a module keeps for itself is a constant: no list, dictionary or set at its top."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    kept = [node for node in tree.body if isinstance(node, ast.Assign | ast.AnnAssign)]
    loose = [
        ast.unparse(node)
        for node in kept
        if isinstance(node.value, ast.List | ast.Dict | ast.Set | ast.ListComp | ast.DictComp | ast.SetComp)
        and "__all__" not in ast.unparse(node)
    ]
    assert loose == []

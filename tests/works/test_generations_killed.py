"""A process killed at any moment leaves the old edition or the new one, and the next run puts all right.

A child process publishes and kills itself with SIGKILL around its n-th call to the system that changes
anything, once before and once after the call, for every n there is.
"""

from __future__ import annotations

import os
import shutil
import signal
import sys
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from buildlog.works import disk, generations
from buildlog.works.generations import Leaf, leaf_of, publish
from buildlog.works.standing import LIST, stand

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="needs fork and SIGKILL")

DAY, NEXT_DAY = 1_773_446_400, 1_773_532_800
OLDEST = {"index.html": b"0", "parts/a.html": b"a", "gone/once.html": b"x"}
OLD = {"index.html": b"1", "parts/a.html": b"a", "parts/b.html": b"b", "was": b"a file"}
NEW = {
    "index.html": b"22",
    "parts/a.html": b"a",
    "parts/c.html": b"b",
    "was/folder.html": b"f",
    "big": b"z" * 99,
}

CHANGING = (
    "open",
    "write",
    "close",
    "chmod",
    "utime",
    "rename",
    "unlink",
    "rmdir",
    "mkdir",
    "link",
    "replace",
)
"""The functions of `os` that change a disk. `Path.rename` and `Path.mkdir` go through them too."""


def contents(folder: Path) -> dict[str, bytes] | None:
    if not folder.exists():
        return None
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


def tree(folder: Path) -> dict[str, tuple[bytes | None, int, int]]:
    return {
        path.relative_to(folder).as_posix(): (
            path.read_bytes() if path.is_file() else None,
            path.lstat().st_mtime_ns,
            path.lstat().st_mode,
        )
        for path in (folder, *folder.rglob("*"))
    }


def put(place: Path, files: dict[str, bytes], stamp: int) -> None:
    """As a compile does it: one file from a staging folder, the rest in memory."""
    staged = place / "staged"
    staged.parent.mkdir(exist_ok=True)
    staged.write_bytes(files["index.html"])
    leaves = {path: leaf_of(data) for path, data in files.items()}
    leaves["index.html"] = Leaf(leaves["index.html"].digest, source=staged, move=True)
    publish(stand(place / "out", place / "kept/back"), leaves, stamp=stamp)


def _arm(fatal: int) -> Callable[[], int]:
    """Let the process kill itself at its `fatal`-th step; return a count of the steps so far."""
    steps = 0

    def tick() -> None:
        nonlocal steps
        steps += 1
        if steps == fatal:
            os.kill(os.getpid(), signal.SIGKILL)

    def around(call: Callable[..., Any]) -> Callable[..., Any]:
        def guarded(*args: Any, **kwargs: Any) -> Any:
            tick()
            result = call(*args, **kwargs)
            tick()
            return result

        return guarded

    for name in CHANGING:
        setattr(os, name, around(getattr(os, name)))
    disk.exchange = around(disk.exchange)
    return lambda: steps


def _child(place: Path, fatal: int, links: bool, exchanges: bool) -> bool:
    """Publish NEW in a child process that is killed at step `fatal`; return whether it was."""
    child = os.fork()
    if child == 0:
        try:
            if not links:
                _refuse(generations.os, "link", OSError(1, "no links"))
            if not exchanges:
                _refuse(disk, "exchange", disk.ExchangeError(38, "no exchange"))
            _arm(fatal)
            put(place, NEW, NEXT_DAY)
        except BaseException:  # noqa: BLE001, RUF100 - a child of a test must not come back as a second test run
            traceback.print_exc()
            os._exit(3)
        os._exit(0)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        assert os.WTERMSIG(status) == signal.SIGKILL
        return True
    assert os.WEXITSTATUS(status) == 0
    return False


def _refuse(module: Any, name: str, error: Exception) -> None:
    def refuse(*_: object) -> None:
        raise error

    setattr(module, name, refuse)


def _listed(files: dict[str, bytes], place: Path) -> dict[str, bytes]:
    put(place, files, DAY)
    return contents(place / "out") or {}


@pytest.mark.parametrize("before", [[], [OLD], [OLDEST, OLD]], ids=["nothing", "one edition", "two editions"])
@pytest.mark.parametrize(
    ("links", "exchanges"),
    [(True, True), (False, True), (True, False), (False, False)],
    ids=["all", "no links", "no exchange", "neither"],
)
def test_killed_at_any_step(
    tmp_path: Path, before: list[dict[str, bytes]], links: bool, exchanges: bool
) -> None:
    start = tmp_path / "start"
    start.mkdir()
    for files in before:
        put(start, files, DAY)
    put(tmp_path / "clean", NEW, NEXT_DAY)
    wanted = tree(tmp_path / "clean/out")
    old = _listed(OLD, tmp_path / "old") if before else None
    new = contents(tmp_path / "clean/out")
    outcomes: list[str] = []
    for fatal in range(1, 1000):
        place = tmp_path / "place"
        shutil.copytree(start, place)
        if links and len(before) > 1:
            _link_alike(place)
        killed = _child(place, fatal, links, exchanges)
        found = contents(place / "out")
        if not exchanges and before and found is None:
            outcomes.append("between")
        else:
            assert found in (old, new), f"a mix after step {fatal}"
            outcomes.append("new" if found == new else "old")
        stand(place / "out", place / "kept/back")
        assert contents(place / "out") in (old, new)
        put(place, NEW, NEXT_DAY)
        assert tree(place / "out") == wanted, f"not put right after step {fatal}"
        shutil.rmtree(place)
        if not killed:
            break
    else:
        pytest.fail("never ended")
    assert fatal > 40
    turns = [one for one, other in zip(outcomes, ["", *outcomes], strict=False) if one != other]
    expected = ["old", "between", "new"] if before and not exchanges else ["old", "new"]
    assert turns == expected


def _link_alike(place: Path) -> None:
    """A copied tree has lost its links: tie the files that both generations share together again."""
    for path in (place / "out").rglob("*"):
        twin = place / "kept/back" / path.relative_to(place / "out")
        if path.is_file() and twin.is_file() and path.read_bytes() == twin.read_bytes():
            twin.unlink()
            twin.hardlink_to(path)


def test_killed_while_a_kill_is_put_right(tmp_path: Path) -> None:
    """Twice in a row: the second run is killed too, at every step of its mending, and the third mends it."""
    for first in (9, 25, 40):
        for second in range(1, 60, 3):
            place = tmp_path / "place"
            place.mkdir()
            for files in (OLDEST, OLD):
                put(place, files, DAY)
            _child(place, first, links=True, exchanges=False)
            _child(place, second, links=True, exchanges=False)
            put(place, NEW, NEXT_DAY)
            assert (contents(place / "out") or {}).keys() == {*NEW, LIST}
            shutil.rmtree(place)

"""Which tool and which theme made a thing: digests that change when anything that could change a page does.

They are reckoned from the bytes of the source files in each run, which takes some milliseconds, so that who
works on the tool or the theme sees every change at once.
"""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Iterable
from pathlib import Path

from buildlog.works.seen import digest_of

_PACKAGE = Path(__file__).resolve().parents[1]


def tool_digest(package: Path = _PACKAGE, paths: Iterable[str] | None = None) -> str:
    """The digest of the tool's own source files, of Python's version, and of the libraries installed.

    Libraries are known by the names of their `.dist-info` folders on `paths` (by default `sys.path`), which
    hold their versions: reading those takes a fraction of asking `importlib.metadata`.
    """
    return _digest(
        [sys.version, *_libraries(sys.path if paths is None else paths), *_lines(package, ending=".py")]
    )


def theme_digest(theme: Path) -> str:
    """The digest of every file of a theme, names included."""
    return _digest(_lines(theme))


def _libraries(paths: Iterable[str]) -> list[str]:
    found: set[str] = set()
    for path in paths:
        if Path(path).is_dir():
            found.update(each.name for each in Path(path).glob("*.dist-info"))
    return sorted(found)


def _lines(folder: Path, ending: str = "") -> list[str]:
    """The files below a folder with their digests, by name. As plain text: a Path for each costs as much."""
    found: list[tuple[str, str]] = []
    for place, _, names in os.walk(folder):
        below = place[len(str(folder)) :].replace(os.sep, "/")
        found += [
            (f"{below}/{name}"[1:], f"{place}{os.sep}{name}") for name in names if name.endswith(ending)
        ]
    return [f"{digest_of(path)}  {name}" for name, path in sorted(found)]


def _digest(lines: Iterable[str]) -> str:
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()

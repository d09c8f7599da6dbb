"""Which tool and which theme made a thing: digests that change when anything that could change a page does.

They are reckoned from the bytes of the source files in each run, which takes some milliseconds, so that who
works on the tool or the theme sees every change at once.
"""

from __future__ import annotations

import hashlib
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
    sources = sorted(path.relative_to(package).as_posix() for path in package.rglob("*.py"))
    return _digest(
        [sys.version, *_libraries(sys.path if paths is None else paths), *_lines(package, sources)]
    )


def theme_digest(theme: Path) -> str:
    """The digest of every file of a theme, names included."""
    return _digest(
        _lines(theme, sorted(p.relative_to(theme).as_posix() for p in theme.rglob("*") if p.is_file()))
    )


def _libraries(paths: Iterable[str]) -> list[str]:
    found: set[str] = set()
    for path in paths:
        if Path(path).is_dir():
            found.update(each.name for each in Path(path).glob("*.dist-info"))
    return sorted(found)


def _lines(folder: Path, names: Iterable[str]) -> list[str]:
    return [f"{digest_of(folder / name)}  {name}" for name in names]


def _digest(lines: Iterable[str]) -> str:
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()

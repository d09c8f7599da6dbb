"""Where each page lives: an address that depends on one name alone and is safe on every file system.

A name that is already plain (A-Z, 0-9, `-` and `.`, in its family's case) is used as it is. Any other becomes
a readable slug, `~` and ten digits of its own SHA-256. A plain name holds no `~`, so the two never meet, and
because each family keeps to one case, two addresses that differ still differ where case does not count.

Naming rules followed. Windows: "Naming Files, Paths, and Namespaces" (Microsoft Learn): none of `<>:"/|?*`,
no backslash, no control character, no final dot or space, no device name even with an extension, and no case.
macOS: no `/` or `:`; case and Unicode form do not count (APFS, HFS+). Linux: no `/` or NUL, 255 bytes
(path_resolution(7)).
"""

from __future__ import annotations

import functools
import hashlib
import re

from buildlog.model.names import Item
from buildlog.model.slug import slug

LONGEST = 80
"""A plain name longer than this is shortened, so that a path stays below Windows' 260 characters."""

_DEVICES = frozenset(
    ["CON", "PRN", "AUX", "NUL", "CONIN$", "CONOUT$"]
    + [f"{port}{digit}" for port in ("COM", "LPT") for digit in "0123456789¹²³"]
)
_OURS = frozenset(["INDEX", "TREE"])
_UPPER = re.compile(r"[A-Z0-9\-.]+", re.ASCII)
_LOWER = re.compile(r"[a-z0-9\-.]+", re.ASCII)
_SLUG = LONGEST - 20


@functools.lru_cache(maxsize=1 << 17)
def upper(name: str) -> str:
    """The file name, without extension, of a part, designator, task, lot or tool."""
    return name if _UPPER.fullmatch(name) and _safe(name) else slug(name, _SLUG).upper() + _mark(name)


@functools.lru_cache(maxsize=1 << 17)
def lower(name: str) -> str:
    """The file name, without extension, of an entry or a person."""
    return name if _LOWER.fullmatch(name) and _safe(name) else slug(name, _SLUG).lower() + _mark(name)


def _safe(name: str) -> bool:
    # A folder `X.HTML` would meet the file `X.html` where case does not count.
    plain = name.upper()
    return (
        len(name) <= LONGEST
        and name[0] != "."
        and name[-1] != "."
        and plain.partition(".")[0] not in _DEVICES
        and plain not in _OURS
        and not plain.endswith(".HTML")
    )


def _mark(name: str) -> str:
    # A lone surrogate cannot come from a UTF-8 file; were one to come, it is still a name of its own.
    return "~" + hashlib.sha256(name.encode("utf-8", "surrogatepass")).hexdigest()[:10]


@functools.lru_cache(maxsize=1 << 17)
def of_entry(key: str) -> str:
    """The page of an entry."""
    return f"entries/{lower(key)}.html"


def of_month(month: str) -> str:
    """The page of a month, given as `2026-03`."""
    return f"entries/{month}.html"


@functools.lru_cache(maxsize=1 << 17)
def of_part(number: str) -> str:
    """The page of a part."""
    return f"parts/{upper(number)}.html"


@functools.lru_cache(maxsize=1 << 17)
def of_item(item: Item) -> str:
    """The page of an item."""
    if not item.designator:
        return f"items/{upper(item.number)}.html"
    return f"items/{upper(item.number)}/{upper(item.designator)}.html"


@functools.lru_cache(maxsize=1 << 17)
def of_task(task: str) -> str:
    """The page of a task."""
    return f"tasks/{upper(task)}.html"


@functools.lru_cache(maxsize=1 << 17)
def of_person(key: str) -> str:
    """The page of a person."""
    return f"people/{lower(key)}.html"


def of_visit(key: str) -> str:
    """The page of what happened since an inspector's last visit."""
    return f"visits/{lower(key)}.html"


def of_stood(day: str) -> str:
    """How everything stood in a month, given as `2026-03`, or the place on its page of a day."""
    return f"standing/{day}.html" if len(day) == len("2026-03") else f"standing/{day[:7]}.html#{day}"


@functools.lru_cache(maxsize=1 << 17)
def of_lot(lot: str) -> str:
    """The page of a material lot."""
    return f"lots/{upper(lot)}.html"


@functools.lru_cache(maxsize=1 << 17)
def of_tool(tool: str) -> str:
    """The page of a tool."""
    return f"tools/{upper(tool)}.html"


@functools.lru_cache(maxsize=1 << 17)
def of_topic(name: str) -> str:
    """The page of the reference on a rule, a kind of record, a key."""
    return f"format/{lower(name.replace('_', '-'))}.html"

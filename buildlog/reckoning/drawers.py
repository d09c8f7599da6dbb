"""Drawers: the bundles in which items and tasks are reckoned.

A change to one entry touches a few items of thousands. To ask for each of them whether it changed would
cost more than to reckon those that did; so a drawer of them is asked for first, and only a drawer that
changed is looked through.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterable, Mapping
from typing import Any, TypeVar

from buildlog.model.names import Item

V = TypeVar("V")

DRAWERS = 64
"""How many there are. Nothing that is known depends on it."""

ALL = range(DRAWERS)


def drawer(key: str) -> int:
    """Which drawer a part number or task belongs in: the same on every machine and in every run."""
    return zlib.crc32(key.encode()) % DRAWERS


def sorted_in(shares: Mapping[Item, V]) -> tuple[dict[Item, V], ...]:
    """What is known by item, put into drawers by part number."""
    found: tuple[dict[Item, V], ...] = tuple({} for _ in ALL)
    for item, value in shares.items():
        found[drawer(item.number)][item] = value
    return found


def filed(shares: Mapping[str, V]) -> tuple[dict[str, V], ...]:
    """What is known by task, put into drawers."""
    found: tuple[dict[str, V], ...] = tuple({} for _ in ALL)
    for key, value in shares.items():
        found[drawer(key)][key] = value
    return found


def joined(shares: Iterable[Mapping[Any, tuple[V, ...]]]) -> dict[Any, tuple[V, ...]]:
    """Each key's shares, one after the other."""
    found: dict[Any, list[V]] = {}
    for share in shares:
        for key, values in share.items():
            found.setdefault(key, []).extend(values)
    return {key: tuple(values) for key, values in found.items()}

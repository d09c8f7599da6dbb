"""Rings in what should have a beginning: parts in parts, tasks after tasks, milestones after milestones."""

from __future__ import annotations

from collections.abc import Iterable, Mapping


def rings(below: Mapping[str, Iterable[str]]) -> tuple[tuple[str, ...], ...]:
    """The rings of a graph, each once: names along the arrows, from the one that the mapping has first.

    Args:
        below: for each name the names that it points to; names that are no key point nowhere.

    One ring is told of each knot of rings, which is enough to act on; when it is broken, the next is told.
    """
    found: list[tuple[str, ...]] = []
    order = {name: place for place, name in enumerate(below)}
    done: set[str] = set()
    for start in below:
        if start in done:
            continue
        path: list[str] = []
        on_path: dict[str, int] = {}
        waiting = [iter([start])]
        while waiting:
            name = next(waiting[-1], None)
            if name is None:
                waiting.pop()
                if path and len(waiting) == len(path):
                    last = path.pop()
                    del on_path[last]
                continue
            if name in on_path:
                ring = path[on_path[name] :]
                first = ring.index(min(ring, key=order.__getitem__))
                found.append((*ring[first:], *ring[:first]))
            elif name in below and name not in done:
                done.add(name)
                on_path[name] = len(path)
                path.append(name)
                waiting.append(iter(below[name]))
    return tuple(dict.fromkeys(found))

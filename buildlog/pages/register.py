"""Every name that prose may mention, with where it leads and whose page lists the mention."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from buildlog.model.names import Item
from buildlog.pages import address
from buildlog.pages.frame import Link
from buildlog.pages.guide import Guide
from buildlog.pages.mentions import mentions

Names = tuple[tuple[str, str], ...]
"""The names that a piece of prose mentions, each with the address it leads to."""

Subject = tuple[str, str]
"""What a name stands for: `part`, `item`, `task`, `lot` or `tool`, and its key."""


class Register(msgspec.Struct, frozen=True):
    """The names of an edition: where each leads, and the subjects it speaks of."""

    names: tuple[str, ...]
    addresses: dict[str, str]
    subjects: dict[str, tuple[Subject, ...]]


def register_of(
    guide: Guide,
    parts: tuple[str, ...],
    items: tuple[Item, ...],
    tasks: tuple[str, ...],
    lots: tuple[str, ...],
    tools: tuple[str, ...],
) -> Register:
    """All names. Where one name stands for several things, it leads to the first: part, task, lot, tool."""
    addresses: dict[str, str] = {}
    subjects: dict[str, tuple[Subject, ...]] = {}

    def put(name: str, to_address: str, *spoken_of: Subject) -> None:
        if name:
            addresses.setdefault(name, to_address)
            subjects[name] = (*subjects.get(name, ()), *spoken_of)

    for number in parts:
        # an unlisted part has no items but its strays, and none that must bear its own name
        put(number, guide.name(number).to or address.of_part(number), ("part", number))
    for item in items:
        put(str(item), address.of_item(item), ("item", str(item)), ("part", item.number))
    for key in tasks:
        put(key, address.of_task(key), ("task", key))
    for key in lots:
        put(key, address.of_lot(key), ("lot", key))
    for key in tools:
        put(key, address.of_tool(key), ("tool", key))
    return Register(tuple(addresses), addresses, subjects)


def named_in(register: Register, bodies: tuple[str, ...]) -> tuple[Names, ...]:
    """For each body, the names in it with their addresses."""
    return tuple(
        tuple((name, register.addresses[name]) for name in mentions(register.names, body)) for body in bodies
    )


def spoken_of(register: Register, told: Iterable[tuple[Link, Names]]) -> dict[Subject, tuple[Link, ...]]:
    """For each subject, where prose speaks of it.

    Args:
        register: the names.
        told: a link to each piece of prose, with the names in it.
    """
    found: dict[Subject, dict[Link, None]] = {}
    for link, names in told:
        for name, _ in names:
            for subject in register.subjects[name]:
                found.setdefault(subject, {})[link] = None
    return {subject: tuple(links) for subject, links in found.items()}

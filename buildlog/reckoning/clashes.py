"""What may be the matter with the records of an item's place."""

from __future__ import annotations

import enum

import msgspec

from buildlog.model.names import Item
from buildlog.reckoning.events import Event


class Clash(enum.Enum):
    """What is the matter with a record of an item's place."""

    IN_ITSELF = "put into itself, or into what was inside it"
    ON_GONE = "put on an article that was gone"
    ELSEWHERE = "put somewhere while it was somewhere else"
    NOT_THERE = "taken out of what it was not in"
    TWO = "a second one in a place for one"


class Contradiction(msgspec.Struct, frozen=True):
    """A record that cannot be so beside what came before it.

    `place` is what it was in until then, or what holds two; None where it was loose. `other` is the record
    that says so; None where the parts list does. `beside` is the other one of two in a place.
    """

    event: Event
    clash: Clash
    place: Item | None = None
    other: Event | None = None
    beside: Item | None = None

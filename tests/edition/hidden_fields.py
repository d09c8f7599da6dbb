"""Something in every field above an audience, by walking the types: a new field is covered by itself."""

from __future__ import annotations

import datetime
import random
import typing
from fractions import Fraction
from typing import Any

import msgspec

from buildlog.model.key import Audience, keys_of
from buildlog.model.records import KINDS, AnyRecord

WORDS = (
    *("X/2", "WIN", "RIB-1", "HUSH-7", "all", "W-1", "W-10", "WING/L", "EPX-1", "onetwo", "on", "two-b"),
    *("zed", "marit", "Kleivdal 8812", "one.jpg", "2026-02-01-before", "~~~ shop only", "# x", "", "17"),
)
"""Words that meet visible names."""

DECIDES = {("Entry", "audience"), ("Part", "audience"), ("Task", "audience"), ("Person", "key")}
"""Fields above an audience that decide what it sees, or by which a public name is found."""


def filled(fact: Any, audience: Audience, dice: random.Random) -> Any:
    """A fact with something in every field above an audience, and so all facts below it."""
    hints = typing.get_type_hints(type(fact), include_extras=False)
    kind = type(fact).__name__
    changed: dict[str, Any] = {}
    for name, key in keys_of(type(fact)).items():
        value = getattr(fact, name)
        if (kind, name) in DECIDES:
            continue
        if key.audience > audience:
            allowed = (None, Audience.PUBLIC) if (kind, name) == ("Medium", "audience") else None
            changed[name] = dice.choice(allowed) if allowed else anything(hints[name], dice)
        elif isinstance(value, tuple) and value and isinstance(value[0], msgspec.Struct):
            changed[name] = tuple(filled(each, audience, dice) for each in value)
        elif isinstance(value, msgspec.Struct):
            changed[name] = filled(value, audience, dice)
    return msgspec.structs.replace(fact, **changed)


def anything(hint: Any, dice: random.Random) -> Any:
    """A value of a type, out of names that meet visible ones."""
    origin, args = typing.get_origin(hint), typing.get_args(hint)
    if origin is typing.Annotated:
        return anything(args[0], dice)
    if origin is tuple:
        kinds = [*KINDS.values()] if args[0] == AnyRecord else [args[0]]
        return tuple(anything(dice.choice(kinds), dice) for _ in range(dice.randrange(4)))
    if origin is typing.Union or type(hint).__name__ == "UnionType":
        return anything(dice.choice(args), dice)
    if hint is type(None):
        return None
    if isinstance(hint, type) and issubclass(hint, msgspec.Struct):
        hints = typing.get_type_hints(hint)
        values = {name: anything(hints[name], dice) for name in hint.__struct_fields__ if name != "document"}
        return hint(**values)
    day = datetime.date(2026, 1, 1) + datetime.timedelta(days=dice.randrange(200))
    choices: dict[Any, Any] = {
        str: dice.choice(WORDS),
        bool: dice.random() < 0.5,
        int: dice.randrange(1000),
        Fraction: Fraction(dice.randrange(1, 99), 7),
        datetime.date: day,
        datetime.time: datetime.time(dice.randrange(24), 30),
        Audience: dice.choice(list(Audience)),
    }
    return choices[hint]

"""The one door. Nothing is resolved, derived, counted, named or shown that has not come through here.

`view` walks the declarations of the types (`buildlog.model.key`): a field above the audience becomes its
default, a fact whose own audience is above it is gone, with its file name and line. So a new field is
covered the moment it is declared, and one without an audience stops the program.
"""

from __future__ import annotations

import enum
import functools
from typing import Any, TypeVar

import msgspec

from buildlog.model.entry import Entry, Medium
from buildlog.model.fences import cut
from buildlog.model.key import Audience, keys_of
from buildlog.model.lists import Part, PartNote, Task
from buildlog.model.log import Log

S = TypeVar("S", bound=msgspec.Struct)


class Gone(enum.Enum):
    """Stands for a fact that an audience may not know of."""

    GONE = "gone"


def view(log: Log, audience: Audience) -> Log:
    """The log as one audience may know it; for the shop, the log itself.

    Args:
        log: the whole log.
        audience: for whom.

    Returns:
        A log in which every fact above the audience is gone. Equal views give equal editions.

    Raises:
        TypeError: a type holds a field that declares no audience.
    """
    if audience is Audience.SHOP:
        return log
    seen = _seen(log, audience)
    numbers = {part.number for part in seen.parts}
    return msgspec.structs.replace(seen, notes=tuple(note for note in seen.notes if note.number in numbers))


def _seen(fact: S, audience: Audience) -> S:
    """A fact with what is above the audience taken out of it, however deep."""
    kept = {name: _value(getattr(fact, name), audience) for name in _visible(type(fact), audience)}
    if isinstance(fact, Entry | PartNote):
        kept["body"] = cut(fact.body, audience)
    return type(fact)(**kept)


def _value(value: Any, audience: Audience) -> Any:
    if isinstance(value, tuple):
        seen = (_value(each, audience) for each in value if not _hidden(each, audience))
        return tuple(each for each in seen if each is not Gone.GONE)
    if isinstance(value, msgspec.Struct):
        return _seen(value, audience)
    return value


def _hidden(value: object, audience: Audience) -> bool:
    """Whether a fact says of itself that it is for somebody above."""
    if isinstance(value, Entry | Part | Task):
        return value.audience > audience
    return isinstance(value, Medium) and value.audience is not None and value.audience > audience


@functools.cache
def _visible(fact: type[msgspec.Struct], audience: Audience) -> tuple[str, ...]:
    return tuple(name for name, key in keys_of(fact).items() if key.audience <= audience)

"""What is declared about one field of one fact: who may see it, how its text is read, what it means.

Every field of every fact carries a `Key`. The reader builds its tables from them, the one door
(`buildlog.edition.view`) takes away what is above an audience, and `buildlog meaning` prints them.
"""

from __future__ import annotations

import enum
import functools
from dataclasses import dataclass
from typing import Annotated, Any, get_args, get_origin, get_type_hints

import msgspec


class Audience(enum.IntEnum):
    """Who an edition is for. A fact of an audience is shown in the editions of that audience and above."""

    PUBLIC = 1
    INSPECTOR = 2
    SHOP = 3

    @property
    def word(self) -> str:
        """The word for it in a log and on a page."""
        return self.name.lower()


class Reads(enum.Enum):
    """How the text of a field is read; the value says what is expected, for messages and the reference."""

    TEXT = "text"
    CAPTION = "text; `~~~ shop only` fences off lines of it, as in prose"
    FLAG = "`true` or `false`"
    DATE = "a date, `2026-03-14`"
    TIME = "a time of day, `18:30`"
    COUNT = "a whole number, 1 or more"
    NUMBER = "a number, 0 or more"
    CHOICE = "one of a few words"
    AUDIENCE = "`shop`, `inspector` or `public`"
    TEXTS = "text, or a list of texts"
    PERSON = "a key of [people]"
    PEOPLE = "a key of [people], or a list of them"
    ITEM = "an item, `TN-57-1100/L`"
    ITEMS = "an item or part, or a list of them"
    ITEMS_ONE_BY_ONE = "an item, or a list of them; a part with several items needs its designators or `/all`"
    ITEMS_OR_LOTS = "an item or part, or a lot of lots.csv, or a list of them"
    ITEMS_OR_LOTS_ONE_BY_ONE = (
        "an item, or a lot of lots.csv, or a list of them; a part with several items needs its designators or"
        " `/all`"
    )
    PART = "a part number"
    PARTS = "a part number, or a list of them"
    TASK = "a task of tasks.csv"
    TASKS = "a task of tasks.csv, or a list of them"
    LOTS = "a lot of lots.csv, or a list of them"
    TOOL = "a tool of tools.csv"
    STAGE = "a stage of [stages], or one that the tool brings"
    STAGES = "a stage, or a list of them"
    CLASS = "a class of [classes], or one that the tool brings"
    MILESTONE = "a milestone of [milestones]"
    MILESTONES = "a milestone of [milestones], or a list of them"
    KINDS = "a kind of record, or a list of them"
    RULE = "the name of a rule"
    ENTRY = "an entry: its file name without `.md`"
    MEDIUM = "a file below media/"
    UNTIL = "a milestone of [milestones] or a date"
    DUE = "`closed`, or a milestone of [milestones]"
    HOURS = "hours: `2.5`, `2:30`, `2h30`, `150 min`; with several people `2.5 each`, `5 total` or a table"
    VALUE = "a value with its unit, `0.4 mm`"
    LIMITS = "limits, `50 to 70 in-lb`, `0.5 mm max`, `3 mm min`, `60 ±5 in-lb`"
    TORQUE = "a torque with its unit, `66 in-lb`"
    WEIGHT = "a weight with its unit, `118.2 kg`"
    LENGTH = "a length with its unit, `560 mm`"
    SHARES = "an item or part, a list of them, or a table of them with weights"
    FACTS = "a list of facts with keys of their own"
    PROSE = "Markdown"
    INSIDE = "set by the reader, not written"


@dataclass(frozen=True, slots=True)
class Key:
    """One field's declaration. `required` and `choices` are for the reader and the reference."""

    audience: Audience
    says: str
    reads: Reads = Reads.TEXT
    choices: tuple[str, ...] = ()
    required: bool = False


public = functools.partial(Key, Audience.PUBLIC)
inspector = functools.partial(Key, Audience.INSPECTOR)
shop = functools.partial(Key, Audience.SHOP)


class Where(msgspec.Struct, frozen=True):
    """A place in a file of the log. `file` is relative to the log, with `/`; line and column count from 1."""

    file: str = ""
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        """As `file:line:column`, the form editors open."""
        return f"{self.file}:{self.line}:{self.column}" if self.line else self.file


NOWHERE = Where()
AtShop = Annotated[Where, shop("where it is written", Reads.INSIDE)]


@functools.cache
def keys_of(fact: type[msgspec.Struct]) -> dict[str, Key]:
    """The declaration of each field of a fact, in the order of the fields.

    Raises:
        TypeError: a field has no `Key`; nothing may be shown that was not declared for somebody.
    """
    found: dict[str, Key] = {}
    hints = get_type_hints(fact, include_extras=True)
    for name in fact.__struct_fields__:
        keys = [mark for mark in _marks(hints[name]) if isinstance(mark, Key)]
        if len(keys) != 1:
            raise TypeError(f"{fact.__name__}.{name} declares no audience")
        found[name] = keys[0]
    return found


def written(field: str) -> str:
    """A field's name as it is written in a log: `from_` is `from`."""
    return field.rstrip("_")


def _marks(hint: Any) -> tuple[Any, ...]:
    return get_args(hint)[1:] if get_origin(hint) is Annotated else ()

"""What gathers while one file is read: its problems, and the names in it that other files must know."""

from __future__ import annotations

from typing import Protocol

import msgspec

from buildlog.model.key import Reads, Where
from buildlog.model.log import Problem
from buildlog.reader.limits import PROBLEMS_SHOWN


class Mention(msgspec.Struct, frozen=True, array_like=True):
    """A name that another file must know, or that leads out of the log's text: `reads` says which sort.

    `number` goes with an ENTRY only: the place of the record meant among that entry's records, from 1.
    """

    reads: Reads
    text: str
    where: Where
    number: int = 0


def key_of(mention: Mention) -> str:
    """Sort, number and name of a mention in one text: equal for all that are looked up alike."""
    # `_name_`, for the property `name` would cost as much as the rest of it
    return f"{mention.reads._name_} {mention.number} {mention.text}"


def parts_of(key: str) -> tuple[Reads, str, int]:
    """Sort, name and number, from the text that `key_of` made of them."""
    reads, number, text = key.split(" ", 2)
    return Reads[reads], text, int(number)


class Placed(Protocol):
    """Anything with a place in the file being read."""

    @property
    def line(self) -> int:
        """Line, from 1."""

    @property
    def column(self) -> int:
        """Column, from 1."""


class Reading:
    """The problems and mentions of one file, in the order they are met."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.mentions: list[Mention] = []
        self._problems: list[Problem] = []

    @property
    def clean(self) -> bool:
        """Whether no problem has been met."""
        return not self._problems

    def where(self, placed: Placed) -> Where:
        """The place in this file."""
        return Where(self.file, placed.line, placed.column)

    def problem(self, placed: Placed | None, found: str, todo: str = "") -> None:
        """Note a problem; without a place it is about the file as a whole."""
        line, column = (placed.line, placed.column) if placed else (1, 1)
        self._problems.append(Problem(Where(self.file, line, column), found, todo))

    def mention(self, reads: Reads, text: str, placed: Placed, number: int = 0) -> None:
        """Note a name to be looked up in the whole log."""
        self.mentions.append(Mention(reads, text, Where(self.file, placed.line, placed.column), number))

    def problems(self) -> tuple[Problem, ...]:
        """The problems by place, the first of them where there are very many."""
        ordered = sorted(dict.fromkeys(self._problems), key=lambda each: (each.where.line, each.where.column))
        more = len(ordered) - PROBLEMS_SHOWN
        if more <= 0:
            return tuple(ordered)
        rest = Problem(Where(self.file), f"and {more} more in this file", "put these right first")
        return (*ordered[:PROBLEMS_SHOWN], rest)

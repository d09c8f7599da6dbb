"""What a header, a row or a table of settings holds before a key's type has read it: text with its place."""

from __future__ import annotations

import msgspec


class Text(msgspec.Struct, frozen=True, gc=False):
    """One value as written. `line` and `column` count from 1 in the file."""

    text: str
    line: int
    column: int


class Series(msgspec.Struct, frozen=True):
    """A list of values."""

    items: tuple[Node, ...]
    line: int
    column: int


class Table(msgspec.Struct, frozen=True):
    """Keys with their values, in the order written."""

    rows: tuple[tuple[Text, Node], ...]
    line: int
    column: int


Node = Text | Series | Table


def is_empty(node: Node) -> bool:
    """Whether nothing was written where a value could stand."""
    return isinstance(node, Text) and not node.text

"""Tables to facts: what a table may hold is read off the fact's own declaration, field by field."""

from __future__ import annotations

import functools
import typing
from collections.abc import Callable, Mapping
from typing import Any

import msgspec

from buildlog.model.key import Reads, keys_of, written
from buildlog.reader.names import quoted
from buildlog.reader.nearest import advice
from buildlog.reader.nodes import Node, Series, Table, Text, is_empty
from buildlog.reader.reading import Reading
from buildlog.reader.values import Reader, reader_of

_FREE = (Reads.TEXT, Reads.TEXTS, Reads.CAPTION)
_MAY_BE_EMPTY = (Reads.TEXT, Reads.CAPTION)


class Field(msgspec.Struct, frozen=True):
    """How one field of a fact is read. `many` says that it holds a tuple; `value` reads one value of it."""

    field: str
    reads: Reads
    required: bool
    many: bool
    value: Reader


class Form(msgspec.Struct, frozen=True):
    """What a table may hold: its fields by the word written, and those of them that it must hold."""

    fields: Mapping[str, Field]
    required: tuple[tuple[str, Field], ...]


Special = Callable[[Reading, Node], Any]
"""Reads a node that is more than a value or a list of values; None where nothing could be read."""


@functools.cache
def fields_of(fact: type[msgspec.Struct]) -> dict[str, Field]:
    """The fields of a fact that are written in a log, by the word written."""
    hints = typing.get_type_hints(fact)
    return {
        written(name): Field(
            name, key.reads, key.required, _many(hints[name]), reader_of(key.reads, key.choices)
        )
        for name, key in keys_of(fact).items()
        if key.reads is not Reads.INSIDE
    }


def form_with(fields: Mapping[str, Field]) -> Form:
    """The form of a table that may hold these fields."""
    return Form(fields, tuple((word, field) for word, field in fields.items() if field.required))


@functools.cache
def form_of(fact: type[msgspec.Struct]) -> Form:
    """The form of a table that holds a whole fact."""
    return form_with(fields_of(fact))


def read_table(
    reading: Reading, table: Table, form: Form, what: str, special: Mapping[str, Special]
) -> dict[str, Any]:
    """The fields of one fact that could be read, by name; the rest are problems.

    Args:
        reading: takes the problems and mentions.
        table: keys and values as written.
        form: the fields that it may or must hold.
        what: what the table is, for messages: "a work line".
        special: readers for words whose values have a shape of their own.
    """
    found: dict[str, Any] = {}
    met: set[str] = set()
    fields = form.fields
    for key, node in table.rows:
        word = key.text
        field = fields.get(word)
        if field is None:
            word = word.strip().lower()
            field = fields.get(word)
            if field is None:
                unknown(reading, key, what, fields)
                continue
        if word in met:  # in other letters: the same letters twice were refused as YAML
            reading.problem(key, f"{quoted(key.text)} is here twice", "keep one of them")
        if not field.required and is_empty(node):
            continue
        met.add(word)
        reader = special.get(word)
        value = reader(reading, node) if reader else read_field(reading, field, node, word)
        if value is not None:
            found[field.field] = value
    for word, field in form.required:
        if word not in met:
            todo = f"add `{word}`: {field.reads.value}"
            reading.problem(table, f"{what} needs `{word}`", todo)
    return found


def read_field(reading: Reading, field: Field, node: Node, word: str) -> Any:
    """The value of a field from a value or a list of them; None where nothing could be read."""
    if isinstance(node, Text):
        bare = not node.text and field.reads not in _MAY_BE_EMPTY
        empty = not node.text.strip() if field.required else bare
        if empty:
            reading.problem(node, f"`{word}` is empty", f"expected: {field.reads.value}")
            return None
        value = field.value(reading, node)
        return (value,) if field.many and value is not None else value
    if isinstance(node, Table):
        reading.problem(node, f"`{word}` holds a table", f"expected: {field.reads.value}")
        return None
    if not field.many:
        reading.problem(node, f"`{word}` holds a list", f"expected: {field.reads.value}")
        return None
    return read_list(reading, field, node, word)


def read_list(reading: Reading, field: Field, series: Series, word: str) -> tuple[Any, ...]:
    """The values of a list, each once; a name that is there twice is a problem."""
    found: dict[Any, None] = {}
    for node in series.items:
        if not isinstance(node, Text):
            reading.problem(
                node, f"`{word}` holds a list or table inside a list", "put one value on each point"
            )
            continue
        if not node.text:
            reading.problem(node, f"a point of `{word}` is empty", "fill it in, or take it out")
            continue
        value = field.value(reading, node)
        if value is None:
            continue
        if value in found and field.reads not in _FREE:
            reading.problem(node, f"{quoted(node.text)} is in `{word}` twice", "keep one of them")
        found[value] = None
    return tuple(found)


def facts_in(
    reading: Reading, node: Node, word: str, limit: int, read: Callable[[Reading, Table], Any]
) -> tuple[Any, ...]:
    """The facts of a list of tables; one table may stand for a list of one."""
    points = node.items if isinstance(node, Series) else (node,)
    if len(points) > limit:
        reading.problem(node, f"`{word}` holds {len(points)} points; the limit is {limit}", "split the entry")
        return ()
    found = []
    for point in points:
        if isinstance(point, Table):
            fact = read(reading, point)
            if fact is not None:
                found.append(fact)
        else:
            shown = quoted(point.text) if isinstance(point, Text) else "a list"
            reading.problem(point, f"{shown} is not a point of `{word}`", "write its keys: `- key: value`")
    return tuple(found)


def unknown(reading: Reading, key: Text, what: str, known: Mapping[str, Any]) -> None:
    """Note a key that a table does not know, with the nearest that it does."""
    todo = advice(key.text.strip().lower(), known, f"known in {what}")
    reading.problem(key, f"{what} has no key {quoted(key.text)}", todo)


def _many(hint: Any) -> bool:
    return any(typing.get_origin(each) is tuple for each in (hint, *typing.get_args(hint)))

"""The records of an entry: the first key is the kind, and says which other keys there are."""

from __future__ import annotations

import functools
from collections.abc import Sequence
from typing import Any, cast

import msgspec

from buildlog.model.key import Reads
from buildlog.model.records import KINDS, AnyRecord, Deferred, Disposition, Record, Voided
from buildlog.reader.facts import Field, Form, Special, facts_in, fields_of, form_with, read_field, read_table
from buildlog.reader.limits import RECORDS
from buildlog.reader.measures import check_alike
from buildlog.reader.names import name_in, quoted
from buildlog.reader.nearest import advice
from buildlog.reader.nodes import Node, Table, Text, is_empty
from buildlog.reader.reading import Reading

_WITHOUT_ITEM = (Voided, Deferred, Disposition)
"""Kinds that may stand without an item: another key names what they are about."""


def read_records(reading: Reading, node: Node, own: str) -> tuple[AnyRecord, ...]:
    """The records of an entry, in their order; `own` is the entry's key."""
    place = 0

    def numbered(at: Reading, table: Table) -> AnyRecord | None:
        nonlocal place
        place += 1
        return _record(at, table, own, place)

    return facts_in(reading, node, "records", RECORDS, numbered)


class _Kind(msgspec.Struct, frozen=True):
    """One kind of record: how its own value is read, and which keys go below it."""

    of: Field
    below: Form
    special: dict[str, Special]


@functools.cache
def _kind(fact: type[Record]) -> _Kind:
    # `of` is the value of the kind itself and never written as a key
    below = {word: field for word, field in fields_of(fact).items() if word != "of"}
    special: dict[str, Special] = {"entry": _aim} if fact is Voided else {}
    return _Kind(fields_of(fact)["of"], form_with(below), special)


def _record(reading: Reading, table: Table, own: str, place: int) -> AnyRecord | None:
    if not table.rows:
        reading.problem(table, "this record is empty", "begin it with its kind: `- made: TN-57-1100/L`")
        return None
    first, about = table.rows[0]
    word = first.text.strip().lower()
    fact = KINDS.get(word)
    if fact is None:
        _unknown_kind(reading, first, table.rows[1:])
        return None
    kind = _kind(fact)
    rest = Table(table.rows[1:], table.line, table.column)
    found = read_table(reading, rest, kind.below, f"`{word}`", kind.special)
    if not is_empty(about):
        of = read_field(reading, kind.of, about, word)
        found["of"] = () if of is None else of
    elif fact not in _WITHOUT_ITEM:
        reading.problem(first, f"`{word}` names no item", f"write {kind.of.reads.value}")
    if "value" in found:
        check_alike(reading, rest, found)
    if "entry" in found:
        _check_aim(reading, found, own, place)
    record = fact(**found, where=reading.where(table))
    return cast("AnyRecord", record)


def _unknown_kind(reading: Reading, first: Text, below: Sequence[tuple[Text, Node]]) -> None:
    later = next((key for key, _ in below if key.text.strip().lower() in KINDS), None)
    if later is not None:
        todo = f"put `{later.text.strip()}` first, before {quoted(first.text)}"
        reading.problem(
            first, f"the first key of a record is its kind, and {quoted(first.text)} is none", todo
        )
        return
    todo = advice(first.text.strip().lower(), KINDS, "kinds of record")
    reading.problem(first, f"{quoted(first.text)} is no kind of record", todo)


def _aim(reading: Reading, node: Node) -> tuple[str, Node] | None:
    if not isinstance(node, Text):
        reading.problem(node, "`entry` is not one value", f"expected: {Reads.ENTRY.value}")
        return None
    name = name_in(reading, node)
    return None if name is None else (name.removesuffix(".md"), node)


def _check_aim(reading: Reading, found: dict[str, Any], own: str, place: int) -> None:
    entry, node = found["entry"]
    number = found.get("record", 0)
    found["entry"] = entry
    if entry == own and number == place:
        reading.problem(node, "this record voids itself", "say which other record was wrong")
        return
    reading.mention(Reads.ENTRY, entry, node, number)

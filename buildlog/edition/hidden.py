"""Which words an edition may not hold: the names of what the door took away, and what the author forbids."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import msgspec

from buildlog.edition.gate import Word
from buildlog.model.log import Log

_NAMES = {
    ("Person", "name"): "the name of a person",
    ("Person", "key"): "the key of a person",
    ("Person", "certificate"): "a certificate number",
    ("Person", "contact"): "how to reach a person",
    ("Part", "number"): "a part number",
    ("Part", "supplier"): "a supplier",
    ("Task", "task"): "a task",
    ("Lot", "lot"): "a lot",
    ("Lot", "supplier"): "a supplier",
    ("Tool", "tool"): "a tool",
    ("Entry", "key"): "the file name of an entry",
    ("Draft", "key"): "the file name of a draft",
    ("Received", "from_"): "whom something came from",
    ("Received", "serial"): "a serial number",
    ("Made", "serial"): "a serial number",
    ("MediaFile", "file"): "the name of a media file",
}
"""The fields whose words name somebody or something, by type and field."""

_PROSE = {"body", "caption", "title", "note", "about", "description", "reason", "conditions", "place"}
"""Fields of free text: what stands there by itself allows nothing."""


def hidden_words(log: Log, seen: Log) -> tuple[Word, ...]:
    """The words that an edition may not hold.

    A name that also stands where the audience may read it is no secret: a supplier whom a record that the
    inspector reads names too, a key that is a person's public name.

    Args:
        log: the whole log.
        seen: what `view` let through of it.
    """
    visible = set(_texts(seen))
    words = [Word(text, sort) for text, sort in _named(log) if text not in visible]
    words += [
        Word(text, f"the word on line {line} of secrets.txt", secret=True)
        for line, text in enumerate(log.secrets, start=1)
        if text
    ]
    return tuple(dict.fromkeys(words))


def _named(fact: msgspec.Struct) -> Iterator[tuple[str, str]]:
    """Every name in a fact and in those below it, with what it names."""
    kind = type(fact).__name__
    for field in fact.__struct_fields__:
        value = getattr(fact, field)
        sort = _NAMES.get((kind, field))
        if sort and isinstance(value, str) and value:
            yield value.rpartition("/")[2] if kind == "MediaFile" else value, sort
        elif isinstance(value, tuple):
            for each in value:
                if isinstance(each, msgspec.Struct):
                    yield from _named(each)
        elif isinstance(value, msgspec.Struct):
            yield from _named(value)


def _texts(value: Any) -> Iterator[str]:
    """Every text that stands by itself in a field of a viewed log, free text apart."""
    if isinstance(value, str):
        yield value
        if "/" in value:
            yield value.rpartition("/")[2]
    elif isinstance(value, tuple):
        for each in value:
            yield from _texts(each)
    elif isinstance(value, msgspec.Struct):
        for field in value.__struct_fields__:
            if field not in _PROSE:
                yield from _texts(getattr(value, field))

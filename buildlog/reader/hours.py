"""Hours as people write them, to exact fractions. What could mean two things is refused with both."""

from __future__ import annotations

import functools
import re
from collections.abc import Sequence
from fractions import Fraction

from buildlog.model.entry import PersonHours
from buildlog.model.key import Reads
from buildlog.reader.names import name_in, quoted
from buildlog.reader.nodes import Node, Series, Table, Text
from buildlog.reader.reading import Reading

FORMS = "`2.5`, `2:30`, `2h30` or `150 min`"

_DECIMAL = r"(?:[0-9]{1,5}(?:\.[0-9]{1,6})?|\.[0-9]{1,6})"
_FORM = re.compile(
    rf"(?P<hours>{_DECIMAL})(?:\s*(?:h|hrs?|hours?))?"
    r"|(?P<clock>[0-9]{1,5}):(?P<past>[0-5][0-9])(?:\s*h)?"
    r"|(?P<whole>[0-9]{1,5})\s*h\s*(?:(?P<two>[0-5][0-9])|(?P<some>[0-5]?[0-9])\s*(?:m|mins?))"
    rf"|(?P<minutes>{_DECIMAL})\s*(?:mins?|minutes?)",
    re.IGNORECASE,
)
_SHARED = re.compile(r"(?P<form>.*?)\s*\b(?P<how>each|total)\s*", re.IGNORECASE | re.DOTALL)
_RANGE = re.compile(r"[0-9]{1,2}[:.][0-9]{2}\s*[-–—]\s*[0-9]{1,2}[:.][0-9]{2}")


@functools.lru_cache(4096)
def duration(text: str) -> Fraction | None:
    """The hours in a text of one of the forms, exactly; None where it is of none."""
    found = _FORM.fullmatch(text)
    if found is None:
        return None
    if found["hours"] is not None:
        return Fraction(found["hours"])
    if found["minutes"] is not None:
        return Fraction(found["minutes"]) / 60
    whole = found["clock"] or found["whole"]
    return int(whole) + Fraction(int(found["past"] or found["two"] or found["some"]), 60)


def read_hours(reading: Reading, node: Node, people: Sequence[str]) -> tuple[PersonHours, ...]:
    """The hours of each person of a work line; problems give what could be read.

    Args:
        reading: takes problems, and the people that a table names.
        node: the value of `hours`.
        people: who worked on the line, empty where nobody is named.
    """
    if isinstance(node, Table):
        return _by_table(reading, node)
    if isinstance(node, Series):
        reading.problem(node, "`hours` holds a list", f"write {FORMS}, or a table `{{{_example(people)}}}`")
        return ()
    text = node.text.strip()
    each, how = _taken_apart(text)
    if each is None:
        reading.problem(node, *_refusal(text))
        return ()
    if how == "each" and not people:
        reading.problem(node, f"{quoted(text)}, but nobody is named", "name them in `people`")
        return ()
    if not how and len(people) > 1:
        found = f"{quoted(text)} could be the hours of each of {len(people)} people or of all together"
        todo = f"write `{text} each`, `{text} total`, or a table `{{{_example(people)}}}`"
        reading.problem(node, found, todo)
        return ()
    share = each / len(people) if how == "total" and people else each
    return tuple(PersonHours(person, share) for person in people or ("",))


@functools.lru_cache(4096)
def _taken_apart(text: str) -> tuple[Fraction | None, str]:
    """The duration in the value of `hours`, and `each`, `total` or nothing behind it."""
    shared = _SHARED.fullmatch(text)
    return (duration(shared["form"]), shared["how"].lower()) if shared else (duration(text), "")


def _by_table(reading: Reading, table: Table) -> tuple[PersonHours, ...]:
    found = []
    for key, value in table.rows:
        person = name_in(reading, key)
        if person is None:
            continue
        reading.mention(Reads.PERSON, person, key)
        if not isinstance(value, Text):
            reading.problem(value, f"the hours of {quoted(person)} are not one value", f"write {FORMS}")
            continue
        hours = duration(value.text.strip())
        if hours is None:
            reading.problem(value, *_refusal(value.text.strip()))
        else:
            found.append(PersonHours(person, hours))
    return tuple(found)


def _example(people: Sequence[str]) -> str:
    first, second = (*people, "ann", "bo")[:2] if len(people) != 1 else (people[0], "bo")
    return f"{first}: 1.5, {second}: 1"


def _refusal(text: str) -> tuple[str, str]:
    shown = quoted(text)
    if not text:
        return "`hours` is empty", f"write {FORMS}, or leave the key out"
    if text[0] in "-−–":
        return f"{shown} is less than nothing", f"write {FORMS}"
    if "," in text:
        return f"{shown} could be read in two ways", "write the decimals behind a point, and no comma"
    if _RANGE.fullmatch(text):
        return f"{shown} is from one time to another", f"write how long it was: {FORMS}"
    if ":" in text and not text.strip("0123456789: "):
        return f"{shown} is not hours and minutes", "write two digits of minutes, 00 to 59: `2:05`"
    return (
        f"{shown} cannot be read as hours",
        f"write {FORMS}; with several people behind it `each` or `total`",
    )

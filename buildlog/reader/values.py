"""One value, read by its key's own type. Each reader gives None where it has noted a problem."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from fractions import Fraction
from typing import Any

from buildlog.model.fences import fence_problems
from buildlog.model.key import Audience, Reads
from buildlog.model.records import KINDS
from buildlog.reader.measures import AMOUNTS, check_amount
from buildlog.reader.names import media_path_problem, name_in, quoted, unwritable_in
from buildlog.reader.nearest import advice
from buildlog.reader.nodes import Text
from buildlog.reader.reading import Reading

_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_DASHES = str.maketrans("‐‑‒–—−", "------")
_DAY_FIRST = re.compile(r"([0-9]{1,2})[./\- ]([0-9]{1,2})[./\- ]([0-9]{4})")
_LOOSE = re.compile(r"([0-9]{4})[./\- ]([0-9]{1,2})[./\- ]([0-9]{1,2})")
_TIME = re.compile(r"([01]?[0-9]|2[0-3]):([0-5][0-9])")
_COUNT = re.compile(r"[0-9]{1,9}")
_NUMBER = re.compile(r"[0-9]{1,9}(?:\.[0-9]{1,9})?|\.[0-9]{1,9}")
_AUDIENCES = {each.word: each for each in Audience}
_FORM_OF_DATE = "write year, month and day: `2026-03-14`"

Choices = tuple[str, ...]

Reader = Callable[[Reading, Text], Any]
"""Gives what a text means; None, and a problem, where it means nothing."""


def date_of(text: str) -> datetime.date | None:
    """The day of a text of the form 2026-03-14, if there is such a day."""
    if not _DATE.fullmatch(text):
        return None
    try:
        return datetime.date.fromisoformat(text)
    except ValueError:
        return None


def reader_of(reads: Reads, choices: Choices = ()) -> Reader:
    """The reader of a key that reads this sort; made once for the key, not for each of its values."""
    if reads is Reads.CHOICE:
        return lambda reading, node: _word(reading, node, choices)
    if reads in AMOUNTS:
        return lambda reading, node: _amount(reading, reads, node)
    # every sort without a reader of its own is a name, looked up when the whole log is put together
    return _READERS.get(reads) or (lambda reading, node: _name(reading, reads, node))


def number_of(text: str) -> Fraction | None:
    """A plain decimal number, 0 or more, exactly; None for anything else."""
    return Fraction(text) if _NUMBER.fullmatch(text) else None


def _text(reading: Reading, node: Text) -> str | None:
    text = _plain_text(reading, node)
    if text is not None and "~~~" in text:
        found = f"{quoted(text)} holds `~~~`, which fences off passages of prose and captions alone"
        reading.problem(node, found, "put what is not for all into the prose, behind a fence")
    return text


def _caption(reading: Reading, node: Text) -> str | None:
    text = _plain_text(reading, node)
    if text is not None:
        for problem in fence_problems(text):
            reading.problem(node, f"in this caption, {problem.found}", problem.todo)
        if "~~~" in text and "\n" not in text:
            todo = "write the caption after `caption: |`, on lines of its own, as a fence is"
            reading.problem(node, "this caption is one line, and a fence stands on lines of its own", todo)
    return text


def _plain_text(reading: Reading, node: Text) -> str | None:
    text = node.text.strip()
    if text.isprintable() or not (unseen := unwritable_in(text)):
        return text
    reading.problem(node, f"{quoted(text)} holds {unseen}, which is no character", "type it anew")
    return None


def _amount(reading: Reading, reads: Reads, node: Text) -> str | None:
    """A value or limits: the text as written, once it is known to be readable."""
    text = _plain_text(reading, node)
    return text if text is not None and check_amount(reading, reads, node, text) else None


def _date(reading: Reading, node: Text) -> datetime.date | None:
    text = node.text.strip().translate(_DASHES)
    found = date_of(text)
    if found is None:
        reading.problem(node, *_no_date(text))
    return found


def _no_date(text: str) -> tuple[str, str]:
    shown = quoted(text)
    if _DATE.fullmatch(text):
        return f"there is no day {shown}", "look it up in a calendar"
    if turned := _DAY_FIRST.fullmatch(text):
        day, month, year = turned.groups()
        likely = f"{year}-{int(month):02}-{int(day):02}"
        other = f"{year}-{int(day):02}-{int(month):02}"
        ways = [way for way in dict.fromkeys((likely, other)) if date_of(way)]
        if ways:
            return f"{shown} is not a date of this log", "write " + " or ".join(f"`{way}`" for way in ways)
    if loose := _LOOSE.fullmatch(text):
        way = f"{loose[1]}-{int(loose[2]):02}-{int(loose[3]):02}"
        if date_of(way):
            return f"{shown} is not a date of this log", f"write `{way}`"
    return f"{shown} is not a date", _FORM_OF_DATE


def _time(reading: Reading, node: Text) -> datetime.time | None:
    found = _TIME.fullmatch(node.text.strip())
    if found is None:
        reading.problem(node, f"{quoted(node.text)} is not a time of day", "write hours and minutes: `18:30`")
        return None
    return datetime.time(int(found[1]), int(found[2]))


def _count(reading: Reading, node: Text) -> int | None:
    text = node.text.strip()
    if _COUNT.fullmatch(text) and int(text) > 0:
        return int(text)
    reading.problem(node, f"{quoted(text)} is not a whole number, 1 or more", "write it in digits")
    return None


def _number(reading: Reading, node: Text) -> Fraction | None:
    text = node.text.strip()
    found = number_of(text)
    if found is None:
        todo = "write the decimals behind a point" if "," in text else "write it in digits: `2.5`"
        reading.problem(node, f"{quoted(text)} is not a number, 0 or more", todo)
    return found


def _flag(reading: Reading, node: Text) -> bool | None:
    word = _word(reading, node, ("true", "false"))
    return None if word is None else word == "true"


def _audience(reading: Reading, node: Text) -> Audience | None:
    word = _word(reading, node, tuple(_AUDIENCES))
    return None if word is None else _AUDIENCES[word]


def _kind(reading: Reading, node: Text) -> str | None:
    word = node.text.strip().lower()
    if word in KINDS:
        return word
    reading.problem(node, f"{quoted(node.text)} is no kind of record", advice(word, KINDS, "kinds of record"))
    return None


def _word(reading: Reading, node: Text, choices: Choices) -> str | None:
    word = node.text.strip().lower()
    if word in choices:
        return word
    expected = " or ".join(f"`{each}`" for each in choices)
    reading.problem(node, f"{quoted(node.text)} is not {expected}", _likely(word, choices))
    return None


def _likely(word: str, choices: Choices) -> str:
    told = advice(word, choices)
    return told if told.startswith("the nearest") else "write one of these words"


def _medium(reading: Reading, node: Text) -> str | None:
    file = node.text.strip()
    wrong = media_path_problem(file)
    if wrong:
        reading.problem(node, *wrong)
        return None
    reading.mention(Reads.MEDIUM, file, node)
    return file


def _until(reading: Reading, node: Text) -> str | None:
    text = node.text.strip().translate(_DASHES)
    if not (_LOOSE.fullmatch(text) or _DAY_FIRST.fullmatch(text)):
        return _name(reading, Reads.UNTIL, node)
    found = _date(reading, node)
    return found.isoformat() if found else None


def _due(reading: Reading, node: Text) -> str | None:
    return "closed" if node.text.strip() == "closed" else _name(reading, Reads.DUE, node)


def _name(reading: Reading, reads: Reads, node: Text) -> str | None:
    name = name_in(reading, node)
    if name is not None:
        reading.mention(reads, name, node)
    return name


_READERS: dict[Reads, Reader] = {
    Reads.TEXT: _text,
    Reads.CAPTION: _caption,
    Reads.TEXTS: _text,
    Reads.FLAG: _flag,
    Reads.DATE: _date,
    Reads.TIME: _time,
    Reads.COUNT: _count,
    Reads.NUMBER: _number,
    Reads.AUDIENCE: _audience,
    Reads.KINDS: _kind,
    Reads.MEDIUM: _medium,
    Reads.UNTIL: _until,
    Reads.DUE: _due,
}

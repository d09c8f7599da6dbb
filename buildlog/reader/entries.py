"""One entry's file to its facts."""

from __future__ import annotations

import datetime
import functools
import re
import unicodedata
from collections.abc import Sequence
from fractions import Fraction
from typing import Any

import msgspec

from buildlog.model.entry import Draft, Entry, Medium, Share, WorkLine
from buildlog.model.key import Audience, Reads, Where
from buildlog.reader.bodies import check_prose
from buildlog.reader.facts import Special, facts_in, form_of, read_table
from buildlog.reader.header import forgiven, halves, without_tabs
from buildlog.reader.hours import read_hours
from buildlog.reader.limits import MEDIA, NAME_CHARACTERS, WORK_LINES
from buildlog.reader.names import name_in, quoted, unseen_in
from buildlog.reader.nodes import Node, Series, Table, Text, is_empty
from buildlog.reader.reading import Reading
from buildlog.reader.records import read_records
from buildlog.reader.values import date_of, number_of
from buildlog.reader.yamltext import nodes_of

_JOINTS = re.compile(r"[-_ ]+")
_ALMOST_DATED = re.compile(r"(\d{4})(?:[-_. ]?(\d{2})[-_. ]?(\d{2})|[-_. ](\d{1,2})[-_. ](\d{1,2}))(?!\d)")
_TOP = Text("", 1, 1)


class FileName(msgspec.Struct, frozen=True):
    """What an entry's file name says. `date` is None where it begins with none."""

    key: str
    date: datetime.date | None
    title: str


def file_name(file: str) -> FileName:
    """Read an entry's key, date and title off its path."""
    stem = file.rpartition("/")[2].removesuffix(".md")
    if not stem.isascii():
        stem = unicodedata.normalize("NFC", stem)
    date = date_of(stem[:10])
    rest = stem[10:]
    if date is None or (rest and rest[0] not in "-_ "):
        return FileName(stem, None, stem)
    title = _JOINTS.sub(" ", rest).strip()
    return FileName(stem, date, title[:1].upper() + title[1:] if title else stem)


def read_entry(reading: Reading, text: str) -> tuple[Entry | None, Draft | None]:
    """The entry in a file, or the draft that it is for now; neither where not even its day is known."""
    name = file_name(reading.file)
    _check_file_name(reading, name)
    parts = halves(reading, text)
    table = _header(reading, parts.header, parts.header_line)
    found = _fields(reading, table, name.key) if table else {}
    check_prose(reading, parts.body, parts.body_line, {each.file for each in found.get("media", ())})
    where = Where(reading.file, 1, 1)
    title = found.get("title") or name.title
    if parts.draft:
        return None, Draft(key=name.key, title=title, problems=told(reading), where=where)
    written = found.pop("date", None)
    date = written or name.date
    if date is None:
        return None, None
    facts = {
        **found,
        "title": title,
        "body": parts.body,
        "body_line": parts.body_line,
        "header_date": written is not None,
        "file_date": name.date,
        "where": where,
    }
    return Entry(key=name.key, date=date, **facts), None


def told(reading: Reading) -> tuple[str, ...]:
    """The problems of a draft as text: they stop nothing."""
    return tuple(str(problem) for problem in reading.problems())


def _check_file_name(reading: Reading, name: FileName) -> None:
    if name.date is None:
        found = f"the file name {quoted(name.key)} does not begin with a day of the calendar"
        reading.problem(_TOP, found, _named_after_its_day(name.key))
    if len(name.key) > NAME_CHARACTERS:
        found = f"the file name has {len(name.key)} characters; the limit is {NAME_CHARACTERS}"
        reading.problem(_TOP, found, "shorten it")
    if unseen := unseen_in(name.key):
        reading.problem(_TOP, f"the file name holds the unseen character {unseen}", "rename the file")


def _named_after_its_day(stem: str) -> str:
    """What to rename a file to: to the day that its name means, where one does, else to an example."""
    almost = _ALMOST_DATED.match(stem)
    if almost is None:
        return f"name it after its day, like `2026-03-14-{stem[:30] or 'left-spar'}.md`"
    year, month, day = almost[1], int(almost[2] or almost[4]), int(almost[3] or almost[5])
    rest = _JOINTS.sub("-", stem[almost.end() :]).strip("-")[:30]
    title = f"-{rest}" if rest else ""
    ways = [way for way in (f"{year}-{month:02}-{day:02}", f"{year}-{day:02}-{month:02}") if date_of(way)]
    if ways:
        return f"rename it to `{ways[0]}{title}.md`, if that is the day"
    return f"rename it to its day, like `2026-03-14{title or '-left-spar'}.md`"


def _header(reading: Reading, header: str | None, first: int) -> Table | None:
    if header is None:
        return None
    header = without_tabs(reading, forgiven(header), first) or ""
    node = nodes_of(reading, header, first)
    if node is None or isinstance(node, Table):
        return node
    if not is_empty(node):
        reading.problem(
            node, "the header is not a table of keys and values", "write `key: value` on each line"
        )
    return None


def _fields(reading: Reading, table: Table, key: str) -> dict[str, Any]:
    special: dict[str, Special] = {
        "work": _as_it_is,
        "records": functools.partial(read_records, own=key),
        "media": lambda at, node: facts_in(at, node, "media", MEDIA, _medium),
    }
    found = read_table(reading, table, form_of(Entry), "an entry", special)
    if "work" in found:
        line = functools.partial(_work_line, people=found.get("people", ()))
        found["work"] = facts_in(reading, found["work"], "work", WORK_LINES, line)
    if found.get("records") and found.get("audience") is Audience.SHOP:
        at = next(node for key, node in table.rows if key.text.strip().lower() == "audience")
        todo = "fence off its private passages with `~~~ shop only`, or move the records to another entry"
        reading.problem(at, "an entry with records cannot be for the shop alone", todo)
    return found


def _as_it_is(_: Reading, node: Node) -> Node:
    """For what can be read only when the rest of its table is."""
    return node


def _work_line(reading: Reading, table: Table, people: Sequence[str]) -> WorkLine:
    special: dict[str, Special] = {"parts": _shares, "hours": _as_it_is}
    found = read_table(reading, table, form_of(WorkLine), "a work line", special)
    if "hours" in found:
        # who worked is known only when the whole line is read
        own = found.get("people", ())
        found["hours"] = read_hours(reading, found["hours"], own or people)
        outside = [each.person for each in found["hours"] if own and each.person not in own]
        for person in outside:
            todo = "add them there, or take their hours out"
            reading.problem(table, f"{quoted(person)} has hours, but is not in this line's `people`", todo)
    return WorkLine(**found, where=reading.where(table))


def _medium(reading: Reading, table: Table) -> Medium:
    found = read_table(reading, table, form_of(Medium), "a medium", {})
    return Medium(**found, where=reading.where(table))


def _shares(reading: Reading, node: Node) -> tuple[Share, ...]:
    if isinstance(node, Table):
        return _weighed(reading, node)
    found: dict[str, None] = {}
    for each in node.items if isinstance(node, Series) else (node,):
        if not isinstance(each, Text):
            reading.problem(each, "`parts` holds a list or table inside a list", "put one name on each point")
            continue
        name = name_in(reading, each)
        if name is None:
            continue
        if name in found:
            reading.problem(each, f"{quoted(name)} is in `parts` twice", "keep one; weights go `{name: 2}`")
            continue
        reading.mention(Reads.ITEMS, name, each)
        found[name] = None
    return tuple(Share(name) for name in found)


def _weighed(reading: Reading, table: Table) -> tuple[Share, ...]:
    found: list[Share] = []
    for key, node in table.rows:
        name = name_in(reading, key)
        if name is None:
            continue
        reading.mention(Reads.ITEMS, name, key)
        weight = number_of(node.text.strip()) if isinstance(node, Text) else None
        if weight is None or weight == Fraction(0):
            shown = quoted(node.text) if isinstance(node, Text) else "a list or table"
            todo = "write a number above 0, like `3` or `0.5`"
            reading.problem(node, f"{shown} is no weight for {quoted(name)}", todo)
            continue
        found.append(Share(name, weight))
    return tuple(found)

"""buildlog.toml to its facts."""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping
from typing import Any

import msgspec

from buildlog.model.key import Audience, Reads
from buildlog.model.settings import Class, EditionSettings, Milestone, Person, Settings, Stage
from buildlog.reader.facts import Field, fields_of, form_with, read_table, unknown
from buildlog.reader.limits import DOTS_IN_A_KEY, DOTS_IN_A_LINE
from buildlog.reader.names import name_in, quoted
from buildlog.reader.nearest import advice
from buildlog.reader.nodes import Node, Series, Table, Text
from buildlog.reader.reading import Reading
from buildlog.reader.tomlplaces import Path, Places

FORMAT = 1
"""The version of the format that this tool reads."""

_TABLES: Mapping[str, type[msgspec.Struct]] = {
    "people": Person,
    "stages": Stage,
    "classes": Class,
    "milestones": Milestone,
    "editions": EditionSettings,
}
_SINGLE: Mapping[str, tuple[str, ...]] = {"project": ("title", "about", "zone"), "kinds": ("harmless",)}
_TOP = ("format", *_SINGLE, *_TABLES)

_DEEP = re.compile(rf"[\s\[]*(?:[\w\-\"']+\s*\.\s*){{{DOTS_IN_A_KEY + 1}}}")
_AT = re.compile(r" *\(at (?:line (\d+), column (\d+)|end of document)\)")
_ADDRESS = re.compile(r"https://[^\s/?#@\\\"'<>]+(?:/[^\s?#\\\"'<>]*)?")
"""Where an edition stands: addresses of its pages are put behind it, so it has no query, fragment or user."""


def read_settings(reading: Reading, text: str) -> Settings | None:
    """The settings as written, without what the tool brings; None where the file is no TOML at all."""
    data = _parsed(reading, text)
    if data is None:
        return None
    desk = _Desk(reading, Places(text))
    found: dict[str, Any] = {}
    for word, value in data.items():
        if word not in _TOP:
            todo = advice(word, _TOP, "known in buildlog.toml")
            reading.problem(desk.places.key((word,)), f"there is no setting {quoted(word)}", todo)
        elif word == "format":
            _check_format(reading, desk.places, value)
        elif not isinstance(value, dict):
            reading.problem(
                desk.places.key((word,)), f"`{word}` is not a table", f"write `[{word}]` on its own line"
            )
        elif word in _SINGLE:
            found.update(desk.single(word, value))
        else:
            found[word] = desk.named(word, value)
    if "project" not in data:
        reading.problem(None, "the table `[project]` is missing", 'add `[project]` with `title = "…"`')
    _check_zone(reading, desk.places, found)
    return Settings(**found, where=reading.where(Text("", 1, 1)))


def _parsed(reading: Reading, text: str) -> dict[str, Any] | None:
    import tomllib  # noqa: PLC0415 - settings that have not changed are not read again

    # the parser's time grows with the square of a key's depth, and each bracket takes stack
    for number, line in enumerate(text.split("\n"), 1):
        brackets = line.count("[") + line.count("{")
        if max(line.count("."), brackets) > DOTS_IN_A_LINE or _DEEP.match(line):
            reading.problem(Text("", number, 1), "this line is nested too deep", "no setting needs this")
            return None
    try:
        return tomllib.loads(text)
    except RecursionError:
        reading.problem(None, "the settings are nested too deep", "no setting needs this")
    except ValueError as error:
        said = str(error)
        at = _AT.search(said)
        # a text that ends too soon is told without a place
        place = Text("", int(at[1]), int(at[2])) if at and at[1] else Text("", text.count("\n") + 1, 1)
        what = _AT.sub("", said)
        found = f"this is not TOML: {what[:1].lower()}{what[1:]}"
        reading.problem(place, found, 'write `key = "value"` below a `[table]`')
    return None


class _Desk:
    """Reads the tables of one file, with the places of their keys."""

    def __init__(self, reading: Reading, places: Places) -> None:
        self.reading = reading
        self.places = places

    def single(self, word: str, data: Mapping[str, Any]) -> dict[str, Any]:
        every = fields_of(Settings)
        fields = {key: every[key] for key in _SINGLE[word]}
        return self._read(data, (word,), fields)

    def named(self, word: str, data: Mapping[str, Any]) -> tuple[Any, ...]:
        fact = _TABLES[word]
        found = []
        for key, value in data.items():
            place = self.places.key((word, key))
            name = name_in(self.reading, Text(key, place.line, place.column))
            if name is None:
                continue
            if not isinstance(value, dict):
                todo = f"write `[{word}.{key}]` on its own line"
                self.reading.problem(place, f"`{word}.{key}` is not a table", todo)
                continue
            if word == "editions":
                _check_edition(self.reading, place, value, self.places)
            values = self._read(value, (word, key), fields_of(fact))
            found.append(fact(key=name, **values, where=self.reading.where(place)))
        return tuple(found)

    def _read(self, data: Mapping[str, Any], path: Path, fields: Mapping[str, Field]) -> dict[str, Any]:
        rows: list[tuple[Text, Node]] = []
        left = dict(fields)
        for key, value in data.items():
            place = self.places.key((*path, key))
            field = fields.get(key.lower())
            if field is None:
                unknown(self.reading, place, f"[{'.'.join(path)}]", fields)
            elif (node := self._node(value, (*path, key), field)) is not None:
                rows.append((place, node))
            else:
                del left[key.lower()]  # it is there, though no good: not missing besides
        place = self.places.key(path)
        table = Table(tuple(rows), place.line, place.column)
        return read_table(self.reading, table, form_with(left), f"[{'.'.join(path)}]", {})

    def _node(self, value: Any, path: Path, field: Field) -> Node | None:
        if not isinstance(value, list):
            return self._text(value, path, field)
        items = [self._text(each, path, field) for each in value]
        place = self.places.key(path)
        return Series(tuple(each for each in items if each is not None), place.line, place.column)

    def _text(self, value: Any, path: Path, field: Field) -> Text | None:
        text = _text_of(value, field.reads)
        if text is not None:
            return self.places.value(path, text)
        sorts: dict[type, str] = {dict: "a table", list: "a list inside a list"}
        told = f"`{path[-1]}` holds {sorts.get(type(value), 'a number, date or flag')}"
        todo = f'expected: {field.reads.value}; put a text in quotes: `{path[-1]} = "…"`'
        self.reading.problem(self.places.key(path), told, todo)
        return None


def _text_of(value: Any, reads: Reads) -> str | None:
    if isinstance(value, str):
        return value
    if reads is Reads.FLAG and isinstance(value, bool):
        return str(value).lower()
    if reads is Reads.COUNT and isinstance(value, int) and not isinstance(value, bool):
        return str(value)
    if reads is Reads.DATE and type(value) is datetime.date:
        return value.isoformat()
    return None


def _check_format(reading: Reading, places: Places, value: Any) -> None:
    if type(value) is not int or value != FORMAT:
        found = f"the format is {quoted(str(value))}; this tool reads format {FORMAT}"
        reading.problem(places.key(("format",)), found, f"write `format = {FORMAT}`, or use a newer tool")


def _check_edition(reading: Reading, place: Text, data: Mapping[str, Any], places: Places) -> None:
    words = [each.word for each in Audience]
    if place.text not in words:
        told = f"there is no edition {quoted(place.text)}"
        reading.problem(place, told, advice(place.text, words, "editions"))
    address = data.get("address")
    if isinstance(address, str) and address and not _ADDRESS.fullmatch(address):
        at = places.value(("editions", place.text, "address"), address)
        todo = "write `https://…/`, without `?`, `#` and `@`"
        reading.problem(at, f"{quoted(address)} is not an https address of a folder", todo)


def _check_zone(reading: Reading, places: Places, found: Mapping[str, Any]) -> None:
    zone = found.get("zone", "")
    if not zone:
        return
    import zoneinfo  # noqa: PLC0415 - the list of zones is large, and only settings ask for it

    known = zoneinfo.available_timezones()
    if known and zone not in known:
        at = places.value(("project", "zone"), zone)
        reading.problem(at, f"{quoted(zone)} is no IANA time zone", advice(zone, known, "time zones"))

"""Logs with a canary in every hidden field that the types declare, and ways to look for one on pages.

A canary is a word, number, day or hour that comes about nowhere by itself; each field has its own, so that
what is found says from where it came. The types are walked: a new field is covered by itself.
"""

from __future__ import annotations

import csv
import datetime
import io
import json
import re
import typing
from collections.abc import Iterator
from fractions import Fraction
from html.parser import HTMLParser
from typing import Any
from xml.etree import ElementTree as ET

import msgspec

from buildlog.edition.decoded import decoded
from buildlog.model.entry import Draft, Entry, Medium, Share, WorkLine
from buildlog.model.key import Audience, Where, keys_of
from buildlog.model.lists import Part, PartNote, Task
from buildlog.model.log import Log, MediaFile, Rendition
from buildlog.model.records import KINDS, AnyRecord
from buildlog.model.settings import Person
from tests.edition.hidden_facts import NOTHING, log_of


class Cage:
    """Hands out canaries, each field its own, and knows them again."""

    def __init__(self) -> None:
        self.fields: dict[str, int] = {}

    def canary(self, hint: Any, field: str) -> Any:
        """A value of a type that could not come about by itself."""
        origin, args = typing.get_origin(hint), typing.get_args(hint)
        if origin is typing.Annotated:
            return self.canary(args[0], field)
        if origin is tuple and args[0] == AnyRecord:
            return tuple(map(self.full, KINDS.values()))
        if origin is tuple:
            return (self.canary(args[0], field),)
        if origin is typing.Union or type(hint).__name__ == "UnionType":
            return self.canary(next(each for each in args if each is not type(None)), field)
        if isinstance(hint, type) and issubclass(hint, msgspec.Struct):
            return self.full(hint)
        number = self.fields.setdefault(field, len(self.fields))
        values: dict[Any, Any] = {
            str: f"cnry{number:03d}q",
            bool: True,
            int: SUM + number,
            Fraction: Fraction(SUM + number),
            datetime.date: DAY + datetime.timedelta(days=number),
            datetime.time: datetime.time(number // 60 + 1, number % 60),
            Audience: Audience.PUBLIC,
        }
        return values[hint]

    def full(self, kind: type[msgspec.Struct], **known: Any) -> Any:
        """A fact with a canary in every field that is not given."""
        hints = typing.get_type_hints(kind, include_extras=True)
        name = kind.__name__
        values = {
            each: self.canary(hints[each], f"{name}.{each}")
            for each in kind.__struct_fields__
            if each not in known
        }
        return kind(**values, **known)

    def within(self, fact: Any, audience: Audience) -> Any:
        """A visible fact with a canary in every field above the audience, however deep."""
        hints = typing.get_type_hints(type(fact), include_extras=True)
        changed: dict[str, Any] = {}
        for name, key in keys_of(type(fact)).items():
            value = getattr(fact, name)
            if (type(fact).__name__, name) in DECIDES:
                continue
            if key.audience > audience:
                changed[name] = self.canary(hints[name], f"{type(fact).__name__}.{name}")
            elif isinstance(value, tuple) and value and isinstance(value[0], msgspec.Struct):
                changed[name] = tuple(self.within(each, audience) for each in value)
            elif isinstance(value, msgspec.Struct) and not isinstance(value, Where):
                changed[name] = self.within(value, audience)
        return msgspec.structs.replace(fact, **changed)

    def found(self, texts: str) -> set[str]:
        """The fields whose canaries stand in a text."""
        plain = re.sub(r"(?<=\d)[,\s'\u202f\u00a0](?=\d{3})", "", texts.casefold())
        numbers = {int(each) for each in re.findall(r"cnry(\d{3})q", plain)}
        numbers |= {int(each) for each in re.findall(rf"(?<!\d){SUM // 1000}(\d{{3}})(?!\d)", plain)}
        for each in re.findall(r"(?<!\d)300[12]-\d\d-\d\d(?!\d)", plain):
            numbers.add((datetime.date.fromisoformat(each) - DAY).days)
        for hour, minute in re.findall(r"(?<![\d:])(\d\d):(\d\d)(?![\d:])", plain):
            numbers.add((int(hour) - 1) * 60 + int(minute))
        return {field for field, number in self.fields.items() if number in numbers}


SUM, DAY = 7_100_000, datetime.date(3001, 1, 1)
"""Where the canaries among numbers and days begin."""

DECIDES = {
    ("Entry", "audience"),
    ("Part", "audience"),
    ("Task", "audience"),
    ("Medium", "audience"),
    ("Person", "key"),
}
"""Fields that decide what is seen, or by which a public name is found: those have tests of their own."""


def caged(audience: Audience) -> tuple[Log, Cage]:
    """The visible log of an audience with canaries in all that is hidden from it, and their cage."""
    cage = Cage()
    log = cage.within(log_of(NOTHING, audience), audience)
    shop = Audience.SHOP
    fence = f"~~~ shop only\n{cage.canary(str, 'a fence')}\n~~~\n"
    kept = cage.full(Medium, audience=shop, file="shop.jpg")
    entries = [
        msgspec.structs.replace(
            each,
            body=f"{fence}{each.body}\n{fence}",
            media=(*each.media, kept),
        )
        for each in log.entries
    ]
    shown = entries[1].media[0]
    captioned = msgspec.structs.replace(shown, caption=f"{shown.caption}\n{fence}")
    line = WorkLine(task=cage.canary(str, "Task.task"), parts=(Share(cage.canary(str, "Part.number")),))
    entries[1] = msgspec.structs.replace(
        entries[1],
        media=(captioned, *entries[1].media[1:]),
        work=(*entries[1].work, line) if audience is Audience.PUBLIC else entries[1].work,
    )
    hidden = cage.full(Entry, audience=shop, date=datetime.date(2026, 3, 2))
    part = cage.full(Part, audience=shop)
    log = msgspec.structs.replace(
        log,
        entries=tuple(sorted([*entries, hidden], key=lambda each: (each.date, each.key))),
        parts=(*log.parts, part),
        tasks=(*log.tasks, cage.full(Task, audience=shop)),
        notes=(*log.notes, PartNote(number=part.number, body=cage.canary(str, "PartNote.body"))),
        drafts=(cage.full(Draft),),
        media=(
            *log.media,
            MediaFile(
                file="shop.jpg", renditions=(Rendition(cage.canary(str, "the name of a hidden photo"), 4, 3),)
            ),
        ),
        secrets=(cage.canary(str, "Log.secrets"),),
    )
    return (_by_keys(log, cage) if audience is Audience.PUBLIC else log), cage


def _by_keys(log: Log, cage: Cage) -> Log:
    """With keys that are canaries for people, and somebody who stands in no entry of the public's."""
    keys = {each.key: cage.canary(str, f"Person.key {each.key}") for each in log.settings.people}
    people = [msgspec.structs.replace(each, key=keys[each.key]) for each in log.settings.people]
    people.append(cage.full(Person))
    entries = tuple(
        msgspec.structs.replace(
            each,
            people=tuple(keys.get(key, key) for key in each.people),
            present=tuple(keys.get(key, key) for key in each.present),
        )
        for each in log.entries
    )
    settings = msgspec.structs.replace(log.settings, people=tuple(people))
    return msgspec.structs.replace(log, settings=settings, entries=entries)


def read(address: str, data: bytes) -> str:
    """All that a file says: as the gate reads it, and as readers from elsewhere do."""
    text = data.decode()
    return "\n".join((address, decoded(address, data), text, *by_hand(address, text)))


def by_hand(address: str, text: str) -> Iterator[str]:
    """The texts of a file, without a word of ours."""
    ending = address.rpartition(".")[2]
    if ending == "html":
        yield from _html(text)
    elif ending == "json":
        yield from _leaves(json.loads(text))
    elif ending == "csv":
        yield from (cell for row in csv.reader(io.StringIO(text)) for cell in row)
    elif ending == "xml":
        for each in ET.fromstring(text).iter():  # noqa: S314 - it is our own
            yield from (each.text or "", each.tail or "", *each.attrib.values())
            yield from _html(each.text or "")


def _html(text: str) -> list[str]:
    told: list[str] = []

    class Reader(HTMLParser):
        """Keeps texts, attributes and comments."""

        def handle_data(self, data: str) -> None:
            told.append(data)

        def handle_comment(self, data: str) -> None:
            told.append(data)

        def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
            told.extend(value or "" for _, value in attrs)

    reader = Reader()
    reader.feed(text)
    reader.close()
    # what emphasis parts is one word as well
    return [*told, "".join(told)]


def _leaves(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for key, each in value.items():
            yield key
            yield from _leaves(each)
    elif isinstance(value, list):
        for each in value:
            yield from _leaves(each)
    else:
        yield str(value)

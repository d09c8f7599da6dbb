"""Which words an edition may not hold: the names of what the door took away, and what the author forbids."""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from typing import Any, NamedTuple

import msgspec

from buildlog.edition.decoded import fold
from buildlog.edition.gate import Word
from buildlog.edition.view import is_hidden
from buildlog.model.key import Audience
from buildlog.model.log import Log
from buildlog.model.names import names_of

_NAMES = {
    ("Person", "name"): "the name of a person",
    ("Person", "key"): "the key of a person",
    ("Person", "certificate"): "a certificate number",
    ("Person", "contact"): "how to reach a person",
    ("Part", "supplier"): "a supplier",
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

OF_ENTRIES = (_NAMES["Entry", "key"], _NAMES["Draft", "key"])
"""Sorts of words that stand for the files of entries: their dates and words stand on the pages of others."""

_NAME_PART = "part of the name of a person"

OF_PEOPLE = (_NAMES["Person", "name"], _NAMES["Person", "key"], _NAME_PART)
"""The sorts of words that a person's public name may stand for."""

_PROSE = {"body", "caption", "title", "note", "about", "description", "reason", "conditions", "place"}
"""Fields of free text: what stands there by itself allows nothing."""


_PARTED = re.compile(r"[,;|\n]|\s/\s")
_FIRM = re.compile(
    r"[\s,]+(?:AS|A/S|ASA|AB|ApS|Oy|Oyj|GmbH|AG|KG|BV|B\.V\.|NV|SA|S\.A\.|SAS|Srl|S\.r\.l\.|SpA|Ltd|Limited|LLC|LLP|PLC"
    r"|Inc|Corp|Co|& Co)\.?$",
    re.IGNORECASE,
)
_WORD = re.compile(r"\w+")
_SHORT = 3
"""Initials and particles of a name stand in every text."""

_FIGURE = re.compile(r"\d{1,4}|\d{4}-\d{2}-\d{2}")
"""Names that are a figure as any page holds: the serial number 17 stands wherever something is measured."""

_LONG = 4
"""Pieces of a name that are shorter would be found everywhere."""


class Words(NamedTuple):
    """The words to look for: those that an edition may not hold, and those that its builder is told of.

    `ordinary` may stand for something hidden or for nothing, `unmarked` name parts and tasks that do not say
    for whom they are, and so are not shown.
    """

    hidden: tuple[Word, ...]
    ordinary: tuple[Word, ...]
    unmarked: tuple[Word, ...]


def words_of(log: Log, seen: Log, audience: Audience) -> Words:
    """The words to look for in an edition.

    Args:
        log: the whole log.
        seen: what `view` let through of it.
        audience: for whom.
    """
    names = (*_names_hidden(log, seen, audience), *_marked(log, seen, audience))
    # secrets go first: a supplier whose name is a secret too is not quoted
    hidden = [
        Word(text, f"the word on line {line} of secrets.txt", secret=True)
        for line, text in enumerate(log.secrets, start=1)
        if text
    ]
    hidden += [word for word in names if not _FIGURE.fullmatch(word.text)]
    hidden += _names_in_parts(log, audience, common=False)
    ordinary = [*_ordinary(log, audience), *(word for word in names if _FIGURE.fullmatch(word.text))]
    return Words(
        tuple(dict.fromkeys(hidden)), tuple(dict.fromkeys(ordinary)), tuple(_unmarked(log, audience))
    )


def _ordinary(log: Log, audience: Audience) -> Iterator[Word]:
    """The titles of parts and tasks that say of themselves that they are for somebody above ("rib").

    For the public also the first and last names of people whom it does not know.
    """
    for part in log.parts:
        if part.audience is not None and is_hidden(part, audience) and part.name:
            yield Word(part.name, f"the title of the part {part.number}")
    for task in log.tasks:
        if task.audience is not None and is_hidden(task, audience) and task.title:
            yield Word(task.title, f"the title of the task {task.task}")
    yield from _names_in_parts(log, audience, common=True)


def _names_in_parts(log: Log, audience: Audience, *, common: bool) -> Iterator[Word]:
    """First and last names, by which people are spoken of, of those whom the public does not know.

    Some are also words (Wood, Mark): those that are short, or that the log writes with a small letter
    somewhere. They are the `common` ones.
    """
    if audience is not Audience.PUBLIC:
        return
    told = {fold(word) for person in log.settings.people for word in _WORD.findall(person.public)}
    for person in log.settings.people:
        for word in _WORD.findall(person.name):
            if len(word) >= _SHORT and fold(word) not in told and _is_common(word, log) is common:
                yield Word(word, _NAME_PART)


def _is_common(word: str, log: Log) -> bool:
    small = word.lower()
    if len(word) < _LONG or small == word:
        return True
    standing = re.compile(rf"\b{re.escape(small)}\b")
    texts = itertools.chain.from_iterable((entry.title, entry.body) for entry in log.entries)
    return any(small in text and standing.search(text) for text in texts)


def _unmarked(log: Log, audience: Audience) -> Iterator[Word]:
    for part in log.parts:
        if part.audience is None and is_hidden(part, audience):
            yield Word(part.number, "a part without an `audience`")
    for task in log.tasks:
        if task.audience is None and is_hidden(task, audience):
            yield Word(task.task, "a task without an `audience`")


def _names_hidden(log: Log, seen: Log, audience: Audience) -> Iterator[Word]:
    """Every name in the log that stands nowhere in what was let through, in all its forms.

    A name that also stands where the audience may read it is no secret: a supplier whom a record that the
    inspector reads names too, a key that is a person's public name. That does not hold for parts and tasks
    that say of themselves that they are for somebody above: whoever names them has to be told.
    """
    visible = set(_texts(seen))
    # an entry that the audience reads is called after its title there, which may begin as its file does
    visible.update(entry.key for entry in log.entries if not is_hidden(entry, audience))
    # what the public calls somebody may be said, though it be another's key
    told = {fold(person.public) for person in log.settings.people if person.public}
    keys = {fold(word) for person in log.settings.people for word in _WORD.findall(person.public)}
    for text, sort in _named(log):
        if text not in visible:
            for each in _forms(text, sort):
                # somebody is `marit` in the log, and Marit S. for all
                said = fold(each) in told or (sort == _NAMES["Person", "key"] and fold(each) in keys)
                if each not in visible and not said:
                    yield Word(each, sort)


def _marked(log: Log, seen: Log, audience: Audience) -> Iterator[Word]:
    """The numbers and keys of hidden parts and tasks, but those that are also a visible part's or item's."""
    items = names_of(seen.parts).items
    known = {*items, *(str(item) for each in items.values() for item in each)}
    known.update(task.task for task in seen.tasks)
    for part in log.parts:
        if part.audience is not None and is_hidden(part, audience) and part.number not in known:
            yield Word(part.number, "a part number")
    for task in log.tasks:
        if task.audience is not None and is_hidden(task, audience) and task.task not in known:
            yield Word(task.task, "a task")


def _forms(text: str, sort: str) -> Iterator[str]:
    """A name and what people write for it: one of several ways to reach somebody, a firm without its sort."""
    yield text
    if sort == _NAMES["Person", "contact"]:
        yield from (piece.strip() for piece in _PARTED.split(text) if len(piece.strip()) >= _LONG)
    elif sort == _NAMES["Part", "supplier"]:
        bare = _FIRM.sub("", text)
        if bare != text and len(bare) >= _LONG:
            yield bare


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

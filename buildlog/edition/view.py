"""The one door. Nothing is resolved, derived, counted, named or shown that has not come through here.

`view` walks the declarations of the types (`buildlog.model.key`): a field above the audience becomes its
default, a fact whose own audience is above it is gone, with its file name and line. So a new field is
covered the moment it is declared, and one without an audience stops the program.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator
from typing import Any, TypeVar

import msgspec

from buildlog.edition.links import Known, known_of, unled
from buildlog.edition.told import told_to_all
from buildlog.model.entry import Entry, Medium
from buildlog.model.fences import cut
from buildlog.model.grants import NO_GRANTS, Grants
from buildlog.model.key import Audience, Where, keys_of
from buildlog.model.lists import Part, PartNote, Task
from buildlog.model.log import Log

_BLANKS = re.compile(r"\n[ \t]*\n[ \t]*\n|\n[ \t]+\n")
_INDENT = ("    ", "\t")

S = TypeVar("S", bound=msgspec.Struct)
E = TypeVar("E", Entry, PartNote)


def view(log: Log, audience: Audience, grants: Grants = NO_GRANTS) -> Log:
    """The log as one audience may know it; for the shop, the log itself.

    Args:
        log: the whole log.
        audience: for whom.
        grants: the aggregates let through to it, computed beforehand (`buildlog.readiness.declassified`).

    Returns:
        A log in which every fact above the audience is gone, with these grants and no others. Equal views
        and grants give equal editions.

    Raises:
        TypeError: a type holds a field that declares no audience.
    """
    if audience is Audience.SHOP:
        return log if log.grants == grants else msgspec.structs.replace(log, grants=grants)
    seen = _seen(without_kept_media(log, audience), audience)
    numbers = {part.number for part in seen.parts}
    named = {file for entry in seen.entries for file, _ in _media_of(entry)}
    editions = tuple(each for each in seen.settings.editions if each.key == audience.word)
    seen = msgspec.structs.replace(
        seen,
        settings=msgspec.structs.replace(seen.settings, editions=editions),
        # a note that was fenced off whole is as good as none
        notes=tuple(note for note in seen.notes if note.number in numbers and note.body.strip()),
        media=tuple(medium for medium in seen.media if medium.file in named),
        grants=grants,
    )
    seen = _unled(seen, known_of(seen))
    return told_to_all(seen, log.settings.people) if audience is Audience.PUBLIC else seen


def _unled(seen: Log, known: Known) -> Log:
    """The log without links to what is not in it."""
    return msgspec.structs.replace(
        seen,
        entries=tuple(_with_body(each, unled(each.body, known)) for each in seen.entries),
        notes=tuple(_with_body(each, unled(each.body, known)) for each in seen.notes),
    )


def _with_body(fact: E, body: str) -> E:
    return fact if body == fact.body else msgspec.structs.replace(fact, body=body.strip("\n"))


def is_hidden(value: object, audience: Audience) -> bool:
    """Whether a fact says of itself that it is for somebody above."""
    if isinstance(value, Entry):
        return value.audience > audience
    if isinstance(value, Part | Task):
        return (value.audience or Audience.INSPECTOR) > audience
    return isinstance(value, Medium) and value.audience is not None and value.audience > audience


def without_kept_media(log: Log, audience: Audience) -> Log:
    """The log without the files that anything keeps from the audience: one such reference is enough."""
    narrowest: dict[str, Audience] = {}
    for entry in log.entries:
        for file, asked in _media_of(entry):
            narrowest[file] = max(asked, narrowest.get(file, asked))
    kept = frozenset(file for file, asked in narrowest.items() if asked <= audience)
    if len(kept) == len(narrowest):
        return log
    return msgspec.structs.replace(log, entries=tuple(_with_media(entry, kept) for entry in log.entries))


def files_for(log: Log, audience: Audience) -> frozenset[str]:
    """The files that entries show an audience, fit to be shown or not."""
    kept = without_kept_media(log, audience)
    entries = (entry for entry in kept.entries if not is_hidden(entry, audience))
    return frozenset(
        medium.file for entry in entries for medium in entry.media if not is_hidden(medium, audience)
    )


def kept_back(log: Log, audience: Audience) -> dict[str, Where]:
    """The files that an entry would show an audience and something else keeps, with the place of that."""
    shown = {
        medium.file
        for entry in log.entries
        if not is_hidden(entry, audience)
        for medium in entry.media
        if not is_hidden(medium, audience)
    }
    found: dict[str, Where] = {}
    for entry in log.entries:
        for medium in entry.media:
            if max(entry.audience, medium.audience or entry.audience) > audience:
                found.setdefault(medium.file, medium.where)
        for record in entry.records:
            for file in record.document:
                if max(entry.audience, Audience.INSPECTOR) > audience:
                    found.setdefault(file, record.where)
    return {file: where for file, where in found.items() if file in shown}


def _media_of(entry: Entry) -> Iterator[tuple[str, Audience]]:
    """The files that an entry refers to, and for whom it does."""
    for medium in entry.media:
        yield medium.file, max(entry.audience, medium.audience or entry.audience)
    for record in entry.records:
        for file in record.document:
            yield file, max(entry.audience, Audience.INSPECTOR)


def _with_media(entry: Entry, kept: frozenset[str]) -> Entry:
    """An entry that refers to these files alone."""
    records = tuple(
        msgspec.structs.replace(record, document=tuple(file for file in record.document if file in kept))
        if record.document
        else record
        for record in entry.records
    )
    media = tuple(medium for medium in entry.media if medium.file in kept)
    return msgspec.structs.replace(entry, media=media, records=records)


def _seen(fact: S, audience: Audience) -> S:
    """A fact with what is above the audience taken out of it, however deep."""
    kept = {name: _value(getattr(fact, name), audience) for name in _visible(type(fact), audience)}
    if isinstance(fact, Entry | PartNote):
        kept["body"] = _settled(cut(fact.body, audience))
    elif isinstance(fact, Medium):
        kept["caption"] = cut(fact.caption, audience)
    return type(fact)(**kept)


def _settled(body: str) -> str:
    """A body with one blank line wherever there are several, as there is where a passage was cut out.

    Code keeps its own.
    """
    if not _BLANKS.search(body):
        return body
    kept: list[str] = []
    blanks, code = 0, False
    for line in body.split("\n"):
        if not (line.strip() or code):
            blanks += 1
            continue
        indented = bool(kept) and kept[-1].startswith(_INDENT) and line.startswith(_INDENT)
        kept += [""] * (blanks if indented else min(blanks, 1))
        kept.append(line)
        blanks = 0
        code ^= line.lstrip(" >").startswith("```")
    return "\n".join(kept + [""] * min(blanks, 1))


def _value(value: Any, audience: Audience) -> Any:
    if isinstance(value, tuple):
        return tuple(_value(each, audience) for each in value if not is_hidden(each, audience))
    if isinstance(value, msgspec.Struct):
        return _seen(value, audience)
    return value


@functools.cache
def _visible(fact: type[msgspec.Struct], audience: Audience) -> tuple[str, ...]:
    return tuple(name for name, key in keys_of(fact).items() if key.audience <= audience)

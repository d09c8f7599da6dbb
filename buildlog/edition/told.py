"""What the public is told of people, and of names that lead to nothing it may know.

A tag that would lead to a part or task the public does not see goes, and what it was tied to stays. Names are
looked up in what is left: a hidden part never takes the place of the item of a visible one.
"""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from typing import NamedTuple

import msgspec

from buildlog.edition.renamed import (
    Renamed,
    first_captions,
    in_order,
    named_after,
    new_keys,
    relinked,
)
from buildlog.model.entry import Entry, Medium, WorkLine
from buildlog.model.lists import Part
from buildlog.model.log import Log, MediaFile
from buildlog.model.names import Names, names_of
from buildlog.model.settings import Person

NOBODY = "a builder"
"""How somebody who did not agree to be named reads, once however many they are."""


class _Known(NamedTuple):
    """What the public may know: parts and items, tasks, and the public names of people by key."""

    parts: Names
    tasks: frozenset[str]
    people: Mapping[str, str]


def told_to_all(seen: Log, people: Iterable[Person]) -> Log:
    """A log viewed for the public, without the tags and keys that it must not hold.

    Args:
        seen: the log with every field and fact above the public gone.
        people: those of the whole log, for their public names.
    """
    known = _Known(
        names_of(seen.parts),
        frozenset(task.task for task in seen.tasks),
        {person.key: person.public for person in people},
    )
    led_to = {task.milestone for task in seen.tasks}
    milestones = tuple(each for each in seen.settings.milestones if each.key in led_to)
    shown = {medium.file: medium for medium in seen.media if medium.renditions or medium.cleaned}
    entries = in_order(_entry(entry, known, shown) for entry in seen.entries)
    captions = first_captions(entries)
    media = {file: named_after(medium, captions.get(file, "")) for file, medium in shown.items()}
    renamed = Renamed(new_keys(entries), {file: medium.file for file, medium in media.items()})
    return msgspec.structs.replace(
        seen,
        # who stands in no public entry is nobody's business, public name or not
        settings=msgspec.structs.replace(seen.settings, people=(), milestones=milestones),
        parts=tuple(_part(part, known) for part in seen.parts),
        notes=tuple(
            msgspec.structs.replace(note, body=relinked(note.body, renamed, known.parts))
            for note in seen.notes
        ),
        entries=tuple(_renamed(entry, renamed, known.parts) for entry in entries),
        media=tuple(sorted({medium.file: medium for medium in media.values()}.values(), key=_file)),
    )


def _file(medium: MediaFile) -> str:
    return medium.file


def _renamed(entry: Entry, renamed: Renamed, parts: Names) -> Entry:
    return msgspec.structs.replace(
        entry,
        key=renamed.entries[entry.key],
        body=relinked(entry.body, renamed, parts),
        media=tuple(
            msgspec.structs.replace(medium, file=renamed.files[medium.file]) for medium in entry.media
        ),
    )


def _part(part: Part, known: _Known) -> Part:
    if not part.parent or part.parent in known.parts.items:
        return part
    return msgspec.structs.replace(part, parent="")


def _entry(entry: Entry, known: _Known, shown: Container[str]) -> Entry:
    lines = (_line(line, known) for line in entry.work)
    return msgspec.structs.replace(
        entry,
        people=_called(entry.people, known.people),
        # a visitor is no builder: without a public name they are not spoken of
        present=tuple(dict.fromkeys(known.people[key] for key in entry.present if known.people.get(key))),
        work=tuple(dict.fromkeys(line for line in lines if line.task or line.parts)),
        # what could not be made fit to be shown is left out, without a word: the builder is told
        media=tuple(_medium(medium, known) for medium in entry.media if medium.file in shown),
    )


def _called(keys: Iterable[str], people: Mapping[str, str]) -> tuple[str, ...]:
    """The names of people, whoever has none last: where they stood would tell how many they are."""
    names = dict.fromkeys(people.get(key) or NOBODY for key in keys)
    return (*(name for name in names if name != NOBODY), *(name for name in names if name == NOBODY))


def _line(line: WorkLine, known: _Known) -> WorkLine:
    return msgspec.structs.replace(
        line,
        task=line.task if line.task in known.tasks else "",
        parts=tuple(share for share in line.parts if _visible(share.name, known)),
    )


def _medium(medium: Medium, known: _Known) -> Medium:
    return msgspec.structs.replace(
        medium, shows=tuple(name for name in medium.shows if _visible(name, known))
    )


def _visible(name: str, known: _Known) -> bool:
    named = known.parts.of(name)
    return named.listed and bool(named.items)

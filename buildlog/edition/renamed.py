"""Names of files as the public reads them: no file of the log is called there as the builder's disk calls it.

An entry is called after its date and title, a picture after its caption and the digest of its own bytes. Both
depend on what the public may read anyway, and on nothing that is kept from it; so does the order of two
entries of one day.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from pathlib import PurePosixPath
from typing import NamedTuple

import msgspec

from buildlog.model.entry import Entry
from buildlog.model.log import MediaFile, Rendition
from buildlog.model.names import Names
from buildlog.model.prose import in_media
from buildlog.model.slug import slug
from buildlog.model.targets import with_targets

_WORDS = 48
"""How long the words of a title or caption are in the name of a file."""

NOWHERE = "#"
"""Where a link leads that leads to nothing the public may see: it is shown as plain text."""


class Renamed(NamedTuple):
    """The new names of entries and of files below media/, by the names that the log has for them."""

    entries: dict[str, str]
    files: dict[str, str]


def in_order(entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """The entries by date, those of one day by what the public reads of them."""
    return tuple(sorted(entries, key=_reads))


def _reads(entry: Entry) -> tuple[object, ...]:
    captions = tuple(medium.caption for medium in entry.media)
    return entry.date, entry.title, with_targets(entry.body, lambda _: NOWHERE), captions


def new_keys(entries: Iterable[Entry]) -> dict[str, str]:
    """What each entry is called, by its key; `entries` are in the public's order."""
    found: dict[str, str] = {}
    taken: set[str] = set()
    for entry in entries:
        words = slug(entry.title, _WORDS).lower()
        if not words and entry.title:
            words = hashlib.sha256(entry.title.encode()).hexdigest()[:8]
        name = f"{entry.date.isoformat()}-{words}".rstrip("-")
        number, free = 1, name
        while free in taken:
            number += 1
            free = f"{name}-{number}"
        taken.add(free)
        found[entry.key] = free
    return found


def named_after(medium: MediaFile, caption: str) -> MediaFile:
    """A medium that is called, as its files are, after its caption and the digests of what was made of it."""
    words = slug(caption, _WORDS).lower()
    before = f"{words}-" if words else ""

    def called(each: Rendition) -> Rendition:
        return msgspec.structs.replace(each, name=f"{before}{each.name}")

    renditions = tuple(map(called, medium.renditions))
    cleaned = f"{before}{medium.cleaned}" if medium.cleaned else ""
    return msgspec.structs.replace(
        medium,
        file=cleaned or renditions[-1].name,
        renditions=renditions,
        poster=tuple(map(called, medium.poster)),
        cleaned=cleaned,
    )


def relinked(body: str, renamed: Renamed, parts: Names) -> str:
    """A body whose links and pictures lead to the new names, and nowhere where there is none."""

    def place(target: str) -> str:
        path = in_media(target)
        if path.endswith(".md"):
            stem = PurePosixPath(path).stem
            if stem in renamed.entries:
                return f"{renamed.entries[stem]}.md"
            return target if stem in parts.items else NOWHERE
        return renamed.files.get(path, NOWHERE)

    return with_targets(body, place)


def first_captions(entries: Iterable[Entry]) -> Mapping[str, str]:
    """For each file that has one, the first caption that an entry gives it, in the public's order."""
    found: dict[str, str] = {}
    for entry in entries:
        for medium in entry.media:
            if medium.caption:
                found.setdefault(medium.file, medium.caption)
    return found

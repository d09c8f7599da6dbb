"""Forbidden words found where the author wrote them, so that they can be taken out there."""

from __future__ import annotations

import html
import itertools
import re
from collections.abc import Iterator, Sequence

import msgspec

from buildlog.edition.decoded import EDGE, fold
from buildlog.edition.gate import Gate, Word
from buildlog.edition.links import Known, known_of, unled
from buildlog.edition.view import is_hidden, without_kept_media
from buildlog.model.entry import Entry
from buildlog.model.fences import cut, cut_lines
from buildlog.model.key import NOWHERE, Audience, Where, keys_of
from buildlog.model.lists import PartNote
from buildlog.model.log import Log
from buildlog.model.prose import texts_of
from buildlog.model.targets import with_targets

_GIVEN_OTHER_NAMES = {("Entry", "key"), ("Entry", "people"), ("Entry", "present"), ("Medium", "file")}
"""Fields that the door gives other values for the public: what stands in them reaches nobody."""


_MARKS = re.compile(r"\]\([^()]*\)|[*_`\\\[\]!<>]")
"""What may part a word in Markdown and is not seen on a page."""


class Written(msgspec.Struct, frozen=True):
    """A forbidden word and the place in the log where it is written; in `prose` a fence can keep it back."""

    where: Where
    word: Word
    prose: bool = False


class Search(msgspec.Struct, frozen=True):
    """What the source holds: words to be taken out, and those that their entries allow."""

    found: tuple[Written, ...]
    allowed: tuple[Written, ...]


def search(log: Log, seen: Log, audience: Audience, gate: Gate) -> Search:
    """Look for the words of a gate in all that is written for an audience.

    Args:
        log: the whole log, with its places.
        seen: what `view` let through: entries and notes that are not in it are not looked at.
        audience: for whom.
        gate: what to look for.
    """
    found: list[Written] = []
    allowed: list[Written] = []
    numbers = {note.number for note in seen.notes}
    known = known_of(seen)
    for entry in without_kept_media(log, audience).entries:
        if not is_hidden(entry, audience):
            free = {fold(text) for text in entry.allow}
            for each in _in(entry, audience, gate, Where(entry.where.file, 1, 1), known):
                (allowed if fold(each.word.text) in free else found).append(each)
    for note in log.notes:
        if note.number in numbers:
            found += _in(note, audience, gate, note.where, known)
    lists: tuple[tuple[msgspec.Struct, ...], ...] = (
        (log.settings,),
        log.parts,
        log.tasks,
        log.lots,
        log.tools,
    )
    for fact in itertools.chain.from_iterable(lists):
        if not is_hidden(fact, audience):
            found += _in(fact, audience, gate, NOWHERE, known)
    return Search(tuple(dict.fromkeys(found)), tuple(dict.fromkeys(allowed)))


def _in(
    fact: msgspec.Struct, audience: Audience, gate: Gate, where: Where, known: Known
) -> Iterator[Written]:
    """What stands in a fact and in those below it, as far as the audience reads them."""
    here = getattr(fact, "where", where)
    where = here if here.file else where
    plain = []
    for field, key in keys_of(type(fact)).items():
        if key.audience > audience or field in ("where", "allow"):
            continue
        if audience is Audience.PUBLIC and (type(fact).__name__, field) in _GIVEN_OTHER_NAMES:
            continue
        value = getattr(fact, field)
        if field == "body" and isinstance(fact, Entry | PartNote):
            yield from _prose(fact, audience, gate, known)
        elif isinstance(value, str):
            plain.append(cut(value, audience))
        elif isinstance(value, tuple):
            plain += [each for each in value if isinstance(each, str)]
            for each in value:
                if isinstance(each, msgspec.Struct) and not is_hidden(each, audience):
                    yield from _in(each, audience, gate, where, known)
        elif isinstance(value, msgspec.Struct):
            yield from _in(value, audience, gate, where, known)
    for word in gate.hits(fold(EDGE.join(plain))):
        yield Written(where, word)


def _prose(fact: Entry | PartNote, audience: Audience, gate: Gate, known: Known) -> Iterator[Written]:
    lines = cut_lines(fact.body, audience)
    body = unled("\n".join(text for text, _ in lines), known)
    if audience is Audience.PUBLIC:
        # the door gives the places in it other names, or none
        body = with_targets(body, lambda _: "#")
    for word, line in {**_in_text(body, gate), **_as_written(body, gate)}.items():
        yield Written(Where(fact.where.file, fact.body_line + lines[line][1] - 1, 1), word, prose=True)


def _as_written(body: str, gate: Gate) -> dict[Word, int]:
    """The words in a body as it is written, each with the line, from 0, on which it stands first."""
    lines = body.split("\n")
    # no word goes on over a blank line: that begins another paragraph
    whole = "\n".join(line if line.strip() else EDGE for line in lines)
    return {word: _line_of(word, lines, gate) for word in gate.hits(fold(whole))}


def _in_text(body: str, gate: Gate) -> dict[Word, int]:
    """The words in a body as it reads, its marks taken out: in `Ei**nar**` there is an Einar."""
    # to read the Markdown of every entry would be slow: that is done where a rough look finds something
    rough = html.unescape(_MARKS.sub("", body.replace("|", " ")))
    found: dict[Word, int] = {}
    if rough != body and gate.hits(fold(rough)):
        for text, first in texts_of(body):
            for word in gate.hits(fold(text)):
                line = first - 1 + _line_of(word, text.split("\n"), gate)
                found.setdefault(word, min(line, body.count("\n")))
    return found


def _line_of(word: Word, lines: Sequence[str], gate: Gate) -> int:
    """The line on which a word stands first, or begins where it goes on over its end."""
    for number, text in enumerate(lines):
        if word in gate.hits(fold(text)):
            return number
    for number, (one, two) in enumerate(itertools.pairwise(lines)):
        if word in gate.hits(fold(f"{one}\n{two}")):
            return number
    return 0

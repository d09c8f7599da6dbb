"""One file's bytes to its sheet, by what the path says it is."""

from __future__ import annotations

import unicodedata

from buildlog.model.key import Reads, Where
from buildlog.model.lists import PartNote
from buildlog.reader.bodies import check_prose
from buildlog.reader.entries import read_entry
from buildlog.reader.limits import LIST_BYTES, PROSE_BYTES, SETTINGS_BYTES
from buildlog.reader.lists import READ_LIST
from buildlog.reader.names import name_in
from buildlog.reader.nodes import Text
from buildlog.reader.reading import Reading, key_of
from buildlog.reader.settings import read_settings
from buildlog.reader.sheets import Sheet
from buildlog.reader.text import decode

SETTINGS = "buildlog.toml"
SECRETS = "secrets.txt"
ENTRIES = "entries/"
NOTES = "parts/"

_FREE_IN_ENTRIES = (Reads.TASK, Reads.TASKS, Reads.MEDIUM)
"""What an entry may name although no list has it: that is a finding, not an error."""


def read_sheet(file: str, data: bytes) -> Sheet:
    """Read one file of a log. Whatever the bytes, its sheet has facts, or problems with places, or both.

    Args:
        file: its path relative to the log, with `/`: buildlog.toml, one of the four lists, secrets.txt,
            parts/*.md or entries/**/*.md.
        data: its bytes.
    """
    reading = Reading(file)
    found: dict[str, object] = {}
    if file == SETTINGS:
        text = decode(reading, data, SETTINGS_BYTES)
        found["settings"] = None if text is None else read_settings(reading, text)
    elif file in READ_LIST:
        text = decode(reading, data, LIST_BYTES)
        field, read = READ_LIST[file]
        found[field] = () if text is None else read(reading, text)
    elif file == SECRETS:
        text = decode(reading, data, LIST_BYTES)
        found["secrets"] = () if text is None else _secrets(reading, text)
    elif file.startswith(NOTES):
        text = decode(reading, data, PROSE_BYTES)
        found["note"] = None if text is None else _note(reading, text)
    elif file.startswith(ENTRIES):
        text = decode(reading, data, PROSE_BYTES)
        if text is not None:
            found["entry"], found["draft"] = read_entry(reading, text)
    else:
        reading.problem(None, "a log has no such file", "see the folder's layout in the reference")
    return _sheet(reading, found)


def _secrets(reading: Reading, text: str) -> tuple[str, ...]:
    """The words, one a line and at their places; a line that is empty forbids nothing."""
    words = tuple(line.strip() for line in text.removesuffix("\n").split("\n"))
    for number, word in enumerate(words, start=1):
        if len("".join(word.split())) == 1:
            reading.problem(
                Text(word, number, 1),
                "a word of one letter would stop every edition",
                "write the whole word, or take the line out",
            )
    return words


def _note(reading: Reading, text: str) -> PartNote | None:
    number = unicodedata.normalize("NFC", reading.file.removeprefix(NOTES).removesuffix(".md"))
    name = name_in(reading, Text(number, 1, 1))
    if name is None:
        return None
    reading.mention(Reads.PART, name, Text("", 1, 1))
    lines = text.split("\n")
    first = next((at for at, line in enumerate(lines) if line.strip()), 0)
    body = "\n".join(lines[first:]).rstrip()
    check_prose(reading, body, first + 1)
    return PartNote(number=name, body=body, body_line=first + 1, where=Where(reading.file, 1, 1))


def _sheet(reading: Reading, found: dict[str, object]) -> Sheet:
    # a draft holds its own problems: they stop nothing
    problems = () if found.get("draft") is not None else reading.problems()
    free = _FREE_IN_ENTRIES if reading.file.startswith(ENTRIES) else (Reads.MEDIUM,)
    names = dict.fromkeys(key_of(each) for each in reading.mentions if each.reads not in free)
    mentions = tuple(reading.mentions)
    facts: dict[str, object] = {**found, "problems": problems, "mentions": mentions, "names": tuple(names)}
    return Sheet(file=reading.file, **facts)  # type: ignore[arg-type]  # each reader fills its own field

"""What a run tells: problems that stopped it, or what was made of each edition."""

from __future__ import annotations

import datetime

import msgspec

from buildlog.model.log import Problem


class EditionOutcome(msgspec.Struct, frozen=True, kw_only=True):
    """One edition: where it stands, how many files, what changed; `refused` says why it was not published."""

    edition: str
    folder: str = ""
    files: int = 0
    written: tuple[str, ...] = ()
    withdrawn: tuple[str, ...] = ()
    pages: int = 0
    photos: int = 0
    """How many photos, each rebuilt from bare pixels."""
    originals: tuple[str, ...] = ()
    """The documents and clips that are in it as they are, by their names in the log."""
    allowed: tuple[str, ...] = ()
    """Words that the gate would have stopped, with the entries that let them pass."""
    warned: tuple[str, ...] = ()
    """Ordinary words in it that are also the title or name of something hidden, with their places."""
    unlinked: tuple[str, ...] = ()
    """Names in its prose that stay plain text, because what they name says for nobody who may see it."""
    stripped: tuple[str, ...] = ()
    """What its photographs carried beside their pixels and do not any more, each with the number of files."""
    clips: int = 0
    """How many clips and sounds, each made anew."""
    documents: int = 0
    """How many documents, each drawn anew."""
    withheld: tuple[str, ...] = ()
    """Media of its entries that could not be made fit to be published, with the reason of each."""
    unlooked: tuple[str, ...] = ()
    """Pictures and clips that are new in it: faces, voices and number plates are the builder's to check."""
    added: tuple[str, ...] = ()
    """The files of static/."""
    grants: tuple[str, ...] = ()
    """The aggregates that were let through, as they read."""
    refused: str = ""


class Outcome(msgspec.Struct, frozen=True, kw_only=True):
    """A whole run. With problems nothing was published; what stood before still stands."""

    title: str = ""
    day: datetime.date | None = None
    problems: tuple[Problem, ...] = ()
    editions: tuple[EditionOutcome, ...] = ()
    findings: tuple[tuple[str, int], ...] = ()
    """How many of each grade, the most serious first."""
    drafts: int = 0
    unchanged: bool = False
    """Nothing had changed since the last run, so nothing was done."""


EDITIONS = ("shop", "inspector", "public")
"""All editions, the one that has most first."""


class Plan(msgspec.Struct, frozen=True, kw_only=True):
    """What to make: of which editions, into which folder (None: the log's own places), with photos or not."""

    editions: tuple[str, ...] = EDITIONS[:1]
    out: str | None = None
    photos: bool = True
    dry: bool = False
    keep: bool = True
    """Whether to keep anything between runs."""

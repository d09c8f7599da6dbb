"""The reference of the format, as the site shows it: what each rule, kind of record and key means."""

from __future__ import annotations

import msgspec

from buildlog.pages.frame import Link, Page
from buildlog.pages.guide import Guide
from buildlog.pages.sheets import FormatSheet, MeaningSheet, RuleLine


class KeyMeaning(msgspec.Struct, frozen=True):
    """A key of a fact: how it is written, what it means, how its text is read, whom it is for."""

    name: str
    says: str
    reads: str
    audience: str


class Meaning(msgspec.Struct, frozen=True):
    """What one thing of the format means.

    `sort` is `rule`, `kind` or `fact`; `name` as a log or a finding writes it; `text` its paragraphs, the
    first of which stands in lists; `keys` those of a kind or fact.
    """

    sort: str
    name: str
    text: tuple[str, ...]
    keys: tuple[KeyMeaning, ...] = ()


_HEADS = (
    ("fact", "What is written where"),
    ("kind", "Kinds of record"),
    ("rule", "Rules"),
)
_SORTS = {"fact": "Keys of", "kind": "Kind of record", "rule": "Rule"}


def draw_reference(guide: Guide, meanings: tuple[Meaning, ...]) -> tuple[Page, ...]:
    """The page that lists the reference, then a page for each thing in it."""
    at = "format/index.html"
    tables = []
    for sort, title in _HEADS:
        lines = tuple(
            RuleLine(name=Link(each.name, address_of(each)), says=each.text[0] if each.text else "")
            for each in meanings
            if each.sort == sort
        )
        if lines:
            tables.append((title, lines))
    index = Page(at, "format.html", FormatSheet(block=guide.block(at, "The format"), tables=tuple(tables)))
    return (index, *(_page(guide, each) for each in meanings))


def address_of(meaning: Meaning) -> str:
    """The page of a rule, kind or fact."""
    return f"format/{meaning.sort}s/{_plain(meaning.name)}.html"


def _plain(name: str) -> str:
    return name.lower().replace("_", "-").replace(" ", "-")


def _page(guide: Guide, meaning: Meaning) -> Page:
    at = address_of(meaning)
    keys = tuple(
        RuleLine(name=Link(each.name), says=each.says, reads=each.reads, audience=each.audience)
        for each in meaning.keys
    )
    sheet = MeaningSheet(
        block=guide.block(at, meaning.name),
        name=meaning.name,
        sort=_SORTS[meaning.sort],
        text=meaning.text,
        keys=keys,
    )
    return Page(at, "meaning.html", sheet)

"""What every sheet is made of: links, stamps, the title block, photographs, prose and records as shown."""

from __future__ import annotations

from typing import Any

import msgspec

from buildlog.model.log import Rendition


class Link(msgspec.Struct, frozen=True):
    """A text and where it leads: an address from the root of the edition, or nowhere."""

    text: str
    to: str = ""


class Stamp(msgspec.Struct, frozen=True):
    """A status in words, with the outline it is drawn in (a class of the stylesheet)."""

    word: str
    outline: str


class Block(msgspec.Struct, frozen=True, kw_only=True):
    """The title block of a sheet (after the practice of ASME Y14.1).

    `number` finds the sheet again: its address without `.html`. `sheets` are
    the other sheets that its head leads to. `day` is the day its answers stand on and is
    empty where nothing on the sheet depends on one. `last` is the last record the sheet rests on. The digest
    is the press's to fill in.
    """

    project: str
    number: str
    title: str
    edition: str
    sheets: tuple[Link, ...] = ()
    day: str = ""
    last: Link | None = None


class Page(msgspec.Struct, frozen=True):
    """A page of an edition: where it lives, the template that prints it, and all that it shows."""

    address: str
    template: str
    sheet: Any


class Photo(msgspec.Struct, frozen=True, kw_only=True):
    """A photograph, clip or document as shown.

    `sort` is `photo`, `clip`, `sound` or `document`; `sizes` small first; `copy` the address of a clip's or
    document's copy, `poster` the sizes of a clip's still and `width` and `height` its own; `problem` why
    nothing can be shown. `id` is its anchor on the entry's page.
    """

    id: str
    sort: str
    text: str
    caption: str = ""
    sizes: tuple[Rendition, ...] = ()
    copy: str = ""
    poster: tuple[Rendition, ...] = ()
    width: int = 0
    height: int = 0
    problem: str = ""
    shows: tuple[Link, ...] = ()
    entry: Link | None = None
    day: str = ""


class Prose(msgspec.Struct, frozen=True):
    """Markdown to be rendered, with the complete input of its rendering.

    `names` gives the address of each name that the body mentions, `places` that of each link or picture
    into the log as it is written, `level` the heading above it. `up` leads from its page to the root.
    """

    body: str
    names: tuple[tuple[str, str], ...] = ()
    places: tuple[tuple[str, str], ...] = ()
    pictures: tuple[tuple[str, Photo], ...] = ()
    up: str = "../"


class Detail(msgspec.Struct, frozen=True):
    """One key of a record with its values."""

    label: str
    values: tuple[Link, ...]


class Struck(msgspec.Struct, frozen=True):
    """Why, by whom and by which record an earlier record was struck through."""

    by: Link
    reason: str
    people: tuple[Link, ...] = ()


class Row(msgspec.Struct, frozen=True, kw_only=True):
    """One record or work line, on its entry's page or in a history.

    `kind` is the word for what happened, `of` the items it is about (empty in the item's own history),
    `source` the entry that holds it.
    """

    kind: str
    day: str
    time: str = ""
    id: str = ""
    of: tuple[Link, ...] = ()
    people: tuple[Link, ...] = ()
    details: tuple[Detail, ...] = ()
    stamp: Stamp | None = None
    hours: str = ""
    struck: Struck | None = None
    source: Link | None = None


class Remark(msgspec.Struct, frozen=True, kw_only=True):
    """A finding as shown: its grade, rule, what it says, what it is about and what it rests on."""

    grade: Stamp
    rule: Link
    says: str
    why: str = ""
    clears: str = ""
    about: tuple[Link, ...] = ()
    rests: tuple[Link, ...] = ()
    deferred: str = ""


class Tally(msgspec.Struct, frozen=True):
    """Rows of hours with their total, already rounded for show."""

    title: str
    rows: tuple[tuple[Link, str], ...]
    total: str
    note: str = ""

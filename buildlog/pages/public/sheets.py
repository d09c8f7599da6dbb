"""What each kind of page of the public edition shows, as one frozen value a page."""

from __future__ import annotations

import msgspec

from buildlog.model.grants import Grants
from buildlog.pages.frame import Block, Detail, Link, Photo, Prose
from buildlog.pages.sheets import PartLine


class Card(msgspec.Struct, frozen=True, kw_only=True):
    """What a page tells other programs of itself, for a link to it somewhere else.

    `address` is where it will be published, empty where that is not known; `image` the address of a picture
    with its text and size; `story` says that it is one piece of the story; `body` is the prose that its
    description is taken from, `about` what stands there where there is none.
    """

    address: str = ""
    story: bool = False
    day: str = ""
    image: str = ""
    image_text: str = ""
    width: int = 0
    height: int = 0
    body: str = ""
    about: str = ""


class Piece(msgspec.Struct, frozen=True, kw_only=True):
    """One entry in a list: its day, title, who worked, what it is about, its first picture and its prose."""

    day: str
    entry: Link
    people: tuple[str, ...] = ()
    about: tuple[Link, ...] = ()
    photo: Photo | None = None
    body: str = ""


class FrontSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The first page.

    `hero` is the picture at its head, `latest` has the newest entry first, `first` is the one that the
    story begins with; `through` is the month up to which hours are granted.
    """

    block: Block
    card: Card
    about: str
    hero: Photo | None = None
    latest: tuple[Piece, ...] = ()
    first: Piece | None = None
    grants: Grants
    through: str = ""
    photos: tuple[Photo, ...] = ()
    parts: tuple[Link, ...] = ()


class EntrySheet(msgspec.Struct, frozen=True, kw_only=True):
    """One session of work as it is told."""

    block: Block
    card: Card
    day: str
    weekday: str
    month: Link
    before: Link | None = None
    after: Link | None = None
    people: tuple[str, ...] = ()
    present: tuple[str, ...] = ()
    prose: Prose | None = None
    photos: tuple[Photo, ...] = ()
    parts: tuple[Link, ...] = ()
    tasks: tuple[Link, ...] = ()
    cited: tuple[Link, ...] = ()


class MonthSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The entries of one month, in order."""

    block: Block
    card: Card
    pieces: tuple[Piece, ...]
    before: Link | None = None
    after: Link | None = None


class MonthsSheet(msgspec.Struct, frozen=True, kw_only=True):
    """All months by year, the latest first, each with its number of entries."""

    block: Block
    card: Card
    years: tuple[tuple[str, tuple[tuple[Link, int], ...]], ...]


class PartSheet(msgspec.Struct, frozen=True, kw_only=True):
    """One part: what it is, where it belongs, and the entries and pictures that speak of it or show it."""

    block: Block
    card: Card
    number: str
    name: str
    facts: tuple[Detail, ...] = ()
    note: Prose | None = None
    parent: Link | None = None
    below: tuple[Link, ...] = ()
    pieces: tuple[Piece, ...] = ()
    photos: tuple[Photo, ...] = ()


class PartsSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The parts as a tree."""

    block: Block
    card: Card
    lines: tuple[PartLine, ...]


class TaskSheet(msgspec.Struct, frozen=True, kw_only=True):
    """One task and the entries that tell of work on it."""

    block: Block
    card: Card
    task: str
    title: str
    facts: tuple[Detail, ...] = ()
    pieces: tuple[Piece, ...] = ()


class TasksSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The tasks by milestone: each with its key, its discipline and the day it was last told of."""

    block: Block
    card: Card
    milestones: tuple[tuple[str, tuple[tuple[Link, str, str, str], ...]], ...]


class PhotosSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The pictures of one year, the latest first."""

    block: Block
    card: Card
    year: str
    years: tuple[Link, ...]
    photos: tuple[Photo, ...]


class ProgressSheet(msgspec.Struct, frozen=True, kw_only=True):
    """How far the project is, as far as that was let through."""

    block: Block
    card: Card
    through: str
    grants: Grants


class FilesSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The feeds and the data, each with what it is."""

    block: Block
    card: Card
    files: tuple[tuple[Link, str], ...]


class LostSheet(msgspec.Struct, frozen=True, kw_only=True):
    """What a server shows for an address that leads nowhere.

    `home` leads to the root of the edition from wherever that is: `/tansy/`; empty where it is not known.
    """

    block: Block
    card: Card
    home: str = ""


class JsonFeedEntry(msgspec.Struct, frozen=True, kw_only=True):
    """An entry in the JSON feed; `image` and `url` are whole addresses, or empty."""

    id: str
    title: str
    url: str
    day: str
    body: str
    image: str = ""
    people: tuple[str, ...] = ()


class JsonFeedSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The JSON feed. `base` is the address of the edition, empty where it has none."""

    title: str
    about: str
    base: str
    entries: tuple[JsonFeedEntry, ...]


class SitemapSheet(msgspec.Struct, frozen=True, kw_only=True):
    """Every page with the day it was written on, where it has one."""

    pages: tuple[tuple[str, str], ...]

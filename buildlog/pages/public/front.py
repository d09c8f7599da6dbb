"""The first page of the public edition, its pictures by year, how far the project is, and what is lost."""

from __future__ import annotations

from urllib.parse import urlsplit

import msgspec

from buildlog.model.entry import Entry, Medium
from buildlog.model.grants import Grants
from buildlog.model.lists import Part
from buildlog.model.log import MediaFile
from buildlog.pages import words
from buildlog.pages.frame import Link, Page
from buildlog.pages.public.sheets import (
    FilesSheet,
    FrontSheet,
    LostSheet,
    PhotosSheet,
    ProgressSheet,
)
from buildlog.pages.public.told import PHOTOGRAPHS, PROGRESS, PublicGuide, picture, piece

LATEST = 7
"""How many entries the first page shows, the newest of them large."""

STRIP = 8
"""How many pictures the first page shows beside those of its entries."""


class Front(msgspec.Struct, frozen=True):
    """What the first page shows beside the guide: `latest` has the newest entry last, `hero` leads all."""

    latest: tuple[Entry, ...]
    first: Entry | None
    hero: tuple[Entry, Medium] | None
    pictures: tuple[tuple[Entry, Medium], ...]
    media: dict[str, MediaFile]
    parts: tuple[Part, ...]
    grants: Grants


def draw_front(guide: PublicGuide, front: Front) -> Page:
    """The first page."""
    at = "index.html"
    latest = tuple(piece(guide, entry, front.media, lead=True) for entry in reversed(front.latest))
    hero = picture(guide, *front.hero, front.media) if front.hero else None
    sheet = FrontSheet(
        block=guide.sheet(at, guide.project),
        card=guide.card(at, photo=hero),
        about=guide.about,
        hero=hero,
        latest=latest,
        first=piece(guide, front.first, front.media, lead=True) if front.first else None,
        grants=front.grants,
        through=_through(front.grants),
        photos=tuple(picture(guide, entry, medium, front.media) for entry, medium in front.pictures),
        parts=tuple(guide.part(part.number) for part in front.parts),
    )
    return Page(at, "public/front.html", sheet)


class Year(msgspec.Struct, frozen=True):
    """The pictures of one year, in order, each with its entry; `years` are all that have pictures."""

    year: str
    years: tuple[str, ...]
    pictures: tuple[tuple[Entry, Medium], ...]
    media: dict[str, MediaFile]


def draw_year(guide: PublicGuide, year: Year) -> Page:
    """The pictures of one year, the latest first. The last year is the first page of them."""
    at = year_page(year.year, year.years)
    sheet = PhotosSheet(
        block=guide.sheet(at, f"Photographs of {year.year}"),
        card=guide.card(at),
        year=year.year,
        years=tuple(Link(each, year_page(each, year.years)) for each in reversed(year.years)),
        photos=tuple(picture(guide, entry, medium, year.media) for entry, medium in reversed(year.pictures)),
    )
    return Page(at, "public/photographs.html", sheet)


def year_page(year: str, years: tuple[str, ...]) -> str:
    """Where the pictures of a year are."""
    return PHOTOGRAPHS if year == years[-1] else f"photographs/{year}.html"


def draw_progress(guide: PublicGuide, grants: Grants) -> Page:
    """How far the project is, as far as that was let through."""
    sheet = ProgressSheet(
        block=guide.sheet(PROGRESS, "Progress"),
        card=guide.card(PROGRESS),
        through=_through(grants),
        grants=grants,
    )
    return Page(PROGRESS, "public/progress.html", sheet)


def _through(grants: Grants) -> str:
    return words.month(grants.through) if grants.through else ""


def draw_files(guide: PublicGuide, names: tuple[tuple[str, str], ...]) -> Page:
    """The page of feeds and data."""
    at = "data/index.html"
    files = tuple((Link(name, name), says) for name, says in names)
    return Page(
        at,
        "public/files.html",
        FilesSheet(block=guide.sheet(at, "Feeds and data"), card=guide.card(at), files=files),
    )


def draw_lost(guide: PublicGuide) -> Page:
    """What a server shows for an address that leads nowhere."""
    at = "404.html"
    block = guide.sheet(at, "No such page")
    home = urlsplit(guide.base).path
    # a server shows it at any depth, so its links begin at the root of the server
    sheets = tuple(Link(each.text, f"{home}{each.to}") for each in block.sheets)
    block = msgspec.structs.replace(block, sheets=sheets)
    return Page(at, "public/lost.html", LostSheet(block=block, card=guide.card(None), home=home))

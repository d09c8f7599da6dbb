"""The Atom feed (RFC 4287) of the latest entries. It has no clock: an entry was updated on its own date."""

from __future__ import annotations

import uuid

import msgspec

from buildlog.model.entry import Entry
from buildlog.pages import address
from buildlog.pages.entries import called
from buildlog.pages.frame import Page
from buildlog.pages.guide import Guide

NEWEST = 40
"""How many entries the feed holds."""

SPACE = uuid.UUID("0b7e2a4e-5a39-5d0c-9a45-6f8f2c1d7b60")
"""Names of feeds and entries live in a space of our own, so that they last when the site moves."""


class FeedEntry(msgspec.Struct, frozen=True, kw_only=True):
    """An entry in the feed. `updated` is RFC 3339; `body` the prose that its summary is taken from."""

    id: str
    title: str
    to: str
    updated: str
    body: str


class FeedSheet(msgspec.Struct, frozen=True, kw_only=True):
    """The feed. `base` is the address of the edition, empty where it has none."""

    id: str
    title: str
    about: str
    base: str
    updated: str
    entries: tuple[FeedEntry, ...]


def draw_feed(guide: Guide, entries: tuple[Entry, ...], base: str) -> Page:
    """The feed of entries in the order of the log, the latest last."""
    own = uuid.uuid5(SPACE, guide.project)
    told = tuple(_feed_entry(own, each) for each in entries[: -NEWEST - 1 : -1])
    sheet = FeedSheet(
        id=own.urn,
        title=guide.project,
        about=guide.about,
        base=base,
        updated=told[0].updated if told else "0001-01-01T00:00:00Z",
        entries=told,
    )
    return Page("feed.xml", "feed.xml", sheet)


def _feed_entry(own: uuid.UUID, entry: Entry) -> FeedEntry:
    return FeedEntry(
        id=uuid.uuid5(own, entry.key).urn,
        title=called(entry),
        to=address.of_entry(entry.key),
        updated=f"{entry.date.isoformat()}T00:00:00Z",
        body=entry.body,
    )

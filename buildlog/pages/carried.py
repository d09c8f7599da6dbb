"""On the page of an item: the history that an article brought along from another item's name."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

import msgspec

from buildlog.model.records import Disposition
from buildlog.pages import guide as to
from buildlog.pages.frame import Detail, Link, Row
from buildlog.pages.guide import Guide
from buildlog.pages.rows import Media, Titles, event_row, labour_row
from buildlog.reckoning.events import Event, Labour
from buildlog.reckoning.knowledge import Article, ItemStory

NO_WORD = "by no engineer or inspector with the authority on that day"

Idle = tuple[tuple[str, int], ...]
"""Records, by entry and place, of people who may not decide: they change nothing."""

Dated = tuple[tuple[datetime.date, int, str, int], Row]


def brought(story: ItemStory) -> Iterator[tuple[Article, Event | Labour]]:
    """What was logged of an item's articles under other names, each with its article.

    Without the record by which an article came: as it names the item, it has a row there already.
    """
    for article in story.chronicle.articles:
        if article.carried is not None:
            logged: tuple[Event | Labour, ...] = (*article.events, *article.labour)
            yield from (
                (article, each) for each in logged if each.item != story.item and each != article.carried
            )


def brought_rows(
    guide: Guide, story: ItemStory, titles: Titles, media: Media, idle: Idle
) -> tuple[tuple[int, Dated], ...]:
    """Rows of a history for what was logged under other names, each with the number of its article."""
    return tuple(
        (article.number, (each.moment.show, _row(guide, each, titles, media, idle)))
        for article, each in brought(story)
    )


def _row(guide: Guide, each: Event | Labour, titles: Titles, media: Media, idle: Idle) -> Row:
    if isinstance(each, Labour):
        row = labour_row(guide, each, titles)
    else:
        row = marked(event_row(guide, each, titles, media), each, idle)
    return msgspec.structs.replace(row, details=(Detail("as", (to.item(each.item),)), *row.details))


def marked(row: Row, event: Event, idle: Idle) -> Row:
    """The row, with a word where the record counts for nothing because of who made it."""
    if (event.entry, event.place) not in idle:
        return row
    word = Detail("counts for nothing", (Link(NO_WORD),))
    return msgspec.structs.replace(row, details=(*row.details, word))


def ending(article: Article) -> str:
    """How an article ended, in a sentence; empty where it did not."""
    end = article.ended
    if end is None:
        return ""
    day = end.moment.day.isoformat()
    if isinstance(end.record, Disposition):
        return f"The decision of {day} was to {end.record.decision} it, and another came after."
    if end.kind != "reidentified":
        return f"It was {end.kind} on {day}."
    if any(event == end for event in article.events):
        return f"It goes on as {getattr(end.record, 'as_', '')} since {day}."
    return f"It gave way on {day} to what was {end.item} until then."

"""Who may pass an article: authority by the settings, independence by the work that was done."""

from __future__ import annotations

import datetime
from collections.abc import Iterable

import msgspec

from buildlog.model.settings import Person
from buildlog.reckoning.events import WORKED_BY
from buildlog.reckoning.knowledge import Article
from buildlog.reckoning.order import Moment, Order, compare


class Hand(msgspec.Struct, frozen=True):
    """A person who worked on an article, when, and until when the article was there."""

    person: str
    moment: Moment
    until: Moment | None = None


def hands(article: Article) -> tuple[Hand, ...]:
    """Who worked on an article: the people of its work lines, and of the records that change it."""
    until = article.ended.moment if article.ended else None
    found = [
        Hand(person, work.moment, until)
        for work in article.labour
        if not work.harmless
        for person in work.people
    ]
    found.extend(
        Hand(person, event.moment, until)
        for event in article.events
        if not event.struck and event.kind in WORKED_BY
        for person in event.people
    )
    return tuple(dict.fromkeys(found))


def worked_by(person: str, until: Moment, worked: Iterable[Hand]) -> bool:
    """Whether a person worked on what was there at a moment, before it or perhaps before it."""
    return any(
        hand.person == person
        and compare(hand.moment, until) is not Order.AFTER
        and (hand.until is None or compare(hand.until, until) is not Order.BEFORE)
        for hand in worked
    )


def lacks_authority(person: Person | None, stage: str, day: datetime.date) -> str:
    """Why a person may not pass a stage on a day, as half a sentence; empty where they may."""
    if person is None or "inspector" not in person.roles:
        return "has no role of inspector"
    if person.may_inspect is not None and stage not in person.may_inspect:
        return f"may not inspect {stage}"
    if person.from_ is not None and day < person.from_:
        return f"had authority only from {person.from_}"
    if person.until is not None and day > person.until:
        return f"had authority only until {person.until}"
    return ""

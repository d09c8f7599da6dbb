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
    """A person who worked on an article, and when."""

    person: str
    moment: Moment


def hands(article: Article) -> tuple[Hand, ...]:
    """Who worked on an article: the people of its work lines, and of the records that change it."""
    found = [
        Hand(person, work.moment) for work in article.labour if not work.harmless for person in work.people
    ]
    found.extend(
        Hand(person, event.moment)
        for event in article.events
        if not event.struck and event.kind in WORKED_BY
        for person in event.people
    )
    return tuple(dict.fromkeys(found))


def worked_by(person: str, until: Moment, worked: Iterable[Hand]) -> bool:
    """Whether a person worked on it before a moment, or may have: an open order counts as before."""
    return any(hand.person == person and compare(hand.moment, until) is not Order.AFTER for hand in worked)


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

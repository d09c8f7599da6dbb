"""Nonconformances of an article: raised, decided, cleared."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from buildlog.model.records import Disposition, Inspected, Nonconformance, Tested
from buildlog.model.settings import Person
from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Article
from buildlog.reckoning.order import Order, compare

DECIDERS = ("engineer", "inspector")
"""Roles that may disposition a nonconformance."""


class Case(msgspec.Struct, frozen=True):
    """One nonconformance: how it was raised, the decision that counts, and what cleared it."""

    id: str
    raised: Event
    decided: Event | None
    decision: str
    cleared: Event | None

    @property
    def open(self) -> bool:
        """Whether the article is on hold for it."""
        return self.decision != "use-as-is" and self.cleared is None


def cases(article: Article, people: Mapping[str, Person]) -> tuple[Case, ...]:
    """An article's nonconformances in the order they were raised. Scrap and return end the article."""
    events = [event for event in article.events if not event.struck]
    raised: dict[str, Event] = {}
    for event in events:
        if isinstance(event.record, Nonconformance):
            raised.setdefault(event.record.id, event)
    return tuple(_case(number, event, events, people) for number, event in raised.items())


def _case(number: str, raised: Event, events: list[Event], people: Mapping[str, Person]) -> Case:
    decided: Event | None = None
    decision = ""
    for event in events:
        record = event.record
        if isinstance(record, Disposition) and record.id == number and _may_decide(event, people):
            decided, decision = event, record.decision
    cleared = None
    if decided is not None and decision in ("rework", "repair"):
        for event in events:
            if _clears(event, number) and compare(event.moment, decided.moment) is Order.AFTER:
                cleared = event
    return Case(number, raised, decided, decision, cleared)


def _clears(event: Event, number: str) -> bool:
    record = event.record
    if isinstance(record, Inspected):
        return record.clears == number and record.result == "accepted"
    return isinstance(record, Tested) and record.clears == number and record.result == "passed"


def _may_decide(event: Event, people: Mapping[str, Person]) -> bool:
    return any(role in DECIDERS for key in event.people if key in people for role in people[key].roles)

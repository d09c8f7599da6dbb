"""Nonconformances of an article: raised, decided, cleared."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping, Sequence

import msgspec

from buildlog.model.records import Disposition, Inspected, Nonconformance, Tested
from buildlog.model.settings import Person
from buildlog.reckoning.events import Event
from buildlog.reckoning.order import Order, compare

DECIDERS = ("engineer", "inspector")
"""Roles that may disposition a nonconformance, and put a finding off, on the days of their authority."""

_CLOSES = ("use-as-is",)
_CLEARED = ("rework", "repair")
DEPARTS = ("use-as-is", "repair")
"""Decisions after which an article is good and still not as it was drawn."""


class Case(msgspec.Struct, frozen=True):
    """One nonconformance: how it was raised, the decision that counts, and what cleared it."""

    id: str
    raised: Event
    decided: Event | None
    decision: str
    cleared: Event | None

    @property
    def open(self) -> bool:
        """Whether the article is on hold for it. A decision to scrap holds it until it is scrapped."""
        return self.decision not in _CLOSES and self.cleared is None

    @property
    def departs(self) -> bool:
        """Whether it is settled and leaves the article other than drawn: used as it is, or repaired."""
        return not self.open and self.decision in DEPARTS


def cases_with_departure(found: Sequence[Case]) -> tuple[Case, ...]:
    """Those that stay visible for good: the article was accepted with a departure."""
    return tuple(case for case in found if case.departs)


class Deciders(msgspec.Struct, frozen=True):
    """The people who may disposition a nonconformance or put a finding off, each with the days they may."""

    days: dict[str, tuple[datetime.date | None, datetime.date | None]]

    def decided(self, event: Event) -> bool:
        """Whether one of the people of a record may decide, and might on its day; both ends are good."""
        day = event.moment.day
        return any(
            (since is None or since <= day) and (until is None or day <= until)
            for since, until in (self.days[key] for key in event.people if key in self.days)
        )


def deciders(people: Mapping[str, Person]) -> Deciders:
    """The engineers and inspectors."""
    return Deciders(
        {
            key: (person.from_, person.until)
            for key, person in people.items()
            if not set(DECIDERS).isdisjoint(person.roles)
        }
    )


def cases(events: Sequence[Event], may_decide: Deciders, counts: Callable[[Event], bool]) -> tuple[Case, ...]:
    """The nonconformances of an article, by its events in order. Scrap and return end the article.

    `counts` says of an acceptance whether it counts for anything: one without authority clears nothing.
    A nonconformance raised again after its decision is open again.
    """
    standing = [event for event in events if not event.struck]
    raised: dict[str, list[Event]] = {}
    for event in standing:
        if isinstance(event.record, Nonconformance):
            raised.setdefault(event.record.id, []).append(event)
    return tuple(_case(id_, many, standing, may_decide, counts) for id_, many in raised.items())


def _case(
    id_: str,
    raised: Sequence[Event],
    events: Sequence[Event],
    may_decide: Deciders,
    counts: Callable[[Event], bool],
) -> Case:
    """Of decisions with no order between them the one that leaves it open counts.

    A decision names what was raised before it: with no order to the only raising it still came after.
    """
    decisions = [
        event
        for event in events
        if isinstance(event.record, Disposition)
        and event.record.id == id_
        and may_decide.decided(event)
        and {compare(each.moment, event.moment) for each in raised} in ({Order.BEFORE}, {Order.UNCLEAR})
    ]
    last = [d for d in decisions if not any(compare(d.moment, o.moment) is Order.BEFORE for o in decisions)]
    found = [_decided(id_, raised[-1], decision, events, counts) for decision in last]
    return next(
        (case for case in found if case.open), found[-1] if found else Case(id_, raised[-1], None, "", None)
    )


def _decided(
    id_: str, raised: Event, decided: Event, events: Sequence[Event], counts: Callable[[Event], bool]
) -> Case:
    decision = str(getattr(decided.record, "decision", ""))
    cleared = None
    if decision in _CLEARED:
        after = [e for e in events if compare(e.moment, decided.moment) is Order.AFTER]
        cleared = next((e for e in after if _clears(e, id_) and counts(e)), None)
    return Case(id_, raised, decided, decision, cleared)


def _clears(event: Event, id_: str) -> bool:
    record = event.record
    if isinstance(record, Inspected):
        return record.clears == id_ and record.result == "accepted"
    return isinstance(record, Tested) and record.clears == id_ and record.result == "passed"

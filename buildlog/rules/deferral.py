"""Deferrals: a person with the authority puts a finding off, for a reason, until a day or a milestone."""

from __future__ import annotations

import datetime

from buildlog.model.records import Deferred
from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Chronicle, Frame
from buildlog.reckoning.nonconformance import deciders
from buildlog.rules.finding import Deferral
from buildlog.rules.subjects import rest_on


def hold(rule: str, chronicle: Chronicle, frame: Frame) -> Deferral | None:
    """The last deferral of a rule in force on an item's present article, or None."""
    article = chronicle.present
    for event in reversed(article.events if article else chronicle.events):
        record = event.record
        if isinstance(record, Deferred) and record.rule == rule and in_force(event, record, frame):
            return Deferral(event.people, record.reason, record.until, rest_on(event))
    return None


def lapse(rule: str, chronicle: Chronicle, frame: Frame) -> Event | None:
    """The last deferral of a rule on an item's present article that held once and has lapsed, or None."""
    article = chronicle.present
    for event in reversed(article.events if article else chronicle.events):
        record = event.record
        if isinstance(record, Deferred) and record.rule == rule and may_defer(event, frame):
            return event if lapsed(record, frame) else None
    return None


def in_force(event: Event, record: Deferred, frame: Frame) -> bool:
    """Whether a deferral holds on the day: not struck, by an engineer or inspector, and not lapsed."""
    return may_defer(event, frame) and not lapsed(record, frame)


def may_defer(event: Event, frame: Frame) -> bool:
    """Whether a deferral counts: not struck, and by an engineer or inspector within their authority."""
    return not event.struck and deciders(frame.people).decided(event)


def lapsed(record: Deferred, frame: Frame) -> bool:
    """Whether a deferral is past its day, which itself still counts, or its milestone is reached."""
    try:
        return frame.day > datetime.date.fromisoformat(record.until)
    except ValueError:
        return record.until in frame.milestones_reached

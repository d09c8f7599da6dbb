"""What stays to be said of an item for good, or for a while: departures, what is put off, what counts not."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping

import msgspec

from buildlog.model.records import Deferred, Disposition
from buildlog.pages import guide as to
from buildlog.pages.carried import brought
from buildlog.pages.frame import Link, Remark
from buildlog.pages.guide import Guide
from buildlog.pages.words import counted
from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Frame, ItemStory
from buildlog.reckoning.nonconformance import Case, cases_with_departure, deciders
from buildlog.rules.cases import cases_of


class Notices(msgspec.Struct, frozen=True):
    """Of the present article: what it was accepted with, though it departs from the drawing.

    `idle` are the records, by entry and place, of people who may not decide: they change nothing.
    """

    departures: tuple[Case, ...] = ()
    idle: tuple[tuple[str, int], ...] = ()


def notices_of(story: ItemStory, frame: Frame) -> Notices:
    """What stays to be said of an item."""
    idle = tuple(
        (event.entry, event.place)
        for event in (*story.chronicle.events, *(each for _, each in brought(story)))
        if isinstance(event, Event)
        and isinstance(event.record, Deferred | Disposition)
        and not event.struck
        and not deciders(frame.people).decided(event)
    )
    return Notices(cases_with_departure(cases_of(story, frame)), idle)


def departures(guide: Guide, notices: Notices, titles: Mapping[str, str]) -> tuple[tuple[Link, ...], ...]:
    """Each departure as a sentence that leads to its nonconformance and to the decision."""
    return tuple(_departure(guide, case, titles) for case in notices.departures)


def _departure(guide: Guide, case: Case, titles: Mapping[str, str]) -> tuple[Link, ...]:
    raised, decided = case.raised, case.decided
    described = str(getattr(raised.record, "description", "")).rstrip(".")
    told = [
        Link("Accepted with a departure: nonconformance "),
        to.entry(raised.entry, case.id, f"r{raised.place}"),
        Link(f", {described}" if described else ""),
    ]
    if decided is not None:
        people = ", ".join(each.text for each in guide.folk(decided.people))
        told += [
            Link(f"; {case.decision}, decided by {people} on {decided.moment.day.isoformat()}, "),
            to.entry(decided.entry, titles[decided.entry], f"r{decided.place}"),
        ]
    return tuple(link for link in told if link.text)


def put_off(remarks: Iterable[Remark]) -> str:
    """That findings are put off, so that nobody takes them for settled; empty where none are."""
    grades = Counter(each.grade.word for each in remarks if each.deferred)
    told = [
        counted(grades[word], word if word == "observation" else f"{word} finding")
        for word in ("major", "minor", "observation")
        if grades[word]
    ]
    return f"Put off and not settled: {', '.join(told)}; see below." if told else ""

"""The nonconformances of an item's present article, and what of its history they answer for."""

from __future__ import annotations

from buildlog.model.records import Nonconformance
from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Frame, ItemStory
from buildlog.reckoning.nonconformance import Case, cases, deciders
from buildlog.reckoning.order import Order, compare


def cases_of(story: ItemStory, frame: Frame) -> tuple[Case, ...]:
    """The nonconformances of an item's present article; none where it has none."""
    article = story.chronicle.present
    if article is None or not any(isinstance(event.record, Nonconformance) for event in article.events):
        return ()
    counts_not = {(event.entry, event.place) for status in story.stages for event, _ in status.counts_not}
    return cases(
        article.events, deciders(frame.people), lambda event: (event.entry, event.place) not in counts_not
    )


def answered(event: Event, found: tuple[Case, ...]) -> bool:
    """Whether a nonconformance answers for a damage or a failed test.

    It does where the record names it, or where it was raised in the same session; not where it was settled
    before. While it is open it is on hold for it, and `nonconformance-open` says so.
    """
    return any(_about(event, case) and not _settled_before(event, case) for case in found)


def _about(event: Event, case: Case) -> bool:
    record = event.record
    named = (record.nonconformance, getattr(record, "clears", ""))
    raised_with = case.raised.entry == event.entry and case.raised.moment.day == event.moment.day
    return case.id in named or (raised_with and not any(named))


def _settled_before(event: Event, case: Case) -> bool:
    settled = case.cleared or case.decided
    return not case.open and settled is not None and compare(settled.moment, event.moment) is Order.BEFORE

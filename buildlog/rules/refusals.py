"""Acceptances that do not count, and whether a good one has come since."""

from __future__ import annotations

from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Refusal, StageStatus, Status
from buildlog.reckoning.order import Order, compare

Refusals = tuple[Refusal, ...]


def unanswered(status: StageStatus, *, own_work: bool) -> list[tuple[Event, Refusals]]:
    """The refused acceptances of a stage, one sort of reason alone, that no good one has replaced.

    A later acceptance that counts replaces one that does not, whether or not it still stands: what undid it
    since has a finding of its own.
    """
    found: dict[tuple[str, int], list[Refusal]] = {}
    for each in status.refusals:
        if each.own_work is own_work and not _replaced(each.event, status):
            found.setdefault((each.event.entry, each.event.place), []).append(each)
    return [(refusals[0].event, tuple(refusals)) for refusals in found.values()]


def _replaced(event: Event, status: StageStatus) -> bool:
    last = status.last
    if last is None or status.apart in (Status.REJECTED, Status.NONE):
        return False
    return compare(event.moment, last.moment) is Order.BEFORE

"""The story of a lot of material: received, looked at, put on hold, refused, used up or thrown away.

A lot has no class and asks for no inspection; what is recorded of it is reckoned as an article's is. What
stands against it stands against what it went into, thrown away or not: the rest of a bad tin is gone, the
glue that was used is not.
"""

from __future__ import annotations

import functools
from collections.abc import Collection, Sequence

import msgspec

from buildlog.model.lists import Lot
from buildlog.model.names import Item, Names
from buildlog.model.records import Damaged, Inspected, Tested
from buildlog.model.settings import Class, Person, Stage
from buildlog.reckoning.chronicle import chronicle
from buildlog.reckoning.events import Event, Use
from buildlog.reckoning.knowledge import Article, Chronicle, LotStory, LotTrouble, StageStatus, Status
from buildlog.reckoning.nonconformance import Case, cases, deciders
from buildlog.reckoning.order import Order, compare
from buildlog.reckoning.status import Bearing, judge


def lot_story(
    key: str,
    lot: Lot | None,
    uses: tuple[Use, ...],
    events: tuple[Event, ...],
    names: Names,
    stages: tuple[Stage, ...],
    people: tuple[Person, ...],
) -> LotStory:
    """Fold a lot's uses and its own records."""
    if not events:
        return LotStory(key, lot, uses)
    by_key = {person.key: person for person in people}
    known = {stage.key: stage for stage in stages}
    may_decide = deciders(by_key)
    own = chronicle(Item(key), events, (), names, None, may_decide)
    troubles: list[LotTrouble] = []
    judged: tuple[StageStatus, ...] = ()
    for article in own.articles:
        judged = _judged(own, article, known, by_key)
        counts_not = {(event.entry, event.place) for status in judged for event, _ in status.counts_not}
        found = cases(article.events, may_decide, functools.partial(_counts, counts_not))
        troubles += _troubles(article, judged, found, counts_not)
    return LotStory(key, lot, uses, own, judged, tuple(troubles))


def _counts(counts_not: Collection[tuple[str, int]], event: Event) -> bool:
    return (event.entry, event.place) not in counts_not


def _judged(
    own: Chronicle, article: Article, stages: dict[str, Stage], people: dict[str, Person]
) -> tuple[StageStatus, ...]:
    """The stages that its inspections name; of a delivery that is gone, as they were at its end."""
    there = msgspec.structs.replace(own, articles=(msgspec.structs.replace(article, ended=None),))
    return judge(there, Class(key="lot"), stages, people, Bearing())


def _troubles(
    article: Article, stages: Sequence[StageStatus], found: Sequence[Case], counts_not: set[tuple[str, int]]
) -> list[LotTrouble]:
    told = []
    for case in found:
        if case.open:
            decided = (case.decided,) if case.decided is not None else ()
            told.append(LotTrouble("on hold", case.id, (case.raised, *decided), article.ended))
    for status in stages:
        last = status.last
        refused = last is not None and getattr(last.record, "result", "") in ("rejected", "failed")
        if last is not None and refused and status.apart in (Status.REJECTED, Status.UNCLEAR):
            told.append(LotTrouble("rejected", status.stage.key, (last,), article.ended))
    standing = [event for event in article.events if not event.struck]
    for event in standing:
        word = _bad(event)
        if not word or any(_answers(case, event) for case in found):
            continue
        if not any(_makes_good(later, event, counts_not) for later in standing):
            told.append(LotTrouble(word, "", (event,), article.ended))
    return told


def _bad(event: Event) -> str:
    record = event.record
    if isinstance(record, Damaged):
        return "damaged"
    failed = isinstance(record, Tested) and record.result == "failed" and not record.stage
    return "failed a test" if failed else ""


def _makes_good(later: Event, bad: Event, counts_not: set[tuple[str, int]]) -> bool:
    if compare(bad.moment, later.moment) is not Order.BEFORE or (later.entry, later.place) in counts_not:
        return False
    record, failed = later.record, bad.record
    if isinstance(record, Tested):
        same = not isinstance(failed, Tested) or record.what.casefold() == failed.what.casefold()
        return record.result == "passed" and same
    return isinstance(record, Inspected) and record.result == "accepted" and not record.scope


def _answers(case: Case, event: Event) -> bool:
    """Whether a nonconformance, open or settled, is about a damage or failed test: it then speaks for it."""
    return case.raised.entry == event.entry or event.record.nonconformance == case.id


def trouble_of(troubles: Sequence[LotTrouble], use: Event) -> LotTrouble | None:
    """What stands against the delivery of a lot that a record used, or perhaps used; the first of it."""
    for trouble in troubles:
        ended = trouble.until
        if ended is None or compare(use.moment, ended.moment) is not Order.AFTER:
            return trouble
    return None

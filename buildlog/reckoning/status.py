"""The inspection status of an item's present article, stage by stage.

An acceptance stands while nothing that undoes it came after: on the item itself, or, for a stage that
looks inside, on anything inside it. Once the item was closed with the stage current, only its own events
and events on what the closing hid undo it. What the log leaves open makes the status unclear; it is never
resolved in the builder's favour.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

import msgspec

from buildlog.model.records import Inspected, Tested
from buildlog.model.settings import Class, Person, Stage
from buildlog.reckoning.authority import Hand, hands, lacks_authority, worked_by
from buildlog.reckoning.closing import in_force
from buildlog.reckoning.containment import Track, inside_at
from buildlog.reckoning.events import Event, Labour
from buildlog.reckoning.knowledge import Article, Chronicle, Closing, Inside, Refusal, StageStatus, Status
from buildlog.reckoning.nonconformance import cases
from buildlog.reckoning.order import Moment, Order, compare


class Below(msgspec.Struct, frozen=True):
    """Something that was ever inside an item: its lineage, and who worked on it."""

    line: tuple[Track, ...]
    hands: tuple[Hand, ...]


class Bearing(msgspec.Struct, frozen=True):
    """What bears on an item from outside its own records."""

    inside: tuple[Inside, ...] = ()
    closings: tuple[Closing, ...] = ()
    hidden: bool = False
    """Whether a closing above it holds now."""
    below: tuple[Below, ...] = ()
    milestones_reached: tuple[str, ...] = ()


class _Acceptance(NamedTuple):
    """An acceptance that counts, and what came after it: surely undoing, or perhaps."""

    event: Event
    signers: tuple[str, ...]
    undone: tuple[Event, ...]
    perhaps: tuple[Event, ...]
    untold: tuple[Labour, ...]
    sealed: Event | None

    @property
    def stands(self) -> bool:
        return not (self.undone or self.perhaps or self.untold)


def judge(
    chronicle: Chronicle,
    class_: Class,
    stages: dict[str, Stage],
    people: dict[str, Person],
    bearing: Bearing,
) -> tuple[StageStatus, ...]:
    """The status of every stage that the class asks for or that an inspection names, in that order."""
    article = chronicle.present
    if article is None:
        return ()
    held = any(case.open for case in cases(article, people))
    named = [
        event.record.stage
        for event in article.events
        if isinstance(event.record, Inspected | Tested) and event.record.stage and not event.struck
    ]
    return tuple(
        _judge_of(article, class_, stages[key], people, bearing).status(held=held)
        for key in dict.fromkeys((*class_.stages, *named))
        if key in stages
    )


def current_at(
    chronicle: Chronicle,
    class_: Class,
    stage: Stage,
    people: dict[str, Person],
    bearing: Bearing,
    moment: Moment,
) -> bool:
    """Whether a stage was surely current at a moment, from what came surely before it."""
    article = next(
        (
            each
            for each in reversed(chronicle.articles)
            if each.ended is None or compare(moment, each.ended.moment) is not Order.AFTER
        ),
        None,
    )
    if article is None:
        return False
    past, bore = _until(article, moment), _bearing_until(bearing, moment)
    return _judge_of(past, class_, stage, people, bore).current()


def _judge_of(
    article: Article, class_: Class, stage: Stage, people: dict[str, Person], bearing: Bearing
) -> _Judge:
    """The judge of a stage, with the closings that shut while it was current found one after the other."""
    seals: tuple[Closing, ...] = ()
    if stage.undone_by_inside:
        for closing in bearing.closings:
            shut = closing.event.moment
            past, bore = _until(article, shut), _bearing_until(bearing, shut)
            if _Judge(past, class_, stage, people, bore, seals).current():
                seals = (*seals, closing)
    return _Judge(article, class_, stage, people, bearing, seals)


def _until(article: Article, moment: Moment) -> Article:
    return msgspec.structs.replace(
        article,
        events=tuple(e for e in article.events if compare(e.moment, moment) is Order.BEFORE),
        labour=tuple(w for w in article.labour if compare(w.moment, moment) is not Order.AFTER),
    )


def _bearing_until(bearing: Bearing, moment: Moment) -> Bearing:
    """What bore on it before a moment: what may have been before counts against it."""
    return msgspec.structs.replace(
        bearing,
        inside=tuple(i for i in bearing.inside if compare(i.event.moment, moment) is not Order.AFTER),
        closings=tuple(c for c in bearing.closings if compare(c.event.moment, moment) is Order.BEFORE),
    )


class _Judge:
    """One stage of one article."""

    def __init__(
        self,
        article: Article,
        class_: Class,
        stage: Stage,
        people: dict[str, Person],
        bearing: Bearing,
        seals: tuple[Closing, ...],
    ) -> None:
        self._article = article
        self._class = class_
        self._stage = stage
        self._people = people
        self._bearing = bearing
        self._seals = seals
        self._hands = hands(article)
        self._inspections = tuple(
            event
            for event in article.events
            if not event.struck
            and isinstance(event.record, Inspected | Tested)
            and event.record.stage == stage.key
        )
        self._refusals: list[Refusal] = []

    def current(self) -> bool:
        """Whether the stage is current, nonconformances apart."""
        return self._verdict().status is Status.CURRENT

    def status(self, *, held: bool) -> StageStatus:
        """The whole status."""
        found = self._verdict()
        return msgspec.structs.replace(found, status=Status.ON_HOLD, beneath=found.status) if held else found

    def _verdict(self) -> StageStatus:
        base = StageStatus(
            stage=self._stage,
            asked=self._stage.key in self._class.stages,
            due=self._due(),
            status=Status.NONE,
            inspections=self._inspections,
            signatures=self._class.signatures,
        )
        refused = [event for event in self._inspections if _refuses(event)]
        passed = [
            acceptance
            for event in self._inspections
            if not _refuses(event) and (acceptance := self._acceptance(event)) is not None
        ]
        base = msgspec.structs.replace(base, refusals=tuple(self._refusals))
        if not refused and not passed:
            return base
        since = [p for p in passed if all(_after(p.event, r) is Order.AFTER for r in refused)]
        open_order = [p for p in passed if any(_after(p.event, r) is Order.UNCLEAR for r in refused)]
        if refused and not since:
            last = refused[-1]
            if any(_after(p.event, last) is Order.UNCLEAR for p in open_order):
                against = tuple(p.event for p in open_order if _after(p.event, last) is Order.UNCLEAR)
                return msgspec.structs.replace(base, status=Status.UNCLEAR, last=last, against=against)
            return msgspec.structs.replace(base, status=Status.REJECTED, last=last)
        return self._from_acceptances(base, since)

    def _from_acceptances(self, base: StageStatus, passed: Sequence[_Acceptance]) -> StageStatus:
        standing = [p for p in passed if p.stands and not _scope(p.event)]
        signers = tuple(dict.fromkeys(signer for p in standing for signer in p.signers))
        if standing and len(signers) >= self._class.signatures:
            last = standing[-1]
            return msgspec.structs.replace(
                base, status=Status.CURRENT, last=last.event, signers=signers, sealed=last.sealed
            )
        last = passed[-1]
        if last.undone:
            status, against = Status.UNDONE, last.undone
        elif not last.stands:
            status, against = Status.UNCLEAR, last.perhaps
        else:
            status, against = Status.PARTIAL, ()
        return msgspec.structs.replace(
            base,
            status=status,
            last=last.event,
            against=against,
            untold=last.untold if status is Status.UNCLEAR else (),
            signers=signers,
            sealed=last.sealed,
        )

    def _due(self) -> bool:
        before = self._stage.before
        if not before:
            return True
        if before == "closed":
            return self._bearing.hidden or any(each.opened is None for each in self._bearing.closings)
        return before in self._bearing.milestones_reached

    def _acceptance(self, event: Event) -> _Acceptance | None:
        refused = {person: self._refusal(person, event) for person in event.people}
        self._refusals.extend(each for each in refused.values() if each is not None)
        if not refused:
            self._refusals.append(Refusal(event, "", "nobody is named who passed it"))
        signers = tuple(person for person, each in refused.items() if each is None)
        if not signers:
            return None
        if self._class.signed and not event.record.document:
            signers = ()
        return self._followed(event, signers)

    def _refusal(self, person: str, event: Event) -> Refusal | None:
        lacks = lacks_authority(self._people.get(person), self._stage.key, event.moment.day)
        if lacks:
            return Refusal(event, person, lacks)
        own_work = self._own_work(person, event) if self._class.independent else ""
        return Refusal(event, person, own_work, own_work=True) if own_work else None

    def _own_work(self, person: str, event: Event) -> str:
        if worked_by(person, event.moment, self._hands):
            return "worked on it"
        if self._stage.undone_by_inside and any(
            worked_by(person, event.moment, below.hands)
            for below in self._bearing.below
            if inside_at(below.line, event.moment, event.item) is not False
        ):
            return "worked inside it"
        return ""

    def _followed(self, event: Event, signers: tuple[str, ...]) -> _Acceptance:
        """What came after an acceptance: first the item's own events, then those inside, seals minded."""
        undone: list[Event] = []
        perhaps: list[Event] = []
        for own in self._article.events:
            if own.struck or own.kind not in self._stage.undone_by:
                continue
            _sort(own, _after(own, event), undone, perhaps, sure=True)
        untold = tuple(
            work
            for work in self._article.labour
            if not work.harmless
            and not work.told
            and compare(work.moment, event.moment) in (Order.AFTER, Order.UNCLEAR)
        )
        inside = [each for each in self._bearing.inside if each.kind in self._stage.undone_by_inside]
        seals = [s for s in self._seals if compare(event.moment, s.event.moment) is Order.BEFORE]
        for each in inside:
            if not _kept_out(each, seals):
                _sort(each.event, _after(each.event, event), undone, perhaps, sure=each.sure)
        undone.sort(key=lambda found: found.moment.show)
        perhaps.sort(key=lambda found: found.moment.show)
        sealed = next((seal.event for seal in seals if seal.opened is None), None)
        return _Acceptance(event, signers, tuple(undone), tuple(perhaps), untold, sealed)


def _kept_out(inside: Inside, seals: Iterable[Closing]) -> bool:
    """Whether a seal keeps an inside event from counting: it was shut, and did not hide that item."""
    kept = False
    for seal in seals:
        if in_force(seal, inside.event.moment) is not True:
            continue
        if inside.event.item in seal.hidden:
            return False
        kept = True
    return kept


def _sort(event: Event, order: Order, undone: list[Event], perhaps: list[Event], *, sure: bool) -> None:
    if order is Order.AFTER and sure:
        undone.append(event)
    elif order in (Order.AFTER, Order.UNCLEAR):
        perhaps.append(event)


def _after(one: Event, other: Event) -> Order:
    return compare(one.moment, other.moment)


def _refuses(event: Event) -> bool:
    record = event.record
    return getattr(record, "result", "") in ("rejected", "failed")


def _scope(event: Event) -> str:
    return getattr(event.record, "scope", "")

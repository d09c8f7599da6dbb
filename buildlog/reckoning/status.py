"""The inspection status of an item's present article, stage by stage.

An acceptance stands while nothing that undoes it came after: on the item itself, or, for a stage that
looks inside, on anything inside it. Once the item was closed with the stage current, only its own events
and events on what the closing hid undo it.

Of an article that took the place of one scrapped or returned, an acceptance counts once the log says that it
was made or received; before, what was passed is not known, and the status is unclear.

What the log leaves open is judged twice, once wholly against the article and once wholly for it. Where the
two disagree the status is unclear; it is never resolved in the builder's favour.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

import msgspec

from buildlog.model.names import Item
from buildlog.model.records import Disposition, Inspected, Tested
from buildlog.model.settings import Class, Person, Stage
from buildlog.reckoning.aftermath import Acceptance, Aftermath, Trail
from buildlog.reckoning.authority import Hand, hands, lacks_authority, worked_by
from buildlog.reckoning.containment import Line, inside_at
from buildlog.reckoning.events import BEGINS, Event, Labour
from buildlog.reckoning.hiding import after
from buildlog.reckoning.knowledge import (
    Article,
    Chronicle,
    Closing,
    Inside,
    Refusal,
    Shut,
    StageStatus,
    Status,
    Unseen,
)
from buildlog.reckoning.leaning import AGAINST, FOR, Leaning
from buildlog.reckoning.nonconformance import cases, deciders
from buildlog.reckoning.order import Moment, Order, compare


class Below(msgspec.Struct, frozen=True):
    """Something that was ever inside an item: its lineage, and who worked on it."""

    line: Line
    hands: tuple[Hand, ...]


class Bearing(msgspec.Struct, frozen=True):
    """What bears on an item from outside its own records."""

    inside: tuple[Inside, ...] = ()
    closings: tuple[Closing, ...] = ()
    shut: tuple[Shut, ...] = ()
    """The closings above it that hid its present article."""
    below: tuple[Below, ...] = ()
    milestones_reached: tuple[str, ...] = ()
    joined: tuple[Inside, ...] = ()
    """For a joint: the events on what it holds together."""


class _Verdict(NamedTuple):
    """A status under one leaning, with what it rests on."""

    status: Status
    last: Event | None = None
    passed: tuple[Event, ...] = ()
    against: tuple[Event, ...] = ()
    untold: tuple[Labour, ...] = ()
    signers: tuple[str, ...] = ()
    sealed: Event | None = None
    unaccounted: bool = False


def judge(
    chronicle: Chronicle,
    class_: Class,
    stages: Mapping[str, Stage],
    people: Mapping[str, Person],
    bearing: Bearing,
) -> tuple[StageStatus, ...]:
    """The status of every stage that the class asks for or that an inspection names, in that order."""
    article = chronicle.present
    if article is None:
        return ()
    named = [
        event.record.stage
        for event in article.events
        if isinstance(event.record, Inspected | Tested) and event.record.stage and not event.struck
    ]
    asked = [key for key in dict.fromkeys((*class_.stages, *named)) if key in stages]
    return tuple(
        _Judge(chronicle.item, article, class_, stages[key], stages, people, bearing).status()
        for key in asked
    )


def status_at(
    chronicle: Chronicle,
    class_: Class,
    stage: Stage,
    stages: Mapping[str, Stage],
    people: Mapping[str, Person],
    bearing: Bearing,
    moment: Moment,
    leaning: Leaning,
) -> Status:
    """What a stage was just before a moment, of the article that was there, under one leaning."""
    for article in chronicle.articles:
        if article.ended is None or compare(moment, article.ended.moment) is not Order.AFTER:
            judged = _Judge(chronicle.item, article, class_, stage, stages, people, bearing)
            return judged.status_at(leaning, moment)
    return Status.NONE


class _Judge:
    """One stage of one article."""

    def __init__(
        self,
        item: Item,
        article: Article,
        class_: Class,
        stage: Stage,
        stages: Mapping[str, Stage],
        people: Mapping[str, Person],
        bearing: Bearing,
    ) -> None:
        self._item = item
        self._class = class_
        self._stage = stage
        self._looking_inside = {key for key, each in stages.items() if each.undone_by_inside}
        self._shut: dict[tuple[Leaning, Moment], bool] = {}
        self._people = people
        self._bearing = bearing
        self._deciders = deciders(people)
        self._hands = hands(article)
        self._own = tuple(event for event in article.events if not event.struck)
        self._after = None if class_.bulk else article.after
        begins = None if self._after is None else [event for event in self._own if event.kind in BEGINS]
        self._trail = Trail(stage, self._own, bearing.joined, bearing.inside, article.labour, begins)
        self._inspections = tuple(event for event in self._own if _stage(event) == stage.key)
        self._refused = tuple(event for event in self._inspections if _refuses(event))
        self._refusals: list[Refusal] = []
        self._passed = tuple(
            acceptance
            for event in self._inspections
            if not _refuses(event) and (acceptance := self._acceptance(event)) is not None
        )

    def status(self) -> StageStatus:
        """The status now."""
        found = self._verdict(AGAINST, None)
        if found.status not in (Status.NONE, Status.CURRENT):
            hopeful = self._verdict(FOR, None)
            if hopeful.status is not found.status:
                found = _unclear(found, hopeful)
        held = self._held(self._own)
        return StageStatus(
            stage=self._stage,
            asked=self._stage.key in self._class.stages,
            due=self._due(),
            status=Status.ON_HOLD if held else found.status,
            inspections=self._inspections,
            last=found.last,
            against=found.against,
            untold=found.untold,
            signers=found.signers,
            signatures=self._class.signatures,
            refusals=tuple(self._refusals),
            sealed=found.sealed,
            beneath=found.status if held else None,
            unseen=tuple(self._unseen()),
            unaccounted=self._after if found.unaccounted else None,
        )

    def _unseen(self) -> Iterator[Unseen]:
        """The closings that came before the stage was current, and after which nobody passed it in sight."""
        if self._stage.before != "closed" or self._stage.key not in self._class.stages:
            return
        own = (Shut(each.event.item, each, _moment(each.opened)) for each in self._bearing.closings)
        for shut in (*own, *self._bearing.shut):
            closing = shut.closing
            then = self.status_at(AGAINST, closing.event.moment)
            if then is not Status.CURRENT and not self._passed_in_sight(shut.out):
                doubt = self._item in closing.unsure or self.current_at(FOR, closing.event.moment)
                yield Unseen(shut, then, not doubt)

    def _passed_in_sight(self, out: Moment | None) -> bool:
        """Whether it was passed at some time after it could be looked at again."""
        return out is not None and any(
            compare(out, event.moment) in (Order.BEFORE, Order.SAME)
            and self._verdict(AGAINST, after(event.moment)).status is Status.CURRENT
            for event in self._inspections
        )

    def current_at(self, leaning: Leaning, moment: Moment) -> bool:
        """Whether the stage was current just before a moment, and the article not on hold."""
        return self.status_at(leaning, moment) is Status.CURRENT

    def status_at(self, leaning: Leaning, moment: Moment) -> Status:
        """What the stage was just before a moment."""
        held = self._held(
            [
                event
                for event in self._own
                if (leaning.helped if _lifts(event) else leaning.harmed)(compare(event.moment, moment))
            ]
        )
        return Status.ON_HOLD if held else self._verdict(leaning, moment).status

    def _held(self, events: Sequence[Event]) -> bool:
        return any(case.open for case in cases(events, self._deciders, self._counts))

    def _verdict(self, leaning: Leaning, until: Moment | None) -> _Verdict:
        refused = [r for r in self._refused if until is None or leaning.harmed(compare(r.moment, until))]
        passed = [p for p in self._passed if until is None or leaning.helped(compare(p.event.moment, until))]
        if not refused and not passed:
            return _Verdict(Status.NONE)
        since = [p for p in passed if all(leaning.helped(_order(r, p.event)) for r in refused)]
        if not since:
            return _Verdict(Status.REJECTED, refused[-1])
        seals = self._seals(leaning, until)
        return self._of([Aftermath(self._trail, p, leaning, until, seals) for p in since], leaning)

    def _of(self, since: Sequence[Aftermath], leaning: Leaning) -> _Verdict:
        """What the acceptances since the last refusal come to."""
        passed = tuple(each.accepted.event for each in since)
        standing = [each for each in since if not (_scope(each.accepted.event) or each.worst)]
        signers = tuple(dict.fromkeys(signer for each in standing for signer in each.accepted.signers))
        if standing and len(signers) >= self._class.signatures:
            last = standing[-1]
            return _Verdict(Status.CURRENT, last.accepted.event, passed, signers=signers, sealed=last.sealed)
        lasts = [e for e in since if not any(_order(e.accepted.event, p) is Order.BEFORE for p in passed)]
        last = leaning.choose(lasts, lambda each: each.worst)
        status = (Status.PARTIAL, Status.UNCLEAR, Status.UNDONE)[last.worst]
        return _Verdict(
            status,
            last.accepted.event,
            passed,
            last.undone(),
            last.untold(),
            signers,
            last.sealed,
            last.unaccounted,
        )

    def _seals(self, leaning: Leaning, until: Moment | None) -> tuple[Closing, ...]:
        """The closings before a moment that shut while the stage was current."""
        if not self._stage.undone_by_inside:
            return ()
        return tuple(
            closing
            for closing in self._bearing.closings
            if (until is None or compare(closing.event.moment, until) is Order.BEFORE)
            and self._sealed(leaning, closing.event.moment)
        )

    def _sealed(self, leaning: Leaning, moment: Moment) -> bool:
        known = self._shut.get((leaning, moment))
        if known is None:
            known = self._shut[leaning, moment] = self.current_at(leaning, moment)
        return known

    def _due(self) -> bool:
        before = self._stage.before
        if not before:
            return True
        if before == "closed":
            return any(each.out is None for each in self._bearing.shut) or any(
                each.opened is None for each in self._bearing.closings
            )
        return before in self._bearing.milestones_reached

    def _acceptance(self, event: Event) -> Acceptance | None:
        refused = {person: self._refusal(person, self._stage.key, event) for person in event.people}
        self._refusals.extend(each for each in refused.values() if each is not None)
        if not refused:
            self._refusals.append(Refusal(event, "", "nobody is named who passed it"))
        signers = tuple(person for person, each in refused.items() if each is None)
        if not signers:
            return None
        return Acceptance(event, () if self._class.signed and not event.record.document else signers)

    def _counts(self, event: Event) -> bool:
        """Whether an acceptance of any stage counts; a test for none needs no inspector."""
        stage = _stage(event)
        return not stage or any(self._refusal(person, stage, event) is None for person in event.people)

    def _refusal(self, person: str, stage: str, event: Event) -> Refusal | None:
        lacks = lacks_authority(self._people.get(person), stage, event.moment.day)
        if lacks:
            return Refusal(event, person, lacks)
        own_work = self._own_work(person, stage, event) if self._class.independent else ""
        return Refusal(event, person, own_work, own_work=True) if own_work else None

    def _own_work(self, person: str, stage: str, event: Event) -> str:
        if worked_by(person, event.moment, self._hands):
            return "worked on it"
        if stage in self._looking_inside and any(
            worked_by(person, event.moment, below.hands)
            for below in self._bearing.below
            if inside_at(below.line, event.moment, event.item) is not False
        ):
            return "worked inside it"
        return ""


def _unclear(against: _Verdict, hopeful: _Verdict) -> _Verdict:
    """Neither of two verdicts: what it rests on is what only one of them counts."""
    if against.status is Status.REJECTED:
        open_order = tuple(event for event in hopeful.passed if event not in against.passed)
    else:
        open_order = tuple(event for event in against.against if event not in hopeful.against)
    return against._replace(status=Status.UNCLEAR, against=open_order)


def _lifts(event: Event) -> bool:
    """Whether an event can only end a hold."""
    return isinstance(event.record, Disposition | Inspected | Tested)


def _order(one: Event, other: Event) -> Order:
    return compare(one.moment, other.moment)


def _stage(event: Event) -> str:
    return event.record.stage if isinstance(event.record, Inspected | Tested) else ""


def _moment(event: Event | None) -> Moment | None:
    return None if event is None else event.moment


def _refuses(event: Event) -> bool:
    return getattr(event.record, "result", "") in ("rejected", "failed")


def _scope(event: Event) -> str:
    return getattr(event.record, "scope", "")

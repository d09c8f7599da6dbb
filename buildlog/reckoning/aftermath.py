"""What came after an acceptance and undid it, or may have."""

from __future__ import annotations

import bisect
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from buildlog.model.records import DrawingChanged, Reidentified
from buildlog.model.settings import Stage
from buildlog.reckoning.closing import in_force
from buildlog.reckoning.events import Event, Labour
from buildlog.reckoning.knowledge import Closing, Inside
from buildlog.reckoning.leaning import Leaning
from buildlog.reckoning.order import BY_TIME, Moment, Order, compare


class Acceptance(NamedTuple):
    """An acceptance that counts, and who of those that signed it does."""

    event: Event
    signers: tuple[str, ...]


def undoes(event: Event, stage: Stage) -> bool:
    """Whether an event on an article undoes an acceptance of a stage that it comes after.

    So do the kinds that the stage names; a change of its drawing that asks for a new inspection, whatever
    the stage names, and never one that asks for none; and a new name that does not carry the stage.
    """
    record, kind = event.record, event.kind
    if kind == "drawing_changed" and isinstance(record, DrawingChanged) and record.effect:
        return record.effect == "reinspect"
    if kind == "reidentified" and isinstance(record, Reidentified):
        return bool(record.as_) and record.as_ not in record.of and stage.key not in record.carries
    return kind in stage.undone_by


def _asks_nothing(event: Event) -> bool:
    return isinstance(event.record, DrawingChanged) and event.record.effect == "none"


class Trail:
    """All that undoes a stage of an article whenever it comes after an acceptance.

    `inside` is in order of time, and may be long: only what follows an acceptance is looked at. `begins`
    are the records that an article which took another's place was made or received; None where it took none.
    """

    def __init__(
        self,
        stage: Stage,
        own: Iterable[Event],
        joined: Iterable[Inside],
        inside: Sequence[Inside],
        labour: Iterable[Labour],
        begins: Sequence[Event] | None = None,
    ) -> None:
        self.begins = begins
        self.own = [(event, True) for event in own if undoes(event, stage)]
        self.own.extend((each.event, each.sure) for each in joined if each.kind in stage.undone_by)
        self.untold = [work for work in labour if not (work.harmless or work.told)]
        self._kinds = stage.undone_by_inside
        self._inside = inside

    def inside(self, moment: Moment) -> Iterator[Inside]:
        """What undoes it inside, from the day of a moment on."""
        start = bisect.bisect_left(self._inside, moment.day, key=lambda each: each.event.moment.day)
        for at in range(start if self._kinds else len(self._inside), len(self._inside)):
            each = self._inside[at]
            if each.kind in self._kinds and not _asks_nothing(each.event):
                yield each


class Aftermath:
    """What came after one acceptance, until a moment, under one leaning.

    `seals` are the closings that shut while the stage was current.
    """

    def __init__(
        self,
        trail: Trail,
        accepted: Acceptance,
        leaning: Leaning,
        until: Moment | None,
        seals: Sequence[Closing],
    ) -> None:
        self.accepted = accepted
        self._trail = trail
        self._leaning = leaning
        self._moment = accepted.event.moment
        self._until = until
        self._seals = [s for s in seals if leaning.helped(compare(self._moment, s.event.moment))]
        begins = trail.begins
        self.unaccounted = begins is not None and not any(
            leaning.helped(compare(begun.moment, self._moment)) for begun in begins
        )
        """Whether it passed what no record says was made or received by then."""
        undone = next(self._undone(), None) is not None
        self.worst = 2 if undone else 1 if self.unaccounted or self.untold() else 0
        """0 to 2: it stands, what it passed or what was done since is not told, it was undone."""

    @property
    def sealed(self) -> Event | None:
        """The closing that holds it closed."""
        return next((seal.event for seal in self._seals if seal.opened is None), None)

    def undone(self) -> tuple[Event, ...]:
        """The events that undid it, in order, each once."""
        found = {(event.item, event.moment): event for event in self._undone()}
        return tuple(sorted(found.values(), key=BY_TIME))

    def untold(self) -> tuple[Labour, ...]:
        """The work after it that no record explains."""
        return tuple(work for work in self._trail.untold if self._counts(work.moment))

    def _undone(self) -> Iterator[Event]:
        for event, sure in self._trail.own:
            if self._leaning.true(sure) and self._counts(event.moment):
                yield event
        for each in self._trail.inside(self._moment):
            inside = self._leaning.true(each.sure) and self._inside_after(each)
            counts = inside and self._counts(each.event.moment)
            if counts and not (self._seals and self._kept_out(each)):
                yield each.event

    def _inside_after(self, each: Inside) -> bool:
        """Whether it may have been inside if it came after: not if it was taken out before the acceptance."""
        return not each.ways or any(
            all(compare(ended, self._moment) is not Order.BEFORE for ended in way) for way in each.ways
        )

    def _counts(self, moment: Moment) -> bool:
        harmed = self._leaning.harmed
        return harmed(compare(self._moment, moment)) and (
            self._until is None or harmed(compare(moment, self._until))
        )

    def _kept_out(self, inside: Inside) -> bool:
        """Whether a seal keeps an event inside from counting: it was shut, and did not hide that item."""
        event, kept = inside.event, False
        for seal in self._seals:
            if not self._leaning.holds(in_force(seal, event.moment)):
                continue
            hidden = event.item in seal.hidden and self._leaning.true(event.item not in seal.unsure)
            # what is put in and perhaps was in all along is put on from outside, or was written down late
            if hidden and not (inside.late and event.item in seal.unsure):
                return False
            kept = True
        return kept

"""The readings of an article: each value with its limits, and those of one characteristic as a series."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec

from buildlog.model.amounts import limits_of, value_of
from buildlog.model.quantity import Quantity, inside, net
from buildlog.model.records import Loosened, Measured, Record, Torqued, Weighed
from buildlog.reckoning.events import Event


class Amounts(msgspec.Struct, frozen=True, kw_only=True):
    """What a record says in numbers. `run_on` and `limits` are None where none are given."""

    value: Quantity
    run_on: Quantity | None = None
    limits: Quantity | None = None

    @property
    def net(self) -> Quantity:
        """What limits are held against: a torque less its run-on."""
        return self.value if self.run_on is None else net(self.value, self.run_on)

    @property
    def within(self) -> bool | None:
        """Whether all of it is within its limits; None without limits."""
        return None if self.limits is None else inside(self.net, self.limits)


class Reading(Amounts, frozen=True, kw_only=True):
    """A measured value or a torque, and the record that gives it."""

    event: Event


class Series(msgspec.Struct, frozen=True):
    """The readings of one characteristic of an article in order. `name` is as first written, or empty."""

    kind: str
    name: str
    readings: tuple[Reading, ...]


def named(text: str) -> str:
    """A characteristic or a fastener as it is known again: letters' case and blanks do not count."""
    return " ".join(text.casefold().split())


def amounts_of(record: Record) -> Amounts | None:
    """A record's value, run-on and limits; None without any, or in a log that no reader has checked."""
    if not isinstance(record, Measured | Torqued | Weighed):
        return None
    value = value_of(record.value)
    run_on = value_of(record.run_on) if isinstance(record, Torqued) and record.run_on else None
    limits = limits_of(record.limits) if not isinstance(record, Weighed) and record.limits else None
    if not isinstance(value, Quantity):
        return None
    return Amounts(
        value=value,
        run_on=run_on if isinstance(run_on, Quantity) else None,
        limits=limits if isinstance(limits, Quantity) else None,
    )


def series_of(events: Iterable[Event]) -> tuple[Series, ...]:
    """The readings in an article's events, struck ones apart, by characteristic, in order of the first.

    Values without a name and of the same limits are of one characteristic. Values of one name whose units are
    of different sorts are of two.
    """
    found: dict[tuple[str, str, str, str], list[Reading]] = {}
    for event in events:
        if event.struck is not None or not isinstance(event.record, Measured | Torqued):
            continue
        amounts = amounts_of(event.record)
        if amounts is None:
            continue
        reading = Reading(event=event, value=amounts.value, run_on=amounts.run_on, limits=amounts.limits)
        name = named(name_of(event))
        limits = "" if name or event.kind == "torqued" else str(reading.limits)
        found.setdefault((event.kind, name, limits, reading.value.unit.sort), []).append(reading)
    return tuple(
        Series(kind, name_of(many[0].event).strip(), tuple(many)) for (kind, *_), many in found.items()
    )


def name_of(event: Event) -> str:
    """What a record measures, or which fastener it is about, as written; empty where it does not say."""
    record = event.record
    if isinstance(record, Measured):
        return record.what
    return record.fastener if isinstance(record, Torqued | Loosened) else ""


def loosens(event: Event, fastener: str) -> bool:
    """Whether a record loosens a fastener: by its name, or all of them."""
    record = event.record
    return (
        isinstance(record, Loosened)
        and event.struck is None
        and named(record.fastener) in ("", named(fastener))
    )


def torques(events: Sequence[Event]) -> tuple[Event, ...]:
    """The records that a fastener was torqued, struck ones apart."""
    return tuple(event for event in events if isinstance(event.record, Torqued) and event.struck is None)

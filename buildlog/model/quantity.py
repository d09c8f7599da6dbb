"""A value with its unit, or the limits that one may keep to: exact, and compared whatever the units.

A value and a pair of limits are both a `Quantity`: all that lies between two ends. A value has one end twice,
`0.4 mm`, unless it is a range, `11 to 13 %`, or off the scale, `over 200 MΩ`. It is inside its limits where
all of it is; a value exactly at a limit is inside. How people write them is read in `amounts`.
"""

from __future__ import annotations

import functools
from fractions import Fraction

import msgspec

from buildlog.model.ratio import ratio
from buildlog.model.units import BARE, Unit, convert


class Quantity(msgspec.Struct, frozen=True):
    """All that lies between two ends of one unit, both included. An end that is None is open."""

    low: Fraction | None
    high: Fraction | None
    unit: Unit = BARE

    @property
    def single(self) -> Fraction | None:
        """The value where it is one; None for a range."""
        # most often it is one object, and fractions take long to compare
        return self.low if self.low is self.high or self.low == self.high else None

    def __str__(self) -> str:
        """As pages and findings write it: `66 in-lb`, `50 to 70 in-lb`, `0.5 mm max`."""
        low = "" if self.low is None else _figure(self.low)
        high = "" if self.high is None else _figure(self.high)
        if low and high:
            return _with_unit(low if self.single is not None else f"{low} to {high}", self.unit)
        return f"{_with_unit(low, self.unit)} min" if low else f"{_with_unit(high, self.unit)} max"


def in_unit(quantity: Quantity, unit: Unit) -> Quantity:
    """The quantity in another unit of its sort, exactly.

    Raises:
        ValueError: the units are not of one sort.
    """
    if quantity.unit == unit:
        return quantity
    low, high = (
        None if end is None else convert(end, quantity.unit, unit) for end in (quantity.low, quantity.high)
    )
    return Quantity(low, high, unit)


def alike(one: Unit, other: Unit) -> bool:
    """Whether amounts of two units can be compared."""
    return one == other or (one.sort == other.sort and bool(one.pint and other.pint))


def net(value: Quantity, run_on: Quantity) -> Quantity:
    """A torque less the run-on (friction drag) torque of its nut, in the unit of the torque.

    Raises:
        ValueError: the units are not of one sort.
    """
    drag = in_unit(run_on, value.unit)
    low = None if value.low is None or drag.high is None else value.low - drag.high
    high = None if value.high is None or drag.low is None else value.high - drag.low
    return Quantity(low, high, value.unit)


def inside(value: Quantity, limits: Quantity) -> bool:
    """Whether all of a value lies within limits, its ends included.

    Raises:
        ValueError: the units are not of one sort.
    """
    held = in_unit(value, limits.unit)
    above = limits.low is None or (held.low is not None and held.low >= limits.low)
    below = limits.high is None or (held.high is not None and held.high <= limits.high)
    return above and below


def decimal(amount: Fraction, places: int = 6) -> str:
    """An amount as a decimal number, exact if so many places hold it, else rounded, half to even."""
    return _decimal(*amount.as_integer_ratio(), places)


# instruments read the same few amounts; and integers hash faster than the fraction they are
@functools.lru_cache(maxsize=1 << 14)
def _decimal(top: int, bottom: int, places: int) -> str:
    scaled = round(ratio(top, bottom) * 10**places)
    sign = "-" if scaled < 0 else ""
    whole, part = divmod(abs(scaled), 10**places)
    return f"{sign}{whole}" + (f".{part:0{places}d}".rstrip("0").rstrip(".") if places else "")


def told(value: Quantity, limits: Quantity) -> str:
    """A value in the unit of its limits, with as many figures as tell it from them: `70.01 in-lb`."""
    held = in_unit(value, limits.unit)
    ends = [end for end in (limits.low, limits.high) if end is not None]
    for places in range(1, 13):
        shown = [None if end is None else round(end, places) for end in (held.low, held.high)]
        clash = any(
            s == round(e, places) and e != h
            for s, h in zip(shown, (held.low, held.high), strict=True)
            for e in ends
            if s is not None
        )
        if not clash:
            break
    return str(Quantity(shown[0], shown[1], limits.unit))


def _with_unit(figure: str, unit: Unit) -> str:
    return f"{figure}{'' if unit.name in ('°', '′', '″') else ' '}{unit.name}".rstrip()


def _figure(amount: Fraction) -> str:
    """Six places hold what instruments read; of a smaller amount, its first four figures are told."""
    shown = decimal(amount)
    if amount and shown.strip("-0.") == "":
        return f"{float(amount):.4g}"
    return shown

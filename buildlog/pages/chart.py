"""A small chart of a series of readings: where each mark, line and word stands, in units of the drawing.

The chart repeats what the table beside it says. A reading outside its limits is told by the shape of its mark
and by a word.
"""

from __future__ import annotations

import functools
from collections.abc import Sequence
from fractions import Fraction

import msgspec

from buildlog.model.quantity import Quantity, decimal, in_unit, inside
from buildlog.model.ratio import ratio

WIDTH, HEIGHT = 360, 150
_LEFT, _RIGHT, _TOP, _BOTTOM = 12, 72, 22, 26
_FEW = 6
"""So many readings are all labelled; of more, the last and those outside."""
_APART = 12
"""How far apart two labels of limits stand at least: the height of a line of them."""


class Point(msgspec.Struct, frozen=True):
    """What a chart is made of: one reading, net, with its limits and its day."""

    day: str
    value: Quantity
    limits: Quantity | None = None


class Mark(msgspec.Struct, frozen=True):
    """One reading: a mark at `y`, or a bar from `top` to `bottom` where it is a range, with its label."""

    x: int
    y: int
    label: str = ""
    outside: bool = False
    top: int = 0
    bottom: int = 0


class Band(msgspec.Struct, frozen=True):
    """Where readings one after the other may lie; `high` and `low` say whether it ends there, in a limit."""

    x: int
    y: int
    width: int
    height: int
    high: bool
    low: bool


class Word(msgspec.Struct, frozen=True):
    """A word of the chart at a place."""

    x: int
    y: int
    text: str


class Chart(msgspec.Struct, frozen=True, kw_only=True):
    """A drawn series. `says` tells in words what it shows; `path` joins the readings."""

    width: int = WIDTH
    height: int = HEIGHT
    says: str
    unit: str
    base: int
    bands: tuple[Band, ...]
    path: str
    marks: tuple[Mark, ...]
    limits: tuple[Word, ...]
    first: Word
    last: Word


def draw(title: str, points: Sequence[Point]) -> Chart | None:
    """The chart of a series, in the unit of its last limits or reading; None where there is none to draw."""
    if len(points) < 2:
        return None
    last = points[-1]
    unit = (last.limits or last.value).unit
    values = [in_unit(each.value, unit) for each in points]
    limits = [in_unit(each.limits, unit) if each.limits else None for each in points]
    scale = _Scale([end for each in (*values, *limits) if each for end in (each.low, each.high)])
    step = (WIDTH - _LEFT - _RIGHT) / len(points)
    across = [round(_LEFT + step * at + step / 2) for at in range(len(points))]
    outside = [
        held is not None and not inside(value, held) for value, held in zip(values, limits, strict=True)
    ]
    few = len(points) <= _FEW
    marks = tuple(
        _mark(x, value, scale, out, labelled=few or out or x == across[-1])
        for x, value, out in zip(across, values, outside, strict=True)
    )
    return Chart(
        says=_says(title, points),
        unit=unit.name,
        base=HEIGHT - _BOTTOM,
        bands=_bands(limits, step, scale),
        path=" ".join(f"{mark.x},{mark.y}" for mark in marks),
        marks=marks,
        limits=_limit_words(limits, scale),
        first=Word(across[0], HEIGHT - 8, points[0].day),
        last=Word(across[-1], HEIGHT - 8, points[-1].day),
    )


def figure(amount: Fraction) -> str:
    """A figure as a chart labels it: whole where that is short, else its first four figures."""
    return _figure(*amount.as_integer_ratio())


@functools.lru_cache(maxsize=1 << 14)
def _figure(top: int, bottom: int) -> str:
    amount = ratio(top, bottom)
    exact = decimal(amount)
    if len(exact) <= 7 and amount == Fraction(exact):
        return exact
    places = next((each for each in range(10) if abs(amount) * 10**each >= 1000), 9)
    return decimal(amount, places)


class _Scale:
    """Heights of the drawing for amounts, with some room above and below."""

    def __init__(self, ends: Sequence[Fraction | None]) -> None:
        # each once: fractions take long to compare
        known = {end.as_integer_ratio(): end for end in ends if end is not None}.values()
        low, high = min(known), max(known)
        room = (high - low) / 8 or abs(high) / 8 or Fraction(1)
        # A place in a drawing is no reading: for the share of the height the nearest double will do.
        self._low, self._span = low - room, float(high - low + 2 * room)
        self._known: dict[tuple[int, int], int] = {}

    def y(self, amount: Fraction) -> int:
        """The height at which an amount stands, from the top of the drawing."""
        key = amount.as_integer_ratio()
        known = self._known.get(key)
        if known is None:
            up = float(amount - self._low) / self._span
            known = self._known[key] = round(HEIGHT - _BOTTOM - up * (HEIGHT - _BOTTOM - _TOP))
        return known


def _mark(x: int, value: Quantity, scale: _Scale, outside: bool, *, labelled: bool) -> Mark:
    top = _TOP if value.high is None else scale.y(value.high)
    bottom = HEIGHT - _BOTTOM if value.low is None else scale.y(value.low)
    if value.single is not None:
        label = figure(value.single)
    elif value.low is None or value.high is None:
        label = (
            "< " + figure(value.high) if value.high is not None else "> " + figure(value.low or Fraction(0))
        )
    else:
        label = f"{figure(value.low)} to {figure(value.high)}"
    if outside:
        label += ", outside"
    return Mark(
        x=x,
        y=round((top + bottom) / 2),
        label=label if labelled else "",
        outside=outside,
        top=top if value.single is None else 0,
        bottom=bottom if value.single is None else 0,
    )


def _bands(limits: Sequence[Quantity | None], step: float, scale: _Scale) -> tuple[Band, ...]:
    """Limits as they were at each reading: one band as long as they stay the same."""
    found: list[Band] = []
    begun = 0
    for at, held in enumerate(limits):
        if at + 1 < len(limits) and limits[at + 1] == held:
            continue
        if held is not None:
            left, right = round(_LEFT + step * begun), round(_LEFT + step * (at + 1))
            top = _TOP - 8 if held.high is None else scale.y(held.high)
            bottom = HEIGHT - _BOTTOM if held.low is None else scale.y(held.low)
            ends = (held.high is not None, held.low is not None)
            found.append(Band(left, top, right - left, bottom - top, *ends))
        begun = at + 1
    return tuple(found)


def _limit_words(limits: Sequence[Quantity | None], scale: _Scale) -> tuple[Word, ...]:
    """The last limits, beside their lines, kept apart where the lines are close."""
    held = limits[-1]
    if held is None:
        return ()
    x = WIDTH - _RIGHT + 6
    high = None if held.high is None else (scale.y(held.high), f"{figure(held.high)} max")
    low = None if held.low is None else (scale.y(held.low), f"{figure(held.low)} min")
    if high and low and low[0] - high[0] < _APART:
        middle = (high[0] + low[0]) // 2
        high, low = (middle - _APART // 2, high[1]), (middle + _APART // 2, low[1])
    return tuple(Word(x, each[0] + 4, each[1]) for each in (high, low) if each)


def _says(title: str, points: Sequence[Point]) -> str:
    told = "; ".join(f"{each.day} {each.value}" for each in points)
    last = points[-1].limits
    return f"{title}: {told}" + (f". Limits at the last reading: {last}." if last else ".")

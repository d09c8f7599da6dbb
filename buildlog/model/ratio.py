"""Fractions made once: a log holds the same few amounts over and over."""

from __future__ import annotations

import functools
from fractions import Fraction


@functools.lru_cache(maxsize=1 << 14)
def ratio(top: int, bottom: int) -> Fraction:
    """The fraction `top`/`bottom`.

    To make one takes as long as to render a small template, for its common divisor and its checks.

    Raises:
        ZeroDivisionError: `bottom` is 0.
    """
    return Fraction(top, bottom)


def times(one: Fraction, other: Fraction) -> Fraction:
    """The product of two fractions."""
    (top, bottom), (over, under) = one.as_integer_ratio(), other.as_integer_ratio()
    return ratio(top * over, bottom * under)


def plus(one: Fraction, other: Fraction) -> Fraction:
    """The sum of two fractions."""
    (top, bottom), (over, under) = one.as_integer_ratio(), other.as_integer_ratio()
    return ratio(top * under + over * bottom, bottom * under)

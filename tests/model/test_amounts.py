"""Values and limits as builders write them. Forms that people use are common practice, no source."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from buildlog.model import amounts
from buildlog.model.amounts import LENGTH, Unreadable, limits_of, value_of
from buildlog.model.quantity import Quantity

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")


def read(text: str) -> str:
    """The value as pages write it, or what is wrong with it."""
    found = value_of(text)
    return str(found) if isinstance(found, Quantity) else f"! {found.found}"


def bounds(text: str) -> str:
    found = limits_of(text)
    return str(found) if isinstance(found, Quantity) else f"! {found.found}"


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("0.4 mm", "0.4 mm"),
        ("0.4mm", "0.4 mm"),
        (".4 mm", "0.4 mm"),
        ("0.4\u00a0mm", "0.4 mm"),
        ("12,5 mm", "12.5 mm"),
        ("0,375 in", "0.375 in"),
        ("1,2345 in", "1.2345 in"),
        ("1,371.5 mm", "1371.5 mm"),
        ("1.371,5 mm", "1371.5 mm"),
        ("-1.6 deg", "-1.6°"),
        ("−1.6°", "-1.6°"),
        ("+3 mm", "3 mm"),
        ("68 in-lb", "68 in-lb"),
        ("68 in.-lb.", "68 in-lb"),
        ("68 lbf·in", "68 in-lb"),
        ("68 IN-LBS", "68 in-lb"),
        ("68 inch pounds", "68 in-lb"),
        ("5 ft-lb", "5 ft-lb"),
        ("31 N m", "31 N m"),
        ("31 N·m", "31 N m"),
        ("31 Nm", "31 N m"),
        ("1/4 in", "0.25 in"),
        ("½ in", "0.5 in"),
        ("1½\u2033", "1.5 in"),
        ('1-1/8"', "1.125 in"),
        ("1 1/8 inches", "1.125 in"),
        ("5' 3\"", "63 in"),
        ("5 ft 3-1/2 in", "63.5 in"),
        ("2° 30'", "150′"),
        ("3 lb 4 oz", "52 oz"),
        ("1 h 30 min", "90 min"),
        ("3 min", "3 min"),  # three minutes: a value is no limit
        ("1:20", "0.05"),
        ("12.3", "12.3"),
        ("11.4 %", "11.4 %"),
        ("48 % RH", "48 % RH"),
        ("21 °C", "21 °C"),
        ("21 ℃", "21 °C"),
        ("21 º C", "21 °C"),
        ("21 C", "21 °C"),
        ("70 deg F", "70 °F"),
        ("4,7 kΩ", "4.7 kΩ"),
        ("4.7 k\u2126", "4.7 kΩ"),
        ("4.7 kohm", "4.7 kΩ"),
        ("3 µm", "3 µm"),
        ("3 \u03bcm", "3 µm"),
        ("3 um", "3 µm"),
        ("2.5e-4 in", "0.00025 in"),
        ("0.0000001 in", "1e-07 in"),
        ("2 MPa", "2 MPa"),
        ("44 psi", "44 psi"),
        ("13 US gal", "13 US gal"),
        ("11 to 13 %", "11 to 13 %"),
        ("10.8–11.9 %", "10.8 to 11.9 %"),
        ("11.4 ±0.5 %", "10.9 to 11.9 %"),
        ("> 200 MΩ", "200 MΩ min"),
        ("over 200 MΩ", "200 MΩ min"),
        ("< 0.05 mm", "0.05 mm max"),
        ("3 threads", "3 threads"),
    ],
)
def test_values(text: str, meant: str) -> None:
    assert read(text) == meant


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("50 to 70 in-lb", "50 to 70 in-lb"),
        ("50-70 in-lb", "50 to 70 in-lb"),
        ("50–70 in-lb", "50 to 70 in-lb"),
        ("50 … 70 in-lb", "50 to 70 in-lb"),
        ("between 50 and 70 in-lb", "50 to 70 in-lb"),
        ("50 in-lb to 70 in-lb", "50 to 70 in-lb"),
        ("1,5-2,5 mm", "1.5 to 2.5 mm"),
        ("0.5 mm max", "0.5 mm max"),
        ("0,5 mm Max.", "0.5 mm max"),
        ("max. 0.5 mm", "0.5 mm max"),
        ("≤ 0.5 mm", "0.5 mm max"),
        ("up to 0.5 mm", "0.5 mm max"),
        ("at most 0.5 mm", "0.5 mm max"),
        ("0.5 mm or less", "0.5 mm max"),
        ("3 min", "3 min"),  # at least 3
        ("3 mm min", "3 mm min"),
        ("3 in min", "3 in min"),
        ("3 min min", "3 min min"),  # three minutes at least
        ("5 min max", "5 min max"),
        ("3 to 5 min", "3 to 5 min"),  # minutes: a range needs no `at least`
        ("at least 3 mm", "3 mm min"),
        (">= 3 mm", "3 mm min"),
        ("0.2 mm min, 0.5 mm max", "0.2 to 0.5 mm"),
        ("60 ±5 in-lb", "55 to 65 in-lb"),
        ("60 +-5 in-lb", "55 to 65 in-lb"),
        ("60 +/- 5 in-lb", "55 to 65 in-lb"),
        ("60 in-lb ±5", "55 to 65 in-lb"),
        ("60 in-lb ± 5 in-lb", "55 to 65 in-lb"),
        ("100 kΩ ±5 %", "95 to 105 kΩ"),
        ("11 ±2 %", "9 to 13 %"),
        ("25 +0.1/-0.2 mm", "24.8 to 25.1 mm"),
        ("8 mm +0.015 -0", "8 to 8.015 mm"),
        ("8 +0.015/0 mm", "8 to 8.015 mm"),
        ("-2.2 to -1.8 deg", "-2.2 to -1.8°"),
        ("-2.2--1.8 deg", "-2.2 to -1.8°"),
        ("1/2-3/4 in", "0.5 to 0.75 in"),
        ("1-1/8 in max", "1.125 in max"),
        ("0-1/8 in", "0 to 0.125 in"),
        ("1 in to 30 mm", "25.4 to 30 mm"),
        ("12 to 15", "12 to 15"),
    ],
)
def test_limits(text: str, meant: str) -> None:
    assert bounds(text) == meant


@pytest.mark.parametrize(
    ("text", "found", "todo"),
    [
        ("no cracks", "holds no number", "`note`"),
        ("", "lacks a number", "0.4 mm"),
        ("mm", "holds no number", "0.4 mm"),
        ("about 12 mm", "is a rough value", "11 to 13"),
        ("~12 mm", "is a rough value", "11 to 13"),
        ("12,500 mm", "could be read in two ways", "`12500` or `12.500`"),
        ("1.2.3 mm", "is no number", "point"),
        ("1/0 in", "divides by nothing", ""),
        ("5 inlbz", 'the unknown unit "inlbz"', '"in-lb"'),
        ("5 nm", 'the unknown unit "nm"', '"N m"'),  # what some write for a torque is a length to others
        ("5 mPa", 'the unknown unit "mPa"', '"MPa"'),
        ("13 gal", "not the same everywhere", "`US gal` or `imp gal`"),
        ("0.5 mm max", '"max", which does not belong here', "0.4 mm"),
        ("1:30 h", "a ratio with a unit", "1.5 h"),
        ("5 ft 14 in", "of which 12 are one ft", "one unit"),
        ("70 to 50 in-lb", "turned round", "`50 to 70 in-lb`"),
        ("5 in to 7 psi", "from a length to a pressure", "one unit"),
        ("1" * (LENGTH + 1), "characters", "note"),
        ("\u0661 mm", "does not begin with a number", ""),
    ],
)
def test_values_that_cannot_be_read(text: str, found: str, todo: str) -> None:
    refused = value_of(text)
    assert isinstance(refused, Unreadable)
    assert found in refused.found
    assert todo in refused.todo


@pytest.mark.parametrize(
    ("text", "found", "todo"),
    [
        ("50 in-lb", "is one value", "`50 in-lb max`"),
        ("none", "holds no number", "leave the key out"),
        ("±5 mm", "lacks a number", "60 ±5"),
        ("60 ±-5 mm", "below nothing", "without a sign"),
        (
            "20 °C ±9 °F",
            "in °F to a value in °C",
            "one unit",
        ),  # a difference has no offset, so neither does it
        ("5 mm ±2 psi", "in psi to a value in mm", "one unit"),
        ("70 to 50 in-lb", "turned round", "`50 to 70 in-lb`"),
    ],
)
def test_limits_that_cannot_be_read(text: str, found: str, todo: str) -> None:
    refused = limits_of(text)
    assert isinstance(refused, Unreadable)
    assert found in refused.found
    assert todo in refused.todo


PIECES = st.sampled_from(
    [
        *"0123456789.,:/+-±<>~'\"°%",
        *(
            " ",
            "to",
            "min",
            "max",
            "mm",
            "in",
            "in-lb",
            "½",
            "…",
            "e5",
            "ft",
            "5",
            "12.5",
            "−",
            "between",
            "ΩK",
        ),
    ]
)


@given(st.one_of(st.text(max_size=40), st.lists(PIECES, max_size=14).map("".join)))
@example("0" * 119 + "-")
@example("1-" * 59)
@example("5e99 mm")
@example("5' " * 39)
@example(" to " * 29)
def test_any_text_is_read_or_refused(text: str) -> None:
    for found in (value_of(text), limits_of(text)):
        if isinstance(found, Unreadable):
            assert found.found
            assert found.todo
        else:
            assert str(found)
            assert found.low is None or found.high is None or found.low <= found.high


@given(st.lists(PIECES, max_size=8).map("".join))
@example("5 -mm")
@example("3 to 5 min")
@example("5 to 3 mm")
@example("3minmax")
@example("5 mm max")
@example("-0 min")
@example("0…'")
@example("3.. mm")
def test_what_is_read_quickly_is_read_the_same(text: str) -> None:
    for quickly, at_length in ((value_of, amounts._value), (limits_of, amounts._limits)):
        slowly = amounts._tried(text, at_length, "todo")
        read = quickly(text)
        assert read == slowly or (isinstance(read, Unreadable) and isinstance(slowly, Unreadable))


@given(st.decimals(min_value=-(10**6), max_value=10**6, places=3), st.sampled_from(["mm", "in-lb", "°C", ""]))
def test_decimals_are_exact(number: object, unit: str) -> None:
    found = value_of(f"{number} {unit}")
    assert isinstance(found, Quantity)
    assert found.single == Fraction(str(number))


@given(st.integers(0, 10**6), st.integers(0, 10**6), st.sampled_from(["mm", "in-lb", "psi", ""]))
def test_limits_read_back_as_they_are_told(one: int, other: int, unit: str) -> None:
    low, high = sorted((Fraction(one, 1000), Fraction(other, 1000)))
    told = limits_of(f"{float(low):.3f} to {float(high):.3f} {unit}")
    assert isinstance(told, Quantity)
    assert (told.low, told.high) == (low, high)
    if low != high:
        assert limits_of(str(told)) == told

"""What one unit is in another, and what is inside what, whatever the units."""

from __future__ import annotations

import subprocess
import sys
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.model.amounts import limits_of, value_of
from buildlog.model.quantity import Quantity, alike, decimal, in_unit, inside, net, told
from buildlog.model.units import all_units, convert, unit_of

REGISTRY = pint.UnitRegistry()
CONVERTIBLE = [unit for unit in all_units() if unit.pint]


def value(text: str) -> Quantity:
    found = value_of(text)
    assert isinstance(found, Quantity), found
    return found


def limits(text: str) -> Quantity:
    found = limits_of(text)
    assert isinstance(found, Quantity), found
    return found


def amount(text: str, unit: str) -> Fraction:
    known = unit_of(unit)
    assert known
    single = in_unit(value(text), known).single
    assert single is not None
    return single


@pytest.mark.parametrize(
    ("text", "unit", "expected", "digits"),
    [
        # NIST SP 811, Appendix B
        ("1 lbf·in", "N m", "0.1129848", 7),
        ("1 ft-lb", "N m", "1.355818", 6),
        ("1 lb", "kg", "0.45359237", 8),
        ("1 US gal", "L", "3.785412", 6),
        ("1 in", "mm", "25.4", 12),
        ("3.5 US gal", "L", "13.25", 2),
        ("77 US gal", "L", "291.5", 1),
        # from memory
        ("1 thou", "µm", "25.4", 12),
        ("32 °F", "°C", "0", 12),
        ("212 °F", "°C", "100", 12),
        ("-40 °F", "°C", "-40", 12),
        ("0 K", "°C", "-273.15", 12),
        ("1 bar", "psi", "14.50", 2),
        ("1 inHg", "hPa", "33.864", 3),
        ("1 kgf m", "N m", "9.80665", 12),
        ("1 kn", "km/h", "1.852", 12),
        ("1 MΩ", "kΩ", "1000", 12),
    ],
)
def test_published_figures(text: str, unit: str, expected: str, digits: int) -> None:
    assert round(amount(text, unit), digits) == Fraction(expected)


def test_every_unit_is_of_the_sort_that_pint_says() -> None:
    """Units of one sort have one dimension; pint itself is the reference."""
    sorts: dict[str, set[object]] = {}
    for unit in CONVERTIBLE:
        dimension = REGISTRY.Quantity(1, unit.pint).dimensionality
        sorts.setdefault(unit.sort, set()).add(frozenset((name, float(of)) for name, of in dimension.items()))
    assert {sort: len(found) for sort, found in sorts.items()} == dict.fromkeys(sorts, 1)
    assert {"torque", "length", "temperature", "pressure", "mass", "resistance"} <= sorts.keys()


@pytest.mark.parametrize("unit", CONVERTIBLE, ids=lambda unit: unit.name)
def test_pint_in_floating_point_agrees(unit: object) -> None:
    for other in CONVERTIBLE:
        if other.sort == unit.sort:
            mine = float(convert(Fraction(7, 3), unit, other))
            theirs = REGISTRY.Quantity(7 / 3, unit.pint).to(other.pint).magnitude
            assert mine == pytest.approx(theirs, rel=1e-9)


@given(st.fractions(min_value=-(10**6), max_value=10**6), st.sampled_from(CONVERTIBLE), st.data())
def test_there_and_back_is_exact(start: Fraction, unit: object, data: st.DataObject) -> None:
    other = data.draw(st.sampled_from([each for each in CONVERTIBLE if each.sort == unit.sort]))
    assert convert(convert(start, unit, other), other, unit) == start


@pytest.mark.parametrize(
    ("reading", "bounds", "within"),
    [
        ("1 in", "25.4 mm max", True),  # exactly at a limit is inside
        ("1 in", "25.3999 mm max", False),
        ("25.4 mm", "1 in min", True),
        ("0.5 mm", "0.5 mm max", True),
        ("0.51 mm", "0.5 mm max", False),
        ("50 in-lb", "50 to 70 in-lb", True),
        ("70 in-lb", "50 to 70 in-lb", True),
        ("70.1 in-lb", "50 to 70 in-lb", False),
        ("49.9 in-lb", "50 to 70 in-lb", False),
        ("7 N m", "50 to 70 in-lb", True),
        ("8 N m", "50 to 70 in-lb", False),
        ("68 °F", "20 °C max", True),
        ("69 °F", "20 °C max", False),
        ("12.3", "12 to 15", True),
        ("1:22", "1:15 max", True),
        ("1:14", "1:15 max", False),
        ("11 to 13 %", "9 to 13 %", True),
        ("8 to 11 %", "9 to 13 %", False),  # a range is inside where all of it is
        ("> 200 MΩ", "100 MΩ min", True),
        ("> 50 MΩ", "100 MΩ min", False),  # it may be more; nobody read that it is
        ("> 200 MΩ", "100 to 300 MΩ", False),
        ("< 0.05 mm", "0.1 mm max", True),
        ("3 threads", "1 thread min", True),
        ("5", "3 min", True),
        ("2", "3 min", False),
    ],
)
def test_what_is_inside(reading: str, bounds: str, within: bool) -> None:
    assert inside(value(reading), limits(bounds)) is within


@pytest.mark.parametrize(
    ("set_to", "run_on", "bounds", "left", "within"),
    [
        # worked figures in CHECKS: the table of AC 43.13-1B holds no run-on torque
        ("78 in-lb", "12 in-lb", "50 to 70 in-lb", "66 in-lb", True),
        ("55 in-lb", "12 in-lb", "50 to 70 in-lb", "43 in-lb", False),
        ("82 in-lb", "12 in-lb", "50 to 70 in-lb", "70 in-lb", True),
        ("82 in-lb", "1 ft-lb", "50 to 70 in-lb", "70 in-lb", True),
        ("70 to 80 in-lb", "10 to 12 in-lb", "50 to 70 in-lb", "58 to 70 in-lb", True),
    ],
)
def test_torque_is_net_of_run_on(set_to: str, run_on: str, bounds: str, left: str, within: bool) -> None:
    found = net(value(set_to), value(run_on))
    assert str(found) == left
    assert inside(found, limits(bounds)) is within


def test_what_does_not_compare() -> None:
    units = [unit_of(each) for each in ("mm", "psi", "", "HRC", "HB", "lb", "lbf", "kg", "in")]
    assert all(units)
    pairs = {(a.name, b.name) for a in units for b in units if a and b and a != b and alike(a, b)}
    assert pairs == {("mm", "in"), ("in", "mm"), ("lb", "kg"), ("kg", "lb")}
    with pytest.raises(ValueError, match="psi"):
        inside(value("5 mm"), limits("5 psi max"))


@pytest.mark.parametrize(
    ("number", "text"), [("1/3", "0.333333"), ("-0.5", "-0.5"), ("70", "70"), ("0", "0"), ("1e-9", "0")]
)
def test_decimals(number: str, text: str) -> None:
    assert decimal(Fraction(number)) == text


def test_what_is_outside_never_reads_as_the_limit_itself() -> None:
    assert told(value("7.909 N m"), limits("50 to 70 in-lb")) == "70.001 in-lb"
    assert told(value("8 N m"), limits("50 to 70 in-lb")) == "70.8 in-lb"
    assert told(value("1 in"), limits("25.4 mm max")) == "25.4 mm"


def test_nothing_heavy_is_loaded_where_units_agree() -> None:
    program = (
        "import sys\n"
        "from buildlog.model.amounts import limits_of, value_of\n"
        "from buildlog.model.quantity import alike, inside\n"
        "assert inside(value_of('66 lbf·in'), limits_of('50 to 70 in-lb'))\n"
        "assert alike(value_of('66 N m').unit, limits_of('50 to 70 in-lb').unit)\n"
        "assert 'pint' not in sys.modules\n"
        "inside(value_of('7 N m'), limits_of('50 to 70 in-lb'))\n"
        "assert 'pint' in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", program], check=True)

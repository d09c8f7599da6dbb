"""What a workshop does all the time, told in logs of our own: common practice, no source.

The one figure, the gallon, is NIST SP 811 (2008), appendix B.8: 1 gallon (US) = 3.785 412 E-03 m3.
"""

from __future__ import annotations

import datetime
from fractions import Fraction

import pytest

from buildlog.reckoning.reckon import reckon
from buildlog.rules.finding import Finding
from tests.logs import facts
from tests.rules.histories import checked

GALLON = Fraction("3.785412")
"""Litres in a US gallon, by NIST SP 811."""

MILESTONES = """
milestone powered-up
milestone first-engine-start needs=powered-up
milestone first-taxi needs=first-engine-start
milestone first-flight needs=first-taxi
task WIRE milestone=powered-up
task START milestone=first-engine-start
task TAXI milestone=first-taxi
task FLY milestone=first-flight
"""


def of(subject: str, text: str) -> list[Finding]:
    return [each for each in checked(text).all if each.subject == subject]


def told(subject: str, text: str) -> list[str]:
    return [f"{each.grade.word} {each.rule} {each.stage}".strip() for each in of(subject, text)]


# --- a stand-in plate of plastic on the firewall, good for wiring trials only

PLATE = (
    MILESTONES
    + """
class ground stages=
part FW name=Firewall class=ground
part RED name='Stand-in plate, plastic' class=ground use=not-for-flight parent=FW
part FP name='Firewall plate, steel' parent=FW
2026-03-01 made RED,FW
2026-03-02 installed RED on=FW until=first-engine-start note='wiring trials only'
2026-03-05
    completes WIRE
"""
)
REPLACED = """
2026-03-06 removed RED from=FW
2026-03-06 made FP
2026-03-07 accepted FP to-drawing okafor
2026-03-07 installed FP on=FW
"""
STARTED = "2026-03-08\n    completes START\n"


def test_the_plastic_plate_is_told_while_the_wiring_is_tried() -> None:
    assert told("RED", PLATE) == ["minor not-for-flight-installed"]
    assert "first-engine-start" in of("RED", PLATE)[0].message


def test_the_plastic_plate_is_major_once_the_engine_may_run() -> None:
    assert told("RED", PLATE + STARTED) == ["major not-for-flight-installed"]


def test_the_plastic_plate_is_replaced_in_time() -> None:
    text = PLATE + REPLACED + STARTED
    assert told("RED", text) == []
    assert not [each for each in of("FP", text) if each.rule != "evidence-missing"]


# --- a small auxiliary tank strapped into a seat for ground runs

WING_TANK = Fraction(77) * GALLON
SEAT_TANK = Fraction("3.5") * GALLON
TANK = (
    MILESTONES
    + f"""
part SEAT items=1,2
part WT name='Wing tanks, together'
part AUX name='Auxiliary tank, ground runs' use=not-for-flight
2026-04-01 09:00 made SEAT,WT,AUX
2026-04-01 15:00 accepted SEAT/1,SEAT/2,WT,AUX to-drawing okafor
2026-04-02 measured AUX what=capacity value='{float(SEAT_TANK):.2f} L' limits='13.5 L max'
2026-04-02 measured WT what=capacity value='{float(WING_TANK):.1f} L' limits='291 to 292 L'
2026-04-03 installed AUX on=SEAT/2 until=first-flight
2026-04-04
    completes WIRE START TAXI
"""
)


def test_the_tanks_hold_what_they_are_said_to() -> None:
    """3.5 US gal is 13.25 L and 77 US gal 291.5 L, by the factor of NIST SP 811."""
    assert round(float(SEAT_TANK), 2) == 13.25
    assert round(float(WING_TANK), 1) == 291.5
    assert "reading-out-of-limits" not in {each.rule for each in checked(TANK).all}


@pytest.mark.parametrize(
    ("after", "expected"),
    [
        pytest.param("", ["minor not-for-flight-installed"], id="during ground runs"),
        pytest.param(
            "2026-04-09\n    completes FLY", ["major not-for-flight-installed"], id="still in for the flight"
        ),
        pytest.param(
            "2026-04-08 removed AUX from=SEAT/2\n2026-04-09\n    completes FLY", [], id="out before"
        ),
        pytest.param(
            "2026-04-08 removed AUX from=SEAT/1",
            ["minor not-for-flight-installed", "minor place-contradicts"],
            id="out of the wrong seat",
        ),
    ],
)
def test_the_tank_in_the_seat_must_be_out_before_flight(after: str, expected: list[str]) -> None:
    assert [each for each in told("AUX", TANK + after) if "evidence" not in each] == expected


# --- wheels' down locks, fitted and passed before brakes are used under power

LOCKS = """
stage down-lock title='Down lock passed' before=brakes-under-power undone_by=installed,removed,modified
class lock stages=down-lock
milestone brakes-under-power
task RUN milestone=brakes-under-power
part LEG items=L,R class=hardware
part LOCK name='Down lock' class=lock items=L,R parent=LEG
2026-05-01 received LEG,LOCK
2026-05-02 installed LOCK/L on=LEG/L
2026-05-02 installed LOCK/R on=LEG/R
"""
ONE = "2026-05-03 accepted LOCK/L down-lock okafor\n"
BOTH = "2026-05-03 accepted LOCK/L,LOCK/R down-lock okafor\n"
BRAKES = "2026-05-05\n    completes RUN\n"


@pytest.mark.parametrize(
    ("after", "expected"),
    [
        pytest.param("", "observation never-inspected down-lock", id="fitted, and brakes not used yet"),
        pytest.param(BRAKES, "major never-inspected down-lock", id="brakes used, nobody looked"),
        pytest.param(ONE + BRAKES, "major never-inspected down-lock", id="only the left one was passed"),
        pytest.param(BOTH + BRAKES, "", id="both passed before"),
        pytest.param(
            BOTH + "2026-05-04 removed LOCK/R from=LEG/R\n" + BRAKES,
            "major inspection-undone down-lock",
            id="passed, and taken off again",
        ),
        pytest.param(
            BOTH + "2026-05-04 10:00 removed LOCK/R from=LEG/R\n2026-05-04 11:00 installed LOCK/R on=LEG/L",
            "major inspection-undone down-lock, minor place-contradicts",
            id="on the wrong leg, where the other one is",
        ),
    ],
)
def test_down_locks_are_passed_before_brakes_are_used_under_power(after: str, expected: str) -> None:
    found = [each for each in told("LOCK/R", LOCKS + after) if "evidence" not in each]
    assert ", ".join(found) == expected


# --- two fuel pumps in parallel: either suffices, and each is inspected

PUMPS = """
stage receiving title='Received and checked' undone_by=received,modified,damaged
class pump stages=receiving
part FUEL class=assembly
part PUMP name='Fuel pump' class=pump items=1,2 parent=FUEL
2026-06-01 made FUEL
2026-06-01 received PUMP/1 serial=0071
2026-06-01 received PUMP/2 serial=0072
2026-06-02 accepted FUEL to-drawing okafor
2026-06-03 installed PUMP/1,PUMP/2 on=FUEL
2026-06-04 accepted PUMP/1 receiving okafor
"""


def test_that_one_pump_suffices_does_not_pass_the_other() -> None:
    assert "major never-inspected receiving" in told("PUMP/2", PUMPS)
    assert not [each for each in told("PUMP/1", PUMPS) if "evidence" not in each]


def test_the_fuel_system_is_passed_over_the_pump_that_nobody_looked_at() -> None:
    (finding,) = [
        each
        for each in of("FUEL", PUMPS + "2026-06-05 accepted FUEL pre-close okafor")
        if each.rule == "accepted-over-open"
    ]
    assert "PUMP/2" in finding.message
    assert "PUMP/1" not in finding.message


def test_both_pumps_in_one_place_contradict_nothing() -> None:
    assert "place-contradicts" not in {each.rule for each in checked(PUMPS).all}


def test_an_exchanged_pump_is_looked_at_again() -> None:
    swapped = PUMPS + (
        "2026-06-05 accepted PUMP/2 receiving okafor\n2026-06-06 returned PUMP/1\n"
        "2026-06-08 received PUMP/1 serial=0093"
    )
    assert "major never-inspected receiving" in told("PUMP/1", swapped)
    assert "never-inspected" not in " ".join(told("PUMP/2", swapped))
    known = reckon(facts(swapped), datetime.date(2026, 6, 9))
    assert [each.chronicle.present.serial for each in known.items.values() if each.item.number == "PUMP"] == [
        "0093",
        "0072",
    ]

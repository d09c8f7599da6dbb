"""The rule `not-for-flight-installed`: what must come off and is still on."""

from __future__ import annotations

from tests.rules.histories import found, table

TAXI = "milestone taxi\nmilestone flight needs=taxi\ntask T milestone=taxi\ntask F milestone=flight\n"
W = TAXI + "part W\npart A use=not-for-flight\npart B\n2026-03-01 made W,A,B\n"
ON = "2026-03-02 installed A on=W\n"
UNTIL = "2026-03-02 installed B on=W until=taxi\n"
DONE = "2026-03-09\n    completes T\n"
FLOWN = "2026-03-10\n    completes F\n"

test_not_for_flight_installed = table(
    "not-for-flight-installed",
    {
        "for the ground only, and on": (W + ON, ["minor A"]),
        "made, and on nothing": (W, []),
        "on, and off again": (W + ON + "2026-03-03 removed A from=W", []),
        "taken off what it was not on: perhaps still on": (
            W + "part V\n" + ON + "2026-03-03 removed A from=V",
            ["minor A"],
        ),
        "taken off what it was not on, and then off what it was": (
            W + "part V\n" + ON + "2026-03-03 removed A from=V\n2026-03-04 removed A",
            [],
        ),
        "on again": (W + ON + "2026-03-03 removed A from=W\n2026-03-04 installed A on=W", ["minor A"]),
        "a part for flight, on": (W + "2026-03-02 installed B on=W", []),
        "put on until a milestone": (W + UNTIL, ["minor B"]),
        "put on until a milestone, and off again": (W + UNTIL + "2026-03-03 removed B", []),
        "put on until a milestone that is reached": (W + UNTIL + DONE, ["major B"]),
        "off on the day before": (W + UNTIL + "2026-03-08 removed B\n" + DONE, []),
        "off on the day, no order": (W + UNTIL + "2026-03-09 removed B\n" + DONE, []),
        "off later, written up for before": (
            W + UNTIL + DONE + "2026-03-12 removed B date=2026-03-08",
            [],
        ),
        "put on again for good": (
            W + UNTIL + "2026-03-03 removed B\n2026-03-04 installed B on=W\n" + DONE,
            [],
        ),
        "put on for good, and no removal between": (
            W + UNTIL + "2026-03-04 installed B on=W\n" + DONE,
            [],
        ),
        "put on and taken off on one day, no order: perhaps on": (
            W + UNTIL + "2026-03-02 removed B\n",
            ["minor B"],
        ),
        "taken off at night, by its times": (
            W + "2026-03-02 18:00 removed A\n2026-03-02 09:00 installed A on=W",
            [],
        ),
        "for the ground, until a milestone that is reached: one finding": (
            W + "2026-03-02 installed A on=W until=taxi\n" + DONE,
            ["major A"],
        ),
        "for the ground, until a milestone that is not reached": (
            W + "2026-03-02 installed A on=W until=flight\n" + DONE,
            ["minor A"],
        ),
        "for the ground, no milestone told: another one is reached": (W + ON + DONE, ["minor A"]),
        "for the ground, no milestone told: the last one is reached": (W + ON + DONE + FLOWN, ["major A"]),
        "the milestone was reached, and its work taken up again": (
            W + UNTIL + DONE + "2026-03-10\n    resumes T",
            ["minor B"],
        ),
        "a milestone without tasks is not reached": (
            "milestone taxi\npart W\npart B\n2026-03-01 made W,B\n" + UNTIL,
            ["minor B"],
        ),
        "in its place by the parts list alone": (
            "part W\npart A use=not-for-flight parent=W\n2026-03-01 made W,A",
            ["minor A"],
        ),
        "in its place by the parts list, and taken off": (
            "part W\npart A use=not-for-flight parent=W\n2026-03-01 made W,A\n2026-03-02 removed A",
            [],
        ),
        "never made": ("part W\npart A use=not-for-flight parent=W\n2026-03-01 made W", []),
        "scrapped": (W + ON + "2026-03-03 scrapped A", []),
        "a second article on the shelf": (
            W + ON + "2026-03-03 scrapped A\n2026-03-04 made A",
            [],
        ),
        "the putting on was struck": (
            W + ON + "2026-03-03 voided A entry=2026-03-02-1 record=1 reason=wrong",
            [],
        ),
        "a pair: only the one that is on": (
            (
                "part W\npart A use=not-for-flight items=007,1E5\n2026-03-01 made W,A\n"
                "2026-03-02 installed A/1E5 on=W"
            ),
            ["minor A/1E5"],
        ),
        "kept by lot all the same": (
            "part W\npart A use=not-for-flight class=hardware\n2026-03-01 received A\n2026-03-01 made W\n"
            + ON,
            ["minor A"],
        ),
        "inside what is on, on the leap day": (
            "part W\npart V\npart A use=not-for-flight\n2024-02-01 made W,V,A\n2024-02-29 installed A on=V",
            ["minor A"],
        ),
        "put on after the day stood on": (W + ON + "on 2026-03-01", []),
        "carried on under a name that is for flight, still until the milestone": (
            W + "part N\n" + UNTIL + "2026-03-05 reidentified B as=N\n" + DONE,
            ["major N"],
        ),
    },
)


def test_it_points_at_the_record_that_put_it_on() -> None:
    (finding,) = found("not-for-flight-installed", W + UNTIL)
    assert finding.entry == "2026-03-02-1"
    assert "taxi" in finding.message
    assert "W" in finding.message


def test_a_deferral_holds_it_back() -> None:
    later = "2026-03-03 deferred A rule=not-for-flight-installed by=okafor reason=wiring until=taxi"
    (finding,) = found("not-for-flight-installed", W + ON + later)
    assert finding.deferred is not None

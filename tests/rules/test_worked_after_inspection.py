"""The rule `worked-after-inspection`: hours on an accepted item, with no record of what changed."""

from __future__ import annotations

from tests.rules.histories import found, table

PASSED = "part A\n2026-03-01 made A\n2026-03-02 accepted A to-drawing okafor\n"

test_worked_after_inspection = table(
    "worked-after-inspection",
    {
        "work after": (PASSED + "2026-03-03 work A hours=2 kind=bonding", ["minor A to-drawing"]),
        "work before": (
            "part A\n2026-03-01 work A hours=2\n2026-03-02 made A\n2026-03-03 accepted A to-drawing okafor",
            [],
        ),
        "harmless work": (PASSED + "2026-03-03 work A hours=2 kind=cleaning", []),
        "harmless by the settings": ("harmless varnish\n" + PASSED + "2026-03-03 work A kind=varnish", []),
        "cleaning is not harmless if the settings say so": (
            "harmless varnish\n" + PASSED + "2026-03-03 work A hours=1 kind=cleaning",
            ["minor A to-drawing"],
        ),
        "a record says what was done": (
            PASSED + "2026-03-03\n    work A hours=2\n    measured A value='1 mm'",
            [],
        ),
        "a record that only looks says nothing": (
            PASSED + "2026-03-03\n    work A hours=2\n    tested A by=okafor result=passed",
            ["minor A to-drawing"],
        ),
        "a record that says it, struck": (
            PASSED + "2026-03-03\n    work A hours=2\n    measured A value='1 mm'\n"
            "2026-03-04 voided A entry=2026-03-03-1 record=1 reason=no",
            ["minor A to-drawing"],
        ),
        "accepted again": (PASSED + "2026-03-03 work A hours=2\n2026-03-04 accepted A to-drawing okafor", []),
        "changed as well: undone speaks": (PASSED + "2026-03-03 work A hours=2\n2026-03-04 modified A", []),
        "two stages, one cause, one finding": (
            (
                "part A class=assembly\n2026-03-01 made A\n2026-03-02 accepted A to-drawing okafor\n"
                "2026-03-02 accepted A pre-close okafor\n2026-03-03 work A hours=2\n2026-03-04 work A hours=1"
            ),
            ["minor A"],
        ),
        "on the other half of a pair": (
            (
                "part A items=L,R\n2026-03-01 made A\n2026-03-02 accepted A/all to-drawing okafor\n"
                "2026-03-03 work A/R hours=1"
            ),
            ["minor A/R to-drawing"],
        ),
        "on a bare part: on both": (
            (
                "part A items=L,R\n2026-03-01 made A\n2026-03-02 accepted A/all to-drawing okafor\n"
                "2026-03-03 work A hours=1"
            ),
            ["minor A/L to-drawing", "minor A/R to-drawing"],
        ),
        "on the second article": (
            PASSED + "2026-03-03 scrapped A\n2026-03-04 made A\n2026-03-05 work A hours=1",
            [],
        ),
        "never accepted": ("part A\n2026-03-01 made A\n2026-03-03 work A hours=2", []),
        "the same day, by the clock": (
            (
                "part A\n2026-03-01 made A\n2026-03-02 09:00 accepted A to-drawing okafor\n"
                "2026-03-02 10:00 work A hours=1"
            ),
            ["minor A to-drawing"],
        ),
        "after the day stood on": (PASSED + "2026-03-03 work A hours=2\non 2026-03-02", []),
    },
)


def test_it_adds_the_hours_up() -> None:
    (finding,) = found(
        "worked-after-inspection",
        PASSED + "2026-03-03 work A hours=2 kind=bonding\n2026-03-04 work A hours=1/3 kind=bonding",
    )
    assert finding.message.startswith("2.33 h of bonding in 2 work lines since 2026-03-03")
    assert [rest.sort for rest in finding.rests] == ["work", "work", "record"]
    assert finding.where.line >= 100

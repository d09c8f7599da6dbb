"""The rule `order-unclear`: an answer depends on an order that the log leaves open."""

from __future__ import annotations

from tests.rules.histories import found, table

MADE = "part A\n2026-03-01 made A\n"

test_order_unclear = table(
    "order-unclear",
    {
        "accepted and changed on one day": (
            MADE + "2026-03-02 accepted A to-drawing okafor\n2026-03-02 modified A",
            ["minor A to-drawing"],
        ),
        "only one of them has a time": (
            MADE + "2026-03-02 10:00 accepted A to-drawing okafor\n2026-03-02 modified A",
            ["minor A to-drawing"],
        ),
        "the same time": (
            MADE + "2026-03-02 10:00 accepted A to-drawing okafor\n2026-03-02 10:00 modified A",
            ["minor A to-drawing"],
        ),
        "both have times": (
            MADE + "2026-03-02 10:00 modified A\n2026-03-02 11:00 accepted A to-drawing okafor",
            [],
        ),
        "times of the records themselves": (
            MADE + "2026-03-02 modified A time=09:00\n2026-03-02 accepted A to-drawing okafor time=09:01",
            [],
        ),
        "one entry: the file says": (
            MADE + "2026-03-02\n    modified A\n    accepted A to-drawing okafor",
            [],
        ),
        "days apart": (MADE + "2026-03-02 modified A\n2026-03-03 accepted A to-drawing okafor", []),
        "written up later to the same day": (
            MADE + "2026-03-02 accepted A to-drawing okafor\n2026-03-09 modified A date=2026-03-02",
            ["minor A to-drawing"],
        ),
        "a later acceptance settles it": (
            MADE + "2026-03-02 accepted A to-drawing okafor\n2026-03-02 modified A\n"
            "2026-03-03 accepted A to-drawing okafor",
            [],
        ),
        "a later change settles it": (
            MADE + "2026-03-02 accepted A to-drawing okafor\n2026-03-02 modified A\n2026-03-03 modified A",
            [],
        ),
        "accepted and rejected on one day": (
            MADE + "2026-03-02 accepted A to-drawing okafor\n2026-03-02 rejected A to-drawing brandt",
            ["minor A to-drawing"],
        ),
        "untold work of the same day": (
            MADE + "2026-03-02 accepted A to-drawing okafor\n2026-03-02 work A hours=1",
            ["minor A to-drawing"],
        ),
        "harmless work of the same day": (
            MADE + "2026-03-02 accepted A to-drawing okafor\n2026-03-02 work A hours=1 kind=cleaning",
            [],
        ),
        "the change was struck": (
            MADE + "2026-03-02 accepted A to-drawing okafor\n2026-03-02 modified A\n"
            "2026-03-03 voided A entry=2026-03-02-2 record=1 reason=no",
            [],
        ),
        "inside: put in and changed on one day": (
            (
                "part W class=assembly\npart R\n2026-03-01 made W,R\n2026-03-02 accepted W pre-close okafor\n"
                "2026-03-02 installed R on=W"
            ),
            ["minor W pre-close"],
        ),
        "a leap day is one day": (
            "part A\n2024-02-28 made A\n2024-02-29 accepted A to-drawing okafor\n2024-02-29 modified A",
            ["minor A to-drawing"],
        ),
        "an event that undoes nothing": (
            MADE + "2026-03-02 accepted A to-drawing okafor\n2026-03-02 measured A value='1 mm'",
            [],
        ),
        "made and accepted in two entries of one day": (
            "part A\n2026-03-01 made A\n2026-03-01 accepted A to-drawing okafor",
            ["minor A to-drawing"],
        ),
    },
)


def test_it_names_both() -> None:
    (finding,) = found(
        "order-unclear", MADE + "2026-03-02 accepted A to-drawing okafor\n2026-03-02 modified A by=bram"
    )
    assert [rest.entry for rest in finding.rests] == ["2026-03-02-1", "2026-03-02-2"]
    assert "Bram Lie" in finding.message
    assert "accepted" in finding.message

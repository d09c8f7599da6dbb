"""The rule `day-too-long`: more than 16 hours of one person on one day."""

from __future__ import annotations

from tests.rules.histories import found, table

test_day_too_long = table(
    "day-too-long",
    {
        "one line of 17": ("2026-03-01 work A hours=17", ["observation marit"]),
        "16 exactly": ("2026-03-01 work A hours=16", []),
        "a hair more": ("2026-03-01 work A hours=961/60", ["observation marit"]),
        "thirds that sum to 16 exactly": (
            "2026-03-01 work A hours=16/3\n2026-03-01 work A hours=16/3\n2026-03-01 work A hours=16/3",
            [],
        ),
        "over several entries": (
            "2026-03-01 work A hours=9\n2026-03-01 work A hours=8",
            ["observation marit"],
        ),
        "over several lines": (
            "2026-03-01\n    work A hours=9\n    work A hours=8",
            ["observation marit"],
        ),
        "over two days": ("2026-03-01 work A hours=9\n2026-03-02 work A hours=8", []),
        "of two people": ("2026-03-01 work A hours=9 people=marit,bram", []),
        "of two people, too long for one": (
            "2026-03-01 work A hours=9 people=marit,bram\n2026-03-01 work A hours=8 people=bram",
            ["observation bram"],
        ),
        "two long days": (
            "2026-03-01 work A hours=17\n2026-03-02 work A hours=17",
            ["observation marit", "observation marit"],
        ),
        "the leap day": ("2024-02-29 work A hours=20", ["observation marit"]),
        "nobody's hours": ("2026-03-01 work A hours=20 people=", []),
        "after the day stood on": ("2026-03-01 made A\n2026-03-09 work A hours=20\non 2026-03-02", []),
    },
)


def test_it_says_how_many_and_when() -> None:
    (finding,) = found("day-too-long", "2026-03-01 work A hours=9\n2026-03-01 work A hours=8.5")
    assert finding.message == "Marit Solheim has 17.5 h on 2026-03-01, in 2 entries."
    assert (finding.entry, finding.person, len(finding.rests)) == ("2026-03-01-1", "marit", 2)

"""The rule `damage-open`: an article was damaged, and nothing since says that it was put right."""

from __future__ import annotations

from tests.rules.histories import found, table

HIT = "part A\n2026-03-01 made A\n2026-03-02 damaged A note='dent of 3 mm'\n"

test_damage_open = table(
    "damage-open",
    {
        "damaged": (HIT, ["major A"]),
        "repaired": (HIT + "2026-03-03 repaired A", []),
        "modified is not repaired": (HIT + "2026-03-03 modified A", ["major A"]),
        "accepted again is not repaired": (HIT + "2026-03-03 accepted A to-drawing okafor", ["major A"]),
        "repaired before": (
            "part A\n2026-03-01 repaired A\n2026-03-02 damaged A",
            ["major A"],
        ),
        "repaired and damaged again": (HIT + "2026-03-03 repaired A\n2026-03-04 damaged A", ["major A"]),
        "one repair for two": (HIT + "2026-03-03 damaged A\n2026-03-04 repaired A", []),
        "twice": (HIT + "2026-03-03 damaged A", ["major A", "major A"]),
        "the same day, no order: a repair comes after what it repairs": (HIT + "2026-03-02 repaired A", []),
        "the same day, no order, and another that it may be of": (
            "part A\n2026-03-01 damaged A\n2026-03-02 damaged A\n2026-03-02 repaired A",
            ["major A"],
        ),
        "the same day by the clock, the other way": (
            "part A\n2026-03-02 08:00 repaired A\n2026-03-02 09:00 damaged A",
            ["major A"],
        ),
        "a damage written up after its repair": (
            "part A\n2026-03-01 made A\n2026-03-05 repaired A\n2026-03-09 damaged A date=2026-03-04",
            [],
        ),
        "its nonconformance is open, and said there": (
            "part A\n2026-03-01 made A\n2026-03-02\n    damaged A\n    nonconformance A id=N1",
            [],
        ),
        "used as it is": (
            (
                "part A\n2026-03-01 made A\n2026-03-02\n    damaged A\n    nonconformance A id=N1\n"
                "2026-03-03 disposition A id=N1 decision=use-as-is by=engel"
            ),
            [],
        ),
        "a nonconformance of another day, named by the damage": (
            (
                "part A\n2026-03-02 damaged A nonconformance=N1\n2026-03-04 nonconformance A id=N1\n"
                "2026-03-05 disposition A id=N1 decision=use-as-is by=engel"
            ),
            [],
        ),
        "a nonconformance of another day, named by nothing": (
            HIT + "2026-03-04 nonconformance A id=N1\n"
            "2026-03-05 disposition A id=N1 decision=use-as-is by=engel",
            ["major A"],
        ),
        "struck through": (
            HIT + "2026-03-03 voided A entry=2026-03-02-1 record=1 reason='the other one'",
            [],
        ),
        "the repair struck through": (
            HIT + "2026-03-03 repaired A\n2026-03-04 voided A entry=2026-03-03-1 record=1 reason=wrong",
            ["major A"],
        ),
        "thrown away": (HIT + "2026-03-03 scrapped A", []),
        "the next article owes nothing": (HIT + "2026-03-03 scrapped A\n2026-03-05 made A", []),
        "one of a pair": (
            "part A items=L,R\n2026-03-01 made A\n2026-03-02 damaged A/L\n2026-03-03 repaired A/R",
            ["major A/L"],
        ),
        "a leap day": ("part A\n2028-02-29 damaged A\n2028-03-01 repaired A", []),
    },
)


def test_it_says_what_was_noted() -> None:
    (finding,) = found("damage-open", HIT)
    assert "dent of 3 mm" in finding.message
    assert "2026-03-02" in finding.message
    assert finding.entry == "2026-03-02-1"


def test_it_says_how_a_nonconformance_is_tied_to_it() -> None:
    (finding,) = found("damage-open", HIT + "2026-03-04 nonconformance A id=N1")
    assert "`nonconformance`" in finding.clears

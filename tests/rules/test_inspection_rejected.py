"""The rule `inspection-rejected`: the last inspection of a stage rejected the present article."""

from __future__ import annotations

from tests.rules.histories import found, table

MADE = "part A\n2026-03-01 made A\n"

test_inspection_rejected = table(
    "inspection-rejected",
    {
        "rejected": (MADE + "2026-03-02 rejected A to-drawing okafor", ["major A to-drawing"]),
        "rejected, then accepted": (
            MADE + "2026-03-02 rejected A to-drawing okafor\n2026-03-03 accepted A to-drawing okafor",
            [],
        ),
        "accepted, then rejected": (
            MADE + "2026-03-02 accepted A to-drawing okafor\n2026-03-03 rejected A to-drawing okafor",
            ["major A to-drawing"],
        ),
        "reworked, not yet looked at again": (
            MADE + "2026-03-02 rejected A to-drawing okafor\n2026-03-03 modified A",
            ["major A to-drawing"],
        ),
        "accepted again without authority": (
            MADE + "2026-03-02 rejected A to-drawing okafor\n2026-03-03 accepted A to-drawing bram",
            ["major A to-drawing"],
        ),
        "a failed test that names the stage": (
            MADE + "2026-03-02 tested A stage=to-drawing by=okafor result=failed",
            ["major A to-drawing"],
        ),
        "a failed test that names none": (MADE + "2026-03-02 tested A by=okafor result=failed", []),
        "the rejection was struck": (
            MADE + "2026-03-02 rejected A to-drawing okafor\n"
            "2026-03-03 voided A entry=2026-03-02-1 record=1 reason=wrong by=okafor",
            [],
        ),
        "scrapped for it": (MADE + "2026-03-02 rejected A to-drawing okafor\n2026-03-03 scrapped A", []),
        "a second article": (
            MADE + "2026-03-02 rejected A to-drawing okafor\n2026-03-03 scrapped A\n2026-03-04 made A",
            [],
        ),
        "one half of a pair": (
            (
                "part A items=L,R\n2026-03-01 made A\n2026-03-02 rejected A/L to-drawing okafor\n"
                "2026-03-02 accepted A/R to-drawing okafor"
            ),
            ["major A/L to-drawing"],
        ),
        "a stage nobody asks for: an inspector said no": (
            "stage fit\n" + MADE + "2026-03-02 rejected A fit okafor",
            ["major A fit"],
        ),
        "both of one day without times: unclear": (
            MADE + "2026-03-02 rejected A to-drawing okafor\n2026-03-02 accepted A to-drawing brandt",
            [],
        ),
        "both of one day by the clock": (
            MADE
            + "2026-03-02 09:00 rejected A to-drawing okafor\n2026-03-02 17:00 accepted A to-drawing okafor",
            [],
        ),
        "accepted earlier, written up later": (
            MADE + "2026-03-05 rejected A to-drawing okafor\n"
            "2026-03-09 accepted A to-drawing okafor date=2026-03-04",
            ["major A to-drawing"],
        ),
        "rejected, with a nonconformance open": (
            MADE + "2026-03-02\n  rejected A to-drawing okafor\n  nonconformance A id=N1",
            ["major A to-drawing"],
        ),
        "on the leap day": (
            "part A\n2024-02-28 made A\n2024-02-29 rejected A to-drawing okafor\non 2024-02-29",
            ["major A to-drawing"],
        ),
        "one stage of two": (
            (
                "part A class=assembly\n2026-03-01 made A\n2026-03-02 accepted A to-drawing okafor\n"
                "2026-03-02 rejected A pre-close okafor"
            ),
            ["major A pre-close"],
        ),
    },
)


def test_it_says_who_and_when() -> None:
    (finding,) = found("inspection-rejected", MADE + "2026-03-02 rejected A to-drawing okafor note='gap'")
    assert "J. Okafor" in finding.message
    assert "2026-03-02" in finding.message
    assert (finding.entry, finding.rests[0].place) == ("2026-03-02-1", 1)

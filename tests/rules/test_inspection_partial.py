"""The rule `inspection-partial`: the last acceptance had a scope."""

from __future__ import annotations

from tests.rules.histories import found, table

MADE = "part A\n2026-03-01 made A\n"
SCOPED = MADE + "2026-03-02 accepted A to-drawing okafor scope='left bays'\n"

test_inspection_partial = table(
    "inspection-partial",
    {
        "a part of it": (SCOPED, ["minor A to-drawing"]),
        "the whole of it": (MADE + "2026-03-02 accepted A to-drawing okafor", []),
        "a part, then the whole": (SCOPED + "2026-03-03 accepted A to-drawing okafor", []),
        "the whole, then a part again": (
            MADE
            + "2026-03-02 accepted A to-drawing okafor\n2026-03-03 accepted A to-drawing okafor scope=tip",
            [],
        ),
        "a part, then changed: undone speaks": (SCOPED + "2026-03-03 modified A", []),
        "the whole, changed, then a part": (
            MADE + "2026-03-02 accepted A to-drawing okafor\n2026-03-03 modified A\n"
            "2026-03-04 accepted A to-drawing okafor scope='the new hole'",
            ["minor A to-drawing"],
        ),
        "rejected in part": (MADE + "2026-03-02 rejected A to-drawing okafor scope=tip", []),
        "the whole was struck": (
            SCOPED + "2026-03-03 accepted A to-drawing okafor\n"
            "2026-03-04 voided A entry=2026-03-03-1 record=1 reason=no",
            ["minor A to-drawing"],
        ),
        "too few signatures is another matter": (
            "class general stages=to-drawing signatures=2\n"
            + MADE
            + "2026-03-02 accepted A to-drawing okafor",
            [],
        ),
        "a second article": (SCOPED + "2026-03-03 scrapped A\n2026-03-04 made A", []),
        "one half of a pair": (
            (
                "part A items=L,R\n2026-03-01 made A\n2026-03-02 accepted A/L to-drawing okafor scope=tip\n"
                "2026-03-02 accepted A/R to-drawing okafor"
            ),
            ["minor A/L to-drawing"],
        ),
        "two parts do not make a whole": (
            SCOPED + "2026-03-03 accepted A to-drawing okafor scope='right bays'",
            ["minor A to-drawing"],
        ),
        "a stage the class no longer asks for": ("class general stages=\n" + SCOPED, []),
        "with a nonconformance open": (SCOPED + "2026-03-03 nonconformance A id=N1", ["minor A to-drawing"]),
    },
)


def test_it_says_which_part() -> None:
    (finding,) = found("inspection-partial", SCOPED)
    assert "left bays" in finding.message

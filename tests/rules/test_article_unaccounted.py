"""The rule `article-unaccounted`: records of an article that is gone, with no other made or received."""

from __future__ import annotations

from tests.rules.histories import found, table

GONE = "part A\n2026-03-01 made A\n2026-03-02 scrapped A\n"

TWO = "part A items=1,2\n2026-03-01 made A/1\n2026-03-02 scrapped A/1\n"
TWO += "2026-03-03 accepted A/1 to-drawing okafor\n2026-03-03 made A/2"

test_article_unaccounted = table(
    "article-unaccounted",
    {
        "scrapped, and no more": (GONE, []),
        "accepted all the same": (GONE + "2026-03-03 accepted A to-drawing okafor", ["major A"]),
        "made again and accepted": (GONE + "2026-03-03 made A\n2026-03-04 accepted A to-drawing okafor", []),
        "received again": (GONE + "2026-03-03 received A\n2026-03-04 accepted A to-drawing okafor", []),
        "made again, written up later": (
            GONE + "2026-03-04 accepted A to-drawing okafor\n2026-03-09 made A date=2026-03-03",
            [],
        ),
        "returned instead": (
            "part A\n2026-03-01 received A\n2026-03-02 returned A\n2026-03-03 tested A result=passed",
            ["major A"],
        ),
        "worked on": (GONE + "2026-03-03\n    work A hours=1 kind=sanding", ["minor A"]),
        "installed": (GONE + "part B\n2026-03-03 installed A on=B", ["minor A"]),
        "scrapped twice, it ended once": (GONE + "2026-03-03 scrapped A", []),
        "scrapped twice and made": (GONE + "2026-03-03 scrapped A\n2026-03-04 made A", []),
        "the paper that follows": (GONE + "2026-03-03 removed A", []),
        "an acceptance struck through": (
            GONE
            + "2026-03-03 accepted A to-drawing okafor key=slip\n"
            + "2026-03-04 voided A entry=slip record=1 reason=slip",
            [],
        ),
        "never made at all": ("part A\n2026-03-01 accepted A to-drawing okafor", []),
        "a designator that looks like a number": (TWO, ["major A/1"]),
        "leap day": (
            "part A\n2028-02-01 made A\n2028-02-28 scrapped A\n2028-02-29 accepted A to-drawing okafor",
            ["major A"],
        ),
        "kept by lot": (
            GONE.replace("part A", "part A class=hardware") + "2026-03-03 accepted A fit okafor",
            [],
        ),
    },
)


def test_it_says_what_ended_and_what_came_then() -> None:
    (only,) = found("article-unaccounted", GONE + "2026-03-03 accepted A to-drawing okafor")
    assert only.message == (
        "Its article was scrapped on 2026-03-02 by Marit Solheim; then it was inspected on 2026-03-03,"
        " and nothing says that another was made or received."
    )

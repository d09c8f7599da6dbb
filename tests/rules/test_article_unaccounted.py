"""The rule `article-unaccounted`: records of an article that is gone, with no other made or received."""

from __future__ import annotations

from buildlog.model.names import Item
from buildlog.reckoning.reckon import reckon
from tests.logs import facts
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
        "passed before another was received": (
            GONE + "2026-03-03 accepted A to-drawing okafor\n2026-03-05 received A",
            ["major A"],
        ),
        "passed before, received, and passed again": (
            GONE + "2026-03-03 accepted A to-drawing okafor\n2026-03-05 received A\n"
            "2026-03-06 accepted A to-drawing okafor",
            [],
        ),
        "passed and received on one day, no order": (
            GONE + "2026-03-05 accepted A to-drawing okafor\n2026-03-05 received A",
            ["minor A"],
        ),
        "received in the morning and passed at night": (
            GONE + "2026-03-05 19:00 accepted A to-drawing okafor\n2026-03-05 08:00 received A",
            [],
        ),
        "passed before another was made: that undoes it, and is told": (
            GONE + "2026-03-03 accepted A to-drawing okafor\n2026-03-05 made A",
            [],
        ),
        "decided to be scrapped, passed, and only then received": (
            (
                "part A\n2026-03-01 made A\n2026-03-01 nonconformance A id=N1\n"
                "2026-03-02 disposition A id=N1 decision=scrap by=engel\n"
                "2026-03-03 accepted A to-drawing okafor\n2026-03-05 received A"
            ),
            ["major A"],
        ),
        "of a stage that its class does not ask for": (
            GONE + "2026-03-03 accepted A pre-close okafor\n2026-03-05 received A",
            [],
        ),
        "received, but struck through": (
            GONE + "2026-03-03 received A key=slip\n2026-03-04 accepted A to-drawing okafor\n"
            "2026-03-05 voided A entry=slip record=1 reason=slip",
            ["major A"],
        ),
        "under a new name, and accepted under the old": (
            (
                "part A\npart N\n2026-03-01 made A\n2026-03-02 reidentified A as=N carries=to-drawing\n"
                "2026-03-03 accepted A to-drawing okafor"
            ),
            ["major A"],
        ),
        "kept by lot": (
            GONE.replace("part A", "part A class=hardware") + "2026-03-03 accepted A fit okafor",
            [],
        ),
    },
)


def statuses(text: str, item: str = "A") -> dict[str, str]:
    found = reckon(facts(text)).items[Item(*item.split("/"))].stages
    return {each.stage.key: each.status.value for each in found}


def test_what_is_passed_when_none_is_known_to_be_there_is_never_current() -> None:
    ghost = GONE + "2026-03-03 accepted A to-drawing okafor"
    assert statuses(ghost) == {"to-drawing": "unclear"}
    assert statuses(ghost + " scope=left") == {"to-drawing": "unclear"}, "the first of several that hold"
    assert statuses(GONE + "2026-03-03 rejected A to-drawing okafor") == {"to-drawing": "rejected"}
    assert statuses(ghost + "\n2026-03-05 received A") == {"to-drawing": "unclear"}
    again = ghost + "\n2026-03-05 received A\n2026-03-06 accepted A to-drawing okafor"
    assert statuses(again) == {"to-drawing": "current"}
    assert statuses(GONE + "2026-03-03 received A\n2026-03-03 accepted A to-drawing okafor") == {
        "to-drawing": "unclear"
    }, "no order between them"


def test_a_new_name_does_not_account_for_it() -> None:
    ghost = "part N\n" + GONE + "2026-03-03 accepted A to-drawing okafor\n"
    assert statuses(ghost + "2026-03-04 reidentified A as=N carries=to-drawing", "N") == {
        "to-drawing": "unclear"
    }


def test_it_says_what_ended_and_what_came_then() -> None:
    (only,) = found("article-unaccounted", GONE + "2026-03-03 accepted A to-drawing okafor")
    assert only.message == (
        "Its article was scrapped on 2026-03-02 by Marit Solheim; then it was inspected on 2026-03-03,"
        " and nothing says that another was made or received."
    )


def test_it_says_that_it_was_passed_before_it_came() -> None:
    text = GONE + "2026-03-03 accepted A to-drawing okafor\n2026-03-05 received A"
    (only,) = found("article-unaccounted", text)
    assert only.message == (
        "Its article was scrapped on 2026-03-02 by Marit Solheim; then it was passed on 2026-03-03,"
        " before another was received on 2026-03-05."
    )
    (only,) = found("article-unaccounted", text.replace("03-05", "03-03"))
    assert only.message.endswith(
        "then it was passed and another was received on 2026-03-03, and nothing says which came first."
    )

"""Articles, from DESIGN *Words* and *Existence*: scrapped and made again, the next starts with nothing."""

from __future__ import annotations

import pytest

from buildlog.model.entry import Entry
from tests.reckoning.logs import articles, entry, item, known, ok, rec, status, work

SPLITS = [
    # the kinds of each article's events and work, oldest article first; `.` ends an article that has ended
    pytest.param([], [], id="nothing"),
    pytest.param([entry(1, rec("made", "RIB/L"))], ["made"], id="one"),
    pytest.param([entry(1, work("RIB/L", kind="filing"))], ["filing"], id="exists by a work line"),
    pytest.param([entry(1, rec("drawing_changed", "RIB/L", to="C"))], [], id="a new drawing makes nothing"),
    pytest.param(
        [entry(1, rec("deferred", "RIB/L", rule="never-inspected", by="ida", reason="r", until="taxi"))],
        [],
        id="a deferral makes nothing",
    ),
    pytest.param(
        [
            entry(1, rec("made", "RIB/L")),
            entry(2, rec("voided", entry="2026-06-01-a", record=1, reason="another")),
        ],
        [],
        id="a struck record makes nothing",
    ),
    pytest.param(
        [entry(1, rec("made", "RIB/L")), entry(2, rec("scrapped", "RIB/L"))], ["made scrapped."], id="ended"
    ),
    pytest.param([entry(1, rec("scrapped", "RIB/L"))], ["scrapped."], id="only its end is known"),
    pytest.param(
        [
            entry(1, rec("made", "RIB/L")),
            entry(2, rec("scrapped", "RIB/L")),
            entry(3, rec("made", "RIB/L")),
            entry(4, rec("measured", "RIB/L", value="1 mm")),
        ],
        ["made scrapped.", "made measured"],
        id="second",
    ),
    pytest.param(
        [
            entry(1, rec("received", "RIB/L")),
            entry(2, rec("returned", "RIB/L")),
            entry(3, rec("received", "RIB/L")),
            entry(4, rec("scrapped", "RIB/L")),
            entry(5, rec("made", "RIB/L")),
        ],
        ["received returned.", "received scrapped.", "made"],
        id="third",
    ),
    pytest.param(
        [entry(1, rec("made", "RIB/L")), entry(2, rec("scrapped", "RIB/L"), rec("made", "RIB/L"))],
        ["made scrapped.", "made"],
        id="one evening, one entry",
    ),
    pytest.param(
        [
            entry(1, rec("made", "RIB/L")),
            entry(2, rec("made", "RIB/L"), rec("measured", "RIB/L", value="1 mm")),
            entry(2, rec("damaged", "RIB/L"), rec("scrapped", "RIB/L"), key="b"),
        ],
        ["made damaged scrapped.", "made measured"],
        id="one evening, two entries, the new one first by name",
    ),
    pytest.param(
        [
            entry(1, rec("made", "RIB/L")),
            entry(2, rec("damaged", "RIB/L"), rec("scrapped", "RIB/L")),
            entry(2, rec("made", "RIB/L"), key="b"),
        ],
        ["made damaged scrapped.", "made"],
        id="one evening, two entries, the old one first by name",
    ),
    pytest.param(
        [entry(1, rec("made", "RIB/L")), entry(1, rec("scrapped", "RIB/L"), key="b")],
        ["made scrapped."],
        id="made and spoilt in one day",
    ),
    pytest.param(
        [entry(1, rec("scrapped", "RIB/L")), entry(1, rec("made", "RIB/L"), key="b")],
        ["scrapped made."],
        id="made and spoilt in one day, whatever the names: nothing was there to scrap before",
    ),
    pytest.param(
        [
            entry(1, rec("made", "RIB/L")),
            entry(2, rec("scrapped", "RIB/L")),
            entry(2, rec("measured", "RIB/L", value="1 mm"), key="b"),
        ],
        ["made scrapped measured."],
        id="measured on the day it was scrapped: it was the old one",
    ),
    pytest.param(
        [
            entry(1, rec("made", "RIB/L")),
            entry(2, rec("scrapped", "RIB/L")),
            entry(
                3, rec("disposition", "RIB/L", id="N", decision="scrap", by="eva"), rec("removed", "RIB/L")
            ),
            entry(4, rec("scrapped", "RIB/L")),
        ],
        ["made scrapped disposition removed scrapped."],
        id="what speaks of the old one begins no new one",
    ),
    pytest.param(
        [
            entry(1, rec("made", "RIB/L")),
            entry(2, rec("scrapped", "RIB/L")),
            entry(3, rec("removed", "RIB/L")),
            entry(4, rec("made", "RIB/L")),
        ],
        ["made scrapped removed.", "made"],
        id="nor does it belong to one that begins later",
    ),
    pytest.param(
        [
            entry(1, rec("made", "RIB/L")),
            entry(2, rec("scrapped", "RIB/L")),
            entry(3, work("RIB/L", kind="cleaning")),
        ],
        ["made scrapped cleaning."],
        id="cleaning up begins no new one",
    ),
    pytest.param(
        [
            entry(1, rec("made", "RIB/L")),
            entry(2, rec("scrapped", "RIB/L")),
            entry(3, work("RIB/L", kind="filing")),
            entry(4, rec("made", "RIB/L")),
        ],
        ["made scrapped.", "made filing"],
        id="work on the new one before it is made",
    ),
    pytest.param(
        [
            entry(1, rec("made", "RIB/L")),
            entry(2, rec("scrapped", "RIB/L")),
            entry(2, work("RIB/L", kind="filing"), rec("made", "RIB/L"), key="b"),
        ],
        ["made scrapped filing.", "made filing"],
        id="work of the day may have been on either",
    ),
    pytest.param(
        [
            entry(1, rec("made", "RIB/L")),
            entry(2, rec("nonconformance", "RIB/L", id="N")),
            entry(3, rec("disposition", "RIB/L", id="N", decision="scrap", by="eva")),
        ],
        ["made nonconformance disposition"],
        id="decided, not yet scrapped",
    ),
    pytest.param(
        [
            entry(1, rec("made", "RIB/L")),
            entry(2, rec("nonconformance", "RIB/L", id="N")),
            entry(3, rec("disposition", "RIB/L", id="N", decision="scrap", by="eva")),
            entry(4, rec("made", "RIB/L")),
        ],
        ["made nonconformance disposition.", "made"],
        id="decided, and another was made",
    ),
    pytest.param(
        [
            entry(1, rec("made", "RIB/L")),
            entry(3, rec("disposition", "RIB/L", id="N", decision="scrap", by="ann")),
            entry(4, rec("made", "RIB/L")),
        ],
        ["made disposition made"],
        id="decided by somebody who may not",
    ),
    pytest.param(
        [
            entry(1, rec("made", "RIB/L")),
            entry(2, rec("disposition", "RIB/L", id="N", decision="scrap", by="eva")),
            entry(3, rec("disposition", "RIB/L", id="N", decision="rework", by="eva")),
            entry(4, rec("made", "RIB/L")),
        ],
        ["made disposition disposition made"],
        id="decided otherwise since",
    ),
]


@pytest.mark.parametrize(("entries", "expected"), SPLITS)
def test_articles_of_an_item(entries: list[Entry], expected: list[str]) -> None:
    found = articles("RIB/L", *entries)
    told = [
        " ".join([e.kind for e in each.events if not e.struck] + [w.kind for w in each.labour])
        + ("." if each.ended else "")
        for each in found
    ]
    assert told == expected
    assert [each.number for each in found] == list(range(1, len(found) + 1))


def test_a_second_article_starts_with_nothing() -> None:
    old = (entry(1, rec("made", "RIB/L", serial="S1")), entry(2, ok("RIB/L")))
    assert status("RIB/L", "to-drawing", *old) == "current"
    gone = (*old, entry(3, rec("scrapped", "RIB/L")))
    assert status("RIB/L", "to-drawing", *gone) == "-", "after its end it asks for nothing"
    again = (*gone, entry(4, rec("made", "RIB/L", serial="S2")))
    assert status("RIB/L", "to-drawing", *again) == "none"
    assert [each.serial for each in articles("RIB/L", *again)] == ["S1", "S2"]
    assert articles("RIB/L", entry(1, rec("made", "RIB/L")))[0].serial == ""


def test_an_inspection_that_may_have_been_of_the_old_one_leaves_it_unclear() -> None:
    day = (
        entry(1, rec("made", "RIB/L")),
        entry(2, rec("scrapped", "RIB/L")),
        entry(2, rec("made", "RIB/L"), key="b"),
        entry(2, ok("RIB/L"), key="c"),
    )
    assert status("RIB/L", "to-drawing", *day) == "unclear"


def test_the_hours_of_an_item_are_those_of_all_its_articles_once() -> None:
    found = known(
        entry(1, rec("made", "RIB/L"), work("RIB/L", 2)),
        entry(2, rec("scrapped", "RIB/L"), work("RIB/L", 1)),
        entry(2, rec("made", "RIB/L"), work("RIB/L", 4), key="b"),
    )
    assert found.items[item("RIB/L")].hours == 7

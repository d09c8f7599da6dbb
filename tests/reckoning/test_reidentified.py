"""An article that goes on under another item's name: what goes with it, and what stays behind."""

from __future__ import annotations

import pytest

from buildlog.model.entry import Entry
from buildlog.model.lists import Part
from buildlog.rules.chain import check
from tests.reckoning.logs import (
    articles,
    entry,
    item,
    known,
    no,
    ok,
    place,
    rec,
    stage,
    status,
    story,
    work,
)

PARTS = (
    Part(number="WING", name="Wing", class_="assembly", items=("L", "R")),
    Part(number="OLD", name="Rib, before the change", items=("L", "R")),
    Part(number="NEW", name="Rib", items=("L", "R")),
    Part(number="LAST", name="Rib, again"),
    Part(number="BOX-A", name="Box", class_="assembly"),
    Part(number="BOX-B", name="Box, renamed", class_="assembly"),
    Part(number="CLIP", name="Clip", parent="BOX-A"),
    Part(number="CRIT", name="Critical", class_="critical"),
)

MADE = entry(1, rec("made", "OLD/L", serial="17"), key="made", people="bo")
PASSED = entry(2, ok("OLD/L"), key="passed")
CARRIED = entry(5, rec("reidentified", "OLD/L", as_="NEW/L", carries="to-drawing"), key="renamed")
BARE = entry(5, rec("reidentified", "OLD/L", as_="NEW/L"), key="renamed")


def told(name: str, key: str, *entries: Entry) -> str:
    return status(name, key, *entries, parts=PARTS)


def test_the_old_items_article_ends_and_the_new_ones_begins() -> None:
    (old,) = articles("OLD/L", MADE, PASSED, CARRIED, parts=PARTS)
    (new,) = articles("NEW/L", MADE, PASSED, CARRIED, parts=PARTS)
    assert old.ended is not None
    assert old.ended.kind == "reidentified"
    assert new.ended is None
    assert new.carried == old.ended
    assert [each.kind for each in new.events] == ["made", "inspected", "reidentified"]
    assert new.serial == "17"
    assert told("OLD/L", "to-drawing", MADE, PASSED, CARRIED) == "-"


@pytest.mark.parametrize(
    ("entries", "expected"),
    [
        ((MADE, PASSED, CARRIED), "current"),
        ((MADE, PASSED, BARE), "undone"),
        ((MADE, CARRIED), "none"),
        ((MADE, entry(2, no("OLD/L"), key="b"), CARRIED), "rejected"),
        ((MADE, entry(2, no("OLD/L"), key="b"), BARE), "rejected"),
        ((MADE, entry(2, no("OLD/L"), key="b"), entry(3, ok("OLD/L"), key="c"), BARE), "undone"),
        ((MADE, PASSED, BARE, entry(6, ok("NEW/L"), key="d")), "current"),
        # under the old name, before and after the acceptance
        ((MADE, PASSED, entry(3, rec("modified", "OLD/L"), key="c"), CARRIED), "undone"),
        ((MADE, entry(2, rec("modified", "OLD/L"), key="b"), PASSED, CARRIED), "unclear"),
        # under the new name
        ((MADE, PASSED, CARRIED, entry(6, rec("modified", "NEW/L"), key="d")), "undone"),
        ((MADE, PASSED, CARRIED, entry(6, work("NEW/L"), key="d")), "unclear"),
        # the other half goes on as it was
        ((MADE, PASSED, CARRIED, entry(6, rec("modified", "NEW/R"), key="d")), "current"),
        # the acceptance and the new name on one day, with no order between them
        ((MADE, entry(5, ok("OLD/L"), key="z"), BARE), "unclear"),
        ((MADE, entry(5, ok("OLD/L"), key="z"), CARRIED), "current"),
        # written up later
        ((MADE, CARRIED, entry(9, ok("OLD/L", date=3), key="z")), "current"),
        # another stage than the one carried
        (
            (MADE, PASSED, entry(5, rec("reidentified", "OLD/L", as_="NEW/L", carries="rigged"), key="r")),
            "undone",
        ),
        # an acceptance without authority is none under the new name either
        ((MADE, entry(2, ok("OLD/L", by="ann"), key="b"), CARRIED), "none"),
        # a hold goes with the article, and is lifted under the new name
        ((MADE, PASSED, entry(3, rec("nonconformance", "OLD/L", id="N"), key="c"), CARRIED), "on hold"),
        (
            (
                MADE,
                PASSED,
                entry(3, rec("nonconformance", "OLD/L", id="N"), key="c"),
                CARRIED,
                entry(6, rec("disposition", "NEW/L", id="N", decision="use-as-is", by="eva"), key="d"),
            ),
            "current",
        ),
    ],
)
def test_what_counts_for_the_new_item(entries: tuple[Entry, ...], expected: str) -> None:
    assert told("NEW/L", "to-drawing", *entries) == expected


def test_what_undid_it_is_the_new_name() -> None:
    found = stage("NEW/L", "to-drawing", MADE, PASSED, BARE, parts=PARTS)
    assert [each.kind for each in found.against] == ["reidentified"]
    findings = check(known(MADE, PASSED, BARE, parts=PARTS)).by_item[item("NEW/L")]
    (undone,) = [each for each in findings if each.rule == "inspection-undone"]
    assert "since then it went on under this name, from OLD/L," in undone.message
    assert not [each for each in findings if each.rule == "never-inspected"]
    assert item("OLD/L") not in check(known(MADE, PASSED, BARE, parts=PARTS)).by_item


def test_an_event_under_the_old_name_is_told_as_the_articles_own() -> None:
    changed = entry(3, rec("modified", "OLD/L"), key="c")
    findings = check(known(MADE, PASSED, changed, CARRIED, parts=PARTS)).by_item[item("NEW/L")]
    (undone,) = [each for each in findings if each.rule == "inspection-undone"]
    assert "since then it, as OLD/L, was modified" in undone.message


def test_struck_through_it_was_never_renamed() -> None:
    strike = entry(6, rec("voided", "OLD/L", entry=BARE.key, record=1, reason="wrong"), key="v")
    assert told("OLD/L", "to-drawing", MADE, PASSED, BARE, strike) == "current"
    assert told("NEW/L", "to-drawing", MADE, PASSED, BARE, strike) == "-"


@pytest.mark.parametrize("as_", ["", "OLD/L"])
def test_without_another_name_nothing_happens(as_: str) -> None:
    renamed = entry(5, rec("reidentified", "OLD/L", as_=as_), key="renamed")
    assert told("OLD/L", "to-drawing", MADE, PASSED, renamed) == "current"


def test_hours_stay_where_they_were_logged() -> None:
    worked = entry(1, work("OLD/L", 3), key="w")
    after = entry(7, work("NEW/L", 2), key="x")
    assert story("OLD/L", MADE, worked, CARRIED, after, parts=PARTS).hours == 3
    assert story("NEW/L", MADE, worked, CARRIED, after, parts=PARTS).hours == 2


def test_who_worked_under_the_old_name_may_not_pass_it_under_the_new() -> None:
    renamed = entry(5, rec("reidentified", "OLD/L", as_="CRIT", carries="to-drawing"), key="r")
    passed = entry(6, ok("CRIT", by="bo"), key="p")
    assert told("CRIT", "to-drawing", MADE, renamed, passed) == "none"
    assert told("CRIT", "to-drawing", MADE, renamed, entry(6, ok("CRIT"), key="p")) == "current"
    # passed under the old name by who made it: the old class did not mind, the new one does
    by_maker = entry(2, ok("OLD/L", by="bo"), key="p")
    assert told("OLD/L", "to-drawing", MADE, by_maker) == "current"
    assert told("CRIT", "to-drawing", MADE, by_maker, renamed) == "none"


def test_the_old_items_next_article_starts_with_nothing() -> None:
    again = entry(8, rec("made", "OLD/L"), key="again")
    assert told("OLD/L", "to-drawing", MADE, PASSED, CARRIED, again) == "none"
    assert told("NEW/L", "to-drawing", MADE, PASSED, CARRIED, again) == "current"
    assert len(articles("OLD/L", MADE, PASSED, CARRIED, again, parts=PARTS)) == 2


def test_said_twice_it_is_one_new_name() -> None:
    twice = entry(6, rec("reidentified", "OLD/L", as_="NEW/L", carries="to-drawing"), key="twice")
    assert len(articles("OLD/L", MADE, PASSED, CARRIED, twice, parts=PARTS)) == 1
    assert told("NEW/L", "to-drawing", MADE, PASSED, CARRIED, twice) == "current"


def test_an_article_that_was_there_gives_way() -> None:
    there = entry(1, rec("made", "NEW/L"), key="there")
    fine = entry(3, ok("NEW/L"), key="fine")
    first, second = articles("NEW/L", MADE, there, fine, BARE, parts=PARTS)
    assert first.ended is not None
    assert first.ended.item == item("OLD/L")
    assert second.number == 2
    assert second.carried is not None
    assert told("NEW/L", "to-drawing", MADE, there, fine, BARE) == "none"


def test_renamed_again_and_renamed_back() -> None:
    again = entry(7, rec("reidentified", "NEW/L", as_="LAST", carries="to-drawing"), key="again")
    assert told("LAST", "to-drawing", MADE, PASSED, CARRIED, again) == "current"
    assert told("LAST", "to-drawing", MADE, PASSED, BARE, again) == "undone"
    assert told("NEW/L", "to-drawing", MADE, PASSED, CARRIED, again) == "-"
    back = entry(7, rec("reidentified", "NEW/L", as_="OLD/L", carries="to-drawing"), key="back")
    assert told("OLD/L", "to-drawing", MADE, PASSED, CARRIED, back) == "current"
    first, second = articles("OLD/L", MADE, PASSED, CARRIED, back, parts=PARTS)
    assert first.ended is not None
    assert [each.kind for each in second.events] == ["made", "inspected", "reidentified", "reidentified"]
    there_again = entry(9, rec("reidentified", "OLD/L", as_="LAST"), key="there-again")
    assert told("LAST", "to-drawing", MADE, PASSED, CARRIED, back, there_again) == "undone"
    assert told("OLD/L", "to-drawing", MADE, PASSED, CARRIED, back, there_again) == "-"


def test_it_stays_where_it_sits() -> None:
    put = entry(3, rec("installed", "OLD/L", on="WING/L"), key="put")
    fine = entry(4, ok("WING/L", "pre-close"), key="fine")
    history = (MADE, PASSED, put, fine, CARRIED)
    assert place("NEW/L", *history, parts=PARTS) == "WING/L"
    assert place("OLD/L", *history, parts=PARTS) == "-"
    assert [str(each) for each, _ in story("WING/L", *history, parts=PARTS).holds] == ["NEW/L"]
    # a new name takes nothing out of the wing and puts nothing into it
    assert told("WING/L", "pre-close", *history) == "current"
    changed = entry(6, rec("modified", "NEW/L"), key="changed")
    assert told("WING/L", "pre-close", *history, changed) == "undone"
    out = entry(6, rec("removed", "NEW/L", from_="WING/L"), key="out")
    assert told("WING/L", "pre-close", *history, out) == "undone"
    assert place("NEW/L", *history, out, parts=PARTS) == "loose"
    # what happened to the old name before it came into the wing never counted for the wing
    assert told("WING/L", "pre-close", MADE, fine, CARRIED, changed) == "current"


def test_what_a_closing_hid_stays_hidden_under_its_new_name() -> None:
    put = entry(3, rec("installed", "OLD/L", on="WING/L"), key="put")
    shut = entry(4, ok("WING/L", "pre-close"), rec("closed", "WING/L"), key="shut")
    history = (MADE, PASSED, put, shut, CARRIED)
    assert [str(each) for each, _ in story("NEW/L", *history, parts=PARTS).hidden_by] == ["WING/L"]
    changed = entry(6, rec("modified", "NEW/L"), key="changed")
    assert told("WING/L", "pre-close", *history, changed) == "undone"
    spared = entry(4, ok("WING/L", "pre-close"), rec("closed", "WING/L", except_="OLD/L"), key="shut")
    assert story("NEW/L", MADE, PASSED, put, spared, CARRIED, parts=PARTS).hidden_by == ()
    assert told("WING/L", "pre-close", MADE, PASSED, put, spared, CARRIED, changed) == "current"


BOX = (
    entry(1, rec("made", "BOX-A CLIP"), key="box"),
    entry(3, ok("BOX-A", "pre-close"), key="look"),
)
BOXED = entry(5, rec("reidentified", "BOX-A", as_="BOX-B", carries="pre-close"), key="renamed")


def test_what_was_taken_out_before_the_new_name_is_not_hidden_under_it() -> None:
    pin = Part(number="PIN", name="Pin", items=("1", "2"), parent="BOX-A")
    days = (
        entry(1, rec("made", "BOX-A PIN/1 PIN/2")),
        entry(2, rec("closed", "BOX-A")),
        entry(3, rec("removed", "PIN/1")),
        entry(4, rec("reidentified", "BOX-A", as_="BOX-B")),
        entry(5, rec("removed", "PIN/2")),
    )

    def hidden(of: str, until: int) -> list[str]:
        there = known(*days[:until], parts=(*PARTS, pin)).items[item(of)]
        return [str(above) for above, _ in there.hidden_by]

    assert [hidden("PIN/1", until) for until in (2, 3, 4)] == [["BOX-A"], [], []]
    assert [hidden("PIN/2", until) for until in (3, 4, 5)] == [["BOX-A"], ["BOX-B"], []]


def test_what_was_hidden_is_taken_out_under_whatever_name() -> None:
    made = (entry(1, rec("made", "WING/L OLD/L")), entry(2, rec("installed", "OLD/L", on="WING/L")))
    shut = (*made, entry(3, rec("closed", "WING/L")))
    out, renamed = rec("removed", "OLD/L"), rec("reidentified", "OLD/L", as_="NEW/L")

    def hidden(*days: Entry) -> list[str]:
        return [str(above) for above, _ in known(*shut, *days, parts=PARTS).items[item("NEW/L")].hidden_by]

    assert hidden(entry(4, renamed)) == ["WING/L"]
    assert hidden(entry(4, out), entry(5, renamed)) == []
    assert hidden(entry(4, renamed), entry(5, rec("removed", "NEW/L"))) == []


def test_what_sits_in_it_goes_with_it() -> None:
    put = entry(2, rec("installed", "CLIP", on="BOX-A"), key="put")
    for history in ((*BOX, BOXED), (BOX[0], put, BOX[1], BOXED)):
        assert told("BOX-B", "pre-close", *history) == "current"
        assert [str(each) for each, _ in story("BOX-B", *history, parts=PARTS).holds] == ["CLIP"]
        assert story("BOX-A", *history, parts=PARTS).holds == ()
        assert place("CLIP", *history, parts=PARTS).removesuffix(" assumed") == "BOX-B"
        changed = entry(6, rec("damaged", "CLIP"), key="changed")
        assert told("BOX-B", "pre-close", *history, changed) == "undone"


def test_what_happened_inside_it_under_the_old_name_still_counts() -> None:
    """Found by `test_reidentified_any`: the acceptance that was undone before must not come back to life."""
    changed = entry(4, rec("damaged", "CLIP"), key="changed")
    assert told("BOX-A", "pre-close", *BOX, changed) == "undone"
    assert told("BOX-B", "pre-close", *BOX, changed, BOXED) == "undone"
    late = entry(5, rec("damaged", "CLIP", date=4), key="written-up-later")
    assert told("BOX-B", "pre-close", *BOX, BOXED, late) == "undone"


def test_a_closed_one_stays_closed() -> None:
    shut = entry(4, rec("closed", "BOX-A"), key="shut")
    (closing,) = story("BOX-B", *BOX, shut, BOXED, parts=PARTS).closings
    assert [str(each) for each in closing.hidden] == ["CLIP"]
    assert story("BOX-A", *BOX, shut, BOXED, parts=PARTS).closings == ()
    hung = entry(6, rec("installed", "BOX-B", on="WING/L"), key="hung")
    assert told("BOX-B", "pre-close", *BOX, shut, BOXED, hung) == "current"
    opened = entry(7, rec("opened", "BOX-B"), key="opened")
    assert story("BOX-B", *BOX, shut, BOXED, opened, parts=PARTS).closings[0].opened is not None
    assert told("BOX-B", "pre-close", *BOX, shut, BOXED, opened) == "undone"


def test_a_deferral_does_not_go_with_it() -> None:
    later = rec("deferred", "OLD/L", rule="never-inspected", by="eva", reason="later", until="2027-01-01")
    put_off = entry(2, later, key="off")
    findings = check(known(MADE, put_off, CARRIED, parts=PARTS)).by_item[item("NEW/L")]
    assert [each.deferred for each in findings if each.rule == "never-inspected"] == [None]


def test_a_name_on_no_list_is_taken_too() -> None:
    renamed = entry(5, rec("reidentified", "OLD/L", as_="X-9", carries="to-drawing"), key="r")
    assert told("X-9", "to-drawing", MADE, PASSED, renamed) == "current"


def test_names_that_go_in_a_circle_on_one_day_come_to_an_end() -> None:
    """No order between the two, and each leads back to the other: no answer, but no search without end."""
    returned = known(
        entry(1, rec("reidentified", "WING/R", as_="WING/L", date=8), start="10:00"),
        entry(8, rec("reidentified", "WING", as_="WING/R")),
        entry(9, rec("damaged", "RIB/L")),
    )
    assert item("RIB/L") in returned.items

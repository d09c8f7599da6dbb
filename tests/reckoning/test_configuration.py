"""The configuration in time: small histories by hand, and what must hold of any history."""

from __future__ import annotations

import datetime as dt
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildlog.model.entry import Entry
from buildlog.model.lists import Part
from buildlog.model.log import Log
from buildlog.model.names import Item
from buildlog.reckoning.configuration import Configuration, configuration, holder_of, on_evening, standing_in
from buildlog.reckoning.knowledge import Knowledge
from buildlog.reckoning.monthly import UNDER_NOTHING, Holder, Listing, Month, month_of, monthly
from buildlog.reckoning.reckon import reckon
from buildlog.reckoning.spells import Basis, Spell, turns_of
from tests.reckoning.histories import histories
from tests.reckoning.logs import entry, item, known, rec, work
from tests.reckoning.test_incremental import any_entry, of


def told(knowledge: Knowledge) -> Configuration:
    turns = tuple(
        turns_of(tuple(knowledge.items[each] for each in part.items), knowledge.names)
        for part in knowledge.parts.values()
    )
    return configuration(tuple(knowledge.items), turns, knowledge.names, knowledge.log.parts)


def said(spell: Spell) -> str:
    place = spell.place
    words = {Basis.RECORDED: "in {}", Basis.ASSUMED: "in {}, assumed", Basis.GONE: "in {}, gone"}
    words |= {Basis.ROUND: "in {}, which is in it"}
    text = words.get(place.basis, place.basis.value).format(place.within)
    if place.also:
        text += " or " + " or ".join(str(each or "loose") for each in place.also)
    days = f"{spell.since:%d}-{'' if spell.until is None else spell.until.strftime('%d')}"
    return f"{days} {text}{'' if spell.article else ', no record'}"


def spells(name: str, *entries: Entry) -> list[str]:
    return [said(each) for each in told(known(*entries)).spells if each.item == item(name)]


MADE = entry(1, rec("made", "PLANE WING/L RIB/L BOX"))

HISTORIES = [
    pytest.param("RIB/L", [MADE], ["01- in WING/L, assumed"], id="where the parts list has it"),
    pytest.param("PLANE", [MADE], ["01- at the top of the parts list"], id="the top"),
    pytest.param("PIN/1", [entry(1, rec("made", "PIN/1"))], ["01- place not told"], id="in which wing?"),
    pytest.param(
        "RIB/L",
        [MADE, entry(3, rec("installed", "RIB/L", on="BOX")), entry(5, rec("removed", "RIB/L"))],
        ["01-03 loose", "03-05 in BOX", "05- loose"],
        id="put in and taken out",
    ),
    pytest.param(
        "RIB/L",
        [MADE, entry(3, rec("installed", "RIB/L", on="BOX"), rec("removed", "RIB/L"))],
        ["01- loose"],
        id="in and out within one day: by the evening as before",
    ),
    pytest.param(
        "RIB/L",
        [
            MADE,
            entry(3, rec("installed", "RIB/L", on="BOX")),
            entry(3, rec("installed", "RIB/L", on="WING/L"), key="b"),
        ],
        ["01-03 loose", "03- in WING/L or BOX"],
        id="two moves of one day without an order",
    ),
    pytest.param(
        "RIB/L",
        [
            MADE,
            entry(3, rec("installed", "RIB/L", on="BOX"), start="08:00"),
            entry(3, rec("installed", "RIB/L", on="WING/L"), key="b", start="09:00"),
        ],
        ["01-03 loose", "03- in WING/L"],
        id="two moves of one day by the clock",
    ),
    pytest.param(
        "RIB/L",
        [MADE, entry(9, rec("installed", "RIB/L", on="BOX", date=3))],
        ["01-03 loose", "03- in BOX"],
        id="written up later",
    ),
    pytest.param(
        "RIB/L",
        [
            MADE,
            entry(3, rec("installed", "RIB/L", on="BOX")),
            entry(9, rec("voided", entry="2026-06-03-a", record=1, reason="another rib")),
        ],
        ["01- in WING/L, assumed"],
        id="a record struck through moved nothing on any day",
    ),
    pytest.param(
        "RIB/L",
        [MADE, entry(3, rec("scrapped", "RIB/L")), entry(6, rec("made", "RIB/L"))],
        ["01-03 in WING/L, assumed", "06- in WING/L, assumed"],
        id="scrapped, and another made",
    ),
    pytest.param(
        "RIB/L",
        [MADE, entry(3, rec("scrapped", "RIB/L"), rec("made", "RIB/L"))],
        ["01-03 in WING/L, assumed", "03- in WING/L, assumed"],
        id="another the same day: still another article",
    ),
    pytest.param(
        "RIB/L", [entry(3, rec("made", "RIB/L"), rec("scrapped", "RIB/L"))], [], id="gone by the evening"
    ),
    pytest.param(
        "RIB/L",
        [MADE, entry(2, rec("installed", "RIB/L", on="BOX")), entry(4, rec("scrapped", "BOX"))],
        ["01-02 loose", "02-04 in BOX", "04- in BOX, gone"],
        id="in something that was scrapped",
    ),
    pytest.param(
        "WING/L",
        [entry(2, rec("installed", "RIB/L", on="WING/L")), entry(5, rec("made", "WING/L"))],
        ["02-05 in PLANE, assumed, no record", "05- in PLANE, assumed"],
        id="a holder before any record of it",
    ),
    pytest.param(
        "PLANE",
        [entry(2, rec("installed", "RIB/L", on="WING/L")), entry(5, rec("removed", "RIB/L"))],
        ["02-05 at the top of the parts list, no record"],
        id="and what that is in, as long as it holds something",
    ),
    pytest.param(
        "RIB/L",
        [
            MADE,
            entry(2, rec("installed", "RIB/L", on="BOX")),
            entry(4, rec("reidentified", "BOX", as_="TAB")),
        ],
        ["01-02 loose", "02-04 in BOX", "04- in TAB"],
        id="in something that goes on under another name",
    ),
    pytest.param(
        "RIB/L",
        [
            MADE,
            entry(2, rec("installed", "RIB/L", on="BOX")),
            entry(4, rec("reidentified", "BOX", as_="TAB")),
            entry(4, rec("reidentified", "TAB", as_="BOX"), key="b"),
        ],
        None,
        id="to and fro in a day: an end is come to",
    ),
    pytest.param(
        "WING/L",
        [
            MADE,
            entry(2, rec("installed", "RIB/L", on="WING/L")),
            entry(3, rec("installed", "WING/L", on="RIB/L")),
            entry(5, rec("removed", "RIB/L")),
        ],
        ["01-03 loose", "03-05 in RIB/L, which is in it", "05- in RIB/L"],
        id="in one another, until one is taken out",
    ),
    pytest.param(
        "RIB/L",
        [MADE, entry(2, rec("installed", "RIB/L", on="RIB/L"))],
        ["01-02 loose", "02- place not told"],
        id="in itself",
    ),
    pytest.param("RIB/L", [entry(4, work("RIB/L"))], ["04- in WING/L, assumed"], id="first sign is work"),
]


@pytest.mark.parametrize(("name", "entries", "expected"), HISTORIES)
def test_small_histories(name: str, entries: list[Entry], expected: list[str] | None) -> None:
    found = spells(name, *entries)
    assert expected is None or found == expected


def shut(*entries: Entry) -> list[tuple[str, str, str, bool]]:
    return [
        (f"{s.since:%d}-{'' if s.until is None else s.until.strftime('%d')}", s.area,
         " ".join(map(str, s.hidden)), s.perhaps)
        for s in told(known(*entries)).shut
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("entries", "expected"),
    [
        pytest.param(
            [MADE, entry(3, rec("closed", "WING/L", area="root")), entry(6, rec("opened", "WING/L"))],
            [("03-06", "root", "RIB/L", False)],
            id="closed and opened",
        ),
        pytest.param(
            [MADE, entry(3, rec("closed", "WING/L"), rec("opened", "WING/L"))],
            [],
            id="open again by the evening",
        ),
        pytest.param(
            [MADE, entry(3, rec("closed", "WING/L"), key="b"), entry(3, rec("opened", "WING/L"))],
            [("03-", "", "RIB/L", True)],
            id="the same day, with no order",
        ),
        pytest.param(
            [MADE, entry(3, rec("closed", "WING/L", hides="BOX")), entry(6, rec("scrapped", "WING/L"))],
            [("03-06", "", "BOX", False)],
            id="until it was scrapped",
        ),
    ],
)
def test_closings(entries: list[Entry], expected: list[tuple[str, str, str, bool]]) -> None:
    assert shut(*entries) == expected


def read_in(months: tuple[Month, ...], day: dt.date) -> dict[Item, tuple[Holder, Spell, set[str]]]:
    """What a reader finds who starts from the top of the last month by a day and follows the names."""
    known_by = {month.month: {each.holder: each for each in month.listings} for month in months}
    last = next((m for m in reversed(months) if m.month <= month_of(day)), None)
    found: dict[Item, tuple[Holder, Spell, set[str]]] = {}
    todo: list[tuple[Holder, str]] = [(basis, last.month) for basis in UNDER_NOTHING if last]
    for holder, month in todo:
        listing: Listing | None = known_by[month].get(holder)
        if listing is None:
            continue
        rows = list(listing.rows)
        if listing.whole:
            named = {row.spell.item for row in rows}
            others = [r for r in known_by[listing.whole][holder].rows if r.spell.item not in named]
            others = [r for r in others if r.spell.until is None or month_of(r.spell.until) > listing.whole]
            assert len(others) == listing.rest
            rows += others
        for row in rows:
            if row.spell.since <= day and (row.spell.until is None or day < row.spell.until):
                assert row.spell.item not in found, "listed twice"
                areas = {s.area for s in row.shut if s.since <= day and (s.until is None or day < s.until)}
                found[row.spell.item] = (holder, row.spell, areas)
                if row.listed:
                    todo.append((row.spell.item, row.listed))
    return found


def holds_true(knowledge: Knowledge) -> None:
    found = told(knowledge)
    now = on_evening(found, knowledge.day)
    for name, story in knowledge.items.items():
        assert story.exists == (name in now and now[name].article > 0)
        if story.exists:
            assert story.stay is not None
            expected = None if story.stay.within == name else story.stay.within
            assert now[name].place.within == expected
            assert (now[name].place.basis is Basis.ASSUMED) <= story.stay.assumed
        held = {each for each, _ in story.holds if each != name}
        assert held == {each for each, spell in now.items() if spell.article and spell.place.within == name}
    months = monthly(found)
    days = sorted({day for month in months for day in month.days})
    for day in [*days, *(day + dt.timedelta(days=1) for day in days)]:
        evening = on_evening(found, day)
        standing = standing_in(evening)
        reached, todo = set(), [each for basis in UNDER_NOTHING for each in standing.get(basis, ())]
        while todo:
            each = todo.pop()
            assert each not in reached
            reached.add(each)
            todo.extend(standing.get(each, ()))
        assert reached == set(evening), "a forest, and nothing beside it"
        read = read_in(months, day)
        assert set(read) == set(evening)
        for name, (holder, spell, areas) in read.items():
            truth = evening[name]
            assert (holder, spell.place, spell.article) == (holder_of(truth), truth.place, truth.article)
            assert areas == {
                s.area
                for s in found.shut
                if s.item == name and s.since <= day and (s.until is None or day < s.until)
            }


def test_a_holder_of_very_many_is_not_listed_whole_every_month() -> None:
    """600 ribs put in two a day: each month's listing leads to every item, with few rows."""
    designators = tuple(str(n) for n in range(600))
    parts = (
        Part(number="PLANE", name="Aircraft"),
        Part(number="RIB", name="Rib", items=designators, parent="PLANE"),
    )
    day = dt.date(2020, 1, 1)
    entries = []
    for n in range(0, 600, 2):
        entries.append(entry(day, rec("installed", f"RIB/{n} RIB/{n + 1}", on="PLANE")))
        day += dt.timedelta(days=10)
    knowledge = known(*entries, parts=parts)
    months = monthly(told(knowledge))
    rows = [len(listing.rows) for month in months for listing in month.listings]
    changes = sum(len(each.days) for each in months) * 2
    assert len(months) == 99
    assert sum(rows) < changes * (1.5 * 600**0.5) < len(months) * 600 / 2
    assert sum(rows) < 14_000, "whole every month it would be 30,000"
    holds_true(knowledge)


@given(st.one_of(histories(ordered=True), histories(ordered=False)))
@settings(max_examples=150, deadline=None)
def test_any_history(log: Log) -> None:
    holds_true(reckon(log))


@pytest.mark.parametrize("seed", range(60))
def test_any_log(seed: int) -> None:
    chance = random.Random(seed)
    written: list[Entry] = []
    for number in range(24):
        written.append(any_entry(chance, number, written))
    holds_true(reckon(of(*written)))

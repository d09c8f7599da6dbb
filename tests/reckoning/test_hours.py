"""Hours: exact fractions, and every rollup against pandas (CHECKS.md, "hours, all rollups")."""

from __future__ import annotations

import datetime as dt
from fractions import Fraction
from typing import Any

import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildlog.model.lists import Part, Task
from buildlog.model.log import Log
from buildlog.reckoning.hours import ROLLUPS, line_above
from buildlog.reckoning.reckon import reckon
from tests.reckoning.logs import PARTS, entry, item, known, log, rec, work

TASKS = (
    Task(task="W1", title="Ribs", discipline="wood", milestone="taxi"),
    Task(task="W2", title="Spars", discipline="wood"),
    Task(task="E1", title="Wires", discipline="electrical", milestone="taxi"),
    Task(task="X1", title="Else"),
)

SYSTEMS = {"WING": "57", "RIB": "57", "SPAR": "57", "BOX": "53", "CLIP": ""}
LISTED = tuple(
    Part(number=p.number, name=p.name, items=p.items, parent=p.parent, system=SYSTEMS.get(p.number, ""))
    for p in PARTS
)


def rows(by: str, *entries: Any) -> dict[str | None, Fraction]:
    return dict(known(*entries, tasks=TASKS, parts=LISTED).hours[by].rows)


SPLITS = [
    pytest.param("RIB/L", {"RIB/L": "1"}, id="one item"),
    pytest.param("RIB", {"RIB/L": "1/2", "RIB/R": "1/2"}, id="a bare part, evenly among its items"),
    pytest.param("RIB/L BOX CLIP", {"RIB/L": "1/3", "BOX": "1/3", "CLIP": "1/3"}, id="thirds"),
    pytest.param(
        "RIB BOX", {"RIB/L": "1/4", "RIB/R": "1/4", "BOX": "1/2"}, id="among names, then among items"
    ),
    pytest.param("RIB/L*3 BOX*1", {"RIB/L": "3/4", "BOX": "1/4"}, id="weights"),
    pytest.param("RIB*3 BOX", {"RIB/L": "3/8", "RIB/R": "3/8", "BOX": "1/4"}, id="a weight on a bare part"),
    pytest.param("RIB/L*0.5 BOX*1.5", {"RIB/L": "1/4", "BOX": "3/4"}, id="weights that are no whole numbers"),
    pytest.param("RIB RIB/L", {"RIB/L": "3/4", "RIB/R": "1/4"}, id="an item named twice over"),
    pytest.param("RIB/all BOX", {"RIB/L": "1/4", "RIB/R": "1/4", "BOX": "1/2"}, id="all"),
    pytest.param("X9 BOX", {"X9": "1/2", "BOX": "1/2"}, id="a number on no list"),
]


@pytest.mark.parametrize(("parts", "expected"), SPLITS)
def test_hours_are_split_exactly(parts: str, expected: dict[str, str]) -> None:
    found = known(entry(1, work(parts, "7/3")))
    shares = {str(each): story.hours / Fraction(7, 3) for each, story in found.items.items() if story.hours}
    assert shares == {name: Fraction(share) for name, share in expected.items()}
    assert found.hours["part"].total == Fraction(7, 3)


def test_a_name_that_stands_for_nothing_loses_no_hours() -> None:
    assert rows("part", entry(1, work("RIB/X BOX", 3))) == {None: Fraction(3, 2), "BOX": Fraction(3, 2)}


def test_thirds_of_an_hour_stay_thirds() -> None:
    found = known(*(entry(day, work("RIB/L BOX CLIP", {"ann": "1/3", "bo": "1/7"})) for day in range(1, 10)))
    assert found.hours["person"].rows == (("ann", Fraction(3)), ("bo", Fraction(9, 7)))
    assert found.items[item("CLIP")].hours == Fraction(10, 7)
    assert found.people["bo"].hours == Fraction(9, 7)
    assert dict(found.people["bo"].days) == {dt.date(2026, 6, day): Fraction(1, 7) for day in range(1, 10)}


def test_assembly_takes_in_all_below_once_and_its_rows_overlap() -> None:
    day = entry(
        1, work("RIB/L", 1), work("WING/L", 2), work("PLANE", 4), work("BOX", 8), work("", 16), work("X9", 32)
    )
    assert rows("assembly", day) == {"RIB": 1, "WING": 3, "PLANE": 7, "BOX": 8, "X9": 32, None: 16}
    found = known(day, parts=LISTED).parts
    assert {n: (found[n].own_hours, found[n].assembly_hours) for n in ("WING", "SPAR")} == {
        "WING": (2, 3),
        "SPAR": (0, 0),
    }
    assert found["WING"].below == ("RIB", "SPAR", "TIP", "PIN")


def test_a_ring_of_parents_ends() -> None:
    ring = {n: Part(number=n, name=n, parent=p) for n, p in (("A", "B"), ("B", "A"))}
    assert line_above("A", ring) == ("A", "B")


def test_what_has_no_key_has_a_row_that_comes_last() -> None:
    day = entry(
        1,
        work("", {"": 1}),
        work("BOX", {"ann": 2}, task="W1", kind="filing"),
        work("CLIP", {"bo": 4}, task="Q9"),
        people="",
    )
    found = known(day, tasks=TASKS, parts=LISTED).hours
    told = {by: dict(found[by].rows) for by in ROLLUPS}
    assert told["person"] == {"ann": 2, "bo": 4, None: 1}
    assert told["kind"] == {"filing": 2, None: 5}
    assert told["task"] == {"Q9": 4, "W1": 2, None: 1}
    assert told["discipline"] == {"wood": 2, None: 5}, "a task on no list has no discipline"
    assert told["milestone"] == {"taxi": 2, None: 5}
    assert told["system"] == {"53": 2, None: 5}
    assert all(found[by].rows[-1][0] is None for by in ("person", "kind", "task", "discipline", "system"))


# ISO 8601 week dates, the table in CHECKS.md, "Weeks, ISO 8601".
ISO_WEEKS = {
    "2005-01-01": "2004-W53",
    "2005-01-02": "2004-W53",
    "2007-01-01": "2007-W01",
    "2008-12-29": "2009-W01",
    "2010-01-03": "2009-W53",
    "2020-12-31": "2020-W53",
    "2026-12-31": "2026-W53",
}


@pytest.mark.parametrize(("day", "week"), ISO_WEEKS.items())
def test_weeks_are_those_of_iso_8601(day: str, week: str) -> None:
    assert rows("week", entry(dt.date.fromisoformat(day), work("", 1))) == {week: 1}
    assert rows("month", entry(dt.date.fromisoformat(day), work("", 1))) == {day[:7]: 1}


hours = st.fractions(min_value=0, max_value=20, max_denominator=60)
weights = st.sampled_from(("", "*1", "*2", "*3", "*0.25"))
names = st.sampled_from(("RIB/L", "RIB", "SPAR/R", "WING", "PLANE", "BOX", "CLIP", "X9"))


@st.composite
def sessions(draw: st.DrawFn) -> Log:
    """Work lines of a few days over a new year, by some people on some parts."""
    entries = []
    for number in range(draw(st.integers(0, 5))):
        day = dt.date(2026, 12, 20) + dt.timedelta(days=draw(st.integers(0, 30)))
        lines = [
            work(
                " ".join(name + draw(weights) for name in draw(st.lists(names, max_size=3, unique=True))),
                {
                    person: draw(hours)
                    for person in draw(st.lists(st.sampled_from(("ann", "bo", "ida", "")), unique=True))
                },
                task=draw(st.sampled_from(("", "W1", "W2", "E1", "X1", "Q9"))),
                kind=draw(st.sampled_from(("", "filing", "bonding", "cleaning"))),
            )
            for _ in range(draw(st.integers(0, 3)))
        ]
        entries.append(entry(day, *lines, rec("made", "BOX"), key=str(number)))
    return log(*entries, tasks=TASKS, parts=LISTED)


def cells(written: Log) -> pd.DataFrame:
    """Every person's share on every item of every line, once more and in plain steps."""
    items = {part.number: len(part.items) or 1 for part in LISTED}
    tasks = {task.task: task for task in TASKS}
    parts = {part.number: part for part in LISTED}
    found = []
    for each in written.entries:
        for line in each.work:
            weight = sum(share.weight for share in line.parts)
            for worked in line.hours:
                for share in line.parts or (None,):
                    number = share.name.partition("/")[0] if share else None
                    size = items.get(share.name, 1) if share else 1
                    part = parts.get(number) if number else None
                    task = tasks.get(line.task)
                    cell = {
                        "person": worked.person or None,
                        "kind": line.kind or None,
                        "task": line.task or None,
                        "discipline": (task.discipline or None) if task else None,
                        "milestone": (task.milestone or None) if task else None,
                        "part": number,
                        "system": (part.system or None) if part else None,
                        "week": pd.Timestamp(each.date).strftime("%G-W%V"),
                        "month": str(pd.Timestamp(each.date).to_period("M")),
                        "hours": worked.hours * share.weight / weight / size if share else worked.hours,
                    }
                    found.extend([cell] * size)
    columns = [*(by for by in ROLLUPS if by != "assembly"), "hours"]
    return pd.DataFrame(found, columns=columns, dtype=object)


@settings(max_examples=150, deadline=None)
@given(sessions())
def test_every_rollup_is_what_pandas_makes_of_the_same_records(written: Log) -> None:
    found = reckon(written)
    table = cells(written)
    total = sum((line.hours for e in written.entries for w in e.work for line in w.hours), Fraction(0))
    for by, rollup in found.hours.items():
        assert rollup.total == total
        if by == "assembly":
            continue
        grouped = table.groupby(by, dropna=False)["hours"].agg(lambda column: sum(column, Fraction(0)))
        expected = {None if pd.isna(key) else key: value for key, value in grouped.items()}
        assert dict(rollup.rows) == expected, by
        assert sum((value for _, value in rollup.rows), Fraction(0)) == total, by
        assert [key for key, _ in rollup.rows] == sorted(expected, key=lambda key: (key is None, key or ""))


@settings(max_examples=150, deadline=None)
@given(sessions())
def test_an_assembly_is_its_own_hours_and_all_below_it(written: Log) -> None:
    found = reckon(written)
    own = dict(found.hours["part"].rows)

    def below(number: str) -> list[str]:
        return [number, *(n for part in LISTED if part.parent == number for n in below(part.number))]

    whole = dict(found.hours["assembly"].rows)
    for part in LISTED:
        expected = sum((own.get(number, Fraction(0)) for number in below(part.number)), Fraction(0))
        assert whole.get(part.number, Fraction(0)) == expected
    assert whole.get(None) == own.get(None)


@settings(max_examples=150, deadline=None)
@given(sessions())
def test_items_people_tasks_and_entries_sum_to_the_same_total(written: Log) -> None:
    found = reckon(written)
    total = found.hours["person"].total
    no_part, no_task = (dict(found.hours[by].rows).get(None, Fraction(0)) for by in ("part", "task"))
    nobody = dict(found.hours["person"].rows).get(None, Fraction(0))
    assert sum((s.hours for s in found.items.values()), no_part) == total
    assert sum((s.hours for s in found.tasks.values()), no_task) == total
    assert sum((s.hours for s in found.people.values()), nobody) == total
    assert sum((s.hours for s in found.entries.values()), Fraction(0)) == total
    assert sum((s.own_hours for s in found.parts.values()), no_part) == total

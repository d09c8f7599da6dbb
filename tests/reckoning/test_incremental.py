"""Reckoned again equals reckoned afresh; neither the order of files nor what is later matters."""

from __future__ import annotations

import datetime as dt
import random
from typing import Any

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from buildlog.model.entry import Entry, Medium
from buildlog.model.lists import Lot, Part, Task, Tool
from buildlog.model.log import Log
from buildlog.model.settings import Milestone
from buildlog.reckoning.knowledge import Knowledge
from buildlog.reckoning.reckon import DAWN, reckon
from buildlog.works.memo import Memo
from tests.reckoning.histories import USED, histories
from tests.reckoning.logs import PARTS, entry, item, log, no, ok, on, rec, work

TASKS = (Task(task="A", title="a", milestone="taxi"), Task(task="B", title="b", after=("A",)))
MILESTONES = (Milestone(key="taxi", title="Taxi"),)
LOTS = (Lot(lot="E1", material="Epoxy"),)
TOOLS = (Tool(tool="TW", name="Wrench"),)
NAMES = ("PLANE", "WING/L", "WING/R", "RIB/L", "RIB/R", "SPAR/L", "BOX", "CLIP", "TAB", "BOLT", "X9")


def any_fact(chance: random.Random, written: list[Entry]) -> Any:
    one, other = chance.choice(NAMES), chance.choice(NAMES)
    stage = chance.choice(("to-drawing", "pre-close", "rigged"))
    day = chance.choice((None, None, None, None, chance.randint(1, 70)))
    more: dict[str, Any] = {"date": day} if day else {}
    made = [each for each in written if each.records]
    facts = [
        lambda: rec("made", one, lots="E1", serial="S1", **more),
        lambda: rec(chance.choice(("modified", "repaired", "damaged", "scrapped")), one, **more),
        lambda: rec("installed", one, on=other, **more),
        lambda: rec("removed", one, **more),
        lambda: rec("reidentified", one, as_=other, carries=chance.choice(("", "to-drawing")), **more),
        lambda: rec("drawing_changed", one, to="B", effect=chance.choice(("", "none", "reinspect")), **more),
        lambda: rec("closed", one, **more),
        lambda: rec("opened", one, **more),
        lambda: ok(one, stage, chance.choice(("ida", "bo", "ole")), document="s.pdf", **more),
        lambda: no(one, stage, **more),
        lambda: rec("measured", one, value="1 mm", tool="TW", **more),
        lambda: rec("nonconformance", one, id="N1", **more),
        lambda: rec("disposition", one, id="N1", decision="rework", by="eva", **more),
        lambda: work(f"{one} {other}" if one != other else one, {"ann": chance.randint(0, 9)}, task="A"),
        lambda: work(one, kind="cleaning", task=chance.choice(("B", "Q"))),
    ]
    if made:
        target = chance.choice(made)
        facts.append(
            lambda: rec("voided", entry=target.key, record=chance.randint(1, len(target.records)), reason="r")
        )
    return chance.choice(facts)()


def any_entry(chance: random.Random, number: int, written: list[Entry]) -> Entry:
    facts = [any_fact(chance, written) for _ in range(chance.randint(0, 4))]
    return entry(
        chance.randint(1, 60),
        *facts,
        key=str(number),
        start=chance.choice((None, "08:00", "12:00")),
        people=chance.choice(("ann", "bo", "ann bo", "ida")),
        present=chance.choice(("", "ida")),
        completes=chance.choice(("", "", "A", "B")),
        resumes=chance.choice(("", "", "", "A")),
        media=(Medium(file="p.jpg", shows=(chance.choice(NAMES),)),) if chance.random() < 0.3 else (),
    )


def of(*entries: Entry, parts: tuple[Part, ...] = PARTS) -> Log:
    return log(*entries, tasks=TASKS, milestones=MILESTONES, lots=LOTS, tools=TOOLS, parts=parts)


def edited(chance: random.Random, entries: list[Entry], number: int) -> list[Entry]:
    """An entry added, taken away, changed, or written again as it was."""
    found = list(entries)
    match chance.choice(("add", "add", "drop", "change", "change", "again")):
        case "add":
            found.append(any_entry(chance, number, found))
        case "drop" if found:
            found.pop(chance.randrange(len(found)))
        case "change" if found:
            at = chance.randrange(len(found))
            new = any_entry(chance, number, found)
            found[at] = msgspec.structs.replace(new, key=found[at].key, date=found[at].date)
        case _ if found:
            at = chance.randrange(len(found))
            found[at] = msgspec.structs.replace(found[at])
    return found


@pytest.mark.parametrize("seed", range(6))
def test_after_any_edit_the_memo_changes_no_answer(seed: int) -> None:
    chance = random.Random(seed)
    entries: list[Entry] = []
    for number in range(25):
        entries.append(any_entry(chance, number, entries))
    memo = Memo()
    parts = PARTS
    for step in range(25):
        entries = edited(chance, entries, 100 + step)
        if step % 8 == 7:
            at = chance.randrange(len(parts))
            changed = msgspec.structs.replace(parts[at], parent=chance.choice(("", "WING", "PLANE")))
            parts = (*parts[:at], changed, *parts[at + 1 :]) if changed.parent != changed.number else parts
        written = of(*entries, parts=parts)
        day = chance.choice((None, None, None, on(chance.randint(20, 60))))
        memo.begin()
        again = reckon(written, on=day, remember=memo)
        memo.end()
        assert memo.counts.clashes == 0
        fresh = reckon(written, on=day)
        assert again == fresh
        orders = [
            [*getattr(k, name)] for name in ("items", "parts", "tasks", "entries") for k in (again, fresh)
        ]
        assert orders[::2] == orders[1::2]


def test_one_changed_entry_leaves_other_items_the_same_objects() -> None:
    first = [entry(1, rec("made", "RIB/L")), entry(40, rec("made", "BOX"))]
    memo = Memo()
    memo.begin()
    before = reckon(of(*first), remember=memo)
    memo.end()
    memo.begin()
    after = reckon(of(first[0], entry(40, rec("made", "BOX"), ok("BOX"))), remember=memo)
    memo.end()
    assert after.items[item("RIB/L")] is before.items[item("RIB/L")]
    assert after.items[item("BOX")] != before.items[item("BOX")]


@pytest.mark.parametrize("seed", range(10))
def test_the_order_of_files_does_not_matter(seed: int) -> None:
    chance = random.Random(seed)
    entries: list[Entry] = []
    for number in range(30):
        entries.append(any_entry(chance, number, entries))
    written = of(*entries)
    shuffled = list(written.entries)
    chance.shuffle(shuffled)
    mixed = msgspec.structs.replace(written, entries=tuple(shuffled))
    one, other = reckon(written), reckon(mixed)
    assert msgspec.structs.replace(other, log=written) == one
    assert [[*other.items], [*other.entries]] == [[*one.items], [*one.entries]]


def cut(written: Log, day: dt.date) -> Log:
    """A log without the entries and records later than a day; the later stand last, so no place moves."""
    kept = [
        msgspec.structs.replace(each, records=tuple(r for r in each.records if (r.date or each.date) <= day))
        for each in written.entries
        if each.date <= day
    ]
    return msgspec.structs.replace(written, entries=tuple(kept))


def later_last(each: Entry) -> Entry:
    records = sorted(each.records, key=lambda record: record.date or each.date)
    return msgspec.structs.replace(each, records=tuple(records))


@pytest.mark.parametrize("seed", range(10))
def test_a_day_knows_nothing_of_what_is_later(seed: int) -> None:
    chance = random.Random(seed)
    entries: list[Entry] = []
    for number in range(30):
        entries.append(later_last(any_entry(chance, number, entries)))
    written = of(*entries)
    for day in (on(10), on(31), on(45)):
        then, of_then = reckon(written, on=day), reckon(cut(written, day), on=day)
        assert then.late == tuple(each for each in written.entries if each.date > day)
        assert of_then.late == ()
        assert stripped(then) == stripped(of_then)
        assert [*then.entries] == [*of_then.entries]


def stripped(known: Knowledge) -> dict[str, object]:
    """All of it but the entries as written."""
    found = {name: getattr(known, name) for name in known.__struct_fields__}
    for name in ("log", "late"):
        del found[name]
    found["entries"] = {key: (s.earlier, s.later, s.hours) for key, s in known.entries.items()}
    return found


@settings(max_examples=60, deadline=None)
@given(histories(ordered=False, most=10), st.integers(0, 9))
def test_an_entry_on_something_else_changes_no_item(written: Log, number: int) -> None:
    more = entry(number + 1, rec("made", "Z9"), ok("Z9"), work("Z9", 1), key="z")
    both = log(*written.entries, more, parts=USED)
    before, after = reckon(written), reckon(both)
    for each, story in before.items.items():
        assert after.items[each] == story


def test_the_day_is_the_latest_of_entries_and_records() -> None:
    assert reckon(of()).day == DAWN
    assert reckon(of(entry(3, rec("made", "BOX")))).day == on(3)
    assert reckon(of(entry(3, rec("made", "BOX", date=9)))).day == on(9)
    assert reckon(of(entry(3, rec("made", "BOX", date=1)))).day == on(3)
    assert reckon(of(entry(3, rec("made", "BOX"))), on=on(20)).day == on(20)


def test_a_record_later_than_the_day_does_not_say_what_work_changed() -> None:
    days = (
        entry(1, rec("made", "RIB/L"), ok("RIB/L")),
        entry(2, work("RIB/L", kind="filing"), rec("measured", "RIB/L", value="1 mm", date=5, by="bo")),
    )
    then, now = reckon(of(*days), on=on(3)), reckon(of(*days))
    assert then.items[item("RIB/L")].stages[0].status.value == "unclear"
    assert now.items[item("RIB/L")].stages[0].status.value == "current"
    assert [len(k.people["bo"].appearances) for k in (then, now)] == [0, 1]


def test_who_appears_where_and_what_lots_and_tools_touched() -> None:
    found = reckon(
        of(
            entry(5, rec("made", "BOX", lots="E1 E9"), people="ann", present="eva"),
            entry(2, rec("measured", "RIB", value="1 mm", tool="TW"), ok("RIB/L"), people="ann bo"),
            entry(3, work("BOX", {"ann": 2}), rec("measured", "BOX", value="2 mm", tool="T9", date=1)),
        )
    )
    assert [(a.entry, a.worked, a.hours) for a in found.people["ann"].appearances] == [
        ("2026-06-02-a", True, 0),
        ("2026-06-03-a", True, 2),
        ("2026-06-05-a", True, 0),
    ]
    assert [(a.entry, a.worked) for a in found.people["eva"].appearances] == [("2026-06-05-a", False)]
    assert [(a.entry, a.worked) for a in found.people["ida"].appearances] == [("2026-06-02-a", False)]
    assert [str(event.item) for event in found.people["ida"].inspected] == ["RIB/L"]
    assert {key: [str(use.item) for use in story.uses] for key, story in found.lots.items()} == {
        "E1": ["BOX"],
        "E9": ["BOX"],
    }
    assert {key: [str(use.item) for use in story.uses] for key, story in found.tools.items()} == {
        "TW": ["RIB/L", "RIB/R"],
        "T9": ["BOX"],
    }
    assert (found.lots["E9"].lot, found.tools["T9"].tool) == (None, None)
    around = [(s.earlier, s.later) for s in found.entries.values()]
    assert around == [("", "2026-06-03-a"), ("2026-06-02-a", "2026-06-05-a"), ("2026-06-03-a", "")]


def test_what_shows_an_item_a_struck_document_does_not() -> None:
    days = (
        entry(2, ok("BOX", document="scan.pdf"), media=(Medium(file="p.jpg", shows=("BOX", "RIB")),)),
        entry(1, ok("BOX", document="old.pdf")),
        entry(3, rec("voided", entry="2026-06-01-a", record=1, reason="r")),
    )
    found = reckon(of(*days)).items
    assert [each.medium.file for each in found[item("BOX")].shown] == ["p.jpg", "scan.pdf"]
    assert [each.medium.file for each in found[item("RIB/R")].shown] == ["p.jpg"]
    assert not found[item("RIB/R")].exists, "a photo alone makes nothing exist"

"""Work lines, records and media of an entry."""

from __future__ import annotations

import datetime
from fractions import Fraction

import pytest

from buildlog.model.entry import PersonHours, Share
from buildlog.model.key import Audience, Reads, keys_of, written
from buildlog.model.records import KINDS, Inspected, Made, Torqued, Voided
from tests.reader.conftest import ReadEntry

WHOLE = """\
---
date: 2026-03-15
start: 18:30
title: Left spar splice bonded
audience: public
people: [marit, bram]
present: okafor
place: Club workshop
conditions: 21 °C, 48 % RH
work:
  - task: WING-12
    parts: {TN-57-1100/L: 3, TN-57-1210: 0.5}
    kind: bonding
    hours: 2.5 each
    note: slow
completes: WING-12
resumes: [WING-10, WING-9]
records:
  - made: [TN-57-1100/L, TN-57-1100/R]
    lots: [EPX-2231, EPX-2232]
    drawing: TN-57-1100 rev C
  - torqued: TN-32-0040
    fastener: AN3-5
    count: 4
    value: 25 in-lb
    run_on: 4 in-lb
    tool: TW-1
    time: 19:05
  - voided:
    entry: 2026-03-01-old.md
    record: 2
    reason: wrong half
media:
  file: spar-left-01.jpg
  shows: TN-57-1100/L
  caption: Squeeze-out
  audience: shop
allow: Invoice
---

Mixed 400 g.
"""


def test_a_whole_entry(entry: ReadEntry) -> None:
    sheet = entry(WHOLE)
    assert [str(problem) for problem in sheet.problems] == []
    got = sheet.entry
    assert got
    assert got.date == datetime.date(2026, 3, 15)
    assert got.header_date
    assert got.file_date == datetime.date(2026, 3, 14)
    assert got.start == datetime.time(18, 30)
    assert got.audience is Audience.PUBLIC
    assert (got.people, got.present) == (("marit", "bram"), ("okafor",))
    assert (got.completes, got.resumes, got.allow) == (("WING-12",), ("WING-10", "WING-9"), ("Invoice",))
    (line,) = got.work
    assert line.parts == (Share("TN-57-1100/L", Fraction(3)), Share("TN-57-1210", Fraction(1, 2)))
    assert line.hours == (PersonHours("marit", Fraction(5, 2)), PersonHours("bram", Fraction(5, 2)))
    assert (line.where.line, line.where.column) == (11, 5)
    made, torqued, voided = got.records
    assert isinstance(made, Made)
    assert made.of == ("TN-57-1100/L", "TN-57-1100/R")
    assert made.lots == ("EPX-2231", "EPX-2232")
    assert isinstance(torqued, Torqued)
    assert (torqued.count, torqued.run_on, torqued.time) == (4, "4 in-lb", datetime.time(19, 5))
    assert isinstance(voided, Voided)
    assert (voided.of, voided.entry, voided.record) == ((), "2026-03-01-old", 2)
    (medium,) = got.media
    assert (medium.file, medium.shows, medium.audience) == (
        "spar-left-01.jpg",
        ("TN-57-1100/L",),
        Audience.SHOP,
    )
    assert (got.body, got.body_line) == ("Mixed 400 g.", 41)


def test_every_name_is_mentioned_where_it_stands(entry: ReadEntry) -> None:
    lines = WHOLE.split("\n")
    sheet = entry(WHOLE)
    for mention in sheet.mentions:
        line = lines[mention.where.line - 1]
        assert line[mention.where.column - 1 :].startswith(mention.text)
    sorts = {mention.reads for mention in sheet.mentions}
    assert {Reads.PEOPLE, Reads.TASK, Reads.TASKS, Reads.ITEMS, Reads.ITEMS_ONE_BY_ONE, Reads.LOTS} <= sorts
    assert {Reads.TOOL, Reads.ENTRY, Reads.MEDIUM} <= sorts
    assert [each.number for each in sheet.mentions if each.reads is Reads.ENTRY] == [2]


@pytest.mark.parametrize(
    ("line", "where", "found", "todo"),
    [
        ("tittle: x", (2, 1), 'no key "tittle"', 'the nearest is "title"'),
        ("zzzzzz: x", (2, 1), 'no key "zzzzzz"', "known in an entry"),
        ("key: x", (2, 1), 'no key "key"', ""),
        ("work: [{tsk: A}]", (2, 9), 'a work line has no key "tsk"', 'the nearest is "task"'),
        ("work: just text", (2, 7), '"just text" is not a point of `work`', "`- key: value`"),
        ("work: [[a]]", (2, 8), "a list is not a point", "`- key: value`"),
        ("media: [{fil: a.jpg, file: b.jpg}]", (2, 10), 'no key "fil"', '"file"'),
        ("media: [{caption: x}]", (2, 9), "a medium needs `file`", "a file below media/"),
        ("media: [{file: ../x.jpg}]", (2, 16), "leaves the folder media/ by `..`", "below media/"),
        ("media: [{file: }]", (2, 16), "`file` is empty", ""),
        ("people: {marit: 1}", (2, 9), "`people` holds a table", "a key of [people]"),
        ("people: [marit, [bram]]", (2, 17), "list or table inside a list", ""),
        ("people: [marit, marit]", (2, 17), '"marit" is in `people` twice', ""),
        ("people: [marit, '']", (2, 17), "a point of `people` is empty", ""),
        ("title: [a, b]", (2, 8), "`title` holds a list", ""),
        ("work: [{parts: [A, A]}]", (2, 20), '"A" is in `parts` twice', ""),
        ("work: [{parts: [A, [B]]}]", (2, 20), "list or table inside a list", ""),
        ("work: [{parts: [A, '']}]", (2, 20), "a name is missing", ""),
        ("work: [{parts: {A: 0}}]", (2, 20), '"0" is no weight', "above 0"),
        ("work: [{parts: {A: -1}}]", (2, 20), '"-1" is no weight', "above 0"),
        ("work: [{parts: {A: [1]}}]", (2, 20), "a list or table is no weight", ""),
        ("work: [{parts: {'': 1}}]", (2, 17), "a name is missing", ""),
    ],
)
def test_what_cannot_be_read(
    entry: ReadEntry, line: str, where: tuple[int, int], found: str, todo: str
) -> None:
    (problem,) = entry(f"---\n{line}\n---\n").problems
    assert (problem.where.line, problem.where.column) == where
    assert found in problem.found
    assert todo in problem.todo


@pytest.mark.parametrize(
    ("record", "where", "found", "todo"),
    [
        ("inspekted: A", (3, 5), '"inspekted" is no kind of record', '"inspected"'),
        ("by: okafor\n    made: A", (3, 5), "the first key of a record is its kind", "put `made` first"),
        ("made: A\n    stage: x", (4, 5), '`made` has no key "stage"', ""),
        ("made: A\n    of: B", (4, 5), '`made` has no key "of"', ""),
        ("made:", (3, 5), "`made` names no item", "an item or part"),
        ("inspected: A\n    by: o\n    result: accepted", (3, 5), "needs `stage`", "a stage of [stages]"),
        ("inspected: A\n    stage: s\n    by: o\n    result: fine", (6, 13), '"fine" is not `accepted`', ""),
        ("inspected: A\n    stage: s\n    by: o\n    result: acepted", (6, 13), '"acepted"', '"accepted"'),
        ("inspected: A\n    stage:\n    by: o\n    result: accepted", (4, 11), "`stage` is empty", ""),
        ("disposition:\n    id: N1\n    decision: bin", (5, 15), '"bin" is not', ""),
        ("torqued: A\n    value: 3 N m\n    count: 0", (5, 12), "1 or more", "digits"),
        ("torqued: A\n    value: 3 N m\n    count: few", (5, 12), "1 or more", "digits"),
        ("measured: A\n    value: ''", (4, 12), "`value` is empty", ""),
        ("voided:\n    entry: [a]\n    record: 1\n    reason: x", (4, 12), "`entry` is not one value", ""),
        ("deferred: A\n    rule: r\n    by: o\n    reason: x\n    until: 2026-02-30", (7, 12), "no day", ""),
        ("made: {A: 1}", (3, 11), "holds a table", ""),
    ],
)
def test_records_that_cannot_be_read(
    entry: ReadEntry, record: str, where: tuple[int, int], found: str, todo: str
) -> None:
    (problem,) = entry(f"---\nrecords:\n  - {record}\n---\n").problems
    assert (problem.where.line, problem.where.column) == where
    assert found in problem.found
    assert todo in problem.todo


def test_empty_records_and_too_many(entry: ReadEntry) -> None:
    assert "empty" in entry("---\nrecords: [{}]\n---\n").problems[0].found
    many = "  - damaged: A\n" * 2001
    assert "2001 points" in entry(f"---\nrecords:\n{many}---\n").problems[0].found


def test_a_record_cannot_void_itself(entry: ReadEntry) -> None:
    voided = "  - voided:\n    entry: 2026-03-14-left-spar\n    record: {}\n    reason: x\n"
    text = f"---\nrecords:\n  - made: A\n{voided}---\n"
    assert entry(text.replace("{}", "1")).problems == ()
    assert "voids itself" in entry(text.replace("{}", "2")).problems[0].found


def test_an_entry_with_records_is_not_for_the_shop_alone(entry: ReadEntry) -> None:
    (problem,) = entry("---\nrecords:\n  - damaged: A\naudience: shop\n---\n").problems
    assert (problem.where.line, problem.where.column) == (4, 11)
    assert "`~~~ shop only`" in problem.todo
    assert entry("---\naudience: shop\n---\n").problems == ()


EXAMPLES = {
    Reads.DATE: "2026-03-14",
    Reads.TIME: "18:30",
    Reads.COUNT: "2",
    Reads.UNTIL: "2026-09-01",
    Reads.MEDIUM: "scan.pdf",
    Reads.VALUE: "3 N m",
    Reads.LIMITS: "3 to 5 N m",
    Reads.TORQUE: "3 N m",
    Reads.WEIGHT: "3 kg",
    Reads.LENGTH: "3 mm",
}


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_with_every_key(entry: ReadEntry, kind: str) -> None:
    keys = {
        written(name): key.choices[0] if key.choices else EXAMPLES.get(key.reads, "X")
        for name, key in keys_of(KINDS[kind]).items()
        # a nonconformance is itself the one it belongs to, and no key may stand twice
        if key.reads is not Reads.INSIDE and name not in ("of", kind)
    }
    lines = "".join(f"    {word}: {text}\n" for word, text in keys.items())
    sheet = entry(f"---\nrecords:\n  - {kind}: TN-1\n{lines}---\n")
    assert [str(problem) for problem in sheet.problems] == []
    assert sheet.entry
    (record,) = sheet.entry.records
    assert type(record) is KINDS[kind]
    assert record.of == ("TN-1",)
    empty = type(record)()
    for name in record.__struct_fields__:
        if name != kind:
            assert getattr(record, name) != getattr(empty, name), f"{name} was not read"


def test_two_signatures(entry: ReadEntry) -> None:
    sheet = entry(
        "---\nrecords:\n  - inspected: A\n    stage: s\n    by: [okafor, lund]\n    result: rejected\n---\n"
    )
    assert sheet.entry
    record = sheet.entry.records[0]
    assert isinstance(record, Inspected)
    assert record.by == ("okafor", "lund")


def test_all_problems_of_an_entry_are_told_in_order(entry: ReadEntry) -> None:
    header = "date: 30.02.2026\nrecords:\n  - mad: A\nstart: late\npeople: [a, a]"
    text = f"---\n{header}\n---\n<b>x</b>\n\n~~~ shop only\n"
    lines = [problem.where.line for problem in entry(text).problems]
    assert lines == [2, 4, 5, 6, 8, 8, 10]

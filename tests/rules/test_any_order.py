"""Findings do not depend on the order of files, and an unrelated entry changes nothing about an item."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest
from hypothesis import find, given, settings
from hypothesis import strategies as st

from buildlog.reader.assemble import assemble
from buildlog.reader.log import read_log
from buildlog.reader.read import read_sheet
from buildlog.reckoning.reckon import reckon
from buildlog.rules.chain import check, names
from buildlog.rules.finding import Finding, Findings
from tests.logs import facts, files, write

PARTS = (
    "part W class=assembly\npart R class=critical parent=W\npart S use=not-for-flight\npart Z\n"
    "task T\ntask M milestone=taxi\nmilestone taxi\n"
    # what a disposition speaks of has to be raised somewhere
    "part Q\n2026-02-27 nonconformance Q id=N1\n"
)
DAY = datetime.date(2026, 12, 31)

FACTS = (
    "made {item}",
    "modified {item}",
    "damaged {item} by=bram",
    "repaired {item}",
    "tested {item} what=load by=bram result=failed",
    "tested {item} what=Load by=bram result=passed",
    "accepted {item} to-drawing okafor",
    "accepted {item} pre-close okafor,brandt",
    "accepted {item} to-drawing bram",
    "rejected {item} to-drawing brandt",
    "tested {item} stage=pre-close by=okafor result=passed",
    "measured {item} what=gap value='0.8 mm' limits='0.5 mm max'",
    "measured {item} what=gap value='15 thou' limits='0.5 mm max'",
    "torqued {item} fastener=bolt value='9 N m' limits='50 to 70 in-lb'",
    "torqued {item} value='7 N m' limits='50 to 70 in-lb'",
    "loosened {item} fastener=bolt",
    "loosened {item}",
    "scrapped {item}",
    "received {item} serial=007",
    "received {item} serial=7",
    "nonconformance {item} id=N1",
    "disposition {item} id=N1 decision=rework by=engel",
    "work {item} hours=9 people=bram task=T",
    "work {item} hours=0.75 kind=cleaning task=U",
    "completes T",
    "resumes T",
    "media {item}.jpg shows={item}",
    "deferred {item} rule=never-inspected until=2027-01-01 by=okafor reason=later",
)
MOVES = (
    "installed {item} on=W",
    "removed {item} from=W",
    "installed {item} on=X-9",
    "installed {item} on=W until=taxi",
)
NAMED = ("reidentified {item} as=S carries=to-drawing", "reidentified {item} as=X-9")
SHUT = ("closed W", "opened W", "closed W hides=R")


def lines(items: tuple[str, ...]) -> st.SearchStrategy[str]:
    """One entry of one fact, on one of a few days, with or without a time."""
    movable = [move.format(item=item) for item in items if item != "W" for move in MOVES]
    shut = list(SHUT) if "W" in items else []
    if "W" in items:
        movable += [name.format(item=item) for item in items for name in NAMED]
    told = [fact.format(item=item) for item in items for fact in FACTS]
    day = st.integers(1, 5).map("2026-03-{:02d}".format)
    time = st.sampled_from(["", "", " 09:00", " 15:30"])
    return st.builds("{}{} {}".format, day, time, st.sampled_from([*told, *movable, *shut]))


def numbered(entries: list[str]) -> str:
    """Entries with keys of their own, so that taking one out renames no other."""
    return "\n".join(
        line.replace(" ", f" key={line.split()[0]}-n{number:02d} ", 1) for number, line in enumerate(entries)
    )


def text_of(entries: list[str]) -> str:
    return PARTS + "\n".join(
        line if " key=" not in line else _with_key(line) for line in numbered(entries).split("\n") if line
    )


def _with_key(line: str) -> str:
    """The key behind the fact: the small language takes a time right after the day."""
    day, key, rest = line.split(" ", 2)
    return f"{day} {rest} {key}"


def read(files_: dict[str, str], order: list[str]) -> Findings:
    log, problems = assemble([read_sheet(name, files_[name].encode()) for name in order], names())
    assert log is not None, problems
    return check(reckon(log, DAY))


@pytest.mark.parametrize(
    "rule",
    ["accepted-over-open", "closed-before-inspection", "not-for-flight-installed", "place-contradicts"],
)
def test_what_is_generated_comes_to_findings_of_place_and_closing(rule: str) -> None:
    def has(entries: list[str]) -> bool:
        return any(each.rule == rule for each in check(reckon(facts(text_of(entries)), DAY)).all)

    entries = find(
        st.lists(lines(("W", "R", "S")), max_size=10),
        has,
        settings=settings(max_examples=2000, deadline=None),
    )
    assert entries, "by itself the parts list gives no finding"


@settings(max_examples=60, deadline=None)
@given(st.lists(lines(("W", "R", "S")), max_size=10), st.randoms(use_true_random=False))
def test_the_order_of_files_does_not_matter(entries: list[str], random: object) -> None:
    found = files(text_of(entries))
    order = sorted(found)
    expected = read(found, order)
    random.shuffle(order)
    assert read(found, order) == expected


@settings(max_examples=200, deadline=None)
@given(
    st.lists(lines(("W", "R", "S")), max_size=10),
    st.lists(lines(("Z",)).filter(lambda line: "W" not in line.split(" ", 2)[-1]), min_size=1, max_size=4),
    st.data(),
)
def test_an_unrelated_entry_changes_no_finding_of_an_item(
    entries: list[str], others: list[str], data: st.DataObject
) -> None:
    everything = [*entries, *others]
    gone = data.draw(st.integers(len(entries), len(everything) - 1))
    with_all = text_of(everything).split("\n")
    without = [line for line in with_all if f"-n{gone:02d}" not in line]
    assert len(without) == len(with_all) - 1

    def of_items(text: list[str]) -> list[Finding]:
        findings = check(reckon(facts("\n".join(text)), DAY)).all
        return [each for each in findings if each.item is not None and each.item.number in ("W", "R", "S")]

    assert of_items(with_all) == of_items(without)


@settings(max_examples=100, deadline=None)
@given(st.lists(lines(("W", "R", "S")), max_size=12))
def test_one_cause_one_finding(entries: list[str]) -> None:
    findings = check(reckon(facts(text_of(entries)), DAY)).all
    assert len(set(findings)) == len(findings)
    about = [(each.rule, each.subject, each.stage, each.entry, each.rests[0].place) for each in findings]
    assert len(set(about)) == len(about)
    for each in findings:
        assert each.rests
        assert each.message.endswith(".")
        assert each.why
        assert each.clears
        assert each.entry == each.rests[0].entry


@pytest.mark.parametrize(
    "entries",
    [
        ["2026-03-01 made R", "2026-03-02 accepted R to-drawing okafor", "2026-03-03 modified R"],
        ["2026-03-01 made W,R", "2026-03-02 closed W", "2026-03-03 09:00 installed R on=X-9"],
        [
            "2026-03-01 work S hours=9 task=U people=marit,bram",
            "2026-03-01 work S hours=8 task=T people=bram",
        ],
    ],
)
def test_facts_and_files_of_the_tests_are_one_log(entries: list[str], tmp_path: Path) -> None:
    text = text_of(entries)
    log, problems = read_log(write(tmp_path, text), names())
    assert log is not None, problems
    told = [
        (each.rule, each.subject, each.stage, each.entry, each.message) for each in check(reckon(log)).all
    ]
    assert told == [
        (each.rule, each.subject, each.stage, each.entry, each.message)
        for each in check(reckon(facts(text))).all
    ]
    assert all(each.where.file and each.where.line for each in check(reckon(log)).all)

"""What each file says, held against what the others know."""

from __future__ import annotations

import datetime
import random

import networkx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.model.log import Problem
from buildlog.reader.assemble import assemble
from buildlog.reader.read import read_sheet
from buildlog.reader.rings import rings
from tests.reader.conftest import PARTS, SETTINGS, TASKS, Files, ReadLog, one_entry


def only(result: tuple[object, tuple[Problem, ...]]) -> Problem:
    log, problems = result
    assert log is None
    assert len(problems) == 1, [str(problem) for problem in problems]
    return problems[0]


def test_a_log_with_nothing_wrong(log_of: ReadLog) -> None:
    log, problems = log_of(
        {
            "entries/2026/2026-03-14-b.md": "---\npeople: marit\n---\n",
            "entries/2026-03-14-a.md": "",
            "entries/2025/2025-01-01-z.md": "---\ndate: 2026-04-01\n---\n",
            "entries/2026-01-01-later.md": "---\ndraft: true\nwrong: x\n---\n",
            "parts/TN-57-1100.md": "A spar.",
            "lots.csv": "lot,material\nE-1,Epoxy\n",
        }
    )
    assert [str(problem) for problem in problems] == []
    assert log
    assert [entry.key for entry in log.entries] == ["2026-03-14-a", "2026-03-14-b", "2025-01-01-z"]
    assert [draft.key for draft in log.drafts] == ["2026-01-01-later"]
    assert [note.number for note in log.notes] == ["TN-57-1100"]
    assert (log.lot_list, log.tool_list) == (True, False)
    assert [task.task for task in log.tasks] == ["WING-11", "WING-12"]


def test_the_tools_own_stages_and_classes_are_added_to_and_replaced(log_of: ReadLog) -> None:
    own = SETTINGS + (
        '[stages.to-drawing]\ntitle = "Mine"\n[stages.rigging]\ntitle = "Rigging"\n'
        '[classes.critical]\nstages = ["rigging"]\n[kinds]\nharmless = ["sweeping", "cleaning"]\n'
    )
    log, problems = log_of({"buildlog.toml": own})
    assert problems == ()
    assert log
    assert [(stage.key, stage.title) for stage in log.settings.stages] == [
        ("to-drawing", "Mine"),
        ("pre-close", "Before closing up"),
        ("rigging", "Rigging"),
    ]
    critical = next(each for each in log.settings.classes if each.key == "critical")
    assert (critical.stages, critical.independent) == (("rigging",), False)
    assert [each.key for each in log.settings.classes][:2] == ["general", "assembly"]
    assert log.settings.harmless == ("cleaning", "paperwork", "inspection", "sweeping")


INSPECTION = (
    "records:\n  - inspected: TN-57-1100/L\n    stage: to-drawing\n    by: okafor\n    result: accepted"
)


@pytest.mark.parametrize(
    ("header", "where", "found", "todo"),
    [
        ("people: okafer", (2, 9), '"okafer" is nobody in [people]', 'the nearest is "okafor"'),
        ("people: zzz", (2, 9), "nobody in [people]", "known in [people]: marit, bram, okafor"),
        ("people: marit, bram", (2, 9), "nobody in [people]", "`[one, two]`"),
        ("present: [marit, Bram]", (2, 18), '"Bram" is nobody', '"bram"'),
        ("work: [{hours: {ylva: 1}}]", (2, 17), '"ylva" is nobody', ""),
        (INSPECTION.replace("to-drawing", "todrawing"), (4, 12), "no stage", '"to-drawing"'),
        (INSPECTION.replace("1100/L", "1100/M"), (3, 16), "has no item", '"TN-57-1100/'),
        (
            INSPECTION.replace("1100/L", "1100"),
            (3, 16),
            "has 2 items",
            "`TN-57-1100/L`, `TN-57-1100/R` or `TN-57-1100/all`",
        ),
        (INSPECTION.replace("1100/L", "1210"), (3, 16), "has 4 items", "`TN-57-1210/4` or"),
        ("work: [{parts: TN-57-1210/5}]", (2, 16), "has no item", '"TN-57-1210/'),
        ("media: [{file: a.jpg, shows: TN-32-0040/L}]", (2, 30), "has no item", "TN-32-0040"),
        (
            "records: [{installed: TN-32-0040, on: TN-57-1000}]",
            (2, 39),
            "2 items, and one is expected",
            "TN-57-1000/L",
        ),
        ("records: [{installed: TN-32-0040, on: TN-57-1000/all}]", (2, 39), "2 items", "TN-57-1000/L"),
        ("records: [{installed: TN-32-0040, on: TN-57-1000/X}]", (2, 39), "has no item", ""),
        (
            "records: [{installed: TN-32-0040, on: A, until: first-taxy}]",
            (2, 49),
            "no milestone",
            '"first-taxi"',
        ),
        (
            "records: [{deferred: A, rule: r, by: okafor, reason: x, until: taxy}]",
            (2, 64),
            "neither a date nor a milestone",
            "",
        ),
        (
            "records: [{voided: , entry: 2026-03-15-x, record: 1, reason: y}]",
            (2, 29),
            "there is no entry",
            '"2026-03-14-left-spar"',
        ),
    ],
)
def test_names_that_are_not_known(
    log_of: ReadLog, header: str, where: tuple[int, int], found: str, todo: str
) -> None:
    problem = only(log_of(one_entry(header)))
    assert problem.where.file == "entries/2026-03-14-left-spar.md"
    assert (problem.where.line, problem.where.column) == where
    assert found in problem.found
    assert todo in problem.todo


def test_a_problem_reads_as_one_line(log_of: ReadLog) -> None:
    problem = only(log_of(one_entry("people: okafer")))
    assert str(problem) == (
        'entries/2026-03-14-left-spar.md:2:9: "okafer" is nobody in [people]; the nearest is "okafor"'
    )


def test_what_is_on_no_list_is_no_error(log_of: ReadLog) -> None:
    header = (
        "work: [{task: NOWHERE-1, parts: [TN-99, TN-98/L]}]\ncompletes: NOWHERE-2\n"
        "records: [{inspected: TN-97, stage: to-drawing, by: okafor, result: accepted}]"
    )
    log, problems = log_of(one_entry(header))
    assert problems == ()
    assert log


def test_bare_parts_mean_all_where_that_is_meant(log_of: ReadLog) -> None:
    header = (
        "work: [{parts: TN-57-1210}]\nrecords: [{made: TN-57-1210}, {damaged: TN-57-1210/all}]\n"
        "media: [{file: a.jpg, shows: TN-57-1210}]"
    )
    assert log_of(one_entry(header))[1] == ()


def test_a_part_number_may_hold_a_slash(log_of: ReadLog) -> None:
    files = {
        **one_entry("records: [{damaged: A/B/L}, {damaged: A/C}]"),
        "parts.csv": "number,name,items\nA/B,x,L R\nA/C,y,\n",
    }
    assert log_of(files)[1] == ()
    files = {**one_entry("records: [{damaged: A/B/M}]"), "parts.csv": "number,name,items\nA/B,x,L R\n"}
    assert 'the part "A/B" has no item' in only(log_of(files)).found


NAMES = [
    "TN/1",
    "TN#1",
    "TN?1",
    "50%",
    "a:b",
    'a"b',
    "<a>",
    "a|b",
    "a b",
    ".x",
    "x" * 200,
    "Ærø-№7",
    "CON",
    "aux",
    "AUX",
    "007",
    "1E5",
    "NO",
]


def test_hostile_part_numbers_are_names_like_others(log_of: ReadLog) -> None:
    """Two that differ in case only are two parts."""
    quote = "'{}'".format
    listed = "number,name\n" + "".join('"{}",x\n'.format(name.replace('"', '""')) for name in NAMES)
    records = "records:\n" + "".join(f"  - damaged: {quote(name)}\n" for name in NAMES)
    log, problems = log_of({**one_entry(records), "parts.csv": listed})
    assert [str(problem) for problem in problems] == []
    assert log
    assert [part.number for part in log.parts] == NAMES
    assert [record.of[0] for record in log.entries[0].records] == NAMES


def test_lots_and_tools_only_where_there_is_a_list(log_of: ReadLog) -> None:
    header = "records: [{measured: TN-32-0040, value: 3 mm, lots: E-9, tool: T-9}]"
    assert log_of(one_entry(header))[1] == ()
    _, problems = log_of(
        {**one_entry(header), "lots.csv": "lot,material\nE-1,Epoxy\n", "tools.csv": "tool,name\nT-1,Wrench\n"}
    )
    assert ["no lot of lots.csv" in problems[0].found, "no tool of tools.csv" in problems[1].found] == [
        True,
        True,
    ]


def test_an_empty_list_knows_nothing(log_of: ReadLog) -> None:
    header = "records: [{damaged: TN-32-0040, lots: E-9}]"
    problem = only(log_of({**one_entry(header), "lots.csv": "lot,material\n"}))
    assert problem.todo == "there are none yet"


def test_a_list_that_cannot_be_read_is_told_once(log_of: ReadLog) -> None:
    header = "records: [{damaged: TN-57-1100/X, lots: E-1}]"
    files: Files = {**one_entry(header), "lots.csv": b"\xff\xfe", "parts.csv": "nonsense\n"}
    _, problems = log_of(files)
    assert {problem.where.file for problem in problems} == {"lots.csv", "parts.csv"}


@pytest.mark.parametrize(
    ("file", "text", "where", "found", "todo"),
    [
        ("parts.csv", "number,name,class\nA,x,critcal\n", (2, 5), '"critcal" is no class', '"critical"'),
        ("parts.csv", "number,name,parent\nA,x,B\nAB,x,\n", (2, 5), '"B" is no part of parts.csv', '"AB"'),
        ("parts.csv", "number,name,joins\nA,x,B\n", (2, 5), '"B" is no part of parts.csv', ""),
        ("tasks.csv", "task,title,after\nW-1,x,W-2\n", (2, 7), '"W-2" is no task of tasks.csv', '"W-1"'),
        ("tasks.csv", "task,title,milestone\nW-1,x,taxi\n", (2, 7), '"taxi" is no milestone', "first-taxi"),
        ("tasks.csv", "task,title,parts\nW-1,x,TN-57-1100/Q\n", (2, 7), "has no item", ""),
        ("buildlog.toml", SETTINGS + "needs = ['powered']\n", (14, 10), "no milestone", ""),
        ("buildlog.toml", SETTINGS + "items = ['TN-57-1100/Q']\n", (14, 10), "has no item", ""),
        (
            "buildlog.toml",
            SETTINGS + "[stages.a]\nbefore = 'clsed'\n",
            (15, 10),
            "neither `closed` nor a milestone",
            "",
        ),
        (
            "buildlog.toml",
            SETTINGS + "[classes.a]\nstages = ['pre-clos']\n",
            (15, 11),
            "no stage",
            '"pre-close"',
        ),
        ("parts/TN-57-1101.md", "A note.", (1, 1), "no part of parts.csv", '"TN-57-110'),
    ],
)
def test_names_in_lists_and_settings(
    log_of: ReadLog, file: str, text: str, where: tuple[int, int], found: str, todo: str
) -> None:
    problem = only(log_of({file: text}))
    assert (problem.where.file, problem.where.line, problem.where.column) == (file, *where)
    assert found in problem.found
    assert todo in problem.todo


def test_a_note_on_an_unlisted_part_with_a_history_is_kept(log_of: ReadLog) -> None:
    log, problems = log_of({**one_entry("records: [{damaged: TN-99/L}]"), "parts/TN-99.md": "x"})
    assert problems == ()
    assert log
    assert log.notes[0].number == "TN-99"
    assert log_of({**one_entry("records: [{damaged: TN-999/L}]"), "parts/TN-99.md": "x"})[1]


@pytest.mark.parametrize(
    ("rows", "chain"),
    [
        ("A,x,A\n", "A in A"),
        ("A,x,B\nB,x,A\n", "A in B in A"),
        ("Z,x,A\nA,x,B\nB,x,C\nC,x,A\n", "A in B in C in A"),
        (
            "".join(f"P{n},x,P{(n + 1) % 40}\n" for n in range(40)),
            "P0 in P1 in P2 in P3 in … in P38 in P39 in P0",
        ),
    ],
)
def test_a_part_that_is_its_own_ancestor(log_of: ReadLog, rows: str, chain: str) -> None:
    problem = only(log_of({"parts.csv": "number,name,parent\n" + rows}))
    assert "is inside itself" in problem.found
    assert problem.found.endswith(chain)
    assert problem.where.file == "parts.csv"


def test_two_rings_of_parts_are_two_problems(log_of: ReadLog) -> None:
    _, problems = log_of({"parts.csv": "number,name,parent\nA,x,B\nB,x,A\nC,x,D\nD,x,C\nE,x,A\n"})
    assert [problem.where.line for problem in problems] == [2, 4]


def test_rings_of_tasks_and_milestones(log_of: ReadLog) -> None:
    problem = only(log_of({"tasks.csv": "task,title,after\nA,x,\nB,x,A D\nC,x,B\nD,x,C\n"}))
    assert problem.found == 'the task "B" comes after itself: B after D after C after B'
    assert problem.where.line == 3
    own = SETTINGS + 'needs = ["m"]\n[milestones.m]\nneeds = ["first-taxi"]\n'
    problem = only(log_of({"buildlog.toml": own}))
    assert "first-taxi needs m needs first-taxi" in problem.found


@given(
    st.dictionaries(st.integers(0, 7).map(str), st.lists(st.integers(0, 8).map(str), max_size=3), max_size=8)
)
def test_rings_agree_with_networkx(below: dict[str, list[str]]) -> None:
    """Judged by PyPI `networkx`: there is a ring to tell of exactly where the graph is not acyclic."""
    graph = networkx.DiGraph([(name, other) for name, others in below.items() for other in others])
    found = rings(below)
    assert bool(found) == (not networkx.is_directed_acyclic_graph(graph))
    for ring in found:
        for name, after in zip(ring, (*ring[1:], ring[0]), strict=True):
            assert after in below[name]


def test_a_very_long_chain_is_no_ring_and_takes_no_stack() -> None:
    assert rings({str(n): [str(n + 1)] for n in range(50_000)}) == ()


def test_two_entries_of_one_name(log_of: ReadLog) -> None:
    problem = only(log_of({"entries/a/2026-03-14-x.md": "", "entries/b/2026-03-14-x.md": ""}))
    assert problem.where.file == "entries/b/2026-03-14-x.md"
    assert "entries/a/2026-03-14-x.md" in problem.found
    draft = "---\ndraft: true\n---\n"
    assert only(log_of({"entries/a/2026-03-14-x.md": "", "entries/b/2026-03-14-x.md": draft}))


def test_two_entries_whose_names_differ_in_case_are_two(log_of: ReadLog) -> None:
    log, problems = log_of({"entries/2026-03-14-x.md": "", "entries/2026-03-14-X.md": ""})
    assert problems == ()
    assert log
    assert len(log.entries) == 2


VOIDED = "records:\n  - voided:\n    entry: {}\n    record: {}\n    reason: wrong"


def test_voided_names_an_entry_and_a_record_of_it(log_of: ReadLog) -> None:
    other: Files = {
        "entries/2026-03-01-a.md": "---\nrecords: [{damaged: X}, {damaged: Y}]\n---\n",
        "entries/2026-03-02-b.md": "---\ndraft: true\n---\n",
        "entries/2026-03-03-c.md": "",
    }
    assert log_of({**other, **one_entry(VOIDED.format("2026-03-01-a", 2))})[1] == ()
    assert log_of({**other, **one_entry(VOIDED.format("2026-03-01-a.md", 1))})[1] == ()
    problem = only(log_of({**other, **one_entry(VOIDED.format("2026-03-01-a", 3))}))
    assert "has 2 records, and no record 3" in problem.found
    assert (problem.where.line, problem.where.column) == (4, 12)
    assert "has no record" in only(log_of({**other, **one_entry(VOIDED.format("2026-03-03-c", 1))})).found
    assert "is a draft" in only(log_of({**other, **one_entry(VOIDED.format("2026-03-02-b", 1))})).found


def test_the_rule_of_a_deferral_is_checked_where_the_rules_are_known(log_of: ReadLog) -> None:
    header = "records: [{deferred: X, rule: never-inspekted, by: okafor, reason: x, until: 2026-09-01}]"
    assert log_of(one_entry(header))[1] == ()
    problem = only(log_of(one_entry(header), rules=("never-inspected", "lot-expired")))
    assert problem.todo == 'the nearest is "never-inspected"'


def test_a_draft_tells_what_would_be_wrong_in_it_and_stops_nothing(log_of: ReadLog) -> None:
    log, problems = log_of(one_entry("draft: true\npeople: okafer\ntittle: x"))
    assert problems == ()
    assert log
    (draft,) = log.drafts
    assert any("okafer" in told for told in draft.problems)
    assert any("tittle" in told for told in draft.problems)
    assert log.entries == ()


def test_all_problems_of_a_log_come_together_in_order(log_of: ReadLog) -> None:
    files: Files = {
        **one_entry("people: okafer\ndate: 30.2.2026", "<b>"),
        "parts.csv": "number,name,parent\nA,x,B\n",
        "tasks.csv": "task,titel\nA,x\n",
        "entries/undated.md": "",
    }
    _, problems = log_of(files)
    places = [(problem.where.file, problem.where.line) for problem in problems]
    assert places == sorted(places)
    assert {problem.where.file for problem in problems} == set(files)


def test_without_settings_there_is_no_log(log_of: ReadLog) -> None:
    problem = only(log_of(one_entry("people: nobody"), without=("buildlog.toml",)))
    assert "there is no buildlog.toml" in problem.found
    assert assemble([]) == (None, ())
    problem = only(log_of({**one_entry("people: nobody"), "buildlog.toml": "x"}))
    assert problem.where.file == "buildlog.toml"


def test_the_order_of_the_files_changes_nothing() -> None:
    files = {
        "buildlog.toml": SETTINGS,
        "parts.csv": PARTS,
        "tasks.csv": TASKS,
        **{
            f"entries/{name}/2026-03-{day:02}-{name}.md": f"On {day}."
            for day in range(1, 20)
            for name in "ab"
        },
    }
    sheets = [read_sheet(name, text.encode()) for name, text in files.items()]
    expected = assemble(sheets)
    assert expected[0]
    assert len(expected[0].entries) == 38
    for seed in range(5):
        random.Random(seed).shuffle(sheets)
        assert assemble(sheets) == expected
    assert expected[0].entries[0].date == datetime.date(2026, 3, 1)

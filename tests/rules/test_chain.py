"""The chain: rules are known by name only, a file adds one, and what did not change is not checked again."""

from __future__ import annotations

import datetime
import inspect
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path

import msgspec
import pytest

import buildlog
from buildlog.model.key import NOWHERE
from buildlog.reckoning.reckon import reckon
from buildlog.rules import book, chain
from buildlog.rules.finding import Grade
from buildlog.rules.subjects import Subject
from buildlog.works.memo import Memo
from tests.logs import facts
from tests.rules.histories import checked

HERE = {
    "completed-out-of-order",
    "damage-open",
    "deferral-lapsed",
    "revision-differs",
    "test-failed",
    "work-after-completion",
    "date-in-future",
    "day-too-long",
    "evidence-missing",
    "file-date-differs",
    "inspected-by-own-builder",
    "inspection-partial",
    "inspection-rejected",
    "inspection-undone",
    "inspector-not-authorised",
    "lot-expired",
    "media-unreadable",
    "never-inspected",
    "nonconformance-open",
    "not-on-parts-list",
    "not-on-task-list",
    "order-unclear",
    "signature-missing",
    "tool-out-of-calibration",
    "worked-after-inspection",
}

RULE = '''"""A rule of the tests."""
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject

NAME = "{name}"
GRADE = "observation"
SUBJECT = Subject.{subject}


def check(subject, frame):
    yield Finding(rule=NAME, grade=Grade.OBSERVATION, message=type(subject).__name__, why="", clears="")
'''

LOG = """
part W class=assembly
part R parent=W
task T
task U after=T
lot L1
tool G1
broken a.jpg gone
2026-01-10 made W,R lots=L1 tool=G1
2026-01-11 media a.jpg shows=R
2026-02-10 work X-1 task=V hours=1
    deferred R rule=never-inspected by=okafor reason=later until=2026-02-20
2026-03-10 accepted R to-drawing okafor
"""


def _forget() -> None:
    chain.rules.cache_clear()
    chain.rules_about.cache_clear()


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[Path]:
    """A folder that counts as part of the rule book."""
    book.__path__.append(str(tmp_path))
    _forget()
    yield tmp_path
    book.__path__.remove(str(tmp_path))
    _forget()
    for name in [name for name in sys.modules if name.startswith(f"{book.__name__}.of_the_tests")]:
        del sys.modules[name]


def test_the_rules_of_this_issue_are_there_in_order() -> None:
    assert set(chain.names()) >= HERE
    assert list(chain.names()) == sorted(chain.names())


@pytest.mark.parametrize("name", chain.names())
def test_each_rule_says_why_on_what_it_rests_and_what_clears_it(name: str) -> None:
    rule = chain.rule(name)
    why, *rest = rule.text.split("\n\n")
    assert not why.startswith(("Basis", "Flagged"))
    assert [part.split(":")[0] for part in rest[:2]] == ["Basis", "Flagged"]
    assert rest[-1].startswith("Cleared by: ")
    assert any(grade.word in rule.grade for grade in Grade)
    assert inspect.isgeneratorfunction(rule.check)


def test_a_file_adds_a_rule(shelf: Path) -> None:
    (shelf / "of_the_tests_one.py").write_text(RULE.format(name="of-the-tests-one", subject="TASK"))
    assert "of-the-tests-one" in chain.names()
    assert [each.message for each in checked(LOG).all if each.rule == "of-the-tests-one"] == ["TaskPlace"] * 3


@pytest.mark.parametrize(
    ("subject", "handed"),
    [
        (Subject.ITEM, ["ItemStory"] * 3),
        (Subject.PART, ["PartStory"] * 3),
        (Subject.TASK, ["TaskPlace"] * 3),
        (Subject.PERSON, ["PersonStory"] * 5),
        (Subject.LOT, ["LotStory"]),
        (Subject.TOOL, ["ToolStory"]),
        (Subject.ENTRY, ["EntryStory"] * 3),
        (Subject.WRITTEN, ["Entry"] * 4),
        (Subject.MEDIUM, ["MediaUse"]),
        (Subject.UNLISTED_PART, ["Unlisted"]),
        (Subject.UNLISTED_TASK, ["Unlisted"]),
        (Subject.RETURNED, ["Returned"]),
    ],
)
def test_a_rule_is_handed_what_its_subject_says(subject: Subject, handed: list[str], shelf: Path) -> None:
    (shelf / "of_the_tests_one.py").write_text(RULE.format(name="of-the-tests-one", subject=subject.name))
    found = checked(LOG, on="2026-02-28").all
    assert [each.message for each in found if each.rule == "of-the-tests-one"] == handed
    assert handed[0] in subject.value


def test_a_task_comes_with_those_before_it(shelf: Path) -> None:
    text = RULE.format(name="of-the-tests-one", subject="TASK").replace(
        "type(subject).__name__", 'f"{subject.story.key} after {[each.key for each in subject.before]}"'
    )
    (shelf / "of_the_tests_one.py").write_text(text)
    assert "U after ['T']" in [each.message for each in checked(LOG).all]


def test_no_rule_of_that_name() -> None:
    with pytest.raises(KeyError):
        chain.rule("no-such-rule")


@pytest.mark.parametrize("broken", ["NAME = 'another'", "SUBJECT = 'ITEM'", "del check", "del GRADE"])
def test_a_file_that_is_no_rule_is_told(shelf: Path, broken: str) -> None:
    text = RULE.format(name="of-the-tests-two", subject="ITEM")
    (shelf / "of_the_tests_two.py").write_text(f"{text}\n{broken}\n")
    with pytest.raises(TypeError, match="is no rule"):
        chain.rule("of-the-tests-two")


def test_no_rule_is_loaded_before_one_is_asked_for() -> None:
    code = (
        "import sys, buildlog.rules.chain as chain; chain.names();"
        "print([name for name in sys.modules if name.startswith('buildlog.rules.book.')])"
    )
    root = Path(buildlog.__file__).parents[1]
    told = subprocess.run([sys.executable, "-c", code], cwd=root, capture_output=True, text=True, check=True)
    assert told.stdout == "[]\n"


def test_the_rules_are_found_in_a_zipped_package(tmp_path: Path) -> None:
    package = Path(buildlog.__file__).parent
    with zipfile.ZipFile(tmp_path / "buildlog.zip", "w") as zipped:
        for path in package.rglob("*.py"):
            zipped.write(path, Path("buildlog") / path.relative_to(package))
    code = (
        f"import sys; sys.path.insert(0, {str(tmp_path / 'buildlog.zip')!r});"
        "import buildlog.rules.chain as chain; assert '.zip' in chain.__file__;"
        "print(*(chain.rule(name).name for name in chain.names()))"
    )
    told = subprocess.run(
        [sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, check=True
    )
    assert told.stdout.split() == list(chain.names())


def test_what_did_not_change_is_not_checked_again() -> None:
    memo = Memo()
    text = "\n".join(
        [f"part P{n}" for n in range(30)] + [f"2026-{1 + n % 9:02d}-10 made P{n}" for n in range(30)]
    )

    def run(text: str) -> list[str]:
        memo.begin()
        findings = chain.check(reckon(facts(text), datetime.date(2026, 12, 31), memo), memo)
        memo.end()
        assert memo.counts.clashes == 0
        assert findings == chain.check(reckon(facts(text), datetime.date(2026, 12, 31)))
        keys = [miss.key for miss in memo.misses if miss.step is chain.check_bundle]
        return [f"{subject.name} {key}" for subject, key in keys]

    assert len(run(text)) > 30
    assert run(text) == []
    assert run(f"{text}\n2026-10-11 media a.jpg shows=P7") == [
        "ITEM P7",
        "PERSON marit",
        "ENTRY (2026, 9)",  # its last entry has another after it now
        "ENTRY (2026, 10)",
        "WRITTEN (2026, 10)",
    ]


def test_order_by_grade_then_name_as_people_sort_then_rule_then_date() -> None:
    text = (
        "part P10\npart P9\n2026-03-01 made P10\n2026-03-02 made P9\n"
        "2026-03-03 rejected P9 to-drawing okafor\n"
        "2026-03-04 nonconformance P9 id=N1\n2026-03-04 work P9 hours=17 task=T"
    )
    assert [(each.grade.word, each.subject, each.rule) for each in checked(text).all] == [
        ("major", "P9", "inspection-rejected"),
        ("major", "P9", "nonconformance-open"),
        ("major", "P10", "never-inspected"),
        ("minor", "T", "not-on-task-list"),
        ("observation", "marit", "day-too-long"),
        ("observation", "P9", "evidence-missing"),
        ("observation", "P10", "evidence-missing"),
    ]


def test_findings_by_what_they_are_about() -> None:
    findings = checked(LOG)
    item = next(item for item in findings.by_item if item.number == "W")
    assert {each.rule for each in findings.by_item[item]} >= {"never-inspected", "evidence-missing"}
    assert findings.by_part["W"] == findings.by_item[item]
    assert [each.rule for each in findings.by_task["V"]] == ["not-on-task-list"]
    assert "media-unreadable" in {each.rule for each in findings.by_entry["2026-01-11-1"]}
    assert {each.grade for each in findings.at_or_above(Grade.MINOR)} == {Grade.MAJOR, Grade.MINOR}
    assert findings.of(Grade.MINOR) == tuple(e for e in findings.all if e.grade is Grade.MINOR)


def test_below_the_shop_a_finding_carries_no_place() -> None:
    log = facts("part A\n2026-03-01 made A")
    (entry,) = log.entries
    record = msgspec.structs.replace(entry.records[0], where=NOWHERE)
    viewed = msgspec.structs.replace(entry, records=(record,), where=NOWHERE)
    findings = chain.check(reckon(msgspec.structs.replace(log, entries=(viewed,))))
    assert {str(each.where) for each in findings.all} == {""}

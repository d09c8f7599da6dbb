"""The figures that `declassify` lets through. What they hide, tests/edition/test_grants.py shows."""

from __future__ import annotations

import datetime
from fractions import Fraction
from pathlib import Path

import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from buildlog.edition.view import view
from buildlog.model.grants import Grants
from buildlog.model.key import Audience
from buildlog.model.log import Log
from buildlog.reader.log import read_log
from buildlog.readiness import declassified as declassifying
from buildlog.readiness.declassified import declassified
from buildlog.rules.guides.declassify import TEXT
from tests.logs import facts

SAMPLE = Path(__file__).parents[2] / "sample_site"
LISTS = """
task RIBS discipline=wood audience=public
task SPARS discipline=wood
task TUBES discipline=metal
task TALK audience=public
"""
END = "2026-05-20 audience=public\n"


def granted(text: str, *names: str) -> Grants:
    log = facts(text)
    return declassified(log, view(log, Audience.PUBLIC), names)


def hours(text: str) -> dict[str, int]:
    found = granted(text, "hours")
    assert found.total == (sum(row.hours for row in found.hours) or None)
    return {row.discipline: row.hours for row in found.hours}


def sessions(month: int, task: str, *many: str, people: str = "marit") -> str:
    """Sessions of a month, each with these hours on a task."""
    lines = (
        f"2026-{month:02d}-{day:02d} key=s{month}{task}{day} people={people}\n"
        f"    work task={task} hours={each}\n"
        for day, each in enumerate(many, start=1)
    )
    return LISTS + "".join(lines)


FIGURES = [
    pytest.param(sessions(3, "RIBS", "1", "1", "1"), {"wood": 3}, id="three sessions"),
    pytest.param(sessions(3, "RIBS", "9", "9"), {}, id="two are too few"),
    pytest.param(sessions(5, "RIBS", "1", "1", "1"), {}, id="the month that runs"),
    pytest.param(
        sessions(3, "RIBS", "9", "9") + sessions(4, "RIBS", "1"), {"wood": 19}, id="two wait for a third"
    ),
    pytest.param(
        sessions(3, "RIBS", "1", "1", "1") + sessions(4, "RIBS", "9"), {"wood": 3}, id="and after three again"
    ),
    pytest.param(sessions(3, "SPARS", "1", "1", "1"), {"wood": 3}, id="on a hidden task of what is seen"),
    pytest.param(sessions(3, "TUBES", "1", "1", "1"), {"": 3}, id="a discipline that nobody sees"),
    pytest.param(sessions(3, "TALK", "1", "1", "1"), {"": 3}, id="a task of no discipline"),
    pytest.param(sessions(3, "STRAY", "1", "1", "1"), {"": 3}, id="a task on no list"),
    pytest.param(
        sessions(3, "TUBES", "1", "1", "1") + sessions(3, "TALK", "1", "1", "1"),
        {"": 6},
        id="the rest is one",
    ),
    pytest.param(
        sessions(3, "TUBES", "1", "1") + sessions(3, "TALK", "1"), {}, id="but each of it must have three"
    ),
    pytest.param(sessions(3, "RIBS", "1", "1", "0"), {}, id="a session without hours feeds nothing"),
    pytest.param(
        sessions(3, "RIBS", "1", "1", people="marit,bram"), {}, id="two people of a session are one session"
    ),
    pytest.param(
        sessions(3, "RIBS", "1", "1", "1", people="marit,bram"), {"wood": 6}, id="person-hours, as ever"
    ),
    pytest.param(sessions(3, "RIBS", "5/6", "5/6", "5/6"), {"wood": 2}, id="2.5 goes to the even one"),
    pytest.param(sessions(3, "RIBS", "7/6", "7/6", "7/6"), {"wood": 4}, id="and so does 3.5"),
    pytest.param(sessions(3, "RIBS", "1/9", "1/9", "1/9"), {}, id="less than half an hour is not told"),
]


@pytest.mark.parametrize(("text", "expected"), FIGURES)
def test_hours_by_discipline(text: str, expected: dict[str, int]) -> None:
    assert hours(text + END) == expected


def test_one_entry_is_a_session_in_each_of_its_disciplines() -> None:
    both = "".join(
        f"2026-03-0{day}\n    work task=RIBS hours=1\n"
        "    work task=TUBES hours=2\n    work task=SPARS hours=1\n"
        for day in (1, 2, 3)
    )
    assert hours(LISTS + both + END) == {"wood": 6, "": 6}


def test_rows_run_as_the_tasks_do_and_the_rest_comes_last() -> None:
    text = "task B discipline=metal audience=public\n" + sessions(3, "RIBS", *"111")
    text += sessions(3, "B", *"111") + sessions(3, "TALK", *"111")
    assert list(hours(text + END)) == ["metal", "wood", ""]


@pytest.mark.parametrize(
    ("day", "through"),
    [
        ("2026-03-01", "2026-02"),
        ("2026-03-31", "2026-02"),
        ("2026-01-07", "2025-12"),
        ("0101-01-01", "0100-12"),
    ],
)
def test_through_the_month_before_that_of_the_last_public_entry(day: str, through: str) -> None:
    worked = "0100-05-01 people=marit,bram,engel\n    work hours=1\n" * 3
    text = f"{worked}{day} audience=public\n2027-01-01 key=hidden\n"
    assert granted(text, "hours").through == through
    assert granted(text, "people-count").through == through
    assert granted(text, "readiness", "inspection-status").through == ""
    assert granted(f"{day} audience=public\n", "hours", "people-count") == Grants(), "nothing to tell"


def by_pandas(log: Log, day: datetime.date) -> dict[str, int]:
    """The same figures from a table of work lines (CHECKS.md: hours, judged by pandas)."""
    disciplines = {task.task: task.discipline for task in log.tasks}
    rows = [
        (number, pd.Period(entry.date, "M"), disciplines.get(line.task, ""), each.hours)
        for number, entry in enumerate(log.entries)
        for line in entry.work
        for each in line.hours
    ]
    table = pd.DataFrame(rows, columns=["session", "month", "discipline", "hours"])
    table = table[table["month"] < pd.Period(day, "M")]
    seen = {task.discipline for task in log.tasks if task.audience is Audience.PUBLIC} - {""}
    sums: dict[str, Fraction] = {}
    for discipline, mine in table.groupby("discipline"):
        fed = mine.groupby(["month", "session"])["hours"].sum()
        sessions_a_month = fed[fed > 0].groupby(level="month").size()
        until, waiting = None, 0
        for month, many in sessions_a_month.items():
            waiting += many
            if waiting >= 3:
                until, waiting = month, 0
        if until is not None:
            name = str(discipline) if discipline in seen else ""
            whole = mine[mine["month"] <= until]["hours"].sum()
            sums[name] = sums.get(name, Fraction(0)) + whole
    return {name: round(total) for name, total in sums.items() if round(total)}


def test_pandas_comes_to_the_same_hours_of_the_demonstration() -> None:
    log, problems = read_log(SAMPLE)
    assert log is not None, problems
    seen = view(log, Audience.PUBLIC)
    found = declassified(log, seen, ("hours",))
    expected = by_pandas(log, max(entry.date for entry in seen.entries))
    assert len(expected) >= 5
    assert {row.discipline: row.hours for row in found.hours} == expected


LINES = st.lists(
    st.tuples(
        st.dates(datetime.date(2026, 1, 1), datetime.date(2026, 6, 30)),
        st.sampled_from(["RIBS", "SPARS", "TUBES", "TALK", "STRAY"]),
        st.sampled_from(["0", "1/3", "1/2", "7/4", "2", "11"]),
        st.booleans(),
    ),
    min_size=5,
    max_size=25,
)


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(lines=LINES)
def test_pandas_comes_to_the_same_hours(lines: list[tuple[datetime.date, str, str, bool]]) -> None:
    text = LISTS + "2026-01-01 audience=public key=first\n"
    for number, (day, task, each, public) in enumerate(lines):
        audience = "public" if public else "inspector"
        text += f"{day} key=k{number} audience={audience}\n    work task={task} hours={each}\n"
    log = facts(text)
    seen = view(log, Audience.PUBLIC)
    expected = by_pandas(log, max(entry.date for entry in seen.entries))
    assert {row.discipline: row.hours for row in declassified(log, seen, ("hours",)).hours} == expected


TAXI = """
milestone taxi title="First taxi" needs=wheels
milestone wheels
milestone wings title=Wings
milestone secret title="A secret"
""" + "".join(f"task W-{n} milestone=wheels estimate=10 audience=public\n" for n in range(5))


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        pytest.param("", {"wheels": 40}, id="by its key where it has no title"),
        pytest.param(
            "task T milestone=taxi audience=public", {"First taxi": 33, "wheels": 40}, id="with needs"
        ),
        pytest.param("task T milestone=taxi", {"wheels": 40}, id="named by no public task"),
        pytest.param("task V milestone=wheels estimate=50", {"wheels": 20}, id="hidden tasks count"),
        pytest.param("task G milestone=wings audience=public", {"wheels": 40}, id="fewer than five tasks"),
    ],
)
def test_readiness_of_the_milestones_that_the_public_sees(more: str, expected: dict[str, int]) -> None:
    text = TAXI + more + "\n2026-03-01\n    completes W-0,W-1\n2026-03-02 audience=public\n2026-03-03\n"
    text = text.replace("completes W-0,W-1", "completes W-0 W-1")
    found = granted(text + "    completes W-2\n", "readiness")
    assert {row.milestone: row.percent for row in found.readiness} == expected


def test_milestones_run_as_in_the_settings() -> None:
    log, problems = read_log(SAMPLE)
    assert log is not None, problems
    found = declassified(log, view(log, Audience.PUBLIC), ("readiness",))
    assert [row.milestone for row in found.readiness] == [each.title for each in log.settings.milestones]


def test_inspections_are_told_from_ten_on() -> None:
    def told(parts: int) -> int | None:
        names = [f"P-{number}" for number in range(parts)]
        text = "".join(f"part {name}\n" for name in names) + f"2026-03-01 made {','.join(names)}\n"
        text += "2026-03-02 accepted P-0 to-drawing okafor\n2026-03-02 accepted P-1 to-drawing okafor\n"
        return granted(text + END, "inspection-status").inspected_percent

    assert [told(9), told(10), told(11)] == [None, 20, 18]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        pytest.param("2026-03-01 people=marit,bram", None, id="two are too few"),
        pytest.param("2026-03-01 people=marit,bram\n2026-03-02 people=engel,marit", 3, id="different ones"),
        pytest.param("2026-03-01 people=marit,bram\n2026-05-02 people=engel", None, id="complete months"),
        pytest.param("2026-03-01 people=marit,bram present=engel", None, id="who was present did not work"),
        pytest.param(
            "part RIB\n2026-03-01 people=marit,bram\n2026-03-02 accepted RIB to-drawing okafor",
            None,
            id="nor did who signed",
        ),
        pytest.param(
            "2026-03-01 people=marit,bram\n2026-03-02\n    work hours=1 people=engel", 3, id="of a work line"
        ),
    ],
)
def test_people_who_worked(text: str, expected: int | None) -> None:
    assert granted(f"{text}\n{END}", "people-count").people == expected


def test_what_is_not_named_is_not_granted() -> None:
    text = sessions(3, "RIBS", *"111") + END
    assert granted(text) == Grants()
    assert granted(text, "something else") == Grants()
    assert granted(sessions(3, "RIBS", *"111"), "hours", "people-count") == Grants(), "no public entry"


def test_the_guide_gives_the_numbers_that_the_figures_are_held_to() -> None:
    words = {3: "three", 5: "five", 10: "ten"}
    told = " ".join(TEXT.split())
    assert f"{words[declassifying.SESSIONS]} or more sessions" in told
    assert f"fewer than {words[declassifying.TASKS]} tasks" in told
    assert f"fewer than {words[declassifying.INSPECTIONS]} inspections" in told
    assert f"not shown for fewer than {words[declassifying.PEOPLE]}." in told

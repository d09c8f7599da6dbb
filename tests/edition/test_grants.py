"""Whoever keeps every edition, and compares them all, reads nothing finer than `meaning declassify` says.

DESIGN *Editions*, issue 4 point 3. Hours in most of these logs are powers of two, each of one session and
task alone: a published figure then names the very sessions in it, and what differences of figures could tell
apart can be worked out. `BUILDLOG_GRANTS=5000 pytest tests/edition/test_grants.py` makes more logs.
"""

from __future__ import annotations

import datetime
import itertools
import os
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from pathlib import Path

import hypothesis.strategies as st
import msgspec
import pytest
from hypothesis import HealthCheck, assume, given, settings

from buildlog.edition.view import view
from buildlog.model.entry import Entry, PersonHours, WorkLine
from buildlog.model.grants import NO_GRANTS, Grants
from buildlog.model.key import Audience
from buildlog.model.lists import Task
from buildlog.model.log import Log
from buildlog.model.names import names_of
from buildlog.model.records import KINDS
from buildlog.model.settings import EditionSettings, Milestone, Settings
from buildlog.reader.log import read_log
from buildlog.readiness.declassified import declassified
from buildlog.rules.guides.declassify import TEXT

EXAMPLES = int(os.environ.get("BUILDLOG_GRANTS", "300"))
"""The largest run so far: 5,000."""

ALL = ("hours", "readiness", "inspection-status", "people-count")
SAMPLE = Path(__file__).parents[2] / "sample_site"
DISCIPLINES = ("wood", "metal", "paint")
PEOPLE = ("ann", "bo", "cy", "di")
FIRST = datetime.date(2026, 1, 15)


class Session(msgspec.Struct, frozen=True):
    """An entry to be: days after the first, who may see it, and a discipline (or none) for each line."""

    after: int
    public: bool
    lines: tuple[tuple[str, bool], ...]
    people: tuple[str, ...] = ("ann",)

    @property
    def date(self) -> datetime.date:
        return FIRST + datetime.timedelta(days=self.after)


SESSIONS = st.lists(
    st.builds(
        Session,
        after=st.integers(0, 100),
        public=st.booleans(),
        lines=st.lists(
            st.tuples(st.sampled_from((*DISCIPLINES, "")), st.booleans()), min_size=1, max_size=2
        ).map(tuple),
        people=st.lists(st.sampled_from(PEOPLE), min_size=1, max_size=2, unique=True).map(tuple),
    ),
    min_size=10,
    max_size=20,
).map(lambda many: sorted(many, key=lambda each: each.after))
SHOWN = st.frozensets(st.sampled_from(DISCIPLINES))


def log_of(sessions: Sequence[Session], shown: Iterable[str] = DISCIPLINES) -> Log:
    """A log of these sessions. Each discipline has a hidden task, and a public one where it is `shown`."""
    tasks = []
    for name in DISCIPLINES:
        audience = Audience.PUBLIC if name in shown else Audience.SHOP
        tasks.append(Task(task=name, title=name, discipline=name, milestone="taxi", audience=audience))
        hidden = Task(task=f"{name}-2", title=name, discipline=name, audience=Audience.SHOP)
        tasks.append(hidden)
    hour, entries = 1, []
    for number, session in enumerate(sessions):
        work = []
        for discipline, hidden_task in session.lines:
            task = f"{discipline}-2" if hidden_task and discipline else discipline
            work.append(WorkLine(task=task, hours=(PersonHours(session.people[0], Fraction(hour)),)))
            hour *= 2
        audience = Audience.PUBLIC if session.public else Audience.INSPECTOR
        key = f"{session.date}-{number:02d}"
        entries.append(
            Entry(key=key, date=session.date, audience=audience, people=session.people, work=tuple(work))
        )
    return Log(
        settings=Settings(title="T", milestones=(Milestone(key="taxi"),)),
        tasks=tuple(tasks),
        entries=tuple(entries),
    )


def feeders(sessions: Sequence[Session]) -> list[int]:
    """The session that each power of two is the hours of."""
    return [number for number, session in enumerate(sessions) for _ in session.lines]


def granted(log: Log, names: Iterable[str] = ALL) -> Grants:
    return declassified(log, view(log, Audience.PUBLIC), names)


def editions(sessions: Sequence[Session], shown: Iterable[str] = DISCIPLINES) -> Iterator[Grants]:
    """What is granted before the first session and after each one."""
    for much in range(len(sessions) + 1):
        yield granted(log_of(sessions[:much], shown), ("hours", "people-count"))


def figures(grants: Iterable[Grants]) -> set[int]:
    return {figure for each in grants for figure in (each.total or 0, *(row.hours for row in each.hours))}


def finest(told: Iterable[int], fed_by: Sequence[int]) -> int:
    """From how many sessions the hours come, at least, that can be told apart by sums and differences.

    Two powers of two that every figure holds both or neither of cannot be told apart: no sum of multiples of
    figures holds the one without the other. So those alike are the finest that anybody could read.
    """
    alike: dict[tuple[bool, ...], set[int]] = {}
    ordered = sorted(told)
    for place, session in enumerate(fed_by):
        held = tuple(bool(figure >> place & 1) for figure in ordered)
        if any(held):
            alike.setdefault(held, set()).add(session)
    return min(map(len, alike.values()), default=99)


TALLY = [0, 0]


@settings(max_examples=EXAMPLES, suppress_health_check=[HealthCheck.too_slow])
@given(sessions=SESSIONS, ways=st.lists(SHOWN, min_size=1, max_size=3))
def test_all_editions_together_tell_of_no_fewer_than_three_sessions(
    sessions: list[Session], ways: list[frozenset[str]]
) -> None:
    """Before and after each session, and with other tasks public each time round."""
    told = figures(each for shown in ways for each in editions(sessions, shown))
    TALLY[0] += 1
    TALLY[1] += len(told) > 2  # nothing at all, and two figures that differ
    assert finest(told, feeders(sessions)) >= 3


def test_most_of_those_logs_had_something_to_tell() -> None:
    if TALLY[0] < EXAMPLES // 2:
        pytest.skip("the logs were made by another process")
    assert TALLY[1] >= TALLY[0] / 2, TALLY


THREE_AND_ONE = (
    Session(0, False, (("metal", True),)),
    Session(1, False, (("metal", True),)),
    Session(2, False, (("metal", True),)),
    Session(3, False, (("", False),)),
    Session(40, True, ()),
)


def test_that_reader_would_see_through_cells_that_depend_on_what_is_public() -> None:
    """Month by month, small cells put with the disciplines that nobody sees: as safe as it looks, it is not.

    Once the metal has a public task, the rest of that month has one session, is left out, and the difference
    of the two totals is its hours. This is what the check above finds, and why cells are made otherwise.
    """

    def told_by(shown: Iterable[str]) -> set[int]:
        cells: dict[str, tuple[set[int], int]] = {}
        for number, session in enumerate(THREE_AND_ONE[:4]):
            for discipline, _ in session.lines:
                key = discipline if discipline in shown else ""
                fed, hours = cells.get(key, (set(), 0))
                cells[key] = (fed | {number}, hours + 2**number)
        return {hours for fed, hours in cells.values() if len(fed) >= 3}

    fed_by = feeders(THREE_AND_ONE)
    assert finest(told_by(()) | told_by(("metal",)), fed_by) == 1
    ours = figures((granted(log_of(THREE_AND_ONE, ())), granted(log_of(THREE_AND_ONE, ("metal",)))))
    assert ours == {0b111}
    assert finest(ours, fed_by) == 3


def told_again(
    log: Log, until: datetime.date, shown: Iterable[str]
) -> dict[str, list[list[tuple[int, Fraction]]]]:
    """Worked out once more: the cells under each published name, each with its sessions and their hours."""
    disciplines = {task.task: task.discipline for task in log.tasks}
    found: dict[str, list[list[tuple[int, Fraction]]]] = {}
    for discipline in {*disciplines.values(), ""}:
        cell: list[tuple[int, Fraction]] = []
        month = (0, 0)
        for number, entry in enumerate((*log.entries, None)):
            now = (entry.date.year, entry.date.month) if entry else (9999, 1)
            if now != month and len(cell) >= 3:
                found.setdefault(discipline if discipline in shown else "", []).append(cell)
                cell = []
            month = now
            if entry is None or now >= (until.year, until.month):
                break
            hours = sum(
                (
                    each.hours
                    for line in entry.work
                    if disciplines.get(line.task, "") == discipline
                    for each in line.hours
                ),
                Fraction(0),
            )
            if hours:
                cell.append((number, hours))
    return found


def check_a_walk(log: Log, names: Iterable[str]) -> int:
    """Compare what is granted before and after each session; return how often something rose."""
    shown = {task.discipline for task in view(log, Audience.PUBLIC).tasks}
    before, rose, day = NO_GRANTS, 0, None
    for much, last in enumerate(log.entries, start=1):
        part = msgspec.structs.replace(log, entries=log.entries[:much])
        after = granted(part, names)
        public = last.audience is Audience.PUBLIC
        turned = public and (day is None or (last.date.year, last.date.month) != (day.year, day.month))
        if public:
            day = last.date
        if not turned:
            kept = ("through", "hours", "total", "people")
            assert [getattr(after, name) for name in kept] == [getattr(before, name) for name in kept]
        elif day is not None:
            cells = told_again(part, day, shown)
            exact = {name: sum(hours for cell in many for _, hours in cell) for name, many in cells.items()}
            expected = {name: round(total) for name, total in exact.items()}
            assert {row.discipline: row.hours for row in after.hours} == {
                name: hours for name, hours in expected.items() if hours
            }
            assert after.total == (sum(expected.values()) or None)
            assert all(len({number for number, _ in cell}) >= 3 for many in cells.values() for cell in many)
            rose += after.hours != before.hours
        before = after
    return rose


def test_before_and_after_each_session_of_the_demonstration() -> None:
    log, problems = read_log(SAMPLE)
    assert log is not None, problems
    assert check_a_walk(log, ("hours", "people-count", "readiness")) >= 15


PARTS_OF_HOURS = st.sampled_from(
    [Fraction(1, 3), Fraction(1, 2), Fraction(7, 4), Fraction(5, 2), Fraction(0)]
)


@settings(max_examples=100, suppress_health_check=[HealthCheck.too_slow])
@given(sessions=SESSIONS, shown=SHOWN, hours=st.lists(PARTS_OF_HOURS, min_size=36, max_size=36))
def test_a_figure_rises_at_a_months_turn_and_by_whole_cells(
    sessions: list[Session], shown: frozenset[str], hours: list[Fraction]
) -> None:
    log, place = log_of(sessions, shown), itertools.cycle(hours)
    entries = tuple(
        msgspec.structs.replace(
            entry,
            work=tuple(
                msgspec.structs.replace(line, hours=(PersonHours("ann", next(place)),)) for line in entry.work
            ),
        )
        for entry in log.entries
    )
    check_a_walk(msgspec.structs.replace(log, entries=entries), ("hours", "people-count"))


@settings(max_examples=100, suppress_health_check=[HealthCheck.too_slow])
@given(sessions=SESSIONS, extra=st.lists(st.integers(0, 160), min_size=1, max_size=4))
def test_what_is_hidden_in_the_month_that_runs_or_later_changes_no_hours_and_no_count(
    sessions: list[Session], extra: list[int]
) -> None:
    days = [session.date for session in sessions if session.public]
    assume(days)
    turn = max(days).replace(day=1)
    more = [Session(after, False, (("wood", True),), ("di",)) for after in extra]
    more = [session for session in more if session.date >= turn]
    assume(more)
    log = log_of(sessions)
    added = [msgspec.structs.replace(each, key=f"{each.key}-more") for each in log_of(more).entries]
    entries = sorted((*log.entries, *added), key=lambda each: (each.date, each.key))
    with_more = msgspec.structs.replace(log, entries=tuple(entries))
    names = ("hours", "people-count")
    one, other = granted(log, names), granted(with_more, names)
    assert one == other
    assert view(log, Audience.PUBLIC, one) == view(with_more, Audience.PUBLIC, other)


def test_what_is_later_than_the_last_that_the_public_sees_changes_nothing() -> None:
    """An entry after that day, and a record in an entry of that day that is dated later, are left out."""
    log, problems = read_log(SAMPLE)
    assert log is not None, problems
    day = datetime.date(2026, 3, 28)
    then = [each for each in log.entries if each.date <= day]
    assert max(each.date for each in then if each.audience is Audience.PUBLIC) == day
    hidden = [
        msgspec.structs.replace(each, audience=Audience.INSPECTOR) if each.date > day else each
        for each in log.entries
    ]
    every = tuple(str(item) for items in names_of(log.parts).items.values() for item in items)
    damaged = KINDS["damaged"](of=every, date=day + datetime.timedelta(days=1))
    written_late = [
        msgspec.structs.replace(each, records=(*each.records, damaged)) if each.date == day else each
        for each in hidden
    ]
    expected = granted(msgspec.structs.replace(log, entries=tuple(then)))
    assert expected.inspected_percent
    assert expected.readiness
    for entries in (hidden, written_late):
        assert granted(msgspec.structs.replace(log, entries=tuple(entries))) == expected
    on_that_day = msgspec.structs.replace(damaged, date=day)
    seen_then = [
        msgspec.structs.replace(each, records=(*each.records, on_that_day)) if each.date == day else each
        for each in hidden
    ]
    assert granted(msgspec.structs.replace(log, entries=tuple(seen_then))) != expected, "a damage shows"


def test_a_correction_in_a_complete_month_shows_as_the_difference() -> None:
    """What the guide warns of: a session written up late shows by about its hours, and by nothing more."""
    sessions = [Session(day, False, (("wood", False),)) for day in range(5)]
    sessions.append(Session(40, True, ()))
    whole = log_of(sessions)
    without = msgspec.structs.replace(whole, entries=whole.entries[:2] + whole.entries[3:])
    one, other = granted(whole, ("hours",)), granted(without, ("hours",))
    assert (one.total or 0) - (other.total or 0) == 4
    assert "written up late" in guide()


def guide() -> str:
    return " ".join(TEXT.split())


def test_off_unless_named_and_nothing_where_nothing_is_public() -> None:
    log, problems = read_log(SAMPLE)
    assert log is not None, problems
    assert granted(log, ()) == NO_GRANTS
    hidden = tuple(msgspec.structs.replace(each, audience=Audience.INSPECTOR) for each in log.entries)
    assert granted(msgspec.structs.replace(log, entries=hidden)) == NO_GRANTS
    whole = granted(log)
    alone = {name: granted(log, (name,)) for name in ALL}
    for name, field in (("readiness", "readiness"), ("inspection-status", "inspected_percent")):
        assert alone[name] == Grants(**{field: getattr(whole, field)})
    assert alone["hours"] == Grants(through=whole.through, hours=whole.hours, total=whole.total)
    assert alone["people-count"] == Grants(through=whole.through, people=whole.people)


def test_a_view_does_not_say_what_is_named() -> None:
    log = log_of(THREE_AND_ONE)
    named = EditionSettings(key="public", declassify=("hours",))
    log = msgspec.structs.replace(log, settings=msgspec.structs.replace(log.settings, editions=(named,)))
    assert view(log, Audience.PUBLIC).settings.editions == (EditionSettings(key="public"),)
    assert view(log, Audience.INSPECTOR).settings.editions == ()
    assert view(log, Audience.SHOP) is log
    assert view(log, Audience.INSPECTOR).grants == NO_GRANTS, "it has records of its own, and no grants"

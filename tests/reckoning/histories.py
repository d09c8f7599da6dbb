"""Generated histories: a few items in assemblies and everything that may happen to them."""

from __future__ import annotations

from typing import Any

import msgspec
from hypothesis import strategies as st

from buildlog.model.entry import Entry, WorkLine
from buildlog.model.lists import Part
from buildlog.model.log import Log
from buildlog.model.records import AnyRecord, kind_of
from tests.reckoning.logs import PARTS, at, entry, log, no, ok, on, rec, work

ITEMS = ("PLANE", "WING/L", "RIB/L", "SPAR/L", "BOX", "CLIP", "TAB", "LUG")
USED: tuple[Part, ...] = tuple(
    msgspec.structs.replace(part, joins=())
    for part in PARTS
    if part.number in {i.split("/")[0] for i in ITEMS}
)
PEOPLE = ("ann", "bo", "ida", "ivo", "ole", "eva")
TIMES = (None, "08:00", "12:00", "17:00")

GROUPS = (
    ("WING/L", "RIB/L"),
    ("PLANE", "RIB/L"),
    ("PLANE", "WING/L", "SPAR/L"),
    ("BOX", "CLIP"),
    ("BOX", "CLIP", "RIB/L"),
    ("TAB", "LUG", "CLIP"),
    ITEMS,
)
_INSPECTORS = st.sampled_from(("ida", "ida", "bo", "ole", "ivo", "ida ole", "ann"))
_STAGES = st.sampled_from(("to-drawing", "pre-close", "pre-close"))
_AREAS = st.sampled_from(("", "root"))


def _facts(items: tuple[str, ...], *, ends: bool) -> st.SearchStrategy[Any]:
    """Anything that may happen to some items."""
    item = st.sampled_from(items)

    def of(*kinds: str) -> st.SearchStrategy[AnyRecord]:
        return st.builds(rec, st.sampled_from(kinds), item)

    look = st.builds(
        lambda make, of, stage, by, more: make(of, stage, by, **more),
        st.sampled_from((ok, ok, ok, no)),
        item,
        _STAGES,
        _INSPECTORS,
        st.sampled_from(({}, {}, {}, {"scope": "left end"}, {"document": "scan.pdf"}, {"clears": "N1"})),
    )
    test = st.builds(
        lambda of, stage, result: rec("tested", of, stage=stage, by="ida", result=result),
        item,
        _STAGES,
        st.sampled_from(("passed", "failed")),
    )
    moves = (
        st.builds(lambda of, whole: rec("installed", of, on=whole), item, item),
        st.builds(lambda of, whole: rec("removed", of, from_=whole), item, st.sampled_from(("", *items))),
    )
    what = st.one_of(
        st.just({}),
        st.just({}),
        st.builds(lambda i: {"hides": i}, item),
        st.builds(lambda i: {"except_": i}, item),
    )
    shuts = (
        st.builds(lambda of, area, more: rec("closed", of, area=area, **more), item, _AREAS, what),
        st.builds(lambda of, area: rec("opened", of, area=area), item, _AREAS),
    )
    hold = st.one_of(
        st.builds(lambda of: rec("nonconformance", of, id="N1"), item),
        st.builds(
            lambda of, by, decision: rec("disposition", of, id="N1", by=by, decision=decision),
            item,
            st.sampled_from(("eva", "ida", "ole", "ann")),
            st.sampled_from(("use-as-is", "rework", "repair", *(("scrap",) if ends else ()))),
        ),
    )
    labour = st.builds(
        lambda of, kind, people: work(of, kind=kind, people=people),
        item,
        st.sampled_from(("bonding", "cleaning")),
        st.sampled_from(("", "bo", "ida")),
    )
    changes = of("made", "received", "modified", "damaged", "repaired")
    drawn = st.builds(
        lambda of, effect: rec("drawing_changed", of, to="B", effect=effect),
        item,
        st.sampled_from(("reinspect", "none", "")),
    )
    more = (of("scrapped", "returned"),) if ends else ()
    return st.one_of(look, look, look, test, changes, changes, *moves, *shuts, hold, labour, drawn, *more)


def _made(of: str, _stage: str) -> AnyRecord:
    return rec("made", of)


@st.composite
def histories(draw: st.DrawFn, *, ordered: bool, most: int = 14) -> Log:
    """A log of a few entries. `ordered` leaves no order open, and may then scrap and void.

    Otherwise all that an entry says of a day has a time, or nothing of it. Where both are mixed, orders
    follow from others (a time before a time, above what has none); the log's words leave those open too.
    """
    group = draw(st.sampled_from(GROUPS))
    found = draw(st.lists(_facts(group, ends=ordered), min_size=2, max_size=most))
    entries: list[Entry] = []
    day, number = 1, 0
    if draw(st.booleans()):  # most of what can go wrong goes wrong after an acceptance
        passed = [make(each, "pre-close") for each in reversed(group) for make in (_made, ok)]
        entries.append(entry(day, *passed, key="0", start="00:00"))
        day = draw(st.integers(1, 2))
    while found:
        day += draw(st.integers(0, 2))
        number += 1
        here, found = found[:3], found[3:]
        size = draw(st.integers(1, 3))
        here, found = here[:size], [*here[size:], *found]
        entries.append(_entry(draw, day, number, here, ordered=ordered))
    if ordered and draw(st.booleans()):
        entries.append(_voiding(draw, entries, day + 1))
    return log(*entries, parts=USED)


def _entry(draw: st.DrawFn, day: int, number: int, facts: list[Any], *, ordered: bool) -> Entry:
    start = f"{number:02}:30" if ordered else draw(st.sampled_from(TIMES))
    dated = []
    for place, fact in enumerate(facts):
        if isinstance(fact, WorkLine):
            dated.append(fact)
            continue
        more: dict[str, Any] = {}
        if draw(st.integers(0, 5)) == 0:
            more["date"] = on(max(1, day - draw(st.integers(1, 3))))
            more["time"] = at(f"{number:02}:{place:02}") if ordered else None
        elif start and not ordered and draw(st.integers(0, 3)) == 0:
            more["time"] = at(draw(st.sampled_from(TIMES)))
        elif ordered and draw(st.integers(0, 3)) == 0:
            more["time"] = at(f"{number:02}:{draw(st.integers(10, 59)):02}")
        dated.append(msgspec.structs.replace(fact, **more))
    key = f"{number:02}" if ordered else f"{draw(st.integers(0, 9))}-{number:02}"
    people = draw(st.sampled_from(("ann", "bo", "ann bo")))
    return entry(day, *dated, key=key, start=start, people=people)


def _voiding(draw: st.DrawFn, entries: list[Entry], day: int) -> Entry:
    """An entry that strikes some records, and perhaps one of its own strikings."""
    marks = [(e.key, n) for e in entries for n in range(1, len(e.records) + 1)]
    struck = draw(st.lists(st.sampled_from(marks), min_size=1, max_size=2)) if marks else []
    records = [rec("voided", entry=key, record=n, reason="wrong") for key, n in struck]
    if records and draw(st.booleans()):
        own = f"{on(day)}-void"
        records.append(rec("voided", entry=own, record=1, reason="right after all"))
    return entry(day, *records, key="void", start="23:00")


def told_shortly(log: Log) -> str:
    """A history as one reads it, for the message of a failing test."""
    lines = []
    for each in log.entries:
        lines.append(f"{each.key} {each.start or ''} by {' '.join(each.people)}")
        lines.extend(f"    work {w.parts[0].name} {w.kind} {' '.join(w.people)}" for w in each.work)
        for n, record in enumerate(each.records, 1):
            fields = {
                k: v for k, v in msgspec.structs.asdict(record).items() if v and k not in ("of", "where")
            }
            lines.append(f"  {n} {kind_of(record)} {' '.join(record.of)} {fields}")
    return "\n".join(lines)

"""Since the last visit: what was done, changed, closed and found after an inspector last looked, or a day.

An inspector reads it before anything else, so it leans to telling too much: what has no order to the last
look of that day is told, and so is what was written up later of a day before it.
"""

from __future__ import annotations

import datetime
import enum
from collections.abc import Callable, Iterable, Mapping

import msgspec

from buildlog.model.names import Item
from buildlog.readiness.assemblies import by_assembly
from buildlog.reckoning.events import Event, Labour
from buildlog.reckoning.knowledge import Knowledge
from buildlog.reckoning.order import BY_TIME, Moment, Order, compare
from buildlog.reckoning.whereabouts import Seats, beneath, children_of
from buildlog.rules.finding import Finding, Findings, Grade


class Sort(enum.Enum):
    """What sort of thing happened; the value heads the list of them."""

    CLOSED = "Closed up or opened"
    CHANGED = "Changed, put in, taken out"
    FOUND = "Found, decided, put off"
    LOOKED = "Looked at by others"
    STRUCK = "Struck through"
    DONE = "Measured, torqued and else recorded"


_SORTS: Mapping[str, Sort] = {
    **dict.fromkeys(("closed", "opened"), Sort.CLOSED),
    **dict.fromkeys(
        ("received", "made", "modified", "repaired", "scrapped", "returned", "installed", "removed",
         "loosened", "drawing_changed", "reidentified"),
        Sort.CHANGED,
    ),
    **dict.fromkeys(("damaged", "nonconformance", "disposition", "deferred"), Sort.FOUND),
    **dict.fromkeys(("inspected", "tested"), Sort.LOOKED),
}  # fmt: skip


class Happened(msgspec.Struct, frozen=True):
    """An assembly since a visit.

    `day` is that of the last look in it and None where there was none; `looks` are that day's. `since` is the
    day that the telling starts from. `findings` are the major and minor ones that stand now, new ones first,
    `new` how many of them rest on something told here.
    """

    assembly: Item
    name: str
    day: datetime.date | None
    looks: tuple[Event, ...]
    since: datetime.date | None
    events: dict[Sort, tuple[Event, ...]]
    labour: tuple[Labour, ...]
    findings: tuple[Finding, ...]
    new: int


class _Start(msgspec.Struct, frozen=True):
    """From when on: after a moment, or after a whole day; None for ever."""

    day: datetime.date
    moment: Moment | None = None


def last_visit(knowledge: Knowledge, inspector: str) -> datetime.date | None:
    """The last day on which a person inspected or tested something; None where they never did."""
    story = knowledge.people.get(inspector)
    looks = [event.moment.day for event in story.inspected if event.struck is None] if story else []
    return max(looks, default=None)


def since_visit(
    knowledge: Knowledge, findings: Findings, seats: Seats, inspector: str, of: Item | None = None
) -> tuple[Happened, ...]:
    """What happened in each assembly since a person last inspected or tested something in it.

    Where they never did, since their last visit to anything; where there was none, only what stands now.
    `of` is the one item to tell of, with what is in it, if not all.
    """
    story = knowledge.people.get(inspector)
    looked: dict[Item, list[Event]] = {}
    for event in story.inspected if story else ():
        if event.struck is None:
            looked.setdefault(event.item, []).append(event)
    visit = last_visit(knowledge, inspector)

    def start(items: tuple[Item, ...]) -> tuple[_Start | None, tuple[Event, ...]]:
        looks = sorted((look for item in items for look in looked.get(item, ())), key=BY_TIME)
        if not looks:
            return (_Start(visit) if visit else None), ()
        last = looks[-1].moment
        return _Start(last.day, last), tuple(look for look in looks if look.moment.day == last.day)

    return _happened(knowledge, findings, _told_apart(knowledge, seats, of), start, inspector)


def since_day(
    knowledge: Knowledge, findings: Findings, seats: Seats, day: datetime.date, of: Item | None = None
) -> tuple[Happened, ...]:
    """What happened after a day in each assembly, or in one item and what is in it."""
    apart = _told_apart(knowledge, seats, of)
    return _happened(knowledge, findings, apart, lambda _: (_Start(day), ()), "")


def _told_apart(knowledge: Knowledge, seats: Seats, of: Item | None) -> dict[Item, tuple[Item, ...]]:
    if of is None:
        return by_assembly(knowledge.items, seats)
    inside = (way[-1] for way, _ in beneath(of, children_of(seats)))
    return {of: tuple(item for item in (of, *inside) if item in knowledge.items)}


def _happened(
    knowledge: Knowledge,
    findings: Findings,
    apart: Mapping[Item, tuple[Item, ...]],
    start: Callable[[tuple[Item, ...]], tuple[_Start | None, tuple[Event, ...]]],
    inspector: str,
) -> tuple[Happened, ...]:
    found = []
    written = {key: story.entry.date for key, story in knowledge.entries.items()}
    for assembly, items in apart.items():
        begun, looks = start(items)
        events: list[Event] = []
        labour: list[Labour] = []
        if begun is not None:
            for item in items:
                story = knowledge.items[item]
                own = (event for event in story.chronicle.events if _later(event, begun, written))
                events += (e for e in own if not _own_look(e, begun, inspector))
                labour += (work for work in story.chronicle.labour if _after(work.moment, begun, written))
        stands = _stands(items, findings)
        told = {(event.entry, event.place) for event in events}
        worked = {(work.entry, work.line) for work in labour}
        new = tuple(each for each in stands if _is_new(each, told, worked))
        if not (events or labour or stands or looks):
            continue
        name = knowledge.items[assembly].part if assembly in knowledge.items else None
        found.append(
            Happened(
                assembly=assembly,
                name=name.name if name else "",
                day=begun.day if begun and looks else None,
                looks=looks,
                since=begun.day if begun else None,
                events=_sorted(events),
                labour=tuple(sorted(labour, key=BY_TIME)),
                findings=(*new, *(each for each in stands if each not in new)),
                new=len(new),
            )
        )
    return tuple(found)


def _later(event: Event, begun: _Start, written: Mapping[str, datetime.date]) -> bool:
    """Whether a record is to be told: it came after, or was struck through after."""
    struck = event.struck is not None and _after(event.struck.moment, begun, written)
    return struck or (event.struck is None and _after(event.moment, begun, written))


def _after(moment: Moment, begun: _Start, written: Mapping[str, datetime.date]) -> bool:
    if written.get(moment.entry, moment.day) > begun.day:
        return True
    if begun.moment is None:
        return moment.day > begun.day
    return compare(moment, begun.moment) in (Order.AFTER, Order.UNCLEAR)


def _own_look(event: Event, begun: _Start, inspector: str) -> bool:
    """Whether it is one of the looks of that very visit."""
    kind = event.kind in ("inspected", "tested") and event.struck is None
    return kind and inspector in event.people and event.moment.day <= begun.day


def _sorted(events: Iterable[Event]) -> dict[Sort, tuple[Event, ...]]:
    """By sort; a voiding is told with what it strikes."""
    found: dict[Sort, list[Event]] = {sort: [] for sort in Sort}
    for event in sorted(events, key=BY_TIME):
        sort = _SORTS.get(event.kind, Sort.DONE) if event.struck is None else Sort.STRUCK
        if event.kind != "voided":
            found[sort].append(event)
    return {sort: tuple(each) for sort, each in found.items() if each}


def _stands(items: Iterable[Item], findings: Findings) -> list[Finding]:
    found = [each for item in items for each in findings.by_item.get(item, ())]
    return sorted((each for each in found if each.grade is not Grade.OBSERVATION), key=_gravity)


def _gravity(finding: Finding) -> tuple[bool, int]:
    return finding.deferred is not None, finding.grade


def _is_new(finding: Finding, told: set[tuple[str, int]], worked: set[tuple[str, int]]) -> bool:
    return any(
        (rest.entry, rest.place) in (worked if rest.sort == "work" else told)
        for rest in finding.rests
        if rest.sort in ("record", "work")
    )

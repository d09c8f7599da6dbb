"""The inspector's pages: what happened since each inspector's last visit, and what to look at on the next."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence

import msgspec

from buildlog.model.log import MediaFile
from buildlog.pages import address, words
from buildlog.pages import guide as to
from buildlog.pages.answers import listed
from buildlog.pages.frame import Link, Page, Row
from buildlog.pages.guide import Guide
from buildlog.pages.remarks import remark
from buildlog.pages.rows import Media, Titles, event_row, labour_row
from buildlog.pages.visit_sheets import CallGroup, CallLine, VisitLine, VisitSection, VisitSheet, VisitsSheet
from buildlog.readiness.next_visit import Call, Turn
from buildlog.readiness.since import Happened, Sort
from buildlog.reckoning.events import Event, Labour

Sentence = tuple[Link, ...]

INDEX = "visits/index.html"

_TURNS = {
    Turn.BEFORE_CLOSING: (
        "To be looked at before it is closed",
        "It is inside something that is still to be closed up, or is to be closed up itself.",
    ),
    Turn.NOW: ("Can be looked at now", "Nothing in this log is in the way; look at the part all the same."),
    Turn.BEHIND_A_CLOSING: ("Behind a closing", "It has to be opened before anybody can look at it."),
    Turn.NOT_YET: ("Not yet, and why", "Something else is to be settled first."),
}

_NOUNS = {
    Sort.CLOSED: ("closing or opening", "closings and openings"),
    Sort.CHANGED: ("change", "changes"),
    Sort.FOUND: ("trouble or decision", "troubles and decisions"),
    Sort.LOOKED: ("look by others", "looks by others"),
    Sort.STRUCK: ("record struck through", "records struck through"),
    Sort.DONE: ("other record", "other records"),
}


class Visitor(msgspec.Struct, frozen=True):
    """An inspector and the day of their last visit, None where they never inspected anything."""

    key: str
    last: datetime.date | None


class VisitBundle(msgspec.Struct, frozen=True):
    """All that the page of an inspector's last visit shows, beside the guide."""

    visitor: Visitor
    happened: tuple[Happened, ...]
    titles: dict[str, str]
    media: dict[str, MediaFile]


def visit_lines(guide: Guide, visitors: Iterable[Visitor]) -> tuple[VisitLine, ...]:
    """Each inspector with the way to what happened since they were last there."""
    lines = []
    for each in visitors:
        name = guide.person(each.key).text
        last = each.last.isoformat() if each.last else ""
        lines.append(
            VisitLine(visit=Link(f"Since the last visit of {name}", address.of_visit(each.key)), last=last)
        )
    return tuple(lines)


def draw_visits(
    guide: Guide, visitors: tuple[Visitor, ...], calls: tuple[Call, ...], titles: dict[str, str]
) -> Page:
    """The page that prepares the next visit; it leads to those of the last ones."""
    groups: dict[Turn, list[CallLine]] = {}
    for number, call in enumerate(calls, start=1):
        groups.setdefault(call.turn, []).append(_call(guide, call, number, titles))
    sheet = VisitsSheet(
        block=guide.block(INDEX, "The next visit"),
        visits=visit_lines(guide, visitors),
        groups=tuple(
            CallGroup(title=_TURNS[turn][0], note=_TURNS[turn][1], lines=tuple(lines))
            for turn, lines in groups.items()
        ),
    )
    return Page(INDEX, "visits.html", sheet)


def _call(guide: Guide, call: Call, number: int, titles: Titles) -> CallLine:
    says: list[Sentence] = []
    if call.after:
        says.append((Link("After what is inside it: "), *listed([to.item(each) for each in call.after])))
    says += ((Link(each),) for each in call.waits)
    for item, closing in call.opens:
        area = f" ({closing.area})" if closing.area else ""
        day = closing.event.moment.day.isoformat()
        says.append(
            (to.item(item), Link(f"{area} was closed on "), _leads(closing.event, titles, day), Link("."))
        )
    says += ((Link(f"It would clear {each}, if that was put right."),) for each in call.clears)
    for finding in call.put_off:
        if finding.deferred is not None:
            people = ", ".join(each.text for each in guide.folk(finding.deferred.by))
            until = guide.milestone(finding.deferred.until).text
            told = (
                f"The finding {finding.rule} is put off until {until} by {people}: {finding.deferred.reason}"
            )
            says.append((Link(told),))
    if call.tasks:
        says.append((Link("Still in work: "), *listed([to.task(each) for each in call.tasks])))
    last = call.stage.last
    return CallLine(
        number=number,
        item=to.item(call.item),
        name=call.name,
        stage=call.stage.stage.title or call.stage.stage.key,
        status=words.status(call.stage.status),
        last=_leads(last, titles, last.moment.day.isoformat()) if last else None,
        milestone=guide.milestone(call.due_for).text if call.due_for else "",
        who=tuple(guide.person(each) for each in call.who),
        says=tuple(says),
    )


def _leads(event: Event, titles: Titles, text: str) -> Link:
    return to.entry(event.entry, text, f"r{event.place}") if event.entry in titles else Link(text)


def draw_visit(guide: Guide, bundle: VisitBundle) -> Page:
    """What happened since an inspector's last visit, by assembly."""
    visitor = bundle.visitor
    at, name = address.of_visit(visitor.key), guide.person(visitor.key).text
    sheet = VisitSheet(
        block=guide.block(at, f"Since the last visit of {name}"),
        person=guide.person(visitor.key),
        last=visitor.last.isoformat() if visitor.last else "",
        next=Link("What to look at on the next visit", INDEX),
        sections=tuple(
            _section(guide, number, each, bundle.titles, bundle.media)
            for number, each in enumerate(bundle.happened, start=1)
        ),
    )
    return Page(at, "visit.html", sheet)


def _section(guide: Guide, number: int, of: Happened, titles: Titles, media: Media) -> VisitSection:
    groups = [
        (
            sort.value,
            _drawn_together((each, event_row(guide, each, titles, media, of=True)) for each in events),
        )
        for sort, events in of.events.items()
    ]
    if of.labour:
        worked = _drawn_together((each, labour_row(guide, each, titles, of=True)) for each in of.labour)
        groups.append(("Worked on", worked))
    remarks = tuple(remark(guide, each, titles) for each in of.findings)
    return VisitSection(
        id=f"a{number}",
        item=to.item(of.assembly),
        name=of.name,
        counts=_counts(of),
        looked=_looked(of, titles),
        groups=tuple(groups),
        new=remarks[: of.new],
        standing=remarks[of.new :],
    )


def _counts(of: Happened) -> str:
    told = [words.counted(len(_records(events)), *_NOUNS[sort]) for sort, events in of.events.items()]
    if of.labour:
        told.append(words.counted(len(_records(of.labour)), "work line"))
    if of.new:
        told.append(words.counted(of.new, "new finding"))
    return ", ".join(told) or "nothing recorded since"


def _records(many: Sequence[Event] | Sequence[Labour]) -> set[tuple[str, int]]:
    return {_place(each) for each in many}


def _place(each: Event | Labour) -> tuple[str, int]:
    return each.entry, each.place if isinstance(each, Event) else each.line


def _looked(of: Happened, titles: Titles) -> Sentence:
    """What the telling starts from."""
    if of.since is None:
        return (Link("They inspected nothing yet; what stands against it is told, and no history."),)
    if of.day is None:
        return (Link(f"They looked at nothing in it yet; told from {of.since}, their last visit."),)
    items = [to.item(each) for each in dict.fromkeys(look.item for look in of.looks)]
    entry = _leads(of.looks[-1], titles, of.day.isoformat())
    return (Link("They last looked at something in it on "), entry, Link(": "), *listed(items))


def _drawn_together(rows: Iterable[tuple[Event | Labour, Row]]) -> tuple[Row, ...]:
    """One row for a record or work line that is about several items."""
    found: dict[tuple[str, int], Row] = {}
    for each, row in rows:
        key = _place(each)
        before = found.get(key)
        found[key] = row if before is None else msgspec.structs.replace(before, of=(*before.of, *row.of))
    return tuple(found.values())


def visit_events(happened: Iterable[Happened]) -> list[Event]:
    """The records that an inspector's page leads to."""
    return [event for each in happened for events in (each.looks, *each.events.values()) for event in events]


def call_events(calls: Iterable[Call]) -> list[Event]:
    """The records that the page of the next visit leads to."""
    lasts = [call.stage.last for call in calls if call.stage.last is not None]
    return [*lasts, *(closing.event for call in calls for _, closing in call.opens)]

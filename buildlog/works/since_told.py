"""What happened since a visit or a day, as it leaves the program: JSON, or lines for a terminal."""

from __future__ import annotations

import datetime
from typing import Any, NamedTuple

from buildlog.model.key import Where
from buildlog.model.names import Item
from buildlog.model.nearest import nearest
from buildlog.readiness.since import Happened, since_day, since_visit
from buildlog.reckoning.events import Event, Labour
from buildlog.reckoning.knowledge import Knowledge
from buildlog.reckoning.whereabouts import seats_of
from buildlog.rules.finding import Finding, Findings
from buildlog.rules.wording import hours, people


class Since(NamedTuple):
    """From what it is told (a day, or an inspector's key), and what happened; or why it cannot be told."""

    start: str
    happened: tuple[Happened, ...] = ()
    problem: str = ""


def since(knowledge: Knowledge, findings: Findings, start: str, of: str = "") -> Since:
    """What happened since an inspector (a key of [people]) or a day (`2026-03-14`), in all or in one item."""
    item, problem = _item(knowledge, of)
    if problem:
        return Since(start, problem=problem)
    seats = seats_of(knowledge.items, knowledge.names)
    day = _day(start)
    if day is not None:
        return Since(start, since_day(knowledge, findings, seats, day, item))
    inspectors = [key for key, person in knowledge.frame.people.items() if "inspector" in person.roles]
    if start in inspectors:
        return Since(start, since_visit(knowledge, findings, seats, start, item))
    like = nearest(start, inspectors)
    known = (
        f'; the nearest inspector is "{like}"' if like else f"; inspectors: {', '.join(inspectors) or 'none'}"
    )
    return Since(start, problem=f'"{start}" is neither a day such as 2026-03-14 nor an inspector{known}')


def _day(text: str) -> datetime.date | None:
    try:
        found = datetime.date.fromisoformat(text)
    except ValueError:
        return None
    return found if found.isoformat() == text else None


def _item(knowledge: Knowledge, text: str) -> tuple[Item | None, str]:
    if not text:
        return None, ""
    items = knowledge.names.of(text).items
    if len(items) == 1 and items[0] in knowledge.items:
        return items[0], ""
    if len(items) > 1:
        return None, f'"{text}" is {len(items)} items; write one of {", ".join(map(str, items[:4]))}'
    like = nearest(text, [str(item) for item in knowledge.items])
    return None, f'"{text}" is no item of this log' + (f'; the nearest is "{like}"' if like else "")


def as_json(of: Since, knowledge: Knowledge) -> dict[str, Any]:
    """What happened as plain values, by assembly; null where something is not known."""
    return {
        "since": of.start,
        "day": knowledge.day.isoformat(),
        "assemblies": [
            {
                "item": str(each.assembly),
                "name": each.name or None,
                "last_look": each.day.isoformat() if each.day else None,
                "told_from": each.since.isoformat() if each.since else None,
                "happened": [
                    {"sort": sort.name.lower(), **_event(event)}
                    for sort, events in each.events.items()
                    for event in events
                ],
                "worked": [_labour(work) for work in each.labour],
                "findings": [_finding(found, new=at < each.new) for at, found in enumerate(each.findings)],
            }
            for each in of.happened
        ],
    }


def _event(event: Event) -> dict[str, Any]:
    return {
        "item": str(event.item),
        "kind": event.kind,
        "date": event.moment.day.isoformat(),
        "by": list(event.people),
        "entry": event.entry,
        "record": event.place,
        **_place(event.record.where),
    }


def _labour(work: Labour) -> dict[str, Any]:
    return {
        "item": str(work.item),
        "kind": work.kind or None,
        "task": work.task or None,
        "date": work.moment.day.isoformat(),
        "hours": float(work.hours),
        "by": list(work.people),
        "entry": work.entry,
        **_place(work.where),
    }


def _finding(found: Finding, *, new: bool) -> dict[str, Any]:
    return {
        "rule": found.rule,
        "grade": found.grade.word,
        "item": found.subject,
        "stage": found.stage or None,
        "new": new,
        "deferred_until": found.deferred.until if found.deferred else None,
        "message": found.message,
    }


def _place(where: Where) -> dict[str, Any]:
    return {"file": where.file or None, "line": where.line or None}


class Line(NamedTuple):
    """A line of text with its style: `subject`, a grade's word, `detail`, or plain."""

    style: str
    text: str


def as_lines(of: Since, knowledge: Knowledge) -> list[Line]:
    """Each assembly: from when it is told, what happened by sort, and what stands against it now."""
    lines: list[Line] = []
    for each in of.happened:
        lines.append(Line("subject", f"{each.assembly} {each.name}".rstrip()))
        lines.append(Line("detail", f"  {_told_from(each)}"))
        for sort, events in each.events.items():
            lines.append(Line("", f"  {sort.value}"))
            lines += [Line("", f"    {_said(event, knowledge)}") for event in events]
        if each.labour:
            lines.append(Line("", "  Worked on"))
            lines += [Line("", f"    {_worked(work, knowledge)}") for work in each.labour]
        for at, found in enumerate(each.findings):
            style = found.grade.word if found.deferred is None else "detail"
            new = "new " if at < each.new else ""
            off = f" (put off until {found.deferred.until})" if found.deferred else ""
            lines.append(Line(style, f"  {new}{found.grade.word}  {found.subject}: {found.message}{off}"))
        lines.append(Line("", ""))
    if not of.happened:
        lines.append(Line("", "Nothing is recorded since, and nothing stands against it."))
    end = f"As the log stands on {knowledge.day}, as entered. It does not say that anything is airworthy."
    return [*lines, Line("detail", end)]


def _told_from(each: Happened) -> str:
    if each.since is None:
        return "no inspection by them in this log; what stands now is told"
    if each.day is None:
        return f"after {each.since}"
    items = ", ".join(dict.fromkeys(str(look.item) for look in each.looks))
    return f"since they last looked at something in it, on {each.day}: {items}"


def _said(event: Event, knowledge: Knowledge) -> str:
    by = people(event.people, knowledge.frame)
    struck = f"; struck through: {event.struck.reason}" if event.struck else ""
    what = f"{event.moment.day} {event.item} {event.kind.replace('_', ' ')}{f' by {by}' if by else ''}"
    return f"{what}{struck}{_at(event.record.where)}"


def _worked(work: Labour, knowledge: Knowledge) -> str:
    by = people(work.people, knowledge.frame)
    kind = work.kind or "work"
    who = f" by {by}" if by else ""
    return f"{work.moment.day} {work.item} {kind}, {hours(work.hours)}{who}{_at(work.where)}"


def _at(where: Where) -> str:
    return f", at {where.file}:{where.line}" if where.file else ""

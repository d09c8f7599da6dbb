"""Gathering: for each bundle of pages, exactly what those pages show, and no more.

What is gathered is compared with that of the last run, so a bundle is drawn again only when something that
its own pages say has changed. Mappings are put in one order, because order is part of being the same.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TypeVar

import msgspec

from buildlog.model.entry import Entry, WorkLine
from buildlog.model.log import MediaFile
from buildlog.model.names import Item
from buildlog.model.targets import targets
from buildlog.pages import guide as to
from buildlog.pages.carried import brought
from buildlog.pages.depth import Depth, lot_lines, troubled_links
from buildlog.pages.entries import Month, called, needs
from buildlog.pages.frame import Link
from buildlog.pages.guide import Guide
from buildlog.pages.items import Around, seat
from buildlog.pages.notices import notices_of
from buildlog.pages.parts import Bundle
from buildlog.pages.people import PersonBundle
from buildlog.pages.plates import files_of
from buildlog.pages.register import Names, Subject
from buildlog.pages.remarks import entries_of
from buildlog.pages.rows import Pointed, entries_in, files_in, pointing
from buildlog.pages.sheets import TaskLine
from buildlog.pages.stock import StockBundle
from buildlog.pages.tasks import TaskBundle
from buildlog.pages.visits import VisitBundle, Visitor, visit_events
from buildlog.readiness.since import last_visit, since_visit
from buildlog.reckoning.events import Event, Voiding
from buildlog.reckoning.knowledge import ItemStory, Knowledge, LotStory, PartStory, TaskStory, ToolStory
from buildlog.reckoning.tracing import Trace, trace_lot, trace_tool
from buildlog.reckoning.whereabouts import Seats
from buildlog.rules.finding import Findings

LOOKED = ("inspected", "tested")
"""Kinds of record by which somebody looked at an item."""

V = TypeVar("V")


class Sources(msgspec.Struct, frozen=True):
    """All that bundles are gathered from.

    `spoken` gives the prose that speaks of a subject, `cited` the entries whose prose links to an entry,
    `notes` the names in the notes on each part, `pointed` the records that name an item beside the one they
    are about, `struck` the records struck through, by entry and place, `seats` where each item is now,
    `depth` what is inside each.
    """

    knowledge: Knowledge
    findings: Findings
    guide: Guide
    titles: dict[str, str]
    media: dict[str, MediaFile]
    spoken: dict[Subject, tuple[Link, ...]]
    cited: dict[str, tuple[Link, ...]]
    notes: dict[str, Names]
    pointed: dict[Item, tuple[Pointed, ...]]
    struck: dict[tuple[str, int], Voiding]
    seats: Seats
    depth: Depth


def some(whole: Mapping[str, V], keys: Iterable[str]) -> dict[str, V]:
    """The part of a mapping that a bundle needs, in one order."""
    return {key: whole[key] for key in sorted(keys) if key in whole}


def titles_of(entries: Iterable[Entry]) -> dict[str, str]:
    """What each entry is called, by key."""
    return {entry.key: called(entry) for entry in entries}


def cited_by(entries: Iterable[Entry], titles: Mapping[str, str]) -> dict[str, tuple[Link, ...]]:
    """For each entry that prose links to, the entries whose prose does."""
    found: dict[str, dict[Link, None]] = {}
    for entry in entries:
        for target in targets(entry.body):
            key = target.rpartition("/")[2].removesuffix(".md")
            if target.endswith(".md") and key in titles and key != entry.key:
                found.setdefault(key, {})[
                    to.entry(entry.key, f"{entry.date.isoformat()} {called(entry)}")
                ] = None
    return {key: tuple(links) for key, links in found.items()}


def pointed_at(items: Mapping[Item, ItemStory], guide: Guide) -> dict[Item, tuple[Pointed, ...]]:
    """For each item, the records about other items that name it."""
    found: dict[Item, dict[Pointed, None]] = {}
    for story in items.values():
        for event in story.chronicle.events:
            for key in pointing(type(event.record)):
                value = getattr(event.record, key)
                for text in value if isinstance(value, tuple) else (value,):
                    for item in guide.items(text) if text else ():
                        if item != event.item:
                            found.setdefault(item, {})[Pointed(key, event)] = None
    return {item: tuple(each) for item, each in found.items()}


def worked_on(items: Mapping[Item, ItemStory]) -> dict[str, tuple[Item, ...]]:
    """For each person, the items that their work lines and records, other than inspections, are about."""
    found: dict[str, dict[Item, None]] = {}
    for item, story in items.items():
        people = {person for labour in story.chronicle.labour for person in labour.people}
        for event in story.chronicle.events:
            if event.struck is None and event.kind not in LOOKED:
                people.update(event.people)
        for person in people:
            found.setdefault(person, {})[item] = None
    return {person: tuple(each) for person, each in found.items()}


def struck_in(stories: Iterable[ItemStory | LotStory]) -> dict[tuple[str, int], Voiding]:
    """The records struck through, by entry and place."""
    return {
        (event.entry, event.place): event.struck
        for story in stories
        for event in (story.chronicle.events if story.chronicle is not None else ())
        if event.struck is not None
    }


def month_bundles(
    sources: Sources,
    months: Mapping[str, tuple[Entry, ...]],
    named: Mapping[str, tuple[Names, ...]],
) -> Iterator[Month]:
    """The bundles of months, in order."""
    keys = list(months)
    struck: dict[str, dict[tuple[str, int], Voiding]] = {}
    home = {entry.key: month for month, entries in months.items() for entry in entries}
    for key, voiding in sorted(sources.struck.items()):
        struck.setdefault(home.get(key[0], ""), {})[key] = voiding
    for place, (month, entries) in enumerate(months.items()):
        stories = tuple(sources.knowledge.entries[entry.key] for entry in entries)
        findings = some(sources.findings.by_entry, (entry.key for entry in entries))
        leads, files = needs(stories, struck.get(month, {}))
        leads |= entries_of(finding for each in findings.values() for finding in each)
        yield Month(
            month=month,
            stories=stories,
            titles=some(sources.titles, leads),
            named=named[month],
            findings=findings,
            struck=struck.get(month, {}),
            cited=some(sources.cited, (entry.key for entry in entries)),
            media=some(sources.media, files),
            before=keys[place - 1] if place else "",
            after=keys[place + 1] if place + 1 < len(keys) else "",
        )


def part_bundles(sources: Sources) -> Iterator[Bundle]:
    """The bundles of parts, in order."""
    known = sources.knowledge
    notes = {note.number: note for note in known.log.notes}
    joints: dict[str, list[str]] = {}
    for part in known.log.parts:
        for joined in part.joins:
            joints.setdefault(joined, []).append(part.number)
    wanted: dict[str, list[str]] = {}
    for milestone in known.log.settings.milestones:
        for text in milestone.items:
            for number in dict.fromkeys(item.number for item in sources.guide.items(text)):
                wanted.setdefault(number, []).append(milestone.key)
    for story in known.parts.values():
        items = tuple(known.items[item] for item in story.items)
        around = tuple(_around(sources, each) for each in items)
        findings = sources.findings.by_part.get(story.number, ())
        note = notes.get(story.number)
        events = [event for each in items for event in _events(each)]
        events += [each.event for item in around for each in item.pointed]
        leads = entries_in(events) | entries_of(findings)
        leads |= {each.entry for item in items for each in item.chronicle.labour}
        leads |= {each.entry for item in items for _, each in brought(item)}
        leads |= {each.entry for item in items for each in item.shown}
        leads |= {each.entry for item in items for stage in item.stages for each in stage.untold}
        files = files_in(events) | {each.medium.file for item in items for each in item.shown}
        if note is not None:
            leads.update(each.rpartition("/")[2].removesuffix(".md") for each in targets(note.body))
            files |= files_of(note.body)
        yield Bundle(
            story=story,
            items=items,
            around=around,
            titles=some(sources.titles, leads),
            media=some(sources.media, files),
            names=_part_names(known, story, joints.get(story.number, [])),
            joints=tuple(joints.get(story.number, ())),
            milestones=tuple(wanted.get(story.number, ())),
            mentions=sources.spoken.get(("part", story.number), ()),
            findings=findings,
            note=note,
            named=sources.notes.get(story.number, ()),
        )


def _events(story: ItemStory) -> Iterator[Event]:
    yield from story.chronicle.events
    yield from (each for _, each in brought(story) if isinstance(each, Event))
    for stage in story.stages:
        yield from stage.against
        yield from (each.event for each in stage.refusals)
        if stage.sealed is not None:
            yield stage.sealed
    yield from (each.event for each in story.closings)
    yield from (each.event for _, each in story.hidden_by)


def _part_names(known: Knowledge, story: PartStory, joints: list[str]) -> dict[str, str]:
    part = story.part
    near = [*story.below, *joints, *(part.joins if part else ()), *([part.parent] if part else [])]
    return {
        number: each.part.name for number in sorted(near) if (each := known.parts.get(number)) and each.part
    }


def _around(sources: Sources, story: ItemStory) -> Around:
    known = sources.knowledge
    chain: dict[Item, Link] = {}
    within = story.stay.within if story.stay else None
    while within is not None and within not in chain:
        above = known.items.get(within)
        name = above.part.name if above and above.part else ""
        chain[within] = Link(f"{within} {name}".rstrip(), to.item(within).to) if above else Link(str(within))
        within = above.stay.within if above and above.stay else None
    inside = tuple(
        seat(each, name=each.part.name if each.part else "", assumed=assumed)
        for each, assumed in ((known.items[item], assumed) for item, assumed in story.holds)
    )
    return Around(
        chain=tuple(chain.values()),
        inside=inside,
        pointed=sources.pointed.get(story.item, ()),
        findings=sources.findings.by_item.get(story.item, ()),
        mentions=sources.spoken.get(("item", str(story.item)), ()),
        notices=notices_of(story, known.frame),
        lots=lot_lines(known, sources.depth.lots.get(story.item, ()), sources.titles),
        troubled=troubled_links(sources.depth, story.item),
    )


def task_bundles(sources: Sources, lines: Mapping[str, TaskLine]) -> Iterator[TaskBundle]:
    """The bundles of tasks, in order."""
    known = sources.knowledge
    for story in known.tasks.values():
        findings = sources.findings.by_task.get(story.key, ())
        leads = {step.entry for step in story.steps} | entries_of(findings)
        yield TaskBundle(
            story=story,
            lines=tuple(_work_of(known, story)),
            around=some(lines, (*story.before_it, *story.after_it)),
            titles=some(sources.titles, leads),
            findings=findings,
            mentions=sources.spoken.get(("task", story.key), ()),
        )


def _work_of(known: Knowledge, story: TaskStory) -> Iterator[WorkLine | None]:
    for step in story.steps:
        yield known.entries[step.entry].entry.work[step.line - 1] if step.step == "work" else None


def person_bundles(sources: Sources) -> Iterator[PersonBundle]:
    """The bundles of people, in order."""
    worked = worked_on(sources.knowledge.items)
    for key, story in sources.knowledge.people.items():
        findings = sources.findings.by_person.get(key, ())
        leads = (
            {each.entry for each in story.appearances} | entries_in(story.inspected) | entries_of(findings)
        )
        yield PersonBundle(
            story=story,
            titles=some(sources.titles, leads),
            media=some(sources.media, files_in(story.inspected)),
            items=worked.get(key, ()),
            findings=findings,
        )


def visitors_of(known: Knowledge) -> tuple[Visitor, ...]:
    """The inspectors, in the order of the settings, each with their last visit."""
    return tuple(
        Visitor(person.key, last_visit(known, person.key))
        for person in known.log.settings.people
        if "inspector" in person.roles
    )


def visit_bundles(sources: Sources) -> Iterator[VisitBundle]:
    """The bundles of what happened since each inspector's last visit."""
    for visitor in visitors_of(sources.knowledge):
        happened = since_visit(sources.knowledge, sources.findings, sources.seats, visitor.key)
        events = visit_events(happened)
        leads = entries_in(events) | {work.entry for each in happened for work in each.labour}
        leads |= entries_of(finding for each in happened for finding in each.findings)
        yield VisitBundle(
            visitor, happened, some(sources.titles, leads), some(sources.media, files_in(events))
        )


def stock_bundles(sources: Sources) -> Iterator[StockBundle]:
    """The bundles of lots, then of tools."""
    known = sources.knowledge
    for lot in known.lots.values():
        yield _stock(sources, lot, trace_lot(known, lot.key, sources.seats), ("lot", lot.key))
    for tool in known.tools.values():
        yield _stock(sources, tool, trace_tool(known, tool.key, sources.seats), ("tool", tool.key))


def _stock(sources: Sources, story: LotStory | ToolStory, trace: Trace, subject: Subject) -> StockBundle:
    events = [use.event for use in story.uses]
    if isinstance(story, LotStory) and story.chronicle is not None:
        events += story.chronicle.events
        events += [event for each in story.troubles for event in each.events]
    events += [closing.event for spot in trace.spots.values() for _, closing in spot.shut]
    events += [touch.ended for touch in trace.gone if touch.ended is not None]
    return StockBundle(
        story=story,
        trace=trace,
        titles=some(sources.titles, entries_in(events)),
        media=some(sources.media, files_in(events)),
        mentions=sources.spoken.get(subject, ()),
    )

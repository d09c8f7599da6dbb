"""All pages of an edition, as bundles: gathered anew in each run, and drawn only where they differ.

A bundle is a step with its arguments, not yet called, so that whoever runs the line may draw it in another
process, or not at all.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping
from fractions import Fraction
from typing import Any, NamedTuple

import msgspec

from buildlog.model.entry import Entry
from buildlog.model.key import Audience
from buildlog.model.lists import Part
from buildlog.model.names import Item
from buildlog.model.remember import Remember, once
from buildlog.pages import address, data, hours, people, stock, tasks, words
from buildlog.pages.depth import depth_of
from buildlog.pages.entries import called, draw_index, draw_month, line
from buildlog.pages.feed import NEWEST, draw_feed
from buildlog.pages.findings import Told, Tree, draw_findings
from buildlog.pages.frame import Detail, Link, Page, Remark
from buildlog.pages.gather import (
    Sources,
    cited_by,
    month_bundles,
    part_bundles,
    person_bundles,
    pointed_at,
    some,
    stock_bundles,
    struck_in,
    task_bundles,
    titles_of,
    visit_bundles,
    visitors_of,
)
from buildlog.pages.guide import Guide, guide_of
from buildlog.pages.guide import entry as to_entry
from buildlog.pages.home import (
    LATEST,
    Today,
    draw_drafts,
    draw_home,
    draw_lost,
    milestone_lines,
)
from buildlog.pages.parts import draw_lists, draw_part, part_line
from buildlog.pages.reading_rows import READING_COLUMNS, reading_rows
from buildlog.pages.reference import draw_reference
from buildlog.pages.register import Names, named_in, register_of, spoken_of
from buildlog.pages.remarks import entries_of, remark
from buildlog.pages.rows import entries_in
from buildlog.pages.sheets import PartLine
from buildlog.pages.standing_steps import standing_steps
from buildlog.pages.visits import call_events, draw_visit, draw_visits, visit_lines
from buildlog.readiness.next_visit import next_visit
from buildlog.reckoning.knowledge import Knowledge
from buildlog.reckoning.nonconformance import Case, cases_with_departure
from buildlog.reckoning.whereabouts import seats_of
from buildlog.rules.cases import cases_of
from buildlog.rules.finding import Finding, Findings
from buildlog.rules.reference import Topic


class Call(NamedTuple):
    """A step that may be remembered: what to call, the key it is remembered under, the arguments."""

    step: Callable[..., Any]
    key: Hashable
    args: tuple[Any, ...]


class Bundle(NamedTuple):
    """One or more pages that are drawn together, by one step.

    With `pieces`, their results are the step's last arguments, and the step itself, which only puts them
    together, is not remembered. `day` is the day that the pages' answers stand on: it is stamped on them
    apart, so that a new day draws nothing again.
    """

    step: Callable[..., Any]
    key: Hashable
    args: tuple[Any, ...]
    day: str = ""
    pieces: tuple[Call, ...] = ()


def draw(bundle: Bundle, remember: Remember = once) -> tuple[Page, ...]:
    """The pages of a bundle."""
    if bundle.pieces:
        pieces = [remember(each.step, each.key, *each.args) for each in bundle.pieces]
        drawn = bundle.step(*bundle.args, *pieces)
    else:
        drawn = remember(bundle.step, bundle.key, *bundle.args)
    pages: tuple[Page, ...] = (drawn,) if isinstance(drawn, Page) else drawn
    if not bundle.day:
        return pages
    return tuple(remember(_standing_on, page.address, bundle.day, page) for page in pages)


def lay_out(
    knowledge: Knowledge,
    findings: Findings,
    audience: Audience = Audience.SHOP,
    topics: tuple[Topic, ...] = (),
    remember: Remember = once,
) -> tuple[Bundle, ...]:
    """Every page of an edition, each in one bundle, the addresses all different.

    Args:
        knowledge: what `reckon` made of a viewed log.
        findings: what the rules found in it.
        audience: whose edition it is; named in the title block, and used for nothing else.
        topics: the reference of the format.
        remember: keeps steps between calls.
    """
    guide = remember(
        guide_of,
        "guide",
        knowledge.log.settings,
        knowledge.names,
        _strays(knowledge),
        audience,
        frozenset(topic.name for topic in topics),
    )
    months = _months(knowledge)
    sources, named = _sources(knowledge, findings, guide, months, remember)
    return (
        *(Bundle(draw_month, each.month, (guide, each)) for each in month_bundles(sources, months, named)),
        *_parts(sources, remember),
        *_tasks(sources, remember),
        *_people(sources),
        *_stock(sources),
        *_whole(sources, months, remember),
        *_visits(sources),
        *_standing(sources, remember),
        *_tables(sources, months),
        Bundle(data.draw_data, "data", (guide,)),
        Bundle(draw_reference, "reference", (guide, topics)),
    )


def _strays(knowledge: Knowledge) -> frozenset[Item]:
    return frozenset(item for item in knowledge.items if item.number not in knowledge.names.items)


def _months(knowledge: Knowledge) -> dict[str, tuple[Entry, ...]]:
    months: dict[str, list[Entry]] = {}
    for story in knowledge.entries.values():
        day = story.entry.date
        months.setdefault(f"{day.year:04d}-{day.month:02d}", []).append(story.entry)
    return {month: tuple(each) for month, each in months.items()}


def _sources(
    knowledge: Knowledge,
    findings: Findings,
    guide: Guide,
    months: Mapping[str, tuple[Entry, ...]],
    remember: Remember,
) -> tuple[Sources, dict[str, tuple[Names, ...]]]:
    """What bundles are gathered from, and the names in each entry's prose by month."""
    register = remember(
        register_of,
        "register",
        guide,
        tuple(knowledge.parts),
        tuple(knowledge.items),
        tuple(knowledge.tasks),
        tuple(knowledge.lots),
        tuple(knowledge.tools),
    )
    bodies = {month: tuple(entry.body for entry in each) for month, each in months.items()}
    named = {month: remember(named_in, month, register, each) for month, each in bodies.items()}
    notes = tuple(note for note in knowledge.log.notes if note.number in knowledge.parts)
    in_notes = remember(named_in, "notes", register, tuple(note.body for note in notes))
    told = [
        (to_entry(entry.key, f"{entry.date.isoformat()} {called(entry)}"), names)
        for month, each in months.items()
        for entry, names in zip(each, named[month], strict=True)
        if names
    ]
    told += [
        (Link(f"Notes on {note.number}", address.of_part(note.number)), names)
        for note, names in zip(notes, in_notes, strict=True)
    ]
    read = tuple(story.entry for story in knowledge.entries.values())
    titles = titles_of(read)
    seats = seats_of(knowledge.items, knowledge.names)
    sources = Sources(
        knowledge=knowledge,
        findings=findings,
        guide=guide,
        titles=titles,
        media={each.file: each for each in knowledge.log.media},
        spoken=spoken_of(register, told),
        cited=cited_by(read, titles),
        notes=dict(zip((note.number for note in notes), in_notes, strict=True)),
        pointed=pointed_at(knowledge.items, guide),
        struck=struck_in((*knowledge.items.values(), *knowledge.lots.values())),
        seats=seats,
        depth=depth_of(knowledge, findings, seats),
    )
    return sources, named


def _day(sources: Sources) -> str:
    return sources.knowledge.day.isoformat() if sources.knowledge.entries else ""


def _parts(sources: Sources, remember: Remember) -> Iterator[Bundle]:
    known, day = sources.knowledge, _day(sources)
    lines: list[PartLine] = []
    for bundle in part_bundles(sources):
        yield Bundle(draw_part, bundle.story.number, (sources.guide, bundle), day)
        lines.append(remember(part_line, bundle.story.number, bundle.story, bundle.items))
    below = {
        story.number: tuple(each for each in story.below) for story in known.parts.values() if story.below
    }
    top = tuple(part.number for part in known.log.parts if part.parent not in known.parts)
    listed = tuple(each for each in lines if known.parts[each.part.text].part is not None)
    strays = tuple(each for each in lines if known.parts[each.part.text].part is None)
    yield Bundle(draw_lists, "parts", (sources.guide, listed, top, below, strays), day)


def _standing_on(day: str, page: Page) -> Page:
    """A page with the day its answers stand on: apart, so that a new day draws nothing again."""
    block = msgspec.structs.replace(page.sheet.block, day=day)
    return msgspec.structs.replace(page, sheet=msgspec.structs.replace(page.sheet, block=block))


def _tasks(sources: Sources, remember: Remember) -> Iterator[Bundle]:
    stories = sources.knowledge.tasks
    lines = {key: remember(tasks.task_line, key, story) for key, story in stories.items()}
    for bundle in task_bundles(sources, lines):
        yield Bundle(tasks.draw_task, bundle.story.key, (sources.guide, bundle))
    grouped = tuple(
        (story.task.milestone if story.task else "", lines[key]) for key, story in stories.items()
    )
    yield Bundle(tasks.draw_tasks, "tasks", (sources.guide, grouped))


def _people(sources: Sources) -> Iterator[Bundle]:
    for bundle in person_bundles(sources):
        yield Bundle(people.draw_person, bundle.story.person.key, (sources.guide, bundle))
    lines = tuple(people.person_line(sources.guide, story) for story in sources.knowledge.people.values())
    yield Bundle(people.draw_people, "people", (sources.guide, lines))


def _stock(sources: Sources) -> Iterator[Bundle]:
    for bundle in stock_bundles(sources):
        key = (type(bundle.story).__name__, bundle.story.key)
        yield Bundle(stock.draw_stock, key, (sources.guide, bundle), _day(sources))
    known = sources.knowledge
    yield Bundle(stock.draw_lots, "lots", (sources.guide, tuple(known.lots.values())))
    yield Bundle(stock.draw_tools, "tools", (sources.guide, tuple(known.tools.values())))


def _visits(sources: Sources) -> Iterator[Bundle]:
    day = _day(sources)
    for each in visit_bundles(sources):
        yield Bundle(draw_visit, each.visitor.key, (sources.guide, each), day)
    calls = next_visit(sources.knowledge, sources.findings, sources.seats)
    titles = some(sources.titles, entries_in(call_events(calls)))
    yield Bundle(draw_visits, "visits", (sources.guide, visitors_of(sources.knowledge), calls, titles), day)


def _standing(sources: Sources, remember: Remember) -> Iterator[Bundle]:
    day = _day(sources)
    for step, key, args in standing_steps(sources, remember):
        yield Bundle(step, key, args, day if key == "now" else "")


def _whole(sources: Sources, months: Mapping[str, tuple[Entry, ...]], remember: Remember) -> Iterator[Bundle]:
    """The pages that speak of the whole log."""
    known, guide, day = sources.knowledge, sources.guide, _day(sources)
    entries = known.entries
    counted = tuple(
        (month, len(each), sum((entries[entry.key].hours for entry in each), Fraction(0)))
        for month, each in months.items()
    )
    yield Bundle(draw_index, "months", (guide, counted))
    part_names = {key: story.part.name for key, story in known.parts.items() if story.part}
    yield Bundle(hours.draw_hours, "hours", (guide, known.hours, part_names, day))
    remarks = remember(
        _remarks,
        "remarks",
        guide,
        sources.findings.all,
        some(sources.titles, entries_of(sources.findings.all)),
    )
    names = {address.of_item(item): story.part.name for item, story in known.items.items() if story.part}
    names |= {address.of_part(number): name for number, name in part_names.items()}
    about = {link.to: names[link.to] for each in remarks for link in each.about if link.to in names}
    tree = remember(_tree, "tree", {key: story.below for key, story in known.parts.items()}, known.log.parts)
    about |= {to: names[to] for number, _ in tree if (to := address.of_part(number)) in names}
    told = tuple(
        Told(shown, each.number, "task" if each.task else "person" if each.person else "")
        for each, shown in zip(sources.findings.all, remarks, strict=True)
    )
    yield Bundle(draw_findings, "findings", (guide, told, about, tree, day))
    yield Bundle(draw_home, "home", (guide, _today(sources, remarks)))
    if known.log.drafts:
        yield Bundle(draw_drafts, "drafts", (guide, known.log.drafts))
    yield Bundle(draw_lost, "lost", (guide,))
    base = next((each.address for each in known.log.settings.editions if each.key == guide.edition), "")
    newest = tuple(story.entry for story in list(entries.values())[-NEWEST:])
    yield Bundle(draw_feed, "feed", (guide, newest, base))


def _tree(below: Mapping[str, tuple[str, ...]], parts: tuple[Part, ...]) -> Tree:
    """The parts list as it has parts inside one another, in its order."""
    todo = [(part.number, 0) for part in reversed(parts) if part.parent not in below]
    found: list[tuple[str, int]] = []
    while todo:
        number, depth = todo.pop()
        found.append((number, depth))
        todo.extend((each, depth + 1) for each in reversed(below.get(number, ())))
    return tuple(found)


def _remarks(guide: Guide, findings: tuple[Finding, ...], titles: dict[str, str]) -> tuple[Remark, ...]:
    return tuple(remark(guide, each, titles) for each in findings)


def _today(sources: Sources, remarks: tuple[Remark, ...]) -> Today:
    known = sources.knowledge
    stories = list(known.entries.values())
    latest = tuple(line(sources.guide, story, sources.media) for story in stories[: -LATEST - 1 : -1])
    total = next((each.total for each in known.hours.values()), Fraction(0))
    exist = sum(story.exists for story in known.items.values())
    facts = (
        Detail("Entries", (Link(str(len(stories)), "entries/index.html"),)),
        Detail("Hours", (Link(words.hours(total), "hours.html"),)),
        Detail("Parts", (Link(str(len(known.parts)), "parts/index.html"),)),
        Detail("Items made or received", (Link(f"{exist} of {len(known.items)}", "parts/index.html"),)),
    )
    return Today(
        day=_day(sources),
        last=Link(f"{latest[0].day} {latest[0].entry.text}", latest[0].entry.to) if latest else None,
        latest=latest,
        remarks=remarks,
        milestones=milestone_lines(known.log.settings.milestones, known.tasks),
        facts=facts,
        drafts=len(known.log.drafts),
        visits=visit_lines(sources.guide, visitors_of(known)),
    )


def _tables(sources: Sources, months: Mapping[str, tuple[Entry, ...]]) -> Iterator[Bundle]:
    """The data: each table from pieces that are made again only where their own share differs."""
    known, day = sources.knowledge, _day(sources)
    struck: dict[str, dict[tuple[str, int], str]] = {month: {} for month in months}
    for (key, place), voiding in sorted(sources.struck.items()):
        date = known.entries[key].entry.date
        struck[f"{date.year:04d}-{date.month:02d}"][key, place] = f"{voiding.by_entry} {voiding.by_record}"
    head = Call(data.json_head, "json", (known.log, sources.guide.edition, day))
    entries = (Call(data.json_entries, month, (each,)) for month, each in months.items())
    yield Bundle(_log_json, "log.json", (), pieces=(head, *entries))
    records = [Call(data.record_rows, month, (each, struck[month])) for month, each in months.items()]
    readings = [Call(reading_rows, month, (each, struck[month])) for month, each in months.items()]
    lines = [Call(data.hours_rows, month, (each,)) for month, each in months.items()]
    parts = [Call(data.part_rows, "parts", (tuple(known.parts.values()),))]
    items = [
        Call(
            data.item_rows,
            story.number,
            (tuple(known.items[item] for item in story.items), _departures(known, story.items)),
        )
        for story in known.parts.values()
    ]
    findings = [Call(data.finding_rows, "findings", (sources.findings.all,))]
    for address_of, columns, pieces in (
        ("data/records.csv", data.RECORD_COLUMNS, records),
        ("data/readings.csv", READING_COLUMNS, readings),
        ("data/hours.csv", data.HOURS_COLUMNS, lines),
        ("data/parts.csv", data.PART_COLUMNS, parts),
        ("data/items.csv", data.ITEM_COLUMNS, items),
        ("data/findings.csv", data.FINDING_COLUMNS, findings),
    ):
        yield Bundle(data.headed, address_of, (address_of, columns), pieces=tuple(pieces))


def _departures(known: Knowledge, items: tuple[Item, ...]) -> dict[Item, tuple[Case, ...]]:
    found = {item: cases_with_departure(cases_of(known.items[item], known.frame)) for item in items}
    return {item: each for item, each in found.items() if each}


def _log_json(head: bytes, *entries: bytes) -> Page:
    return data.log_json(head, entries)

"""How everything stood on a day before: by month, what changed on which day and what was where from when on.

A page for every day would write everything again for each. `buildlog.reckoning.monthly` says how a month's
listings answer for each of its days with few lines, and leads on to those of an earlier month for whatever
did not change. Statuses are not shown: they are reckoned for the last day of the log only, and one of today
set beside a place of that day would be read as the status then.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping

import msgspec

from buildlog.model.names import Item
from buildlog.pages import address, words
from buildlog.pages import guide as to
from buildlog.pages.frame import Link, Page, Row
from buildlog.pages.guide import Guide
from buildlog.pages.rows import Media, Titles, entries_in, event_row, files_in
from buildlog.pages.standing import DAYS, NOW, SECTIONS, linked, nested, place_notes
from buildlog.pages.standing_sheets import DaysSheet, StoodDay, StoodSheet, TreeLine, TreeSection
from buildlog.reckoning import monthly
from buildlog.reckoning.configuration import Configuration
from buildlog.reckoning.events import Event
from buildlog.reckoning.monthly import Holder, Listing, Month, month_of
from buildlog.reckoning.order import BY_TIME
from buildlog.reckoning.spells import Basis, Shut, Spell, Turns

Sentence = tuple[Link, ...]


class Happened(msgspec.Struct, frozen=True):
    """What a month's page tells of its days: records in order, closings, what began without such a record.

    `leads` and `files` are the entries and files that its rows lead to.
    """

    events: tuple[Event, ...] = ()
    shut: tuple[Shut, ...] = ()
    begun: tuple[Spell, ...] = ()
    leads: tuple[str, ...] = ()
    files: tuple[str, ...] = ()


def months_of(known: Configuration, turns: tuple[Turns, ...]) -> tuple[tuple[Month, Happened], ...]:
    """The months in which the configuration changed, each with what happened in it."""
    events: dict[str, list[Event]] = {}
    signs: set[tuple[Item, datetime.date]] = set()
    for each in turns:
        for event in each.events:
            events.setdefault(month_of(event.moment.day), []).append(event)
            signs.add((event.item, event.moment.day))
    shut: dict[str, list[Shut]] = {}
    for closing in known.shut:
        if closing.hidden:
            shut.setdefault(month_of(closing.since), []).append(closing)
    begun: dict[str, list[Spell]] = {}
    number: dict[Item, int] = {}
    for spell in known.spells:
        first = spell.article and number.get(spell.item) != spell.article
        if first and (spell.item, spell.since) not in signs:
            begun.setdefault(month_of(spell.since), []).append(spell)
        number[spell.item] = spell.article or number.get(spell.item, 0)
    found = []
    for month in monthly.monthly(known, frozenset(day for _, day in signs)):
        told = tuple(sorted(events.get(month.month, ()), key=BY_TIME))
        happened = Happened(
            events=told,
            shut=tuple(shut.get(month.month, ())),
            begun=tuple(begun.get(month.month, ())),
            leads=tuple(sorted(entries_in(told))),
            files=tuple(sorted(files_in(told))),
        )
        found.append((month, happened))
    return tuple(found)


def draw_days(guide: Guide, months: tuple[tuple[str, tuple[datetime.date, ...]], ...]) -> Page:
    """The page that leads to every day on which the configuration changed."""
    lines = tuple(
        (
            Link(words.month(month), address.of_stood(month)),
            tuple(Link(f"{day.day}", address.of_stood(day.isoformat())) for day in days),
        )
        for month, days in reversed(months)
    )
    sheet = DaysSheet(
        block=guide.block(DAYS, "How it stood on days before"), now=Link("As it stands", NOW), months=lines
    )
    return Page(DAYS, "standing_days.html", sheet)


def draw_month(
    guide: Guide,
    month: Month,
    happened: Happened,
    around: tuple[str, str],
    names: Mapping[str, str],
    titles: Titles,
    media: Media,
) -> Page:
    """The page of a month in which the configuration changed; `around` are the months before and after."""
    at = address.of_stood(month.month)
    sheet = StoodSheet(
        block=guide.block(at, f"How it stood in {words.month(month.month)}"),
        month=words.month(month.month),
        index=Link("All days", DAYS),
        now=Link("As it stands", NOW),
        days=tuple(_day(guide, day, happened, titles, media) for day in month.days),
        sections=_sections(guide, month, names),
        before=_turn(around[0]),
        after=_turn(around[1]),
    )
    return Page(at, "stood.html", sheet)


def _turn(month: str) -> Link | None:
    return Link(words.month(month), address.of_stood(month)) if month else None


def _day(guide: Guide, day: datetime.date, happened: Happened, titles: Titles, media: Media) -> StoodDay:
    rows: dict[tuple[str, int], Row] = {}
    for event in happened.events:
        if event.moment.day == day:
            key, row = (event.entry, event.place), event_row(guide, event, titles, media, of=True)
            before = rows.get(key)
            rows[key] = row if before is None else msgspec.structs.replace(before, of=(*before.of, *row.of))
    says: list[Sentence] = [
        (to.item(spell.item), Link(" is first told of on this day."))
        for spell in happened.begun
        if spell.since == day
    ]
    says += (_hid(each) for each in happened.shut if each.since == day)
    return StoodDay(
        id=day.isoformat(),
        title=f"{words.weekday(day)}, {day.isoformat()}",
        rows=tuple(rows.values()),
        says=tuple(says),
    )


def _hid(shut: Shut) -> Sentence:
    area = f" ({shut.area})" if shut.area else ""
    hidden = [
        part
        for item in shut.hidden
        for part in (Link(", "), to.item(item), *([Link(" (perhaps)")] if item in shut.unsure else ()))
    ]
    return (Link("Closed up, "), to.item(shut.item), Link(f"{area} hid "), *hidden[1:], Link("."))


class _Rest(msgspec.Struct, frozen=True):
    """The things in a holder that an earlier month lists."""

    holder: Holder
    rest: int
    whole: str


Node = monthly.Row | _Rest


def _sections(guide: Guide, month: Month, names: Mapping[str, str]) -> tuple[TreeSection, ...]:
    listings: dict[Holder, Listing] = {each.holder: each for each in month.listings}
    last: dict[Item, Spell] = {}
    for listing in month.listings:
        for row in listing.rows:
            spell = row.spell
            if spell.item not in last or last[spell.item].since < spell.since:
                last[spell.item] = spell

    def nodes(holder: Holder) -> tuple[Node, ...]:
        listing = listings.get(holder)
        if listing is None:
            return ()
        rest = (_Rest(holder, listing.rest, listing.whole),) if listing.rest else ()
        return (*listing.rows, *rest)

    def inside(node: Node) -> tuple[Node, ...]:
        # what moved within the month is told with what is in it once: where it was last
        if isinstance(node, _Rest) or last[node.spell.item] is not node.spell:
            return ()
        return nodes(node.spell.item)

    def line(node: Node, _depth: int, *, holds: bool) -> TreeLine:
        if isinstance(node, _Rest):
            spot = _spot(node.holder)
            text = f"{node.rest} more, unchanged since they were listed in {words.month(node.whole)}"
            return TreeLine(item=Link(text, f"{address.of_stood(node.whole)}#{spot}"))
        return _line(guide, month.month, node, names, holds=holds)

    return tuple(
        TreeSection(id=spot, title=title, note=note, lines=lines)
        for basis, (spot, title, note) in SECTIONS.items()
        if (lines := nested(nodes(basis), inside, line))
    )


def _spot(holder: Holder) -> str:
    """The anchor of what a holder is listed under: an item's own address, which is safe as it is."""
    return SECTIONS[holder][0] if isinstance(holder, Basis) else address.of_item(holder)


def _line(guide: Guide, month: str, row: monthly.Row, names: Mapping[str, str], *, holds: bool) -> TreeLine:
    spell = row.spell
    notes: list[Sentence] = []
    if not spell.article:
        notes.append((Link("no record of it yet"),))
    notes += place_notes(spell)
    notes += ((Link(_shut(each)),) for each in row.shut)
    if row.listed and not holds:
        where = f"{address.of_stood(row.listed)}#{_spot(spell.item)}"
        text = (
            "see where it was last in this month"
            if row.listed == month
            else f"listed in {words.month(row.listed)}"
        )
        notes.append((Link("what is in it: "), Link(text, where)))
    return TreeLine(
        item=linked(guide, spell),
        name=names.get(spell.item.number, ""),
        id=_spot(spell.item) if holds else "",
        dates=_dates(month, spell),
        bold=month_of(spell.since) == month or spell.until is not None,
        notes=tuple(notes),
        fold="What was in it" if holds else "",
    )


def _dates(month: str, spell: Spell) -> str:
    since = f"{'from' if month_of(spell.since) == month else 'since'} {spell.since.isoformat()}"
    return f"{since} until {spell.until.isoformat()}" if spell.until is not None else since


def _shut(shut: Shut) -> str:
    area = f" ({shut.area})" if shut.area else ""
    until = f" until {shut.until}" if shut.until else ""
    perhaps = ", perhaps opened again that day" if shut.perhaps else ""
    return f"closed up{area} from {shut.since}{until}{perhaps}"

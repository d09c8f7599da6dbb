"""The entries of the public edition: a month's bundle gives a page for each entry and one of the month."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

import msgspec

from buildlog.model.entry import Entry
from buildlog.model.log import MediaFile
from buildlog.model.prose import in_media
from buildlog.model.targets import targets
from buildlog.pages import address, words
from buildlog.pages.entries import called
from buildlog.pages.frame import Link, Page
from buildlog.pages.gather import some
from buildlog.pages.plates import prose_of
from buildlog.pages.public.sheets import EntrySheet, MonthSheet, MonthsSheet
from buildlog.pages.public.told import PublicGuide, about_of, figure, piece, tasks_of, to_entry
from buildlog.pages.register import Names


class Month(msgspec.Struct, frozen=True):
    """All that the pages of a month's entries show, beside the guide.

    `named` are the names in each entry's prose, `earlier` and `later` the entries next to the month's,
    `cited` the entries whose prose leads to each, `titles` those that the month's own prose leads to.
    """

    month: str
    entries: tuple[Entry, ...]
    named: tuple[Names, ...]
    titles: dict[str, str]
    media: dict[str, MediaFile]
    cited: dict[str, tuple[Link, ...]]
    earlier: Link | None = None
    later: Link | None = None
    before: str = ""
    after: str = ""


def months_of(entries: Iterable[Entry]) -> dict[str, tuple[Entry, ...]]:
    """The entries by month, as `2026-03`, in order."""
    found: dict[str, list[Entry]] = {}
    for entry in entries:
        found.setdefault(f"{entry.date.year:04d}-{entry.date.month:02d}", []).append(entry)
    return {month: tuple(each) for month, each in found.items()}


def month_bundles(
    months: Mapping[str, tuple[Entry, ...]],
    named: Mapping[str, tuple[Names, ...]],
    titles: Mapping[str, str],
    cited: Mapping[str, tuple[Link, ...]],
    media: Mapping[str, MediaFile],
) -> Iterator[Month]:
    """The bundles of months, in order."""
    keys = list(months)
    for place, (month, entries) in enumerate(months.items()):
        before = keys[place - 1] if place else ""
        after = keys[place + 1] if place + 1 < len(keys) else ""
        led = {
            target.rpartition("/")[2].removesuffix(".md") for each in entries for target in targets(each.body)
        }
        files = {medium.file for each in entries for medium in each.media}
        files |= {in_media(target) for each in entries for target in targets(each.body)}
        yield Month(
            month=month,
            entries=entries,
            named=named[month],
            titles=some(titles, led),
            media=some(media, files),
            cited=some(cited, (entry.key for entry in entries)),
            earlier=to_entry(months[before][-1]) if before else None,
            later=to_entry(months[after][0]) if after else None,
            before=before,
            after=after,
        )


def draw_month(guide: PublicGuide, month: Month) -> tuple[Page, ...]:
    """The pages of a month's entries, then that of the month."""
    around = (month.earlier, *map(to_entry, month.entries), month.later)
    pages = [
        _entry_page(guide, month, place, (around[place], around[place + 2]))
        for place in range(len(month.entries))
    ]
    at = address.of_month(month.month)
    title = words.month(month.month)
    sheet = MonthSheet(
        block=guide.sheet(at, title),
        card=guide.card(at, about=f"{guide.project}, {title}"),
        pieces=tuple(piece(guide, entry, month.media, lead=True) for entry in month.entries),
        before=_month_link(month.before),
        after=_month_link(month.after),
    )
    return (*pages, Page(at, "public/month.html", sheet))


def _month_link(month: str) -> Link | None:
    return Link(words.month(month), address.of_month(month)) if month else None


def _entry_page(
    guide: PublicGuide, month: Month, place: int, around: tuple[Link | None, Link | None]
) -> Page:
    entry = month.entries[place]
    at = address.of_entry(entry.key)
    day = entry.date.isoformat()
    photos = tuple(
        figure(guide, each, month.media, f"m{number}") for number, each in enumerate(entry.media, start=1)
    )
    names = dict(month.named[place])
    sheet = EntrySheet(
        block=guide.sheet(at, called(entry)),
        card=guide.card(
            at,
            body=entry.body,
            photo=next((each for each in photos if each.sizes), None),
            day=day,
        ),
        day=day,
        weekday=words.weekday(entry.date),
        month=Link(words.month(month.month), address.of_month(month.month)),
        before=around[0],
        after=around[1],
        people=entry.people,
        present=entry.present,
        prose=prose_of(guide, entry.body, names, month.titles, month.media),
        photos=photos,
        parts=about_of(guide, entry),
        tasks=tuple(guide.task(key) for key in tasks_of(entry)),
        cited=month.cited.get(entry.key, ()),
    )
    return Page(at, "public/entry.html", sheet)


def draw_months(guide: PublicGuide, months: tuple[tuple[str, int], ...]) -> Page:
    """The page of all months, each with the number of its entries."""
    at = "entries/index.html"
    years: dict[str, list[tuple[Link, int]]] = {}
    for month, count in reversed(months):
        years.setdefault(month[:4], []).append((Link(words.month(month), address.of_month(month)), count))
    sheet = MonthsSheet(
        block=guide.sheet(at, "Entries"),
        card=guide.card(at),
        years=tuple((year, tuple(each)) for year, each in years.items()),
    )
    return Page(at, "public/entries.html", sheet)

"""The pages of entries: a month's bundle gives one page an entry and one of the month."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

import msgspec

from buildlog.model.entry import Entry
from buildlog.model.log import MediaFile
from buildlog.model.prose import in_media
from buildlog.model.records import Voided
from buildlog.model.targets import targets
from buildlog.pages import address, words
from buildlog.pages import guide as to
from buildlog.pages.frame import Detail, Link, Page, Photo, Remark
from buildlog.pages.guide import Guide
from buildlog.pages.plates import plate, prose_of
from buildlog.pages.register import Names
from buildlog.pages.remarks import remark
from buildlog.pages.rows import record_row, work_row
from buildlog.pages.sheets import EntriesSheet, EntryLine, EntrySheet, MonthLine, MonthSheet
from buildlog.reckoning.events import Voiding
from buildlog.reckoning.hours import added
from buildlog.reckoning.index import moments
from buildlog.reckoning.knowledge import EntryStory
from buildlog.rules.finding import Finding


class Month(msgspec.Struct, frozen=True):
    """All that the pages of a month's entries show, beside the guide.

    `titles` are those of the entries that the month's pages lead to, `named` the names in each entry's
    prose, `findings` those that rest on each entry, `struck` the month's records struck through,
    `cited` the entries whose prose links to each.
    """

    month: str
    stories: tuple[EntryStory, ...]
    titles: dict[str, str]
    named: tuple[Names, ...]
    findings: dict[str, tuple[Finding, ...]]
    struck: dict[tuple[str, int], Voiding]
    media: dict[str, MediaFile]
    cited: dict[str, tuple[Link, ...]]
    before: str = ""
    after: str = ""


def called(entry: Entry) -> str:
    """What an entry is called on pages."""
    return entry.title or entry.key


def draw_month(guide: Guide, month: Month) -> tuple[Page, ...]:
    """The pages of a month's entries, then that of the month."""
    pages = [
        _entry_page(guide, month, story, names)
        for story, names in zip(month.stories, month.named, strict=True)
    ]
    at = address.of_month(month.month)
    lines = tuple(line(guide, story, month.media) for story in reversed(month.stories))
    sheet = MonthSheet(
        block=guide.block(at, words.month(month.month), last=_last(month.stories[-1].entry)),
        index=Link("All months", "entries/index.html"),
        entries=lines,
        hours=words.hours(added(story.hours for story in month.stories)),
        before=_month_link(month.before),
        after=_month_link(month.after),
    )
    return (*pages, Page(at, "month.html", sheet))


def _month_link(month: str) -> Link | None:
    return Link(words.month(month), address.of_month(month)) if month else None


def line(guide: Guide, story: EntryStory, media: Mapping[str, MediaFile]) -> EntryLine:
    """An entry in a list of entries."""
    entry = story.entry
    shown = (each for each in entry.media if each.file in media and media[each.file].renditions)
    first = next(shown, None)
    worked = dict.fromkeys(share.name for each in entry.work for share in each.parts)
    tasks = dict.fromkeys(each.task for each in entry.work if each.task)
    return EntryLine(
        day=entry.date.isoformat(),
        entry=to.entry(entry.key, called(entry)),
        about=(*(to.task(key) for key in tasks), *(guide.name(each) for each in worked)),
        hours=words.hours(story.hours) if story.hours else "",
        people=guide.folk(entry.people),
        photo=plate(guide, first, media) if first else None,
    )


def _last(entry: Entry) -> Link:
    """The last record of an entry, or where it has none, the entry."""
    dated = moments(entry)
    moment = max(dated, key=lambda each: each.show, default=None)
    if moment is None:
        return to.entry(entry.key, entry.date.isoformat())
    place = dated.index(moment) + 1
    return to.entry(entry.key, f"{moment.day.isoformat()}, record {place}", f"r{place}")


def _entry_page(guide: Guide, month: Month, story: EntryStory, names: Names) -> Page:
    entry = story.entry
    at = address.of_entry(entry.key)
    titles, media = month.titles, month.media
    sheet = EntrySheet(
        block=guide.block(at, called(entry), last=_last(entry)),
        day=entry.date.isoformat(),
        weekday=words.weekday(entry.date),
        month=Link(words.month(month.month), address.of_month(month.month)),
        before=to.entry(story.earlier, titles[story.earlier]) if story.earlier else None,
        after=to.entry(story.later, titles[story.later]) if story.later else None,
        facts=_facts(guide, story),
        prose=prose_of(guide, entry.body, dict(names), titles, media),
        photos=_photos(guide, entry, media),
        work=tuple(work_row(guide, each, place) for place, each in enumerate(entry.work, start=1)),
        tasks=_tasks(entry),
        records=tuple(
            record_row(guide, each, place, entry.date, month.struck.get((entry.key, place)), titles, media)
            for place, each in enumerate(entry.records, start=1)
        ),
        remarks=tuple(
            _from_here(at, remark(guide, each, titles)) for each in month.findings.get(entry.key, ())
        ),
        mentions=tuple(Link(name, where) for name, where in names),
        cited=month.cited.get(entry.key, ()),
        source=str(entry.where),
    )
    return Page(at, "entry.html", sheet)


def _from_here(at: str, each: Remark) -> Remark:
    """A finding without the links that lead to the page it stands on."""
    rests = tuple(link for link in each.rests if link.to.partition("#")[0] != at)
    return msgspec.structs.replace(each, rests=rests)


def _facts(guide: Guide, story: EntryStory) -> tuple[Detail, ...]:
    entry = story.entry
    told = (
        ("People", guide.folk(entry.people)),
        ("Present", guide.folk(entry.present)),
        ("Began", _told(entry.start.isoformat("minutes") if entry.start else "")),
        ("Place", _told(entry.place)),
        ("Conditions", _told(entry.conditions)),
        ("Hours", _told(words.hours(story.hours) if story.hours else "")),
    )
    return tuple(Detail(label, links) for label, links in told if links)


def _told(text: str) -> tuple[Link, ...]:
    return (Link(text),) if text else ()


def _tasks(entry: Entry) -> tuple[Detail, ...]:
    told = (("Complete now", entry.completes), ("Taken up again", entry.resumes))
    return tuple(Detail(label, tuple(to.task(key) for key in keys)) for label, keys in told if keys)


def _photos(guide: Guide, entry: Entry, media: Mapping[str, MediaFile]) -> tuple[Photo, ...]:
    return tuple(plate(guide, each, media, f"m{place}") for place, each in enumerate(entry.media, start=1))


def needs(
    stories: tuple[EntryStory, ...], struck: Mapping[tuple[str, int], Voiding]
) -> tuple[set[str], set[str]]:
    """The entries and the files that a month's pages lead to."""
    entries = {key for story in (stories[0], stories[-1]) for key in (story.earlier, story.later) if key}
    entries |= {story.entry.key for story in stories} | {each.by_entry for each in struck.values()}
    files: set[str] = set()
    for story in stories:
        files.update(each.file for each in story.entry.media)
        for record in story.entry.records:
            files.update(record.document)
            if isinstance(record, Voided):
                entries.add(record.entry)
        for each in targets(story.entry.body):
            entries.add(each.rpartition("/")[2].removesuffix(".md"))
            files.add(in_media(each))
    return entries, files


def draw_index(guide: Guide, months: tuple[tuple[str, int, Fraction], ...]) -> Page:
    """The page of all months: each with the number of its entries and their hours."""
    at = "entries/index.html"
    years: dict[str, list[MonthLine]] = {}
    for month, count, hours in reversed(months):
        link = Link(words.month(month), address.of_month(month))
        years.setdefault(month[:4], []).append(
            MonthLine(month=link, entries=count, hours=words.column(hours))
        )
    return Page(
        at,
        "entries.html",
        EntriesSheet(
            block=guide.block(at, "Entries"),
            years=tuple((year, tuple(each)) for year, each in years.items()),
        ),
    )

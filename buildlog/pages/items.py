"""The page of one item: what it is, where, what holds it back, who looked, what happened since."""

from __future__ import annotations

import datetime

import msgspec

from buildlog.model.lists import Part
from buildlog.model.names import Item
from buildlog.pages import address, words
from buildlog.pages import guide as to
from buildlog.pages.answers import answer, by, since, stage_line
from buildlog.pages.carried import brought_rows, ending, marked
from buildlog.pages.frame import Detail, Link, Page, Photo, Row, Tally
from buildlog.pages.guide import Guide
from buildlog.pages.notices import Notices, departures, put_off
from buildlog.pages.plates import linked, plate
from buildlog.pages.readings import readings_of
from buildlog.pages.remarks import remark
from buildlog.pages.rows import Media, Pointed, Titles, event_row, labour_row, pointed_row
from buildlog.pages.sheets import Article as ArticleShown
from buildlog.pages.sheets import ItemSheet, LotLine, Seat
from buildlog.reckoning.events import Event
from buildlog.reckoning.hours import added_by_key
from buildlog.reckoning.knowledge import ItemStory, Stay
from buildlog.rules.finding import Finding

Sentence = tuple[Link, ...]
Dated = tuple[tuple[datetime.date, int, str, int], Row]

_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")


class Around(msgspec.Struct, frozen=True):
    """What bears on an item from elsewhere.

    `chain` are the items it sits in, the nearest first; `inside` what sits in it; `pointed` the records
    about other items that name it; `mentions` the entries whose prose does; `lots` those in it and in what
    is inside it; `troubled` the items inside it that something major stands against.
    """

    chain: tuple[Link, ...] = ()
    inside: tuple[Seat, ...] = ()
    pointed: tuple[Pointed, ...] = ()
    findings: tuple[Finding, ...] = ()
    mentions: tuple[Link, ...] = ()
    notices: Notices = Notices()
    lots: tuple[LotLine, ...] = ()
    troubled: tuple[Link, ...] = ()


def seat(story: ItemStory, *, name: str = "", assumed: bool = False) -> Seat:
    """An item in a list of items, with what its stages come to."""
    mark = words.worst(story.stages) if story.exists else None
    return Seat(item=to.item(story.item), name=name, stamps=(mark,) if mark else (), assumed=assumed)


def last_of(story: ItemStory) -> tuple[tuple[datetime.date, int, str, int], Link] | None:
    """The last record of an item, with a key that sorts it."""
    if not story.chronicle.events:
        return None
    event = story.chronicle.events[-1]
    text = f"{event.moment.day.isoformat()}, record {event.place}"
    return event.moment.show, to.entry(event.entry, text, f"r{event.place}")


def item_page(guide: Guide, story: ItemStory, around: Around, titles: Titles, media: Media) -> Page:
    """The page of an item."""
    at = address.of_item(story.item)
    name = story.part.name if story.part else ""
    last = last_of(story)
    remarks = tuple(remark(guide, each, titles) for each in around.findings)
    stands = answer(guide, story, remarks, around.troubled, f"{at}#findings")
    rows = _rows(guide, story, around, titles, media)
    before = brought_rows(guide, story, titles, media, around.notices.idle)
    whole = tuple(sorted((*rows, *(row for _, row in before)), key=lambda row: row[0])) if before else rows
    latest, since_says = since(story, whole, around.pointed)
    sheet = ItemSheet(
        block=guide.block(at, f"{story.item} {name}".rstrip(), last=last[1] if last else None),
        item=str(story.item),
        name=name or "on no parts list",
        what=_what(story),
        where=around.chain,
        where_says=_where(story, titles),
        verdict=stands.verdict,
        waits=stands.waits,
        verdict_says=stands.says,
        put_off=put_off(remarks),
        departures=departures(guide, around.notices, titles),
        reasons=stands.reasons,
        stages=tuple(stage_line(guide, each, titles) for each in story.stages),
        since=latest,
        since_says=since_says,
        inside=around.inside,
        articles=_articles(story, rows, before),
        readings=readings_of(guide, story, titles),
        lots=around.lots,
        further=stands.further,
        observations=tuple(each for each in remarks if each.grade.word == "observation" or each.deferred),
        photos=_photos(guide, story, titles, media),
        hours=_hours(story),
        mentions=around.mentions,
        fellows=tuple(
            to.item(each) for each in guide.names.items.get(story.item.number, ()) if each != story.item
        ),
    )
    return Page(at, "item.html", sheet)


def _what(story: ItemStory) -> tuple[Detail, ...]:
    part, present = story.part, story.chronicle.present
    told = [("part", to.part(story.item.number, part.name if part else ""))]
    told.append(("class", Link(_class_says(story))))
    if part is not None:
        drawing = " rev ".join(each for each in (part.drawing, part.revision) if each)
        told += [("drawing", Link(drawing)), ("system", Link(part.system)), ("source", Link(part.source))]
        if part.use != "flight":
            told.append(("use", Link("not for flight")))
    if len(story.chronicle.articles) > 1:
        told.append(("article", Link(_ordinal(len(story.chronicle.articles)))))
    if present is not None:
        told.append(("serial", Link(present.serial)))
    return tuple(Detail(label, (link,)) for label, link in told if link.text)


def _class_says(story: ItemStory) -> str:
    class_ = story.class_
    asks = []
    if class_.independent:
        asks.append("independent inspection")
    if class_.signatures > 1:
        asks.append(words.counted(class_.signatures, "signature"))
    if class_.signed:
        asks.append("signed document")
    if class_.bulk:
        asks.append("kept by lot")
    return class_.key + (": " + ", ".join(asks) if asks else "")


def _ordinal(number: int) -> str:
    return _ORDINALS[number - 1] if number <= len(_ORDINALS) else f"no. {number}"


def _where(story: ItemStory, titles: Titles) -> tuple[Sentence, ...]:
    told: list[Sentence] = []
    if story.exists:
        told.append(_stay_says(story.stay, story.part, titles))
    else:
        gone = "the last one is gone" if story.chronicle.articles else "there is none yet"
        told.append((Link(f"Nowhere: {gone}."),))
    for closing in story.closings:
        if closing.opened is None:
            area = f" ({closing.area})" if closing.area else ""
            day = closing.event.moment.day.isoformat()
            told.append((Link(f"It was closed up{area} on {day}: "), by(closing.event, titles)))
    for item, closing in story.hidden_by:
        day = closing.event.moment.day.isoformat()
        told.append(
            (
                Link("Out of sight since "),
                to.item(item),
                Link(f" was closed on {day}: "),
                by(closing.event, titles),
            )
        )
    return tuple(told)


def _stay_says(stay: Stay | None, part: Part | None, titles: Titles) -> Sentence:
    if stay is not None and stay.assumed:
        return (Link("Assumed from the parts list; no record says so."),)
    if stay is None or stay.begun is None:
        if stay is not None and stay.ended is None and part is not None and part.parent:
            return (
                Link(f"In {part.parent} by the parts list; neither that nor a record says in which one."),
            )
        return (Link("Nothing in the log says that it sits in anything."),)
    day = stay.begun.moment.day.isoformat()
    said = "Loose since" if stay.within is None else "Installed on"
    return (Link(f"{said} {day}: "), by(stay.begun, titles))


def _rows(guide: Guide, story: ItemStory, around: Around, titles: Titles, media: Media) -> tuple[Dated, ...]:
    """All that happened to an item, and the records of others that name it, in order."""
    own = story.chronicle
    rows = [
        (each.moment.show, marked(event_row(guide, each, titles, media), each, around.notices.idle))
        for each in own.events
    ]
    rows += [(each.moment.show, labour_row(guide, each, titles)) for each in own.labour]
    rows += [(each.event.moment.show, pointed_row(guide, each, titles, media)) for each in around.pointed]
    return tuple(sorted(rows, key=lambda row: row[0]))


def _articles(
    story: ItemStory, rows: tuple[Dated, ...], before: tuple[tuple[int, Dated], ...]
) -> tuple[ArticleShown, ...]:
    """The history by article, the present one first; a row goes to the first that had not ended.

    `before` are the rows that an article brought along from another name, by its number.
    """
    articles = story.chronicle.articles
    left = list(rows)
    found: list[ArticleShown] = []
    for article in articles:
        end = article.ended if len(articles) > 1 else None
        taken = [each for each in left if _until(each[0], end, story.item)]
        left = [each for each in left if not _until(each[0], end, story.item)]
        taken += [row for number, row in before if number == article.number]
        taken.sort(key=lambda row: row[0])
        title = f"The {_ordinal(article.number)} article" if len(articles) > 1 else ""
        found.append(ArticleShown(title=title, rows=tuple(row for _, row in taken), end=ending(article)))
    if left:
        title = "After the last article" if articles else ""
        found.append(ArticleShown(title=title, rows=tuple(row for _, row in left)))
    return tuple(each for each in reversed(found) if each.rows)


def _until(key: tuple[datetime.date, int, str, int], end: Event | None, item: Item) -> bool:
    """Whether a row is of an article that ended so; the end itself is, unless it was another's arrival."""
    if end is None:
        return True
    return key <= end.moment.show if end.item == item else key < end.moment.show


def _photos(guide: Guide, story: ItemStory, titles: Titles, media: Media) -> tuple[Photo, ...]:
    return tuple(
        linked(
            plate(guide, each.medium, media),
            to.entry(each.entry, titles[each.entry]),
            each.moment.day.isoformat(),
        )
        for each in story.shown
    )


def _hours(story: ItemStory) -> tuple[Tally, ...]:
    if not story.hours:
        return ()
    tasks = added_by_key((each.task, each.hours) for each in story.chronicle.labour)
    kinds = added_by_key((each.kind, each.hours) for each in story.chronicle.labour)
    by_task = [
        (to.task(key) if key else Link("no task"), tasks[key]) for key in sorted(tasks, key=_last_empty)
    ]
    by_kind = [(Link(key or "no kind"), kinds[key]) for key in sorted(kinds, key=_last_empty)]
    return words.tally("By task", by_task, story.hours), words.tally("By kind of work", by_kind, story.hours)


def _last_empty(key: str) -> tuple[bool, str]:
    return not key, key

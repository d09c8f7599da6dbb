"""The list of people and the page of each."""

from __future__ import annotations

import msgspec

from buildlog.model.log import MediaFile
from buildlog.model.names import Item
from buildlog.pages import address, words
from buildlog.pages import guide as to
from buildlog.pages.frame import Detail, Link, Page
from buildlog.pages.guide import Guide
from buildlog.pages.remarks import remark
from buildlog.pages.rows import event_row
from buildlog.pages.sheets import PeopleSheet, PersonLine, PersonMonth, PersonSheet
from buildlog.reckoning.events import Appearance
from buildlog.reckoning.hours import added
from buildlog.reckoning.knowledge import PersonStory
from buildlog.rules.finding import Finding


class PersonBundle(msgspec.Struct, frozen=True):
    """All that the page of a person shows, beside the guide."""

    story: PersonStory
    titles: dict[str, str]
    media: dict[str, MediaFile]
    items: tuple[Item, ...] = ()
    findings: tuple[Finding, ...] = ()


def person_line(guide: Guide, story: PersonStory) -> PersonLine:
    """A person in the list of people."""
    last = story.appearances[-1] if story.appearances else None
    return PersonLine(
        person=guide.person(story.person.key),
        roles=", ".join(story.person.roles),
        hours=words.column(story.hours) if story.hours else "",
        last=to.entry(last.entry, last.moment.day.isoformat()) if last else None,
    )


def draw_person(guide: Guide, bundle: PersonBundle) -> Page:
    """The page of a person: what they inspected, and where they worked."""
    story = bundle.story
    person, at = story.person, address.of_person(story.person.key)
    name = guide.person(person.key).text
    last = story.appearances[-1] if story.appearances else None
    sheet = PersonSheet(
        block=guide.block(at, name, last=to.entry(last.entry, last.moment.day.isoformat()) if last else None),
        name=name,
        facts=_facts(guide, story),
        looked=tuple(
            event_row(guide, each, bundle.titles, bundle.media, of=True) for each in story.inspected
        ),
        items=tuple(to.item(each) for each in bundle.items),
        months=_months(story.appearances, bundle.titles),
        hours=words.hours(story.hours),
        remarks=tuple(remark(guide, each, bundle.titles) for each in bundle.findings),
    )
    return Page(at, "person.html", sheet)


def _facts(guide: Guide, story: PersonStory) -> tuple[Detail, ...]:
    person = story.person
    stages = person.may_inspect
    told = (
        ("Roles", ", ".join(person.roles)),
        ("May inspect", ", ".join(guide.stages.get(each, each) for each in stages) if stages else ""),
        ("Authority from", person.from_.isoformat() if person.from_ else ""),
        ("Until", person.until.isoformat() if person.until else ""),
        ("Certificate", person.certificate),
        ("In public", person.public),
        ("Contact", person.contact),
    )
    return tuple(Detail(label, (Link(text),)) for label, text in told if text)


def _months(seen: tuple[Appearance, ...], titles: dict[str, str]) -> tuple[PersonMonth, ...]:
    months: dict[str, list[Appearance]] = {}
    for each in reversed(seen):
        months.setdefault(each.moment.day.isoformat()[:7], []).append(each)
    return tuple(
        PersonMonth(
            month=Link(words.month(key), address.of_month(key)),
            hours=words.column(added(each.hours for each in seen_then)),
            entries=tuple(to.entry(each.entry, titles[each.entry]) for each in seen_then),
        )
        for key, seen_then in months.items()
    )


def draw_people(guide: Guide, lines: tuple[PersonLine, ...]) -> Page:
    """The list of people."""
    at = "people/index.html"
    return Page(at, "people.html", PeopleSheet(block=guide.block(at, "People"), lines=lines))

"""An entry: one session of work, its work lines, records and media."""

from __future__ import annotations

import datetime
from fractions import Fraction
from typing import Annotated

import msgspec

from buildlog.model.key import NOWHERE, AtShop, Audience, Reads, inspector, public, shop
from buildlog.model.records import AnyRecord


class PersonHours(msgspec.Struct, frozen=True):
    """The exact hours of one person on one work line; `person` is empty where the line names nobody."""

    person: Annotated[str, inspector("who", Reads.PERSON)]
    hours: Annotated[Fraction, inspector("exact hours", Reads.HOURS)]


class Share(msgspec.Struct, frozen=True):
    """One name in a work line's `parts`, with its weight. Shares are weight over the sum of weights."""

    name: Annotated[str, public("the item or part as written", Reads.ITEMS)]
    weight: Annotated[Fraction, inspector("its weight, 1 unless given", Reads.NUMBER)] = Fraction(1)


class WorkLine(msgspec.Struct, frozen=True, kw_only=True):
    """One stretch of work: on which task and parts, of what kind, how long, by whom."""

    task: Annotated[str, public("the task worked on", Reads.TASK)] = ""
    parts: Annotated[tuple[Share, ...], public("what was worked on", Reads.SHARES)] = ()
    kind: Annotated[str, inspector("the kind of work, a word of your own", Reads.TEXT)] = ""
    hours: Annotated[tuple[PersonHours, ...], inspector("how long", Reads.HOURS)] = ()
    people: Annotated[tuple[str, ...], inspector("who, if not the entry's people", Reads.PEOPLE)] = ()
    note: Annotated[str, inspector("a remark", Reads.TEXT)] = ""
    where: AtShop = NOWHERE


class Medium(msgspec.Struct, frozen=True, kw_only=True):
    """A photo, clip or document that an entry refers to."""

    file: Annotated[str, public("the file, below media/", Reads.MEDIUM, required=True)] = ""
    shows: Annotated[tuple[str, ...], public("the items or parts it shows", Reads.ITEMS)] = ()
    caption: Annotated[str, public("what the reader is told", Reads.CAPTION)] = ""
    audience: Annotated[
        Audience | None, inspector("who may see it; unmarked, whoever may see the entry", Reads.AUDIENCE)
    ] = None
    where: AtShop = NOWHERE


class Entry(msgspec.Struct, frozen=True, kw_only=True):
    """One dated Markdown file. `key` is the file name without `.md` and names the entry in the log."""

    key: Annotated[str, public("its name", Reads.INSIDE)]
    date: Annotated[datetime.date, public("the day; else read off the file name", Reads.DATE)]
    start: Annotated[datetime.time | None, inspector("when the session began", Reads.TIME)] = None
    title: Annotated[str, public("the title; else read off the file name", Reads.TEXT)] = ""
    audience: Annotated[Audience, inspector("who may see it; unmarked, the inspector", Reads.AUDIENCE)] = (
        Audience.INSPECTOR
    )
    draft: Annotated[bool, shop("`true` sets the entry aside, visibly", Reads.FLAG)] = False
    people: Annotated[tuple[str, ...], public("who worked", Reads.PEOPLE)] = ()
    present: Annotated[tuple[str, ...], public("who was there and did not work", Reads.PEOPLE)] = ()
    place: Annotated[str, inspector("where", Reads.TEXT)] = ""
    conditions: Annotated[str, inspector("temperature, humidity, light", Reads.TEXT)] = ""
    work: Annotated[tuple[WorkLine, ...], public("the work lines", Reads.FACTS)] = ()
    completes: Annotated[tuple[str, ...], inspector("tasks that are complete now", Reads.TASKS)] = ()
    resumes: Annotated[tuple[str, ...], inspector("complete tasks taken up again", Reads.TASKS)] = ()
    records: Annotated[tuple[AnyRecord, ...], inspector("the records", Reads.FACTS)] = ()
    media: Annotated[tuple[Medium, ...], public("photos, clips, documents", Reads.FACTS)] = ()
    allow: Annotated[tuple[str, ...], shop("words the gate lets pass in this entry", Reads.TEXTS)] = ()
    body: Annotated[str, public("the prose", Reads.PROSE)] = ""
    body_line: Annotated[int, shop("the line of its file on which the prose begins", Reads.INSIDE)] = 1
    header_date: Annotated[bool, shop("whether the header gives the date", Reads.INSIDE)] = False
    file_date: Annotated[datetime.date | None, shop("the date in the file name", Reads.INSIDE)] = None
    where: AtShop = NOWHERE


class Draft(msgspec.Struct, frozen=True, kw_only=True):
    """An entry set aside with `draft: true`. Nothing in it counts; it may even hold errors."""

    key: Annotated[str, shop("its name", Reads.INSIDE)]
    title: Annotated[str, shop("the title", Reads.TEXT)] = ""
    problems: Annotated[tuple[str, ...], shop("what would be an error in it", Reads.INSIDE)] = ()
    where: AtShop = NOWHERE

"""Small logs for tests, in few words: entries of June 2026 by day, records by kind."""

from __future__ import annotations

import datetime as dt
from fractions import Fraction
from typing import Any

from buildlog.model.entry import Entry, PersonHours, Share, WorkLine
from buildlog.model.lists import Lot, Part, Task, Tool
from buildlog.model.log import Log
from buildlog.model.names import Item
from buildlog.model.records import KINDS, AnyRecord
from buildlog.model.settings import (
    STANDARD_CLASSES,
    STANDARD_HARMLESS,
    STANDARD_STAGES,
    Class,
    Milestone,
    Person,
    Settings,
    Stage,
)
from buildlog.reckoning.knowledge import Article, ItemStory, Knowledge, StageStatus
from buildlog.reckoning.reckon import reckon

PEOPLE = (
    Person(key="ann", name="Ann", roles=("builder",)),
    Person(key="bo", name="Bo", roles=("builder", "inspector")),
    Person(key="ida", name="Ida", roles=("inspector",)),
    Person(key="ivo", name="Ivo", roles=("inspector",), may_inspect=("to-drawing",)),
    Person(
        key="ole",
        name="Ole",
        roles=("inspector",),
        from_=dt.date(2026, 6, 5),
        until=dt.date(2026, 6, 20),
    ),
    Person(key="eva", name="Eva", roles=("engineer",)),
)

CLASSES = (
    *STANDARD_CLASSES,
    Class(key="double", stages=("to-drawing", "pre-close"), signatures=2),
    Class(key="signed", stages=("to-drawing",), signed=True),
    Class(key="joint", stages=("rigged",)),
)

STAGES = (
    *STANDARD_STAGES,
    Stage(key="rigged", title="Rigged", undone_by=("modified", "damaged"), before="taxi"),
)

PARTS = (
    Part(number="PLANE", name="Aircraft", class_="assembly"),
    Part(number="WING", name="Wing", class_="assembly", items=("L", "R"), parent="PLANE"),
    Part(number="RIB", name="Rib", items=("L", "R"), parent="WING"),
    Part(number="SPAR", name="Spar", class_="critical", items=("L", "R"), parent="WING"),
    Part(number="BOX", name="Box", class_="critical"),
    Part(number="CLIP", name="Clip", parent="BOX"),
    Part(number="TIP", name="Wing tip", items=("L", "R"), parent="WING"),
    Part(number="PIN", name="Pin", items=("1", "2"), parent="WING"),
    Part(number="TAB", name="Tab", class_="double"),
    Part(number="LUG", name="Lug", class_="signed"),
    Part(number="BOLT", name="Joint of wing and box", class_="joint", joins=("WING", "BOX")),
    Part(number="A/B", name="With a slash", items=("L", "R")),
    Part(number="A/B/L", name="Also with a slash"),
)


def on(day: int | dt.date) -> dt.date:
    return day if isinstance(day, dt.date) else dt.date(2026, 6, 1) + dt.timedelta(days=day - 1)


def at(text: str | None) -> dt.time | None:
    return None if text is None else dt.time.fromisoformat(text)


def item(text: str) -> Item:
    number, _, designator = text.partition("/")
    return Item(number, designator)


def rec(kind: str, of: str = "", /, **fields: Any) -> AnyRecord:
    """A record; lists are given as texts with blanks, days as days of June."""
    known = KINDS[kind].__struct_fields__
    found: dict[str, Any] = {"of": tuple(of.split())}
    for key, value in fields.items():
        name = key if key in known else f"{key}_"
        if name in ("by", "hides", "except_", "lots", "document", "carries"):
            found[name] = tuple(value.split())
        else:
            found[name] = on(value) if name == "date" else at(value) if name == "time" else value
    return KINDS[kind](**found)


def ok(of: str, stage: str = "to-drawing", by: str = "ida", **fields: Any) -> AnyRecord:
    return rec("inspected", of, **{"stage": stage, "by": by, "result": "accepted", **fields})


def no(of: str, stage: str = "to-drawing", by: str = "ida", **fields: Any) -> AnyRecord:
    return ok(of, stage, by, result="rejected", **fields)


def work(parts: str = "", hours: object = 1, **fields: Any) -> WorkLine:
    """A work line; `hours` of nobody in particular, or a dict by person."""
    told = hours if isinstance(hours, dict) else {"": hours}
    shares = tuple(
        Share(name, Fraction(weight or 1))
        for name, _, weight in (each.partition("*") for each in parts.split())
    )
    people = tuple(str(fields.pop("people", "")).split())
    return WorkLine(
        parts=shares,
        hours=tuple(PersonHours(person, Fraction(value)) for person, value in told.items()),
        people=people,
        **fields,
    )


def entry(day: int | dt.date, *facts: AnyRecord | WorkLine, key: str = "a", **fields: Any) -> Entry:
    """An entry of a day of June; its name is the date and `key`."""
    for name in ("people", "present", "completes", "resumes"):
        fields[name] = tuple(str(fields.get(name, "ann" if name == "people" else "")).split())
    return Entry(
        key=f"{on(day)}-{key}",
        date=on(day),
        start=at(fields.pop("start", None)),
        work=tuple(each for each in facts if isinstance(each, WorkLine)),
        records=tuple(each for each in facts if not isinstance(each, WorkLine)),
        **fields,
    )


def log(
    *entries: Entry,
    parts: tuple[Part, ...] = PARTS,
    tasks: tuple[Task, ...] = (),
    milestones: tuple[Milestone, ...] = (),
    stages: tuple[Stage, ...] = STAGES,
    lots: tuple[Lot, ...] = (),
    tools: tuple[Tool, ...] = (),
) -> Log:
    settings = Settings(
        title="Test",
        people=PEOPLE,
        stages=stages,
        classes=CLASSES,
        harmless=STANDARD_HARMLESS,
        milestones=milestones,
    )
    ordered = tuple(sorted(entries, key=lambda each: (each.date, each.key)))
    return Log(settings=settings, parts=parts, tasks=tasks, entries=ordered, lots=lots, tools=tools)


def known(*entries: Entry, **lists: Any) -> Knowledge:
    return reckon(log(*entries, **lists))


def story(name: str, *entries: Entry, **lists: Any) -> ItemStory:
    return known(*entries, **lists).items[item(name)]


def stage(name: str, key: str, *entries: Entry, **lists: Any) -> StageStatus:
    return next(each for each in story(name, *entries, **lists).stages if each.stage.key == key)


def status(name: str, key: str, *entries: Entry, **lists: Any) -> str:
    """The status of a stage in words; `-` where the item has no present article, so that nothing is asked."""
    stages = story(name, *entries, **lists).stages
    return next((each.status.value for each in stages if each.stage.key == key), "-")


def articles(name: str, *entries: Entry, **lists: Any) -> tuple[Article, ...]:
    return story(name, *entries, **lists).chronicle.articles


def place(name: str, *entries: Entry, **lists: Any) -> str:
    """Where an item is now, in words: `WING/L`, `WING/L assumed`, `loose`, `-` without an article."""
    stay = story(name, *entries, **lists).stay
    if stay is None:
        return "-"
    return f"{stay.within}{' assumed' if stay.assumed else ''}" if stay.within else "loose"

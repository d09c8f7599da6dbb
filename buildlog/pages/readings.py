"""The readings of an item: each in words, a series as a chart, and the torque table beside a torque."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence

import msgspec

from buildlog.model.records import Measured, Torqued
from buildlog.pages import address
from buildlog.pages import guide as to
from buildlog.pages.chart import Chart, Point, draw
from buildlog.pages.frame import Detail, Link, Stamp
from buildlog.pages.guide import Guide
from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Article, ItemStory
from buildlog.reckoning.order import Order, compare
from buildlog.reckoning.readings import Reading, Series, loosens, series_of
from buildlog.rules.torques import CONDITIONS, SOURCE, recommended

_WITHIN = Stamp("within", "current")
_OUTSIDE = Stamp("outside", "rejected")
_NOT_SHOWN = Stamp("not shown to be within", "unclear")
_GONE = Stamp("loosened since", "undone")
_TOPIC = "torque"


class ReadingLine(msgspec.Struct, frozen=True, kw_only=True):
    """One reading: what, when, the value as written, net of run-on, its limits, and where it is told.

    `again` says that it is of the same as the line above. `reference` is what the torque table says.
    """

    of: str
    again: bool
    day: str
    value: str
    net: str = ""
    limits: str = ""
    stamps: tuple[Stamp, ...] = ()
    reference: str = ""
    source: Link


class Readings(msgspec.Struct, frozen=True, kw_only=True):
    """All readings of an item, the present article's first. `conditions` go with the torque table."""

    lines: tuple[ReadingLine, ...]
    charts: tuple[tuple[str, Chart], ...] = ()
    conditions: tuple[str, ...] = ()
    topic: Link | None = None


def readings_of(guide: Guide, story: ItemStory, titles: Mapping[str, str]) -> Readings | None:
    """The readings of an item; None where it has none."""
    articles = [
        each
        for each in reversed(story.chronicle.articles)
        if any(isinstance(event.record, Measured | Torqued) for event in each.events)
    ]
    if not articles:
        return None
    several = len(story.chronicle.articles) > 1
    lines: list[ReadingLine] = []
    charts: list[tuple[str, Chart]] = []
    for article, series in itertools.chain.from_iterable(map(_with_series, articles)):
        name = called(series) + (f", article {article.number}" if several else "")
        lines += _lines(name, series, article.events, titles)
        chart = draw(name, [Point(_day(each), each.net, each.limits) for each in series.readings])
        if chart is not None:
            charts.append((name, chart))
    if not lines:
        return None
    shown = any(line.reference for line in lines)
    return Readings(
        lines=tuple(lines),
        charts=tuple(charts),
        conditions=CONDITIONS if shown else (),
        topic=_topic(guide, "What it says, in full") if shown else None,
    )


def reference(record: Torqued) -> tuple[str, str, str]:
    """What the torque table says of a torque without limits: figures, source, condition; else empty."""
    found = None if record.limits else recommended(record.thread, record.nut)
    if found is None:
        return ("", "", "")
    estimated = " (estimated, says the table)" if found.estimated else ""
    return (
        f"{found.low} to {found.high} in-lb{estimated} net of run-on, at most {found.most}",
        f"{SOURCE}, {found.nut} nut",
        "only where the manufacturer gives none, whose value comes first",
    )


def beside(guide: Guide, record: Torqued) -> tuple[Detail, ...]:
    """What the torque table says, as a particular of a record without limits: for reference, never a pass."""
    figures, source, condition = reference(record)
    if not figures:
        return ()
    return (Detail("for reference", (Link(figures), _topic(guide, source), Link(condition))),)


def called(series: Series) -> str:
    """A series as a heading: what was measured, or the torque of what."""
    if series.kind == "torqued":
        return f"Torque of {series.name}" if series.name else "Torque"
    return series.name[:1].upper() + series.name[1:] or "Without a name"


def _topic(guide: Guide, text: str) -> Link:
    return Link(text, address.of_topic(_TOPIC) if _TOPIC in guide.topics else "")


def _with_series(article: Article) -> tuple[tuple[Article, Series], ...]:
    return tuple((article, series) for series in series_of(article.events))


def _lines(
    name: str, series: Series, events: Sequence[Event], titles: Mapping[str, str]
) -> list[ReadingLine]:
    return [
        _line(name, each, _stamps(each, series, events), titles, again=at > 0)
        for at, each in enumerate(series.readings)
    ]


def _line(
    of: str, reading: Reading, stamps: tuple[Stamp, ...], titles: Mapping[str, str], *, again: bool
) -> ReadingLine:
    event, record = reading.event, reading.event.record
    return ReadingLine(
        of=of,
        again=again,
        day=_day(reading),
        value=getattr(record, "value", ""),
        net="" if reading.run_on is None else f"{reading.net} net of {reading.run_on} run-on",
        limits=getattr(record, "limits", ""),
        stamps=stamps,
        reference=", ".join(filter(None, reference(record))) if isinstance(record, Torqued) else "",
        source=to.entry(event.entry, titles.get(event.entry, event.entry), f"r{event.place}"),
    )


def _stamps(reading: Reading, series: Series, events: Sequence[Event]) -> tuple[Stamp, ...]:
    """How a reading stands to its limits. A torque that is gone since says so, and is within nothing."""
    moment = reading.event.moment
    gone = series.kind == "torqued" and any(
        loosens(each, series.name) and compare(each.moment, moment) in (Order.AFTER, Order.UNCLEAR)
        for each in events
    )
    found = (_GONE,) if gone else ()
    if reading.within is None:
        return found
    if reading.within:
        return found or (_WITHIN,)
    return (_OUTSIDE if reading.net.single is not None else _NOT_SHOWN, *found)


def _day(reading: Reading) -> str:
    return reading.event.moment.day.isoformat()

"""The reference of the format, as the site shows it: what each file, record, rule and key means."""

from __future__ import annotations

from buildlog.pages import address
from buildlog.pages.frame import Link, Page, Prose
from buildlog.pages.guide import Guide
from buildlog.pages.sheets import FormatSheet, TopicSheet
from buildlog.rules.reference import Topic

_HEADS = {
    "guide": "How it works",
    "table": "Files and tables",
    "record": "Kinds of record",
    "rule": "Rules",
    "key": "Keys and words",
}


_TEMPLATES = {"torque": "torque.html"}
"""Topics whose page holds more than their text."""


def draw_reference(guide: Guide, topics: tuple[Topic, ...]) -> tuple[Page, ...]:
    """The page that lists the reference, then a page for each topic."""
    at = "format/index.html"
    heads: dict[str, list[Link]] = {}
    for topic in topics:
        heads.setdefault(topic.kind, []).append(Link(topic.title, address.of_topic(topic.name)))
    tables = tuple((_HEADS[kind], tuple(links)) for kind, links in heads.items())
    index = Page(at, "format.html", FormatSheet(block=guide.block(at, "The format"), tables=tables))
    return (index, *(_page(guide, each) for each in topics))


def _page(guide: Guide, topic: Topic) -> Page:
    at = address.of_topic(topic.name)
    sheet = TopicSheet(
        block=guide.block(at, topic.title), sort=_HEADS[topic.kind], title=topic.title, text=Prose(topic.text)
    )
    return Page(at, _TEMPLATES.get(topic.name, "topic.html"), sheet)

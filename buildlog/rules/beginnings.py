"""Where an article began."""

from __future__ import annotations

from buildlog.reckoning.events import BEGINS_NOTHING
from buildlog.reckoning.knowledge import Article
from buildlog.rules.finding import Rest
from buildlog.rules.subjects import rest_on, rest_on_work


def begun(article: Article) -> Rest:
    """The record or work line that began an article: the first of either."""
    events = [e for e in article.events if not e.struck and e.kind not in BEGINS_NOTHING]
    found = [(event.moment.show, rest_on(event)) for event in events[:1]]
    found.extend((work.moment.show, rest_on_work(work)) for work in article.labour[:1])
    return min(found, key=lambda each: each[0])[1]

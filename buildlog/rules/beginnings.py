"""Where an article began."""

from __future__ import annotations

from buildlog.reckoning.events import BEGINS_NOTHING
from buildlog.reckoning.knowledge import Article
from buildlog.rules.finding import Rest
from buildlog.rules.subjects import rest_on, rest_on_work


def begun(article: Article) -> Rest:
    """The record or work line that began an article: the first of either."""
    event = next((e for e in article.events if not e.struck and e.kind not in BEGINS_NOTHING), None)
    work = article.labour[0] if article.labour else None
    if event is None or (work is not None and work.moment.show < event.moment.show):
        # an article without a record that begins it exists by its work
        return rest_on_work(article.labour[0])
    return rest_on(event)

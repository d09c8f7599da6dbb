"""A photograph taken before covering is often all that can still be shown, years later.

Basis: FAA Order 8130.2F, paragraph 147, as a magazine reports it: photographs at the right moments before
covering, some with the builder at work.

Flagged: an article that exists, of a class that asks for some stage, that no photo, clip or document
shows. A medium shows what its `shows` names; a record's `document` shows what the record is about. What
showed an earlier article of the same item does not show this one. Parts kept by lot are never flagged.

Cleared by: a medium that shows it, or a document on one of its records.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.reckoning.events import Shown
from buildlog.reckoning.knowledge import Frame, ItemStory
from buildlog.reckoning.order import Order, compare
from buildlog.rules.beginnings import begun
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject

NAME = "evidence-missing"
GRADE = "observation"
SUBJECT = Subject.ITEM


def check(story: ItemStory, _frame: Frame) -> Iterator[Finding]:
    """Yield one finding for an item whose present article nothing shows."""
    article = story.chronicle.present
    if article is None or story.class_.bulk or not story.class_.stages:
        return
    if any(_shows_present(story, shown) for shown in story.shown):
        return
    first = begun(article)
    yield Finding(
        rule=NAME,
        grade=Grade.OBSERVATION,
        message="No photo, clip or document shows it.",
        why="What is covered later can be shown only by what was photographed before.",
        clears="A medium whose `shows` names it, or a `document` on one of its records.",
        item=story.item,
        entry=first.entry,
        rests=(first,),
    )


def _shows_present(story: ItemStory, shown: Shown) -> bool:
    """Whether a medium may show the present article: it is not surely older than the end of the last one."""
    before = story.chronicle.articles[:-1]
    ended = before[-1].ended if before else None
    return ended is None or compare(shown.moment, ended.moment) is not Order.BEFORE

"""What was thrown away cannot be passed; a record of it is of something else, or of the wrong item.

Basis: common practice, no source: the article that takes the place of a scrapped or returned one comes into
the log by a record that it was made or received, with a history of its own.

Flagged: an item whose article was scrapped or returned, and which has records or work since, none of them
`made`, `received` or a new name. It is major where the new one was inspected or tested, because somebody
vouched for an article that nobody accounts for; else minor. So is an acceptance from before the record that
another was made or received, while the status rests on it: major, or minor where nothing says which of the
two came first that day. The status of such an article is never current: it reads unclear. Paper that may
follow an end (a removal, a disposition) and items kept by lot are left alone; scrapped twice, an article
ended once. One finding an item, about its last article.

Cleared by: a record of when the new one was made or received, or a new acceptance where that came later; or
the wrong record struck through.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from buildlog.model.records import Disposition
from buildlog.reckoning.events import BEGINS, Event
from buildlog.reckoning.knowledge import Frame, ItemStory, Status
from buildlog.reckoning.order import Order, compare
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, rest_on, rest_on_work
from buildlog.rules.wording import by

NAME = "article-unaccounted"
GRADE = "major where it was inspected or tested, else minor; minor where the log leaves the order open"
SUBJECT = Subject.ITEM

_LOOK = ("inspected", "tested")
_PAPER = ("removed", "disposition", "nonconformance", "deferred", "voided", "drawing_changed")
"""What may still be written of an article that is gone."""


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding where the last article came from nowhere, or was passed before it came."""
    articles = story.chronicle.articles
    last = articles[-1] if articles else None
    if last is None or last.after is None or story.class_.bulk:
        return
    if last.ended is not None and last.ended.kind == "reidentified":
        return  # told of the item that it goes on as
    before = last.after
    gone = f"Its article was {_ended(before)} on {before.moment.day}{by(before.people, frame)}; then"
    events = [event for event in last.events if event.struck is None and event.kind not in _PAPER]
    begins = [event for event in events if event.kind in BEGINS]
    if begins:
        yield from _passed_early(story, gone, begins, before)
    elif events or last.labour:
        rests = (*map(rest_on, events), *map(rest_on_work, last.labour))
        looked = any(event.kind in _LOOK for event in events)
        what = f"it was {events[0].kind} on {events[0].moment.day}" if events else "it was worked on"
        yield Finding(
            rule=NAME,
            grade=Grade.MAJOR if looked else Grade.MINOR,
            message=f"{gone} {what}, and nothing says that another was made or received.",
            why="Whatever is said of it since is said of an article that the log knows nothing of.",
            clears="A record of when it was made or received; or the wrong record struck through.",
            item=story.item,
            entry=rests[0].entry,
            rests=(*rests, rest_on(before)),
        )


def _ended(event: Event) -> str:
    """How an article ended, in words: a decision to scrap or return it ends it once another is there."""
    if isinstance(event.record, Disposition):
        return f"to be {'scrapped' if event.record.decision == 'scrap' else 'returned'}"
    return event.kind


def _passed_early(story: ItemStory, gone: str, begins: Sequence[Event], before: Event) -> Iterator[Finding]:
    """Yield one finding where a status rests on an acceptance of before it was made or received."""
    for status in story.stages:
        passed = status.last
        if not status.asked or status.apart is not Status.UNCLEAR:
            continue
        if status.unaccounted is None or passed is None:
            continue
        came = begins[0]
        sure = compare(passed.moment, came.moment) is Order.BEFORE
        on, another = passed.moment.day, f"another was {came.kind} on {came.moment.day}"
        what = f"passed on {on}, before {another}" if sure else f"passed and {another}"
        open_order = "" if sure else ", and nothing says which came first"
        yield Finding(
            rule=NAME,
            grade=Grade.MAJOR if sure else Grade.MINOR,
            message=f"{gone} it was {what}{open_order}.",
            why="What was passed before it came was not this article.",
            clears="A new acceptance; or the right days and times on both records.",
            item=story.item,
            entry=passed.entry,
            rests=(rest_on(passed), rest_on(came), rest_on(before)),
        )
        return

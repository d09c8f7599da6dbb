"""What was thrown away cannot be passed; a record of it is of something else, or of the wrong item.

Basis: common practice, no source: the article that takes the place of a scrapped or returned one comes into
the log by a record that it was made or received, with a history of its own.

Flagged: an item whose article was scrapped or returned, and which has records or work since, none of them
`made`, `received` or a new name. It is major where the new one was inspected or tested, because its status
would vouch for an article that nobody accounts for; else minor. Paper that may follow an end (a removal, a
disposition) and items kept by lot are left alone; scrapped twice, an article ended once. One finding an
item, about its last article.

Cleared by: a record of when the new one was made or received; or the wrong record struck through.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.reckoning.knowledge import Frame, ItemStory
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, rest_on, rest_on_work
from buildlog.rules.wording import by

NAME = "article-unaccounted"
GRADE = "major where it was inspected or tested, else minor"
SUBJECT = Subject.ITEM

_BEGIN = ("made", "received", "reidentified")
_LOOK = ("inspected", "tested")
_PAPER = ("removed", "disposition", "nonconformance", "deferred", "voided", "drawing_changed")
"""What may still be written of an article that is gone."""


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding where the last article came from nowhere."""
    articles = story.chronicle.articles
    if len(articles) < 2 or story.class_.bulk:
        return
    last, before = articles[-1], articles[-2].ended
    events = [event for event in last.events if event.struck is None and event.kind not in _PAPER]
    if before is None or any(event.kind in _BEGIN for event in events) or not (events or last.labour):
        return
    rests = (*map(rest_on, events), *map(rest_on_work, last.labour))
    looked = any(event.kind in _LOOK for event in events)
    what = f"it was {events[0].kind} on {events[0].moment.day}" if events else "it was worked on"
    yield Finding(
        rule=NAME,
        grade=Grade.MAJOR if looked else Grade.MINOR,
        message=f"Its article was {before.kind} on {before.moment.day}{by(before.people, frame)};"
        f" then {what}, and nothing says that another was made or received.",
        why="Whatever is said of it since is said of an article that the log knows nothing of.",
        clears="A record of when it was made or received; or the wrong record struck through.",
        item=story.item,
        entry=rests[0].entry,
        rests=(*rests, rest_on(before)),
    )

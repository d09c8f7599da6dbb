"""Glue, sealant and dope past their day look and pour as they always did, and may never reach their strength.

Basis: common practice, no source: what its maker gives a shelf life is not used after it. 14 CFR 43.13(b),
taken as a model, asks for materials of such a quality that the work is at least as good as the original.

Flagged: an item whose present article has a record that names a lot (`lots`), of whatever kind, on a day
after the lot's `expires` in lots.csv. That last day itself is good. One finding an item and lot: it points
at the first such use and rests on all of them. That the lot expired since is no fault.

Cleared by: the article scrapped and made again, the record struck through where it names the wrong lot, or
lots.csv put right where the maker extended the lot's life. Until then an engineer or inspector may defer it.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Frame, ItemStory
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import by, counted

NAME = "lot-expired"
GRADE = "major"
SUBJECT = Subject.ITEM


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each lot that was used after its last good day."""
    article = story.chronicle.present
    if article is None or not frame.lots:
        return
    late: dict[str, list[Event]] = {}
    for event in article.events:
        for key in event.record.lots if event.struck is None else ():
            lot = frame.lots.get(key)
            if lot is not None and lot.expires is not None and event.moment.day > lot.expires:
                late.setdefault(key, []).append(event)
    for key, uses in late.items():
        yield Finding(
            rule=NAME,
            grade=Grade.MAJOR,
            message=_message(key, uses, frame),
            why="Past its day a material may not reach its strength, and nothing that can be seen tells.",
            clears="The article scrapped and made again, or the lot or its last good day put right if the log"
            " has it wrong; until then, a deferral by an engineer or inspector.",
            item=story.item,
            entry=uses[0].entry,
            rests=tuple(map(rest_on, uses)),
        )


def _message(key: str, uses: list[Event], frame: Frame) -> str:
    lot, first, more = frame.lots[key], uses[0], len(uses) - 1
    last = lot.expires or first.moment.day
    named = f"{key} ({lot.material})" if lot.material else key
    late = counted((first.moment.day - last).days, "day", "days")
    again = f", and used {'once' if more == 1 else f'{more} times'} more after that" if more else ""
    return (
        f"{named} was used on {first.moment.day} ({first.kind.replace('_', ' ')}){by(first.people, frame)};"
        f" its last good day was {last}, {late} before{again}."
    )

"""The steps that draw the pages of the configuration, each with exactly what its page shows.

What the places rest on is taken from each part number's items first, and remembered. An entry that moves,
begins, ends, closes and opens nothing leaves that as it was, and with it everything that follows from it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from buildlog.model.lists import Part
from buildlog.model.remember import Remember
from buildlog.pages.gather import Sources, some
from buildlog.pages.standing import draw_now, now_of, told_of
from buildlog.pages.stood import draw_days, draw_month, months_of
from buildlog.reckoning.configuration import configuration
from buildlog.reckoning.spells import turns_of

Step = tuple[Callable[..., Any], str, tuple[Any, ...]]


def standing_steps(sources: Sources, remember: Remember) -> Iterator[Step]:
    """Each step with the key that it is remembered under, and its arguments."""
    known, found, guide = sources.knowledge, sources.findings.by_item, sources.guide
    turns, told = [], []
    for number, part in known.parts.items():
        stories = tuple(known.items[item] for item in part.items)
        turns.append(remember(turns_of, number, stories, known.names))
        told.append(remember(told_of, number, stories, tuple(found.get(item, ()) for item in part.items)))
    whole = remember(
        configuration, "standing", tuple(known.items), tuple(turns), known.names, known.log.parts
    )
    names = remember(_names, "standing", known.log.parts)
    months = remember(months_of, "standing", whole, tuple(turns))
    last = months[-1][0].days[-1].isoformat() if months else ""
    spells = remember(now_of, "standing", whole)
    yield draw_now, "now", (guide, spells, tuple(told), names, last)
    yield draw_days, "days", (guide, tuple((month.month, month.days) for month, _ in months))
    for place, (month, happened) in enumerate(months):
        before = months[place - 1][0].month if place else ""
        after = months[place + 1][0].month if place + 1 < len(months) else ""
        titles, media = some(sources.titles, happened.leads), some(sources.media, happened.files)
        yield draw_month, month.month, (guide, month, happened, (before, after), names, titles, media)


def _names(parts: tuple[Part, ...]) -> dict[str, str]:
    return {part.number: part.name for part in parts}

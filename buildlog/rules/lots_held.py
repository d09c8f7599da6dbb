"""What stands against a lot of material stands against the items that it went into."""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Frame, ItemStory, LotTrouble
from buildlog.reckoning.lots import trouble_of
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import rest_on
from buildlog.rules.wording import by

RULE = "nonconformance-open"


def held_lots(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each lot in an item's present article that something stands against."""
    article = story.chronicle.present
    if article is None or not frame.lot_troubles:
        return
    uses: dict[str, list[Event]] = {}
    for event in article.events:
        for key in event.record.lots if event.struck is None else ():
            if key in frame.lot_troubles:
                uses.setdefault(key, []).append(event)
    for key, events in uses.items():
        bad = [(use, trouble) for use in events if (trouble := trouble_of(frame.lot_troubles[key], use))]
        if not bad:
            continue
        first, trouble = bad[0]
        yield Finding(
            rule=RULE,
            grade=Grade.MAJOR,
            message=_message(key, first, trouble, frame),
            why="What is not known of the lot is not known of what it went into.",
            clears="What clears the lot; or, for this item alone, a deferral by an engineer or inspector.",
            item=story.item,
            entry=first.entry,
            rests=(*(rest_on(use) for use, _ in bad), *map(rest_on, trouble.events)),
        )


def _message(key: str, use: Event, trouble: LotTrouble, frame: Frame) -> str:
    lot = frame.lots.get(key)
    named = f"{key} ({lot.material})" if lot and lot.material else key
    event = trouble.events[0]
    about = f"nonconformance {trouble.id}, raised" if trouble.word == "on hold" else trouble.word
    decided = trouble.events[1] if len(trouble.events) > 1 else None
    then = f"; decided on {decided.moment.day}: {getattr(decided.record, 'decision', '')}" if decided else ""
    held = "is on hold: " if trouble.word == "on hold" else "is not to be relied on: "
    return (
        f"{named}, which went into it on {use.moment.day} ({use.kind.replace('_', ' ')}), {held}{about} on"
        f" {event.moment.day}{by(event.people, frame)}{then}."
    )

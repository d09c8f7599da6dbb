"""What sits in what now: each item in one place, by the name that this place goes under now."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import msgspec

from buildlog.model.names import Item
from buildlog.reckoning.drawers import drawer
from buildlog.reckoning.knowledge import Chronicle, ItemStory, Stay
from buildlog.reckoning.reidentified import Renamed, Told, now_called


def seat_of_each(told: Mapping[Item, Chronicle]) -> dict[Item, tuple[Item, bool]]:
    """Where each item of a drawer sits now, and whether that is assumed."""
    stays = {item: present_stay(each) for item, each in told.items()}
    return {
        item: (s.within, s.assumed) for item, s in stays.items() if s is not None and s.within is not None
    }


def named_now(
    seats: dict[Item, tuple[Item, bool]], mine: Told, renamed: Renamed, told: Sequence[Told]
) -> dict[Item, tuple[Item, bool]]:
    """Where each item sits now, by the name that this goes under now."""
    if not renamed:
        return seats
    return {
        item: (_now_in(mine[item], renamed, told) or within, sure) for item, (within, sure) in seats.items()
    }


def seated(story: ItemStory, renamed: Renamed, told: Sequence[Told]) -> ItemStory:
    """The story with its present place by the name that this goes under now."""
    within = _now_in(story.chronicle, renamed, told) if renamed else None
    if within is None or story.stay is None:
        return story
    return msgspec.structs.replace(story, stay=msgspec.structs.replace(story.stay, within=within))


def _now_in(each: Chronicle, renamed: Renamed, told: Sequence[Told]) -> Item | None:
    """What an item sits in, by its present name, where that is another than its records say."""
    stay = present_stay(each)
    if stay is None or stay.within is None or stay.within not in renamed:
        return None
    begun = stay.begun.moment if stay.begun else None
    return now_called(
        stay.within, begun, renamed, lambda item: told[drawer(item.number)][item].present is not None
    )


def held_in_each(
    seats: Sequence[Mapping[Item, tuple[Item, bool]]], order: Iterable[tuple[Item, int]]
) -> dict[Item, tuple[tuple[Item, bool], ...]]:
    """What sits directly in each item now, each with whether that is assumed, in the order of items."""
    found: dict[Item, list[tuple[Item, bool]]] = {}
    for item, d in order:
        if item in seats[d]:
            within, assumed = seats[d][item]
            found.setdefault(within, []).append((item, assumed))
    return {item: tuple(many) for item, many in found.items()}


def present_stay(each: Chronicle) -> Stay | None:
    """The last stay of the present article."""
    return each.present.stays[-1] if each.present is not None else None

"""The story of every item: its chronicle, what climbed up to it, what hides it, the status of its stages.

Reckoned by drawers. What one item needs of others (its line upwards, what happened inside it, what hides
it) is gathered between the steps.
"""

from __future__ import annotations

import operator
from collections.abc import Iterable, Mapping, Sequence

import msgspec

from buildlog.model.lists import Part
from buildlog.model.log import Log
from buildlog.model.names import Item, Names
from buildlog.model.remember import Remember
from buildlog.model.settings import Class, Person, Stage
from buildlog.reckoning.authority import hands
from buildlog.reckoning.chronicle import assumed_place, chronicle
from buildlog.reckoning.clashes import Contradiction
from buildlog.reckoning.closing import closings
from buildlog.reckoning.containment import Climb, Life, Line, Track, climb, lineage, lives, track
from buildlog.reckoning.contradictions import contradictions_in, gone_in, joined_gone
from buildlog.reckoning.drawers import ALL, drawer, joined, sorted_in
from buildlog.reckoning.events import Shown
from buildlog.reckoning.hiding import of_the_present, shut_away
from buildlog.reckoning.hours import added
from buildlog.reckoning.index import ItemShares, Month
from buildlog.reckoning.joints import disturbances, joints_in
from buildlog.reckoning.knowledge import Chronicle, Closing, Frame, Inside, ItemStory, Shut
from buildlog.reckoning.nonconformance import Deciders, deciders
from buildlog.reckoning.order import BY_TIME
from buildlog.reckoning.passed_over import Judged, over_open, vouches
from buildlog.reckoning.reidentified import Renamed, carried_on, renamings, still_hidden, taken_along
from buildlog.reckoning.seats import held_in_each, named_now, present_stay, seat_of_each, seated
from buildlog.reckoning.status import Bearing, Below, judge

GENERAL = "general"
"""The class of a part without one."""


_BY_EVENT = operator.attrgetter(
    "event.moment.day", "event.moment.standing", "event.moment.entry", "event.moment.step"
)


class Ground(msgspec.Struct, frozen=True):
    """The line of every item upwards, and what was ever inside each."""

    lines: dict[Item, Line]
    below: dict[Item, tuple[Item, ...]]


def item_stories(
    log: Log,
    names: Names,
    parts: Mapping[str, Part],
    months: tuple[Month, ...],
    frame: Frame,
    remember: Remember,
) -> dict[Item, ItemStory]:
    """The stories of all items: those of the parts list in its order, then those on no list."""
    may_decide = remember(deciders, "deciders", frame.people)
    kinds = remember(_inside_kinds, "inside kinds", log.settings.stages)
    listed = remember(_listed, "listed", names)
    shares = [tuple(month.items[d] for month in months) for d in ALL]
    told = [remember(_chronicles, d, listed[d], shares[d], names, parts, may_decide, remember) for d in ALL]
    renamings_ = tuple(e for d in ALL for e in remember(renamings, d, told[d], names))
    renamed: Renamed = {}
    if renamings_:
        handed, renamed = remember(
            carried_on, "carried on", tuple(told), renamings_, names, parts, may_decide
        )
        told = list(handed)
    shown = [remember(_shown, d, shares[d]) for d in ALL]
    tracks = tuple(remember(_tracks, d, told[d], names, parts, remember) for d in ALL)
    ground = remember(_ground, "ground", tracks, remember)
    order = remember(_order, "order", names, tuple(tuple(each) for each in told))
    climbs = [remember(_climbs, d, told[d], ground.lines, kinds, names, remember) for d in ALL]
    inside = [remember(_gather, d, tuple(each[d] for each in climbs)) for d in ALL]
    if renamed:
        inside = taken_along(inside, renamed, lambda each: each.event.moment)
        shown = taken_along(shown, renamed, lambda each: each.moment)
    alive = [remember(_lives, d, told[d], remember) for d in ALL]
    closed = [remember(_closed, d, told[d]) for d in ALL]
    shut = tuple(
        remember(_shut, d, told[d], {i: _below_of(i, ground, alive) for i in closed[d]}, names, remember)
        for d in ALL
    )
    if renamed:
        shut = still_hidden(shut, renamed, ground.lines)
    hidden = remember(shut_away, "shut away", shut, order, ground.lines)
    seats = tuple(named_now(remember(seat_of_each, d, told[d]), told[d], renamed, told) for d in ALL)
    holds = remember(held_in_each, "holds", seats, order)
    beneath = [remember(_beneath, d, told[d], ground.lines, remember) for d in ALL]
    looking = remember(_looking, "independent", order, parts, log.settings.classes, log.settings.stages)
    below = [
        {
            item: tuple(
                beneath[drawer(each.number)][each]
                for each in ground.below.get(item, ())
                if each in beneath[drawer(each.number)]
            )
            for item in looking[d]
        }
        for d in ALL
    ]
    joints = remember(joints_in, "joints", order, parts, names)
    disturbed = [
        {
            item: remember(disturbances, item, tuple((told[drawer(s.number)][s], sure) for s, sure in held))
            for item, held in joints[d].items()
        }
        for d in ALL
    ]
    gone = remember(joined_gone, "gone", tuple(remember(gone_in, d, told[d]) for d in ALL))
    clashes = [
        remember(contradictions_in, d, told[d], ground.lines, gone, names, parts, remember) for d in ALL
    ]
    found = [
        remember(
            _stories,
            d,
            told[d],
            (inside[d], shut[d], hidden, holds, below[d], disturbed[d], shown[d], clashes[d]),
            parts,
            frame.classes,
            frame.stages,
            frame.people,
            frame.milestones_reached,
            remember,
        )
        for d in ALL
    ]
    items = {}
    for item, d in order:
        story = found[d][item].story
        if vouches(story):
            inner = ground.below.get(item, ())
            story = remember(
                over_open,
                item,
                story,
                tuple(found[drawer(each.number)][each] for each in inner),
                tuple(ground.lines[each] for each in inner),
                tuple(alive[drawer(each.number)][each] for each in inner),
                frame.stages,
                frame.people,
            )
        items[item] = seated(story, renamed, told)
    return items


def _chronicles(
    listed: tuple[Item, ...],
    shares: Sequence[ItemShares],
    names: Names,
    parts: Mapping[str, Part],
    may_decide: Deciders,
    remember: Remember,
) -> dict[Item, Chronicle]:
    events = joined(share.events for share in shares)
    labour = joined(share.labour for share in shares)
    known = set(listed)
    named = {item for share in shares for item in (*share.events, *share.labour, *share.shown)}
    return {
        item: remember(
            chronicle,
            item,
            item,
            events.get(item, ()),
            labour.get(item, ()),
            names,
            assumed_place(item, parts.get(item.number), names),
            may_decide,
        )
        for item in (*listed, *sorted(named - known))
    }


def _shown(shares: Sequence[ItemShares]) -> dict[Item, tuple[Shown, ...]]:
    found = joined(share.shown for share in shares)
    return {item: tuple(sorted(many, key=BY_TIME)) for item, many in found.items()}


def _tracks(
    told: Mapping[Item, Chronicle], names: Names, parts: Mapping[str, Part], remember: Remember
) -> dict[Item, Track]:
    return {
        item: remember(track, item, each, assumed_place(item, parts.get(item.number), names), names)
        for item, each in told.items()
    }


def _ground(tracks: Sequence[Mapping[Item, Track]], remember: Remember) -> Ground:
    every = {item: each for some in tracks for item, each in some.items()}
    lines = {item: remember(_line, item, lineage(item, every)) for item in every}
    below: dict[Item, list[Item]] = {}
    for item in sorted(lines):
        for above in lines[item][1:]:
            below.setdefault(above.item, []).append(item)
    return Ground(lines, {item: tuple(each) for item, each in below.items()})


def _line(line: Line) -> Line:
    """The line as it was, where it is the same: what rests on it is then not reckoned again."""
    return line


def _listed(names: Names) -> tuple[tuple[Item, ...], ...]:
    return tuple(
        tuple(some) for some in sorted_in({i: None for items in names.items.values() for i in items})
    )


def _order(names: Names, told: Sequence[Sequence[Item]]) -> tuple[tuple[Item, int], ...]:
    """All items in the order they are shown in, each with its drawer."""
    listed = {item: drawer(item.number) for items in names.items.values() for item in items}
    strays = sorted(item for some in told for item in some if item not in listed)
    return (*listed.items(), *((item, drawer(item.number)) for item in strays))


def _inside_kinds(stages: tuple[Stage, ...]) -> tuple[str, ...]:
    return tuple(sorted({kind for stage in stages for kind in stage.undone_by_inside}))


def _climbs(
    told: Mapping[Item, Chronicle],
    lines: Mapping[Item, Line],
    kinds: tuple[str, ...],
    names: Names,
    remember: Remember,
) -> tuple[dict[Item, tuple[Inside, ...]], ...]:
    """What a drawer's events did inside others, put into the drawers of those."""
    climbed: list[Climb] = [
        remember(climb, item, each, lines[item], kinds, names) for item, each in told.items() if each.events
    ]
    return sorted_in(joined(climbed))


def _gather(climbed: Iterable[Mapping[Item, tuple[Inside, ...]]]) -> dict[Item, tuple[Inside, ...]]:
    return {item: tuple(sorted(many, key=_BY_EVENT)) for item, many in joined(climbed).items()}


def _lives(told: Mapping[Item, Chronicle], remember: Remember) -> dict[Item, tuple[Life, ...]]:
    return {item: remember(lives, item, each) for item, each in told.items()}


def _below_of(
    item: Item, ground: Ground, alive: Sequence[Mapping[Item, tuple[Life, ...]]]
) -> tuple[tuple[Line, tuple[Life, ...]], ...]:
    """The line of all that was ever inside an item, and when it existed."""
    return tuple(
        (ground.lines[each], alive[drawer(each.number)][each]) for each in ground.below.get(item, ())
    )


def _closed(told: Mapping[Item, Chronicle]) -> tuple[Item, ...]:
    closed = (
        item
        for item, each in told.items()
        if each.present is not None and any(event.kind == "closed" for event in each.present.events)
    )
    return tuple(closed)


def _shut(
    told: Mapping[Item, Chronicle],
    below: Mapping[Item, tuple[tuple[Line, tuple[Life, ...]], ...]],
    names: Names,
    remember: Remember,
) -> dict[Item, tuple[Closing, ...]]:
    return {item: remember(closings, item, told[item], each, names) for item, each in below.items()}


def _beneath(
    told: Mapping[Item, Chronicle], lines: Mapping[Item, Line], remember: Remember
) -> dict[Item, Below]:
    """Who worked on each item of a drawer, for what it is inside of."""
    found = {item: remember(_below, item, each, lines[item]) for item, each in told.items()}
    return {item: each for item, each in found.items() if each.hands}


def _below(each: Chronicle, line: Line) -> Below:
    return Below(line, tuple(hand for article in each.articles for hand in hands(article)))


def _class_of(part: Part | None, classes: Mapping[str, Class]) -> Class:
    return classes.get(part.class_ if part else GENERAL, Class(key=GENERAL))


def _looking(
    order: Iterable[tuple[Item, int]],
    parts: Mapping[str, Part],
    classes: Sequence[Class],
    stages: Sequence[Stage],
) -> tuple[tuple[Item, ...], ...]:
    """The items, by drawer, whose class asks for independence of a stage that looks inside."""
    inside = {stage.key for stage in stages if stage.undone_by_inside}
    by_key = {class_.key: class_ for class_ in classes}
    found: tuple[list[Item], ...] = tuple([] for _ in ALL)
    for item, d in order:
        class_ = _class_of(parts.get(item.number), by_key)
        if class_.independent and not inside.isdisjoint(class_.stages):
            found[d].append(item)
    return tuple(tuple(each) for each in found)


Around = tuple[
    Mapping[Item, tuple[Inside, ...]],
    Mapping[Item, tuple[Closing, ...]],
    Mapping[Item, tuple[Shut, ...]],
    Mapping[Item, tuple[tuple[Item, bool], ...]],
    Mapping[Item, tuple[Below, ...]],
    Mapping[Item, tuple[Inside, ...]],
    Mapping[Item, tuple[Shown, ...]],
    Mapping[Item, tuple[Contradiction, ...]],
]
"""By item: what happened inside it, its closings, what hides it, what it holds, who worked below, what
disturbed it as a joint, what shows it, which records of its place cannot be so."""


def _stories(
    told: Mapping[Item, Chronicle],
    around: Around,
    parts: Mapping[str, Part],
    classes: Mapping[str, Class],
    stages: dict[str, Stage],
    people: dict[str, Person],
    reached: tuple[str, ...],
    remember: Remember,
) -> dict[Item, Judged]:
    inside, shut, hidden, holds, below, disturbed, shown, clashes = around
    found = {}
    for item, each in told.items():
        part = parts.get(item.number)
        bearing = Bearing(
            inside=inside.get(item, ()),
            closings=shut.get(item, ()),
            shut=of_the_present(each, hidden[item]) if item in hidden else (),
            below=below.get(item, ()),
            milestones_reached=reached,
            joined=disturbed.get(item, ()),
        )
        found[item] = remember(
            _story,
            item,
            part,
            _class_of(part, classes),
            each,
            bearing,
            stages,
            people,
            holds.get(item, ()),
            shown.get(item, ()),
            clashes.get(item, ()),
        )
    return found


def _story(
    part: Part | None,
    class_: Class,
    each: Chronicle,
    bearing: Bearing,
    stages: dict[str, Stage],
    people: dict[str, Person],
    holds: tuple[tuple[Item, bool], ...],
    shown: tuple[Shown, ...],
    contradictions: tuple[Contradiction, ...],
) -> Judged:
    story = ItemStory(
        item=each.item,
        part=part,
        class_=class_,
        chronicle=each,
        stages=judge(each, class_, stages, people, bearing),
        stay=present_stay(each),
        holds=holds,
        closings=bearing.closings,
        hidden_by=tuple((each.whole, each.closing) for each in bearing.shut if each.out is None),
        shown=shown,
        hours=added(work.hours for work in each.labour),
        contradictions=contradictions,
    )
    return Judged(story, bearing)

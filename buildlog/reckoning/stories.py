"""The story of every item: its chronicle, what climbed up to it, what hides it, the status of its stages."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from buildlog.model.lists import Part
from buildlog.model.log import Log
from buildlog.model.names import Item, Names
from buildlog.model.remember import Remember
from buildlog.model.settings import Class, Person, Stage
from buildlog.reckoning.authority import Hand, hands
from buildlog.reckoning.chronicle import assumed_place, chronicle
from buildlog.reckoning.closing import closings
from buildlog.reckoning.containment import Climb, Line, climb, lineage, track
from buildlog.reckoning.events import Shown
from buildlog.reckoning.index import Month, join
from buildlog.reckoning.joints import disturbances
from buildlog.reckoning.knowledge import Chronicle, Closing, Frame, Inside, ItemStory, Stay
from buildlog.reckoning.nonconformance import deciders
from buildlog.reckoning.status import Bearing, Below, judge

GENERAL = "general"
"""The class of a part without one."""


def item_stories(
    log: Log,
    names: Names,
    parts: Mapping[str, Part],
    months: tuple[Month, ...],
    frame: Frame,
    remember: Remember,
) -> dict[Item, ItemStory]:
    """The stories of all items: those of the parts list in its order, then those on no list."""
    chronicles = _chronicles(names, parts, months, frame, remember)
    tracks = {
        item: remember(track, item, each, assumed_place(item, parts.get(item.number), names), names)
        for item, each in chronicles.items()
    }
    lines = {item: remember(_line, item, lineage(item, tracks)) for item in chronicles}
    kinds = remember(_inside_kinds, "inside kinds", log.settings.stages)
    inside = _gather(
        {
            item: remember(climb, item, each, lines[item], kinds, names)
            for item, each in chronicles.items()
            if each.events
        }
    )
    below = _below(lines)
    shut = {
        item: remember(closings, item, each, tuple(lines[b] for b in below.get(item, ())), names)
        for item, each in chronicles.items()
        if any(event.kind == "closed" for event in each.events)
    }
    hidden = _hidden(shut)
    holds = _holds(chronicles)
    shown = join(months, lambda month: month.shown)
    crew = {item: remember(_crew, item, each) for item, each in chronicles.items()}
    found: dict[Item, ItemStory] = {}
    for item, each in chronicles.items():
        part = parts.get(item.number)
        class_ = frame.classes.get(part.class_ if part else GENERAL, Class(key=GENERAL))
        bearing = Bearing(
            inside=inside.get(item, ()),
            closings=shut.get(item, ()),
            hidden=item in hidden,
            below=_asked_below(class_, frame.stages, item, below, lines, crew),
            milestones_reached=frame.milestones_reached,
            joined=disturbances(item, part, names, chronicles) if part and part.joins else (),
        )
        found[item] = remember(
            _story,
            item,
            part,
            class_,
            each,
            bearing,
            frame.stages,
            frame.people,
            holds.get(item, ()),
            hidden.get(item, ()),
            shown.get(item, ()),
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
    hidden_by: tuple[tuple[Item, Closing], ...],
    shown: tuple[Shown, ...],
) -> ItemStory:
    return ItemStory(
        item=each.item,
        part=part,
        class_=class_,
        chronicle=each,
        stages=judge(each, class_, stages, people, bearing),
        stay=_present_stay(each),
        holds=holds,
        closings=bearing.closings,
        hidden_by=hidden_by,
        shown=tuple(sorted(shown, key=lambda found: found.moment.show)),
        hours=sum((work.hours for work in each.labour), Fraction(0)),
    )


def _chronicles(
    names: Names, parts: Mapping[str, Part], months: tuple[Month, ...], frame: Frame, remember: Remember
) -> dict[Item, Chronicle]:
    events = join(months, lambda month: month.events)
    labour = join(months, lambda month: month.labour)
    shown = join(months, lambda month: month.shown)
    listed = [item for items in names.items.values() for item in items]
    known = set(listed)
    may_decide = remember(deciders, "deciders", frame.people)
    strays = sorted({*events, *labour, *shown} - known)
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
        for item in (*listed, *strays)
    }


def _line(line: Line) -> Line:
    """The line as it was, where it is the same: what rests on it is then not reckoned again."""
    return line


def _inside_kinds(stages: tuple[Stage, ...]) -> tuple[str, ...]:
    return tuple(sorted({kind for stage in stages for kind in stage.undone_by_inside}))


def _gather(climbs: Mapping[Item, Climb]) -> dict[Item, tuple[Inside, ...]]:
    found: dict[Item, list[tuple[Inside, ...]]] = {}
    for climbed in climbs.values():
        for item, inside in climbed.items():
            found.setdefault(item, []).append(inside)
    return {
        item: tuple(sorted((i for each in many for i in each), key=lambda i: i.event.moment.show))
        for item, many in found.items()
    }


def _below(lines: Mapping[Item, Line]) -> dict[Item, tuple[Item, ...]]:
    """What was ever inside each item."""
    found: dict[Item, list[Item]] = {}
    for item, line in lines.items():
        for above in line[1:]:
            found.setdefault(above.item, []).append(item)
    return {item: tuple(each) for item, each in found.items()}


def _asked_below(
    class_: Class,
    stages: Mapping[str, Stage],
    item: Item,
    below: Mapping[Item, tuple[Item, ...]],
    lines: Mapping[Item, Line],
    crew: Mapping[Item, tuple[Hand, ...]],
) -> tuple[Below, ...]:
    """Who worked inside, where the class asks for independence of a stage that looks inside."""
    looks_inside = any(stages[key].undone_by_inside for key in class_.stages if key in stages)
    if not class_.independent or not looks_inside:
        return ()
    return tuple(Below(lines[each], crew[each]) for each in below.get(item, ()) if crew[each])


def _crew(each: Chronicle) -> tuple[Hand, ...]:
    return tuple(hand for article in each.articles for hand in hands(article))


def _hidden(shut: Mapping[Item, Iterable[Closing]]) -> dict[Item, tuple[tuple[Item, Closing], ...]]:
    """For each item the closings above it that hide it now."""
    found: dict[Item, list[tuple[Item, Closing]]] = {}
    for item, many in shut.items():
        for closing in many:
            if closing.opened is None:
                for each in closing.hidden:
                    found.setdefault(each, []).append((item, closing))
    return {item: tuple(each) for item, each in found.items()}


def _holds(chronicles: Mapping[Item, Chronicle]) -> dict[Item, tuple[tuple[Item, bool], ...]]:
    found: dict[Item, list[tuple[Item, bool]]] = {}
    for item, each in chronicles.items():
        stay = _present_stay(each)
        if stay is not None and stay.within is not None:
            found.setdefault(stay.within, []).append((item, stay.assumed))
    return {item: tuple(many) for item, many in found.items()}


def _present_stay(each: Chronicle) -> Stay | None:
    return each.present.stays[-1] if each.present is not None else None

"""What was closed too early, and what was passed over what was open, said a second time.

Of one order of all facts, in which positions count from 0, as `replay.World` has it. Written from DESIGN,
"Closing" and the table of rules, and these readings where it is silent:

- once it is in sight again (opened, or out of what was closed), a pass then is the look that was missing;
- what hides is the present article of what was closed, and what was hidden the present article inside;
- due inside an assembly are stages without `before`, and those with the same `before` as the stage passed;
- what was passed and was since rejected or undone has a finding of its own, and so has a pass of a part.
"""

from __future__ import annotations

from buildlog.model.log import Log
from buildlog.model.names import Item
from buildlog.model.settings import Stage
from tests.reckoning.replay import World, ways
from tests.reckoning.replay_facts import Fact

Told = set[tuple[Item, str]]
Over = dict[tuple[Item, str], set[tuple[Item, str]]]


def _asked(world: World, item: Item) -> list[Stage]:
    class_ = world.class_of(item)
    return [] if class_.bulk else [world.stages[key] for key in class_.stages if key in world.stages]


def _items(facts: list[Fact]) -> set[Item]:
    return {item for fact in facts for item in fact.items}


def _present(world: World, item: Item) -> list[int] | None:
    found = world.articles(item)
    return found[-1][0] if found and found[-1][1] is None else None


def closed_too_early(world: World) -> Told:
    """The items and stages that a closing shut away before they were current, and not looked at since."""
    found: Told = set()
    items = _items(world.facts)
    for whole in items:
        own = _present(world, whole) or []
        for at in own:
            if world.facts[at].kind != "closed":
                continue
            for item in (world.hidden(at, whole) & items) | {whole}:
                run = _present(world, item)
                if run is None or min(run) > at:
                    continue
                for stage in _asked(world, item):
                    early = stage.before == "closed" and world.status(item, stage, at) != "current"
                    if early and not _looked_at(world, item, stage, _out(world, item, whole, own, at), run):
                        found.add((item, stage.key))
    return found


def _out(world: World, item: Item, whole: Item, own: list[int], at: int) -> int | None:
    """The position of what brought an item in sight again after it was closed at a position."""
    area = world.facts[at].get("area")
    inside = item != whole and whole in world.wholes(item, at)
    for later in range(at + 1, len(world.facts)):
        fact = world.facts[later]
        if later in own and fact.kind == "opened" and fact.get("area") in ("", area):
            return later
        if inside and whole not in world.wholes(item, later + 1):
            return later
    return None


def _looked_at(world: World, item: Item, stage: Stage, out: int | None, run: list[int]) -> bool:
    return out is not None and any(
        at > out
        and world.facts[at].get("stage") == stage.key
        and world.plain_status(item, stage, at + 1, [a for a in run if a <= at]) == "current"
        for at in run
    )


def passed_over(world: World) -> Over:
    """What was open inside each assembly when the stage that stands now was passed."""
    found: Over = {}
    items = _items(world.facts)
    for whole in items:
        run = _present(world, whole)
        for stage in _asked(world, whole) if run is not None else []:
            last = _deciding(world, whole, stage, run or [])
            if last is None:
                continue
            over = {
                (item, inner.key)
                for item in items - {whole}
                if whole in world.wholes(item, last + 1) and world.existed(item, last + 1)
                for inner in _asked(world, item)
                if inner.before in ("", stage.before) and world.status(item, inner, last + 1) != "current"
            }
            if over:
                found[whole, stage.key] = over
    return found


def _deciding(world: World, whole: Item, stage: Stage, run: list[int]) -> int | None:
    end = len(world.facts)
    status = world.plain_status(whole, stage, end, run) if stage.undone_by_inside else ""
    if status not in ("current", "partial", "unclear"):
        return None
    class_ = world.class_of(whole)
    looks = [a for a in run if world.facts[a].get("stage") == stage.key]
    refused = [a for a in looks if world.facts[a].get("result") in ("rejected", "failed")]
    since = [
        a
        for a in looks
        if a > max(refused, default=-1)
        and any(world.counts(p, whole, class_, stage, a) for p in world.facts[a].people)
    ]
    if status == "current":
        since = [
            a
            for a in since
            if not world.facts[a].get("scope") and not world.followed(whole, stage, a, end, run)
        ]
    return None if world.facts[since[-1]].get("scope") else since[-1]


def replayed(log: Log, order: list[Fact]) -> list[tuple[Told, Over]]:
    """Both, of one order of a log's facts, in each way in which its first installations may be meant."""
    return [(closed_too_early(world), passed_over(world)) for world in ways(log, order)]

"""Inspection status said a second time: a naive replay, fact by fact, of each order there may have been.

It knows nothing of the reckoning and shares only the model's types. Where the log leaves an order open it
replays every order there may have been; where those disagree the answer is "unclear". Written from DESIGN,
"Meaning", and these readings where it is silent:

- an article that any record installs or removes is loose before a first `installed`, and before a first
  `removed` it was in its `from`, else where the parts list has it;
- a first `installed` into the very place that the parts list has may write down where the article sat all
  along: both are replayed, as two orders are;
- scrapped or returned while inside something, or put elsewhere without a removal, it was removed;
- a removal from where it was not is believed, beside where it was;
- a closing hides only what existed by then;
- a rejection by anyone counts; full acceptances that stand keep a stage current, whatever partial follows;
- a change of the drawing that asks for a new inspection undoes every stage of the article;
- after an end, the next article begins with any record that does not speak of the old one;
- what was passed before that one was made or received is unclear: nothing says that it was there.
"""

from __future__ import annotations

import datetime as dt
import itertools
from dataclasses import dataclass, field

from buildlog.model.log import Log
from buildlog.model.names import Item, Names, names_of
from buildlog.model.settings import Class, Stage
from tests.reckoning.replay_facts import ABOUT_PAPER, HANDS, OLD, Fact, facts_of, orders, surely_before


@dataclass
class World:
    """One order of all facts. Positions count from 0; "at" a position means just before that fact."""

    log: Log
    facts: list[Fact]
    seated: frozenset[tuple[Fact, Item]] = frozenset()
    """The first installations that only write down where the article sat."""
    names: Names = field(init=False)

    def __post_init__(self) -> None:
        self.names = names_of(self.log.parts)
        self.stages = {s.key: s for s in self.log.settings.stages}
        self.people = {p.key: p for p in self.log.settings.people}
        self.parts = {p.number: p for p in self.log.parts}

    # --- articles ---

    def articles(self, item: Item) -> list[tuple[list[int], int | None]]:
        """The positions of each article's facts, and of the fact that ended it."""
        found: list[tuple[list[int], int | None]] = []
        run: list[int] = []
        scrap: dict[str, int] = {}
        alive = False
        for at, fact in enumerate(self.facts):
            if item not in fact.items:
                continue
            decided = [a for a in scrap.values() if surely_before(self.facts[a], fact)]
            if fact.kind in ("made", "received") and decided and alive:
                end = decided[0]
                found.append(([a for a in run if a <= end], end))
                run = [a for a in run if a > end]
                scrap = {}
            first = not found
            if first:
                begins = fact.kind not in ABOUT_PAPER
            elif fact.line is not None:
                begins = fact.line.kind not in self.log.settings.harmless
            else:
                begins = fact.kind not in OLD
            alive = alive or begins
            if not alive and not first:
                found[-1][0].append(at)
                continue
            run.append(at)
            if fact.kind == "disposition" and self._decides(fact):
                scrap.pop(fact.get("id"), None)
                if fact.get("decision") in ("scrap", "return"):
                    scrap[fact.get("id")] = at
            if fact.kind in ("scrapped", "returned"):
                found.append((run, at))
                run, alive, scrap = [], False, {}
        if alive:
            found.append((run, None))
        return found

    def article_at(self, item: Item, at: int) -> tuple[list[int], int | None] | None:
        for run, end in self.articles(item):
            if end is None or at <= end:
                return run, end
        return None

    def existed(self, item: Item, at: int) -> bool:
        found = self.article_at(item, at)
        return found is not None and any(a < at and self.facts[a].kind not in ABOUT_PAPER for a in found[0])

    # --- places ---

    def one(self, text: str) -> Item | None:
        items = self.names.of(text).items
        return items[0] if len(items) == 1 else None

    def by_list(self, item: Item) -> Item | None:
        part = self.parts.get(item.number)
        if part is None or part.parent not in self.parts:
            return None
        above = self.names.items[part.parent]
        same = [i for i in above if i.designator == item.designator]
        return above[0] if len(above) == 1 else same[0] if same else None

    def place(self, item: Item, at: int) -> Item | None:
        found = self.article_at(item, at)
        if found is None:  # after its last end, until another comes
            return self.by_list(item) if not self.articles(item) else None
        run, end = found
        moves = [
            a for a in run if self.facts[a].kind in ("installed", "removed") and (end is None or a < end)
        ]
        past = [a for a in moves if a < at]
        if past:
            last = self.facts[past[-1]]
            return self.one(last.get("on")) if last.kind == "installed" else None
        if not moves:
            return self.by_list(item)
        first = self.facts[moves[0]]
        if first.kind == "installed":
            return self.by_list(item) if (first, item) in self.seated else None
        return self.one(first.get("from_")) if first.get("from_") else self.by_list(item)

    def perhaps_seated(self) -> list[tuple[Fact, Item]]:
        """The first installations into the place that the parts list has, each with what it installs."""
        found = []
        for item in sorted({i for f in self.facts for i in f.items}):
            for run, end in self.articles(item):
                moves = [
                    self.facts[a]
                    for a in run
                    if self.facts[a].kind in ("installed", "removed") and (end is None or a < end)
                ]
                listed = self.by_list(item)
                puts = bool(moves) and moves[0].kind == "installed" and listed is not None
                if puts and self.one(moves[0].get("on")) == listed:
                    found.append((moves[0], item))
        return found

    def wholes(self, item: Item, at: int) -> list[Item]:
        found: list[Item] = []
        place = self.place(item, at)
        while place is not None and place not in found and place != item:
            found.append(place)
            place = self.place(place, at)
        return found

    def inside(self, at: int, whole: Item) -> list[tuple[str, Item]]:
        """What the fact at a position did inside a whole: kinds and to which item."""
        fact = self.facts[at]
        found: list[tuple[str, Item]] = []
        for child in fact.items:
            if fact.record is None or child == whole:
                continue

            def reaches(place: Item | None, child: Item = child) -> bool:
                if place is None or place == child:
                    return False
                return place == whole or whole in self.wholes(place, at)

            was = self.place(child, at)
            ended = any(end == at for _, end in self.articles(child))
            if fact.kind == "installed":
                now = self.one(fact.get("on"))
                if reaches(now):
                    found.append(("installed", child))
                if was != now and reaches(was):
                    found.append(("removed", child))
            elif fact.kind == "removed":
                told = self.one(fact.get("from_")) if fact.get("from_") else None
                if reaches(was) or reaches(told):
                    found.append(("removed", child))
            elif whole in self.wholes(child, at):
                found.append((fact.kind, child))
            if ended and reaches(was):
                found.append(("removed", child))
        return found

    def hidden(self, at: int, whole: Item) -> set[Item]:
        """What the closing at a position hid."""
        record = self.facts[at].record
        hides = {i for t in getattr(record, "hides", ()) for i in self.names.of(t).items} - {whole}
        spared = {i for t in getattr(record, "except_", ()) for i in self.names.of(t).items} - {whole}

        def among(item: Item, some: set[Item]) -> bool:
            return item in some or bool(some & set(self.wholes(item, at)))

        every = {i for items in self.names.items.values() for i in items}
        every |= {i for f in self.facts for i in f.items}
        found = {
            i
            for i in every
            if whole in self.wholes(i, at)
            and self.existed(i, at)
            and (among(i, hides) if getattr(record, "hides", ()) else True)
            and not among(i, spared)
        }
        return found | (hides - spared)

    # --- people ---

    def _decides(self, fact: Fact) -> bool:
        return any(
            {"engineer", "inspector"} & set(who.roles)
            and (who.from_ or fact.day) <= fact.day <= (who.until or fact.day)
            for who in (self.people[p] for p in fact.people if p in self.people)
        )

    def authority(self, key: str, stage: str, day: dt.date) -> bool:
        person = self.people.get(key)
        if person is None or "inspector" not in person.roles:
            return False
        if person.may_inspect is not None and stage not in person.may_inspect:
            return False
        return (person.from_ or day) <= day <= (person.until or day)

    def worked(self, key: str, item: Item, at: int) -> bool:
        """Whether a person worked on the article that an item was at a position, not surely after it."""
        found = self.article_at(item, at)
        for a in found[0] if found else ():
            fact = self.facts[a]
            if a != at and surely_before(self.facts[at], fact):
                continue
            changes = (
                fact.line.kind not in self.log.settings.harmless
                if fact.line is not None
                else fact.kind in HANDS
            )
            if changes and key in fact.people:
                return True
        return False

    def counts(self, key: str, item: Item, class_: Class, stage: Stage, at: int) -> bool:
        if not self.authority(key, stage.key, self.facts[at].day):
            return False
        if not class_.independent:
            return True
        if self.worked(key, item, at):
            return False
        if not stage.undone_by_inside or not any(self.stages[s].undone_by_inside for s in class_.stages):
            return True
        every = {i for f in self.facts for i in f.items} - {item}
        return not any(item in self.wholes(i, at) and self.worked(key, i, at) for i in every)

    # --- status ---

    def class_of(self, item: Item) -> Class:
        part = self.parts.get(item.number)
        name = part.class_ if part is not None else "general"
        return next(c for c in self.log.settings.classes if c.key == name)

    def on_hold(self, item: Item, at: int, run: list[int]) -> bool:
        class_ = self.class_of(item)
        state: dict[str, str] = {}
        for a in run:
            fact = self.facts[a]
            if a >= at:
                break
            if fact.kind == "nonconformance":
                state[fact.get("id")] = "raised"
            if fact.kind == "disposition" and fact.get("id") in state and self._decides(fact):
                state[fact.get("id")] = fact.get("decision")
            clears = fact.get("clears")
            if state.get(clears) in ("rework", "repair") and fact.get("result") in ("accepted", "passed"):
                stage = fact.get("stage")
                if not stage or any(self.counts(p, item, class_, self.stages[stage], a) for p in fact.people):
                    state[clears] = "cleared"
        return any(each not in ("use-as-is", "cleared") for each in state.values())

    def status(self, item: Item, stage: Stage, at: int) -> str:
        """The status of a stage just before a position; `-` where no article is there."""
        found = self.article_at(item, at)
        if found is None or not any(a < at for a in found[0]):
            return "-"
        run = [a for a in found[0] if a < at]
        below = self.plain_status(item, stage, at, run)
        return "on hold" if self.on_hold(item, at, run) else below

    def plain_status(self, item: Item, stage: Stage, at: int, run: list[int]) -> str:
        class_ = self.class_of(item)
        looks = [a for a in run if self.facts[a].get("stage") == stage.key]
        refusals = [a for a in looks if self.facts[a].get("result") in ("rejected", "failed")]
        passes = [
            a
            for a in looks
            if a not in refusals and any(self.counts(p, item, class_, stage, a) for p in self.facts[a].people)
        ]
        if not refusals and not passes:
            return "none"
        since = [a for a in passes if not refusals or a > refusals[-1]]
        if not since:
            return "rejected"
        signed: set[str] = set()
        for a in since:
            fact = self.facts[a]
            if self.followed(item, stage, a, at, run) or fact.get("scope"):
                continue
            if class_.signed and not (fact.record and fact.record.document):
                continue
            signed |= {p for p in fact.people if self.counts(p, item, class_, stage, a)}
            if len(signed) >= class_.signatures:
                return "current"
        if len(signed) >= class_.signatures:
            return "current"
        return self.followed(item, stage, since[-1], at, run) or "partial"

    def followed(self, item: Item, stage: Stage, accepted: int, at: int, run: list[int]) -> str:
        """Whether what came after an acceptance undid it or leaves it unclear."""
        later = [self.facts[a] for a in run if a > accepted]
        articles = [each for each, _ in self.articles(item)]
        first = next(n for n, each in enumerate(articles) if accepted in each) == 0
        came = any(self.facts[a].kind in ("made", "received") for a in run if a < accepted)
        if any(each.kind in stage.undone_by or each.get("effect") == "reinspect" for each in later):
            return "undone"
        shut: list[tuple[str, set[Item]]] = []
        for a in range(accepted + 1, at):
            fact = self.facts[a]
            closes = a in run and fact.kind == "closed" and bool(stage.undone_by_inside)
            if closes and self.status(item, stage, a) == "current":
                shut.append((fact.get("area"), self.hidden(a, item)))
            if a in run and fact.kind == "opened":
                shut = [(area, h) for area, h in shut if fact.get("area") not in ("", area)]
            for kind, child in self.inside(a, item):
                if kind in stage.undone_by_inside and (not shut or any(child in h for _, h in shut)):
                    return "undone"
        for a in run:
            fact = self.facts[a]
            untold = fact.line is not None and item not in fact.told
            if a > accepted and untold and fact.line.kind not in self.log.settings.harmless:
                return "unclear"
        return "" if first or came or self.class_of(item).bulk else "unclear"


def replay(log: Log, day: dt.date, limit: int = 300) -> dict[tuple[Item, str], set[str]] | None:
    """For every item and stage the statuses it may have; None where there are too many orders."""
    worlds = orders(facts_of(log, day), limit)
    if worlds is None:
        return None
    found: dict[tuple[Item, str], set[str]] = {}
    for order in worlds:
        for world in ways(log, order):
            items = {i for fact in order for i in fact.items}
            for item in items:
                for stage in log.settings.stages:
                    answer = world.status(item, stage, len(order))
                    found.setdefault((item, stage.key), set()).add(answer)
    return found


def ways(log: Log, order: list[Fact]) -> list[World]:
    """The worlds of one order: one for each way in which first installations may be meant."""
    open_ = World(log, order).perhaps_seated()
    many = itertools.product((False, True), repeat=len(open_))
    return [World(log, order, frozenset(itertools.compress(open_, some))) for some in many]


def told(answers: set[str]) -> str:
    """What orders that may have been come to: a hold is a hold while it may be one; else they must agree."""
    if "on hold" in answers:
        return "on hold"
    return next(iter(answers)) if len(answers) == 1 else "unclear"

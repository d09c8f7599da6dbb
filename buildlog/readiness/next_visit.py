"""To prepare the next visit: what can be passed, what must be looked at before it is closed, in which order.

What is due before a closing comes first, for it cannot be looked at later; then what is inside before what it
is in, for to pass an assembly over something open is to pass it twice; then what an earlier milestone or task
waits for.
"""

from __future__ import annotations

import enum
from collections.abc import Iterable, Sequence

import msgspec

from buildlog.model.names import Item
from buildlog.model.settings import Milestone
from buildlog.reckoning.authority import Hand, hands, lacks_authority
from buildlog.reckoning.events import BEGINS
from buildlog.reckoning.knowledge import Closing, ItemStory, Knowledge, StageStatus, Status, TaskState
from buildlog.reckoning.nonconformance import Case
from buildlog.reckoning.whereabouts import Seats, above, beneath, children_of, shut_behind
from buildlog.rules.cases import cases_of
from buildlog.rules.finding import Finding, Findings, Grade

_OF_LOOKING = frozenset(
    (
        "never-inspected", "inspection-undone", "inspection-rejected", "inspection-partial",
        "inspected-by-own-builder", "inspector-not-authorised", "accepted-over-open",
        "closed-before-inspection",
    )
)  # fmt: skip
"""Rules whose findings a new look settles; any other major finding is to be settled before it."""


class Turn(enum.IntEnum):
    """When something is to be looked at."""

    BEFORE_CLOSING = 1
    NOW = 2
    BEHIND_A_CLOSING = 3
    NOT_YET = 4


class Call(msgspec.Struct, frozen=True, kw_only=True):
    """One stage of one item that is not current: when to look at it, and what is in the way.

    `after` are the items inside it that are to be passed first, on the same visit; `waits` why it cannot be
    passed as it is, as sentences; `opens` the closings that it is behind; `clears` the nonconformances whose
    rework or repair it would clear; `put_off` the findings on it, of this stage or of none, that somebody put
    off. `who` are the people who may pass it. `depth` says how many things it is in; `milestone` and `task`
    what waits for it, by their places in their lists, `place` its own in the parts list, `step` that of the
    stage in its class.
    """

    item: Item
    name: str
    stage: StageStatus
    turn: Turn
    depth: int
    milestone: int
    task: int
    place: int
    step: int = 0
    after: tuple[Item, ...] = ()
    waits: tuple[str, ...] = ()
    opens: tuple[tuple[Item, Closing], ...] = ()
    clears: tuple[str, ...] = ()
    put_off: tuple[Finding, ...] = ()
    who: tuple[str, ...] = ()
    tasks: tuple[str, ...] = ()
    due_for: str = ""


def in_order(calls: Iterable[Call]) -> tuple[Call, ...]:
    """The order to look in: before a closing first, inside before outside, then by milestone and task."""
    return tuple(
        sorted(
            calls,
            key=lambda call: (
                call.turn, -call.depth, call.milestone, call.task, call.place, call.item, call.step
            ),
        )
    )  # fmt: skip


def next_visit(knowledge: Knowledge, findings: Findings, seats: Seats) -> tuple[Call, ...]:
    """Every stage that is asked for and not current, in the order to look at them."""
    return in_order(_Visit(knowledge, findings, seats).calls())


class _Visit:
    """What can be said of every open stage, worked out from the inside to the outside."""

    def __init__(self, knowledge: Knowledge, findings: Findings, seats: Seats) -> None:
        self._known = knowledge
        self._findings = findings
        self._seats = seats
        self._children = children_of(seats)
        self._place = {item: at for at, item in enumerate(knowledge.items)}
        self._open = {item: found for item, story in knowledge.items.items() if (found := _open(story))}
        self._chain = {item: tuple(each.item for each in above(item, seats)) for item in self._open}
        self._ripe: dict[Item, bool] = {}
        self._turns: dict[Item, Turn] = {}
        self._tasks = _tasks_of(knowledge)
        self._milestones = _milestones_of(knowledge)

    def calls(self) -> Iterable[Call]:
        """One call for each open stage."""
        # the deepest first, so that what is inside is known when what it is in is asked
        for item in sorted(self._open, key=lambda item: -len(self._chain[item])):
            story = self._known.items[item]
            inside = self._inside(item)
            waits = self._waits(story)
            looking_in = any(each.stage.undone_by_inside for each in self._open[item])
            held = looking_in and not all(self._ripe.get(each, True) for each in inside)
            self._ripe[item] = not (waits or held)
            for status in self._open[item]:
                looks_in = bool(status.stage.undone_by_inside)
                unripe = [each for each in inside if not self._ripe.get(each, True)] if looks_in else []
                call = self._call(story, status, inside if looks_in else [], waits, unripe)
                self._turns[item] = max(call.turn, self._turns.get(item, call.turn))
                yield call

    def _call(
        self,
        story: ItemStory,
        status: StageStatus,
        inside: Sequence[Item],
        waits: tuple[str, ...],
        unripe: Sequence[Item],
    ) -> Call:
        item = story.item
        told = list(waits)
        if unripe:
            shown = ", ".join(str(each) for each in unripe[:3])
            more = f" and {len(unripe) - 3} more" if len(unripe) > 3 else ""
            told.append(f"Inside it, {shown}{more} cannot be passed yet.")
        task, tasks = self._tasks.get(item, (len(self._known.tasks), ()))
        milestone, due_for = self._milestone(item, status)
        opens = shut_behind(story) if _looks_in_again(story, status) else story.hidden_by
        after = tuple(each for each in inside if each not in unripe)
        turn = self._turn(item, status, told, opens)
        return Call(
            item=item,
            name=story.part.name if story.part else "",
            stage=status,
            # what waits for something inside has its turn no sooner than that
            turn=max((turn, *(self._turns.get(each, turn) for each in after))),
            depth=len(self._chain[item]),
            milestone=milestone,
            task=task,
            place=self._place[item],
            step=story.stages.index(status),
            after=after,
            waits=tuple(told),
            opens=opens,
            clears=tuple(case.id for case in cases_of(story, self._known.frame) if _awaits_a_look(case)),
            put_off=tuple(
                each
                for each in self._findings.by_item.get(item, ())
                if each.deferred is not None and each.stage in ("", status.stage.key)
            ),
            who=self._who(story, status),
            tasks=tasks,
            due_for=due_for,
        )

    def _turn(self, item: Item, status: StageStatus, told: Sequence[str], opens: Sequence[object]) -> Turn:
        if told:
            return Turn.NOT_YET
        if opens:
            return Turn.BEHIND_A_CLOSING
        own = status.stage.before == "closed" and not status.due
        to_close = own or any(self._will_close(each) for each in self._chain[item])
        return Turn.BEFORE_CLOSING if to_close else Turn.NOW

    def _will_close(self, item: Item) -> bool:
        """Whether an item is still to be closed up: its class asks for a look before that, and it is open."""
        story = self._known.items.get(item)
        if story is None or not story.exists or any(each.opened is None for each in story.closings):
            return False
        return any(stage.asked and stage.stage.before == "closed" for stage in story.stages)

    def _inside(self, item: Item) -> list[Item]:
        return [way[-1] for way, _ in beneath(item, self._children) if way[-1] in self._open]

    def _waits(self, story: ItemStory) -> tuple[str, ...]:
        awaits = {case.raised.entry for case in cases_of(story, self._known.frame) if _awaits_a_look(case)}
        told = [
            each.message
            for each in self._findings.by_item.get(story.item, ())
            if each.grade is Grade.MAJOR
            and each.deferred is None
            and each.rule not in _OF_LOOKING
            and not (each.rule == "article-unaccounted" and _begun(story))
            and not (each.rule == "nonconformance-open" and each.entry in awaits)
        ]
        told += (
            f"Rejected for {status.stage.key} on {status.last.moment.day}; nothing is recorded since."
            for status in self._open.get(story.item, ())
            if status.apart is Status.REJECTED
            and status.last is not None
            and not _changed_since(story, status)
        )
        return tuple(told)

    def _milestone(self, item: Item, status: StageStatus) -> tuple[int, str]:
        milestones = self._known.log.settings.milestones
        rank = {each.key: at for at, each in enumerate(milestones)}
        found = [rank[key] for key in self._milestones.get(item, ()) if key in rank]
        if status.stage.before in rank:
            found.append(rank[status.stage.before])
        first = min(found, default=len(milestones))
        return first, milestones[first].key if first < len(milestones) else ""

    def _who(self, story: ItemStory, status: StageStatus) -> tuple[str, ...]:
        """The people with the authority on the day, who did not work on it where its class cares."""
        worked = self._workers(story, status) if story.class_.independent else frozenset()
        signed = set(status.signers)
        return tuple(
            key
            for key, person in self._known.frame.people.items()
            if not lacks_authority(person, status.stage.key, self._known.day)
            and key not in worked
            and key not in signed
        )

    def _workers(self, story: ItemStory, status: StageStatus) -> frozenset[str]:
        stories = [story]
        if status.stage.undone_by_inside:
            stories += (
                self._known.items[way[-1]]
                for way, _ in beneath(story.item, self._children)
                if way[-1] in self._known.items
            )
        found: list[Hand] = []
        for each in stories:
            present = each.chronicle.present
            found.extend(hands(present) if present is not None else ())
        return frozenset(hand.person for hand in found)


def _open(story: ItemStory) -> tuple[StageStatus, ...]:
    if not story.exists or story.class_.bulk:
        return ()
    return tuple(each for each in story.stages if each.asked and each.status is not Status.CURRENT)


def _looks_in_again(story: ItemStory, status: StageStatus) -> bool:
    """Whether the stage looks inside the item, which was closed: it is opened first."""
    return bool(status.stage.undone_by_inside) and bool(story.closings)


def _begun(story: ItemStory) -> bool:
    """Whether a record says that the present article was made or received; it may have been passed before."""
    present = story.chronicle.present
    return present is not None and any(e.kind in BEGINS and e.struck is None for e in present.events)


def _awaits_a_look(case: Case) -> bool:
    """Whether an open nonconformance waits for nothing but an inspection or test that clears it."""
    return case.open and case.decision in ("rework", "repair")


def _changed_since(story: ItemStory, status: StageStatus) -> bool:
    last = status.last
    present = story.chronicle.present
    if last is None or present is None:
        return False
    events = (e for e in present.events if not e.struck and e.kind in ("made", "modified", "repaired"))
    return any(e.moment.show > last.moment.show for e in events) or any(
        work.moment.show > last.moment.show and not work.harmless for work in present.labour
    )


def _tasks_of(knowledge: Knowledge) -> dict[Item, tuple[int, tuple[str, ...]]]:
    """For each item the place of its first task in the list, and its tasks that are in work."""
    found: dict[Item, tuple[int, tuple[str, ...]]] = {}
    for at, story in enumerate(knowledge.tasks.values()):
        in_work = (story.key,) if story.state in (TaskState.IN_WORK, TaskState.BACK_IN_WORK) else ()
        for item in story.items:
            first, tasks = found.get(item, (at, ()))
            found[item] = (first, (*tasks, *in_work))
    return found


def _milestones_of(knowledge: Knowledge) -> dict[Item, tuple[str, ...]]:
    """For each item the milestones that name it, or that a task about it leads to."""
    found: dict[Item, dict[str, None]] = {}
    for milestone in knowledge.log.settings.milestones:
        for item in _named(milestone, knowledge):
            found.setdefault(item, {})[milestone.key] = None
    for story in knowledge.tasks.values():
        if story.task is not None and story.task.milestone:
            for item in story.items:
                found.setdefault(item, {})[story.task.milestone] = None
    return {item: tuple(keys) for item, keys in found.items()}


def _named(milestone: Milestone, knowledge: Knowledge) -> Iterable[Item]:
    return (item for text in milestone.items for item in knowledge.names.of(text).items)

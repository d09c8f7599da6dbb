"""What is known once the facts are reckoned: the values that rules check and pages show."""

from __future__ import annotations

import datetime
import enum
from collections.abc import Mapping
from fractions import Fraction

import msgspec

from buildlog.model.entry import Entry
from buildlog.model.lists import Lot, Part, Task, Tool
from buildlog.model.log import Log
from buildlog.model.names import Item, Names
from buildlog.model.settings import Class, Person, Stage
from buildlog.reckoning.clashes import Contradiction
from buildlog.reckoning.events import Appearance, Event, Labour, Shown, TaskStep, Use
from buildlog.reckoning.latest import Alone
from buildlog.reckoning.order import Moment


class Status(enum.Enum):
    """The inspection status of an article and a stage. Of several that hold, the first here is told."""

    ON_HOLD = "on hold"
    REJECTED = "rejected"
    UNDONE = "undone"
    UNCLEAR = "unclear"
    PARTIAL = "partial"
    CURRENT = "current"
    NONE = "none"


class Stay(msgspec.Struct, frozen=True):
    """A time an article was in one place.

    `within` is the item it sat on or in, or None when it was loose. `begun` is the record that put it
    there, `ended` the one that took it away; None where no record says. An `assumed` stay rests on the
    parts list alone.
    """

    within: Item | None
    begun: Event | None = None
    ended: Event | None = None
    assumed: bool = False


class Article(msgspec.Struct, frozen=True):
    """One thing that held an item's place: the first is number 1. `ended` is the record that ended it.

    `carried` is the record by which it came over from another item's name. Its events and work then begin
    with what was logged of it under that name, as that item's. `after` is the record that ended the article
    whose place it took: until one says that it was made or received, the log does not know that it is there.
    """

    number: int
    events: tuple[Event, ...]
    labour: tuple[Labour, ...]
    stays: tuple[Stay, ...]
    ended: Event | None = None
    carried: Event | None = None
    after: Event | None = None

    @property
    def serial(self) -> str:
        """The last serial number its records give."""
        told = [getattr(event.record, "serial", "") for event in self.events if not event.struck]
        return next((serial for serial in reversed(told) if serial), "")


class Chronicle(msgspec.Struct, frozen=True):
    """An item's own history: all its events in order, struck ones too, split into articles."""

    item: Item
    events: tuple[Event, ...]
    labour: tuple[Labour, ...]
    articles: tuple[Article, ...]

    @property
    def present(self) -> Article | None:
        """The article that exists now, if one does."""
        return self.articles[-1] if self.articles and self.articles[-1].ended is None else None


class Inside(msgspec.Struct, frozen=True):
    """An event on something inside an item. Not `sure`: the log leaves open whether it was inside.

    `ways` are then the ways by which it may have been inside, each as the moments that it ended before or
    after the event; without any, nothing is known of that. A way that ended before an acceptance is none by
    which it was inside after it. `late` says that it may do no more than write down where something sat all
    along: the first move of an article, into the place that the parts list gives it.
    """

    event: Event
    kind: str
    sure: bool
    ways: tuple[tuple[Moment, ...], ...] = ()
    late: bool = False


class Closing(msgspec.Struct, frozen=True):
    """An area of an item closed up, what it hid, and the record that opened it again, if any.

    Of `hidden`, the log leaves open whether it hid the `unsure`. `perhaps_opened` are openings of the same
    day with no order to the closing.
    """

    event: Event
    area: str
    hidden: tuple[Item, ...]
    opened: Event | None = None
    unsure: tuple[Item, ...] = ()
    perhaps_opened: tuple[Event, ...] = ()


class Shut(msgspec.Struct, frozen=True):
    """A closing of `whole`, as it bears on something that it hid, or on the whole itself.

    `out` is when that came in sight again: it was opened, or taken out; None while it is shut away.
    """

    whole: Item
    closing: Closing
    out: Moment | None = None


class Unseen(msgspec.Struct, frozen=True):
    """A closing before which a stage was not current, and after which nobody has passed it in sight.

    `status` is what the stage was just before it. Not `sure`: the log leaves open whether it hid the item,
    or whether the stage was current by then.
    """

    shut: Shut
    status: Status
    sure: bool


class Open(msgspec.Struct, frozen=True):
    """A stage of something inside an assembly that was not current when the assembly was passed.

    `status` is what it was then. Not `sure`: the log leaves open whether it was so, or was inside.
    """

    item: Item
    stage: Stage
    status: Status
    sure: bool


class Refusal(msgspec.Struct, frozen=True):
    """A person whose acceptance does not count, and why, as half a sentence.

    `own_work` says that they worked on the article or inside it; else they lack the authority.
    """

    event: Event
    person: str
    reason: str
    own_work: bool = False


class StageStatus(msgspec.Struct, frozen=True):
    """The status of one stage of an item's present article, and the records it rests on.

    `asked`: the item's class asks for the stage. `due`: it should be current by now. `inspections` are
    those of the present article in order; `last` the one that decides. `against` are the events that
    undo it, or that leave it unclear; `untold` the work lines after it that no record explains.
    `signers` are the different inspectors whose acceptances stand, of `signatures` asked for.
    `refusals` are those whose acceptances do not count. `sealed` is the closing that holds it closed with
    the stage current. `beneath` is what the status would be were no nonconformance open. `unseen` are the
    closings that came too early for a stage due before them, `over` what was open inside an assembly when
    `last` passed it. `unaccounted` is the record that ended the article before, where none says that another
    was made or received by the time of `last`: what that passed is not known.
    """

    stage: Stage
    asked: bool
    due: bool
    status: Status
    inspections: tuple[Event, ...] = ()
    last: Event | None = None
    against: tuple[Event, ...] = ()
    untold: tuple[Labour, ...] = ()
    signers: tuple[str, ...] = ()
    signatures: int = 1
    refusals: tuple[Refusal, ...] = ()
    sealed: Event | None = None
    beneath: Status | None = None
    unseen: tuple[Unseen, ...] = ()
    over: tuple[Open, ...] = ()
    unaccounted: Event | None = None

    @property
    def apart(self) -> Status:
        """The status, open nonconformances apart."""
        return self.status if self.beneath is None else self.beneath

    @property
    def counts_not(self) -> tuple[tuple[Event, str], ...]:
        """Each inspection that counts for nothing because nobody's name under it does, and why."""
        told: dict[tuple[str, int], tuple[Event, list[str]]] = {}
        for each in self.refusals:
            _, reasons = told.setdefault((each.event.entry, each.event.place), (each.event, []))
            reasons.append(f"{each.person} {each.reason}".lstrip())
        return tuple(
            (event, "; ".join(reasons))
            for event, reasons in told.values()
            if len(reasons) >= len(set(event.people))
        )


class ItemStory(msgspec.Struct, frozen=True):
    """All that is known of one item by its own records and what bears on them."""

    item: Item
    part: Part | None
    class_: Class
    chronicle: Chronicle
    stages: tuple[StageStatus, ...]
    stay: Stay | None
    holds: tuple[tuple[Item, bool], ...]
    """What sits directly in it now, each with whether that is assumed."""
    closings: tuple[Closing, ...]
    hidden_by: tuple[tuple[Item, Closing], ...]
    """Closings of items above that hide it now."""
    shown: tuple[Shown, ...]
    hours: Fraction
    """Its own exact hours."""
    contradictions: tuple[Contradiction, ...] = ()

    @property
    def exists(self) -> bool:
        """Whether an article of it exists now."""
        return self.chronicle.present is not None


class PartStory(msgspec.Struct, frozen=True):
    """A part number, on the list or not. `below` are the part numbers whose parent it is; hours are exact."""

    number: str
    part: Part | None
    items: tuple[Item, ...]
    below: tuple[str, ...]
    tasks: tuple[str, ...]
    own_hours: Fraction
    assembly_hours: Fraction


class TaskState(enum.Enum):
    """How far a task is."""

    NOT_BEGUN = "not begun"
    IN_WORK = "in work"
    COMPLETE = "complete"
    BACK_IN_WORK = "back in work"


class TaskStory(msgspec.Struct, frozen=True):
    """A task, on the list or not. `before_it` and `after_it` are keys of the network; hours are exact."""

    key: str
    task: Task | None
    state: TaskState
    steps: tuple[TaskStep, ...]
    hours: Fraction
    before_it: tuple[str, ...]
    after_it: tuple[str, ...]
    items: tuple[Item, ...]
    """Items worked on for it, and those its row names."""


class PersonStory(msgspec.Struct, frozen=True):
    """A person: where they appear, what they inspected, their exact hours in all and by day."""

    person: Person
    appearances: tuple[Appearance, ...]
    inspected: tuple[Event, ...]
    hours: Fraction
    days: tuple[tuple[datetime.date, Fraction], ...]


class LotTrouble(msgspec.Struct, frozen=True):
    """Something that stands against a lot of material: a nonconformance, a refusal, a failed test, a damage.

    `word` says it as a status, `events` are what it rests on, the first of them first. `until` is the record
    that ended the delivery it is about; what was used after that is of another.
    """

    word: str
    id: str
    events: tuple[Event, ...]
    until: Event | None = None


class LotStory(msgspec.Struct, frozen=True):
    """A lot, every record that used it, and its own history: received, looked at, refused, thrown away.

    `troubles` are what is known against it, each with the delivery that it is about.
    """

    key: str
    lot: Lot | None
    uses: tuple[Use, ...]
    chronicle: Chronicle | None = None
    stages: tuple[StageStatus, ...] = ()
    troubles: tuple[LotTrouble, ...] = ()


class ToolStory(msgspec.Struct, frozen=True):
    """A tool and every record that names it."""

    key: str
    tool: Tool | None
    uses: tuple[Use, ...]


class Rollup(msgspec.Struct, frozen=True):
    """Hours by one key. Rows run by key, the row for what has no key (None) last.

    In every rollup but `assembly` the rows sum to the total exactly; rows of `assembly` overlap.
    """

    by: str
    total: Fraction
    rows: tuple[tuple[str | None, Fraction], ...]


class EntryStory(msgspec.Struct, frozen=True):
    """An entry with the items its names stand for, and its neighbours in time."""

    entry: Entry
    earlier: str
    later: str
    hours: Fraction


class Frame(msgspec.Struct, frozen=True):
    """What every rule may look at beside its own subject: lists and settings by key, and the day."""

    day: datetime.date
    people: dict[str, Person]
    stages: dict[str, Stage]
    classes: dict[str, Class]
    lots: dict[str, Lot]
    lot_troubles: dict[str, tuple[LotTrouble, ...]]
    tools: dict[str, Tool]
    milestones_reached: tuple[str, ...]
    last_milestones: tuple[str, ...] = ()
    """Those that no other needs."""
    alone: Alone | None = None
    """The day itself, where one entry alone has it and everything else lies far before it."""


class Knowledge(msgspec.Struct, frozen=True):
    """The whole of what is known on a day. Mappings run in the order pages show them."""

    log: Log
    day: datetime.date
    names: Names
    frame: Frame
    items: Mapping[Item, ItemStory]
    parts: Mapping[str, PartStory]
    tasks: Mapping[str, TaskStory]
    people: Mapping[str, PersonStory]
    lots: Mapping[str, LotStory]
    tools: Mapping[str, ToolStory]
    entries: Mapping[str, EntryStory]
    hours: Mapping[str, Rollup]
    late: tuple[Entry, ...] = ()
    """Entries after the day, left out of everything else."""


__all__ = [
    "Article",
    "Chronicle",
    "Closing",
    "EntryStory",
    "Frame",
    "Inside",
    "ItemStory",
    "Knowledge",
    "LotStory",
    "LotTrouble",
    "Moment",
    "Open",
    "PartStory",
    "PersonStory",
    "Refusal",
    "Rollup",
    "Shut",
    "StageStatus",
    "Status",
    "Stay",
    "TaskState",
    "TaskStory",
    "ToolStory",
    "Unseen",
]

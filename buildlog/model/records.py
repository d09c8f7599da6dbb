"""The records of an entry: one type a kind. The docstring is what `buildlog meaning KIND` says first."""

from __future__ import annotations

import datetime
from typing import Annotated

import msgspec

from buildlog.model.key import NOWHERE, AtShop, Reads, inspector


class Record(msgspec.Struct, frozen=True, kw_only=True, tag_field="kind"):
    """One fact about an item. Its first key is the kind and names the item; these keys go with any kind."""

    of: Annotated[tuple[str, ...], inspector("the item or items it is about", Reads.ITEMS_ONE_BY_ONE)] = ()
    date: Annotated[datetime.date | None, inspector("its day, if not the entry's", Reads.DATE)] = None
    time: Annotated[datetime.time | None, inspector("its time, if not the entry's", Reads.TIME)] = None
    by: Annotated[tuple[str, ...], inspector("who did it, if not the entry's people", Reads.PEOPLE)] = ()
    lots: Annotated[tuple[str, ...], inspector("material lots used", Reads.LOTS)] = ()
    quantity: Annotated[str, inspector("how much or how many", Reads.TEXT)] = ""
    tool: Annotated[str, inspector("the tool it was done or measured with", Reads.TOOL)] = ""
    data: Annotated[str, inspector("the drawing or manual worked to", Reads.TEXT)] = ""
    document: Annotated[tuple[str, ...], inspector("a document or scan below media/", Reads.MEDIUM)] = ()
    note: Annotated[str, inspector("a remark", Reads.TEXT)] = ""
    nonconformance: Annotated[str, inspector("the nonconformance it belongs to", Reads.TEXT)] = ""
    where: AtShop = NOWHERE


AboutLots = Annotated[
    tuple[str, ...], inspector("the item or items, or lots, it is about", Reads.ITEMS_OR_LOTS_ONE_BY_ONE)
]
"""A lot of material is looked at, tried and refused as an article is; nothing is made or installed of it."""


class Received(Record, frozen=True, kw_only=True, tag="received"):
    """A bought article came in. It begins the article's history."""

    of: Annotated[tuple[str, ...], inspector("the items or lots that came in", Reads.ITEMS_OR_LOTS)] = ()
    from_: Annotated[str, inspector("whom it came from", Reads.TEXT)] = ""
    serial: Annotated[str, inspector("its serial number", Reads.TEXT)] = ""


class Made(Record, frozen=True, kw_only=True, tag="made"):
    """The article was made, or made ready for inspection."""

    of: Annotated[tuple[str, ...], inspector("the item or items made", Reads.ITEMS)] = ()
    serial: Annotated[str, inspector("its serial number", Reads.TEXT)] = ""
    drawing: Annotated[str, inspector("the drawing and revision it was made to", Reads.TEXT)] = ""
    revision: Annotated[str, inspector("the revision it was made to", Reads.TEXT)] = ""


class Modified(Record, frozen=True, kw_only=True, tag="modified"):
    """The article was changed on purpose."""


class Repaired(Record, frozen=True, kw_only=True, tag="repaired"):
    """Damage was put right."""


class Damaged(Record, frozen=True, kw_only=True, tag="damaged"):
    """The article was damaged."""

    of: AboutLots = ()


class Scrapped(Record, frozen=True, kw_only=True, tag="scrapped"):
    """The article was thrown away. Its history ends; the item's next article starts with nothing."""

    of: AboutLots = ()


class Returned(Record, frozen=True, kw_only=True, tag="returned"):
    """The article went back to whom it came from. Its history ends as with `scrapped`."""

    of: AboutLots = ()


class Installed(Record, frozen=True, kw_only=True, tag="installed"):
    """The article was put on or into another item."""

    on: Annotated[str, inspector("the item it sits on or in from now on", Reads.ITEM, required=True)] = ""
    until: Annotated[str, inspector("a milestone before which it must come off", Reads.MILESTONE)] = ""


class Removed(Record, frozen=True, kw_only=True, tag="removed"):
    """The article was taken off the item it sat on or in."""

    from_: Annotated[str, inspector("the item it sat on or in", Reads.ITEM)] = ""


class Closed(Record, frozen=True, kw_only=True, tag="closed"):
    """The item, or an area of it, was closed up. What is inside can no longer be looked at."""

    area: Annotated[str, inspector("which area, where there are several", Reads.TEXT)] = ""
    hides: Annotated[tuple[str, ...], inspector("what it hides, if not all inside", Reads.ITEMS)] = ()
    except_: Annotated[tuple[str, ...], inspector("what inside it does not hide", Reads.ITEMS)] = ()


class Opened(Record, frozen=True, kw_only=True, tag="opened"):
    """The item, or an area of it, was opened again."""

    area: Annotated[str, inspector("which area; without it, every area", Reads.TEXT)] = ""


class Inspected(Record, frozen=True, kw_only=True, tag="inspected"):
    """Somebody with the authority to do so looked at the article and passed or refused it."""

    of: AboutLots = ()
    stage: Annotated[str, inspector("what it was inspected for", Reads.STAGE, required=True)] = ""
    by: Annotated[tuple[str, ...], inspector("who inspected it", Reads.PEOPLE, required=True)] = ()
    result: Annotated[
        str, inspector("what they found", Reads.CHOICE, ("accepted", "rejected"), required=True)
    ] = ""
    scope: Annotated[str, inspector("the part of it that was looked at, if not all", Reads.TEXT)] = ""
    drawing: Annotated[str, inspector("the drawing and revision it was held against", Reads.TEXT)] = ""
    clears: Annotated[str, inspector("the nonconformance this inspection clears", Reads.TEXT)] = ""


class Tested(Record, frozen=True, kw_only=True, tag="tested"):
    """The article was tried. With a stage, it counts as that stage's inspection."""

    of: AboutLots = ()
    what: Annotated[str, inspector("what was tried", Reads.TEXT)] = ""
    stage: Annotated[str, inspector("the stage it counts for", Reads.STAGE)] = ""
    result: Annotated[str, inspector("how it went", Reads.CHOICE, ("passed", "failed"), required=True)] = ""
    clears: Annotated[str, inspector("the nonconformance this test clears", Reads.TEXT)] = ""


class Measured(Record, frozen=True, kw_only=True, tag="measured"):
    """A value was measured.

    The value is a number with its unit (`0.4 mm`), a range (`11 to 13 %`) or off the scale (`over 200 MΩ`); a
    number alone is compared with numbers alone. What was seen and not measured goes into `note`. See
    `readings` for how values, units and limits are written.
    """

    of: AboutLots = ()
    what: Annotated[str, inspector("the characteristic measured", Reads.TEXT)] = ""
    value: Annotated[str, inspector("the value with its unit", Reads.VALUE, required=True)] = ""
    limits: Annotated[str, inspector("what it may be", Reads.LIMITS)] = ""


class Torqued(Record, frozen=True, kw_only=True, tag="torqued"):
    """A fastener was tightened to a torque.

    The value is what the wrench was set to or showed, with its unit. `run_on` is what it takes to turn the
    nut before it bears; limits are held against the value less that. See `readings` for how values and limits
    are written, and `torque` for the table that is shown where a torque has no limits, and for adapters.
    """

    fastener: Annotated[str, inspector("which fastener", Reads.TEXT)] = ""
    thread: Annotated[str, inspector("its thread, `1/4-28`", Reads.TEXT)] = ""
    nut: Annotated[
        str, inspector("the kind of nut: `tension`, `shear`, or its number, `AN310`", Reads.TEXT)
    ] = ""
    count: Annotated[int | None, inspector("how many of them", Reads.COUNT)] = None
    value: Annotated[str, inspector("the torque set, with its unit", Reads.TORQUE, required=True)] = ""
    run_on: Annotated[str, inspector("friction drag torque of the nut, with its unit", Reads.TORQUE)] = ""
    limits: Annotated[str, inspector("what it may be, net of run-on", Reads.LIMITS)] = ""


class Loosened(Record, frozen=True, kw_only=True, tag="loosened"):
    """A fastener was loosened and wants tightening again."""

    fastener: Annotated[str, inspector("which fastener; without it, all", Reads.TEXT)] = ""


class Weighed(Record, frozen=True, kw_only=True, tag="weighed"):
    """The article was weighed."""

    of: AboutLots = ()
    value: Annotated[str, inspector("its weight, with the unit", Reads.WEIGHT, required=True)] = ""
    arm: Annotated[str, inspector("the arm from the datum, with the unit", Reads.LENGTH)] = ""


class DrawingChanged(Record, frozen=True, kw_only=True, tag="drawing_changed"):
    """The drawing of the part was revised.

    With `effect: reinspect`, every acceptance of an article that was made by then is undone; with
    `effect: none`, none is, and the articles made to the revision before are as good as before. Without an
    effect it undoes the stages that name `drawing_changed` in `undone_by`.
    """

    of: Annotated[tuple[str, ...], inspector("the part or item whose drawing changed", Reads.ITEMS)] = ()
    to: Annotated[str, inspector("the new revision", Reads.TEXT)] = ""
    effect: Annotated[
        str, inspector("what it asks of articles already made", Reads.CHOICE, ("none", "reinspect"))
    ] = ""


class Reidentified(Record, frozen=True, kw_only=True, tag="reidentified"):
    """The article goes on under another item's name.

    The old item's article ends as that item, and the new item's article begins with its history: who worked
    on it, what undid what, what holds it. Acceptances of the stages in `carries` count for the new item; the
    others are undone by the new name. What was logged stays where it was logged: events, hours, places. What
    the article sits in, and what sits in it, stays so. Deferrals do not go with it. An article that the new
    item had before gives way.
    """

    as_: Annotated[str, inspector("the item it is from now on", Reads.ITEM)] = ""
    carries: Annotated[tuple[str, ...], inspector("the stages whose acceptance it keeps", Reads.STAGES)] = ()


class Nonconformance(Record, frozen=True, kw_only=True, tag="nonconformance"):
    """The article does not conform. It is on hold until an engineer or inspector decides."""

    of: AboutLots = ()
    id: Annotated[str, inspector("its number", Reads.TEXT, required=True)] = ""
    description: Annotated[str, inspector("what does not conform", Reads.TEXT)] = ""


class Disposition(Record, frozen=True, kw_only=True, tag="disposition"):
    """What was decided about a nonconformance."""

    of: AboutLots = ()
    id: Annotated[str, inspector("the nonconformance's number", Reads.TEXT, required=True)] = ""
    decision: Annotated[
        str,
        inspector(
            "what was decided",
            Reads.CHOICE,
            ("use-as-is", "rework", "repair", "scrap", "return"),
            required=True,
        ),
    ] = ""


class Deferred(Record, frozen=True, kw_only=True, tag="deferred"):
    """A finding on an item, or on its part number, is put off: by whom, why and until when. It stays listed.

    A finding about a task, a person or an entry cannot be put off: a record is about an item.
    """

    rule: Annotated[str, inspector("the rule whose finding is put off", Reads.RULE, required=True)] = ""
    by: Annotated[tuple[str, ...], inspector("who put it off", Reads.PEOPLE, required=True)] = ()
    reason: Annotated[str, inspector("why", Reads.TEXT, required=True)] = ""
    until: Annotated[str, inspector("a day or a milestone", Reads.UNTIL, required=True)] = ""


class Voided(Record, frozen=True, kw_only=True, tag="voided"):
    """An earlier record was wrong. It is struck through, counts for nothing, and stays readable.

    A record is struck for all that it is about: name all its items (a part number with `/all` stands for all
    of its items), and no other. What was true of some of them is written again in a record of its own. A
    rejected inspection, a failed test, a nonconformance, a disposition or a damage is struck by those who
    did it (its `by`, else its entry's people), or by an inspector; a nonconformance or a disposition by an
    engineer too, each with authority on that day. Struck by somebody else it counts on, and the rule
    `struck-without-authority` says so.
    """

    of: AboutLots = ()
    entry: Annotated[str, inspector("the entry that holds it", Reads.ENTRY, required=True)] = ""
    record: Annotated[int, inspector("its place there, from 1", Reads.COUNT, required=True)] = 0
    reason: Annotated[str, inspector("why", Reads.TEXT, required=True)] = ""


AnyRecord = (
    Received
    | Made
    | Modified
    | Repaired
    | Damaged
    | Scrapped
    | Returned
    | Installed
    | Removed
    | Closed
    | Opened
    | Inspected
    | Tested
    | Measured
    | Torqued
    | Loosened
    | Weighed
    | DrawingChanged
    | Reidentified
    | Nonconformance
    | Disposition
    | Deferred
    | Voided
)

KINDS: dict[str, type[Record]] = {str(kind.__struct_config__.tag): kind for kind in AnyRecord.__args__}
"""Each kind of record by the word a log writes for it, in the order of the reference."""


_WORDS = {kind: word for word, kind in KINDS.items()}


def kind_of(record: Record) -> str:
    """The word a log writes for a record's kind."""
    return _WORDS[type(record)]

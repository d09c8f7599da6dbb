"""A new name that carries every stage changes no answer: not about the article, nor about what is around it.

A generated history is told twice: once as it is, and once with an item that goes on under another name from
some day on. What is known of the article, and of all else, must be the same.
"""

from __future__ import annotations

import datetime as dt
from typing import Any

import msgspec
from hypothesis import HealthCheck, Phase, assume, event, given, settings
from hypothesis import strategies as st

from buildlog.model.entry import Entry, Share, WorkLine
from buildlog.model.log import Log
from buildlog.reckoning.knowledge import ItemStory, Knowledge
from buildlog.reckoning.reckon import reckon
from tests.reckoning.histories import ITEMS, histories, told_shortly
from tests.reckoning.logs import entry, item, on, rec

NEW = "NEW/L"
STAGES = "to-drawing pre-close rigged"
NAMES = ("of", "on", "from_", "hides", "except_")


def renamed(log: Log, old: str, day: int) -> Log:
    """The same log, where an item is called otherwise in all that is dated after a day of June."""
    number = old.split("/", maxsplit=1)[0]
    part = next(each for each in log.parts if each.number == number)
    new = msgspec.structs.replace(part, number="NEW", items=("L",))
    last = entry(day, rec("reidentified", old, as_=NEW, carries=STAGES), key="zz", start="23:59")
    entries = tuple(sorted((*(_entry(each, old, day) for each in log.entries), last), key=_order))
    return msgspec.structs.replace(log, parts=(*log.parts, new), entries=entries)


def _order(each: Entry) -> tuple[object, str]:
    return each.date, each.key


def _entry(each: Entry, old: str, day: int) -> Entry:
    records = tuple(
        _record(record, old) if (record.date or each.date) > on(day) else record for record in each.records
    )
    work = tuple(_work(line, old) if each.date > on(day) else line for line in each.work)
    return msgspec.structs.replace(each, records=records, work=work)


def _split(each: Entry, old: str, cut: dt.date) -> bool:
    worked = any(share.name == old for line in each.work for share in line.parts)
    told = any(old in record.of and (record.date or each.date) <= cut for record in each.records)
    return each.date > cut and worked and told


def _record(record: Any, old: str) -> Any:
    changed: dict[str, Any] = {}
    for name in NAMES:
        value = getattr(record, name, None)
        if isinstance(value, tuple):
            changed[name] = tuple(NEW if each == old else each for each in value)
        elif value == old:
            changed[name] = NEW
    return msgspec.structs.replace(record, **changed)


def _work(line: WorkLine, old: str) -> WorkLine:
    parts = tuple(Share(NEW if share.name == old else share.name, share.weight) for share in line.parts)
    return msgspec.structs.replace(line, parts=parts)


def answers(known: Knowledge, names: dict[str, str]) -> dict[str, object]:
    """What is asked of each item, by the name it had before."""

    def called(of: object) -> str:
        return names.get(str(of), str(of))

    def told(story: ItemStory) -> object:
        stay = story.stay
        return (
            {each.stage.key: (each.status.value, each.due, each.signers) for each in story.stages},
            (called(stay.within) if stay.within else "") if stay else None,
            sorted(called(each) for each, _ in story.holds),
            [(each.area, each.opened is None) for each in story.closings],
            sorted(called(above) for above, _ in story.hidden_by) if story.exists else [],
        )

    return {called(of): told(story) for of, story in known.items.items() if str(of) in names or story.exists}


@settings(max_examples=100, deadline=None, phases=[Phase.generate], suppress_health_check=list(HealthCheck))
@given(histories(ordered=True), st.sampled_from(ITEMS), st.integers(1, 12))
def test_it_is_the_same_article_wherever_it_was_renamed(log: Log, old: str, day: int) -> None:
    cut = on(day)
    before = reckon(log, on=cut)
    assume(item(old) in before.items and before.items[item(old)].exists)
    # what was struck later may never have existed by then; to be renamed it must have
    assume(not any(each.key.endswith("void") for each in log.entries))
    # a first removal says where it was all along; of a new name it says so only from the renaming on
    # a record of before, in an entry of after, tells of no work that is logged there under the new name
    assume(not any(_split(each, old, cut) for each in log.entries))
    whole = reckon(log)
    # nor may it have been gone by then, as a record says that was written up later
    gone = [each.ended for each in whole.items[item(old)].chronicle.articles if each.ended is not None]
    assume(
        all(event in before.items[item(old)].chronicle.events for event in gone if event.moment.day <= cut)
    )
    firsts = [
        next((e for e in each.events if e.kind in ("installed", "removed")), None)
        for each in whole.items[item(old)].chronicle.articles
    ]
    assume(not any(e is not None and e.kind == "removed" and e.moment.day > cut for e in firsts))
    after = renamed(log, old, day)
    end = max(whole.day, cut)
    known = reckon(after, on=end)
    ours = answers(reckon(log, on=end), {old: old})
    theirs = answers(known, {NEW: old})
    event(f"exists: {known.items[item(NEW)].exists}")
    assert theirs == ours, f"{old} renamed on {day}\n{told_shortly(after)}"

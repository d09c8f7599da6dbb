"""What is wrong across entries, though each of them reads well by itself."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping

from buildlog.model.entry import Entry
from buildlog.model.key import Audience
from buildlog.model.log import Problem
from buildlog.model.names import Names
from buildlog.model.records import (
    AnyRecord,
    Disposition,
    Inspected,
    Nonconformance,
    Reidentified,
    Tested,
    Voided,
)
from buildlog.reader.names import quoted
from buildlog.reader.nearest import advice


def unraised(entries: Iterable[Entry]) -> Iterator[Problem]:
    """Numbers of nonconformances that nobody raised: a slip in one would leave the true one unanswered."""
    raised: dict[str, None] = {}
    meant: list[tuple[AnyRecord, str]] = []
    for entry in entries:
        for record in entry.records:
            if isinstance(record, Nonconformance):
                raised[record.id] = None
                continue
            if record.nonconformance:
                meant.append((record, record.nonconformance))
            if isinstance(record, Disposition):
                meant.append((record, record.id))
            elif isinstance(record, Inspected | Tested) and record.clears:
                meant.append((record, record.clears))
    for record, number in meant:
        if number not in raised:
            found = f"no record raises the nonconformance {quoted(number)}"
            yield Problem(record.where, found, advice(number, raised, "nonconformances"))


def hidden_work(entries: Iterable[Entry], harmless: Collection[str]) -> Iterator[Problem]:
    """Work on parts that the shop alone would know of: a status that hides it is worse than none."""
    for entry in entries:
        for line in entry.work if entry.audience is Audience.SHOP else ():
            if line.parts and line.kind not in harmless:
                found = "work on parts cannot be for the shop alone: the inspector has to know of it"
                todo = "fence off what is private with `~~~ shop only`, or move the work to another entry"
                yield Problem(line.where, found, todo)


def misnamed_voids(entries: Collection[Entry], names: Names) -> Iterator[Problem]:
    """Records struck through that are not about what the `voided` names: the number was miscounted.

    A record is struck for all that it is about, so all of it has to be named, and nothing else. A name that
    the article went on under since is as good as the one the record has.
    """
    records = {entry.key: entry.records for entry in entries}
    later = _later_names(entries, names)
    for entry in entries:
        for record in entry.records:
            if not isinstance(record, Voided) or not record.of:
                continue
            aim = _about(record, records)
            struck = _subjects(aim, names)
            if not struck:
                continue
            known = {each: _under(each, later) for each in struck}
            named = _subjects(record, names)
            strange = [each for each in named if not any(each in also for also in known.values())]
            left = [each for each in struck if known[each].isdisjoint(named)]
            which = f"record {record.record} of {record.entry} is about {_written(aim, names)}"
            if strange:
                todo = _where_it_is(strange, record, records, names)
                yield Problem(record.where, f"{which}, not about {', '.join(strange)}", todo)
            elif left:
                todo = (
                    f"name all of it: `voided: [{_written(aim, names)}]`; what was true of some of it goes"
                    " into a record of its own"
                )
                found = f"{which}, and is struck for all of it: {', '.join(left)} is not named"
                yield Problem(record.where, found, todo)


def _about(record: Voided, records: Mapping[str, tuple[AnyRecord, ...]]) -> AnyRecord | None:
    """The record that is struck; where that is a `voided` without an item, the one that it strikes."""
    seen: set[tuple[str, int]] = set()
    while (record.entry, record.record) not in seen:
        seen.add((record.entry, record.record))
        held = records.get(record.entry, ())
        if not 1 <= record.record <= len(held):
            return None
        aim = held[record.record - 1]
        if not isinstance(aim, Voided) or aim.of:
            return aim
        record = aim
    return None


def _subjects(record: AnyRecord | None, names: Names) -> tuple[str, ...]:
    """The items and lots that a record is about, one by one."""
    found: dict[str, None] = {}
    for text in record.of if record else ():
        found.update(dict.fromkeys(str(item) for item in names.of(text).items) or {text: None})
    return tuple(found)


def _written(record: AnyRecord | None, names: Names) -> str:
    """What a record is about, as a `voided` may write it."""
    return ", ".join(f"{text}/all" if names.of(text).bare else text for text in (record.of if record else ()))


def _later_names(entries: Iterable[Entry], names: Names) -> Mapping[str, tuple[str, ...]]:
    """For each item the names that articles of it went on under."""
    later: dict[str, tuple[str, ...]] = {}
    for entry in entries:
        for record in entry.records:
            if isinstance(record, Reidentified) and record.as_:
                new = tuple(str(item) for item in names.of(record.as_).items)
                for old in _subjects(record, names):
                    later[old] = (*later.get(old, ()), *new)
    return later


def _under(item: str, later: Mapping[str, tuple[str, ...]]) -> frozenset[str]:
    found = {item: None}
    todo = [item]
    for each in todo:
        fresh = [new for new in later.get(each, ()) if new not in found]
        found.update(dict.fromkeys(fresh))
        todo += fresh
    return frozenset(found)


def _where_it_is(
    strange: Collection[str], record: Voided, records: Mapping[str, tuple[AnyRecord, ...]], names: Names
) -> str:
    """Which record of the entry is about what was named, that one first which is about nothing else."""
    found: list[tuple[bool, int, int]] = []
    for place, each in enumerate(records[record.entry], start=1):
        about = set(_subjects(each, names))
        if each is not record and not about.isdisjoint(strange):
            found.append((about != set(strange), abs(place - record.record), place))
    if not found:
        return f"no record of {record.entry} is about {', '.join(strange)}: look for the entry that is"
    _, _, place = min(found)
    more = len(found) - 1
    others = f" ({more} more of that entry {'are' if more > 1 else 'is'})" if more else ""
    return f"the nearest about {', '.join(strange)} is record {place}{others}"

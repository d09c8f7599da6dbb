"""What is wrong across entries, though each of them reads well by itself."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator

from buildlog.model.entry import Entry
from buildlog.model.key import Audience
from buildlog.model.log import Problem
from buildlog.model.records import AnyRecord, Disposition, Inspected, Nonconformance, Tested
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

"""A wrong number hides a history where nobody looks for it; a missing row hides a part from every list.

Basis: AC 20-27G asks for documentation that is continuous and in sequence; that parts are known by the
numbers of a parts list is common practice, no source.

Flagged: a part number that entries name and parts.csv does not list: what a record is about, what it is
installed on or removed from, what a closing hides, what work or a photo is about. So is one that tasks.csv
or a milestone's `items` name: the task or milestone would wait for something that nothing is ever logged
of. One finding a number, at the place that names it first, entries before lists. It keeps its history, as a
part of the class `general`. Records struck through do not count.

Cleared by: the number put right where it is named, or a row in parts.csv.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.model.nearest import nearest
from buildlog.reckoning.knowledge import Frame
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Mention, Subject, Unlisted
from buildlog.rules.wording import elsewhere

NAME = "not-on-parts-list"
GRADE = "minor"
SUBJECT = Subject.UNLISTED_PART


def check(unlisted: Unlisted, _frame: Frame) -> Iterator[Finding]:
    """Yield one finding: where the number is named first, and how often beside."""
    first = unlisted.mentions[0]
    more = elsewhere(len(unlisted.mentions) - 1)
    items = {mention.item for mention in unlisted.mentions}
    like = nearest(unlisted.name, unlisted.known)
    yield Finding(
        rule=NAME,
        grade=Grade.MINOR,
        message=f"{unlisted.name} is not on the parts list{_named_by(first)}{more}"
        f"{f'; the nearest number is {like}' if like else ''}.",
        why="Its history stands apart from the part it may belong to, and its class is not known.",
        clears=f"{f'{like} written instead, or a' if like else 'A'} row for {unlisted.name} in parts.csv.",
        item=first.item if len(items) == 1 else None,
        part=unlisted.name,
        task=first.task,
        entry=first.rest.entry,
        rests=tuple(dict.fromkeys(mention.rest for mention in unlisted.mentions)),
    )


def _named_by(mention: Mention) -> str:
    if mention.task:
        return f", and the task {mention.task} is about it"
    return f", and the milestone {mention.milestone} needs it" if mention.milestone else ""

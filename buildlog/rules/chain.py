"""The chain that runs the rules. It knows them by name only: a file in `buildlog/rules/book` is a rule.

A rule is a module whose file name is its name, with `_` for `-`. It declares `NAME`, `GRADE` (the grade
it gives, in words), `SUBJECT`, and `check(subject, frame)`, which yields findings. Its docstring says why
anybody cares, on what it rests, what is flagged and what clears it.
"""

from __future__ import annotations

import functools
import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterable, Iterator
from typing import Any, NamedTuple

import msgspec

from buildlog.model.names import Item
from buildlog.model.remember import Remember, once
from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Frame, ItemStory, Knowledge
from buildlog.rules import book
from buildlog.rules.deferral import hold, lapse
from buildlog.rules.finding import Finding, Findings, gathered
from buildlog.rules.subjects import Returned, Subject, bundles


class Rule(NamedTuple):
    """A rule by its declarations; `text` is its docstring, Markdown."""

    name: str
    grade: str
    subject: Subject
    check: Callable[[Any, Frame], Iterable[Finding]]
    text: str


def names() -> tuple[str, ...]:
    """The names of all rules, in order, without loading any."""
    found = (module.name for module in pkgutil.iter_modules(book.__path__))
    return tuple(sorted(name.replace("_", "-") for name in found))


def rule(name: str) -> Rule:
    """Load a rule by its name.

    Raises:
        KeyError: there is no rule of that name.
        TypeError: the module does not declare what a rule declares.
    """
    if name not in names():
        raise KeyError(name)
    return _load(name)


def _load(name: str) -> Rule:
    module = importlib.import_module(f"{book.__name__}.{name.replace('-', '_')}")
    declared = {key: getattr(module, key, None) for key in ("NAME", "GRADE", "SUBJECT", "check")}
    missing = [key for key, value in declared.items() if value is None]
    if missing or declared["NAME"] != name or not isinstance(declared["SUBJECT"], Subject):
        raise TypeError(f"{module.__name__} is no rule: it declares {declared}")
    text = inspect.cleandoc(module.__doc__ or "")
    return Rule(name, str(declared["GRADE"]), declared["SUBJECT"], module.check, text)


@functools.cache
def rules() -> tuple[Rule, ...]:
    """All rules, in order of their names."""
    return tuple(map(_load, names()))


@functools.cache
def rules_about(subject: Subject) -> tuple[Rule, ...]:
    """The rules about a sort of subject, in order of their names."""
    return tuple(each for each in rules() if each.subject is subject)


def check(knowledge: Knowledge, remember: Remember = once) -> Findings:
    """Run every rule on every subject.

    Args:
        knowledge: what was reckoned.
        remember: keeps the findings of a bundle of subjects between calls.
    """
    found: list[Finding] = []
    for subject in Subject:
        if rules_about(subject):
            for key, each in bundles(subject, knowledge, remember):
                found.extend(remember(check_bundle, (subject, key), subject, each, knowledge.frame))
    found.extend(_of_returned(found, knowledge))
    held = [_held(finding, knowledge) for finding in found]
    return gathered(held, knowledge.day)


def check_bundle(subject: Subject, subjects: tuple[Any, ...], frame: Frame) -> tuple[Finding, ...]:
    """What the rules about a sort of subject find on these."""
    return tuple(
        finding for each in rules_about(subject) for one in subjects for finding in each.check(one, frame)
    )


def _of_returned(found: Iterable[Finding], knowledge: Knowledge) -> tuple[Finding, ...]:
    """What the rules about lapsed deferrals find: those need to know what the others found."""
    back: dict[tuple[str, int], tuple[Event, list[Finding]]] = {}
    for finding in found:
        for story in _stories(finding, knowledge):
            event = lapse(finding.rule, story.chronicle, knowledge.frame)
            if event is not None:
                back.setdefault((event.entry, event.place), (event, []))[1].append(finding)
                break
    returned = tuple(Returned(event, tuple(findings)) for event, findings in back.values())
    return check_bundle(Subject.RETURNED, returned, knowledge.frame)


def _stories(finding: Finding, knowledge: Knowledge) -> Iterator[ItemStory]:
    """The items that a deferral of a finding may stand on: its own, or any of its part."""
    if finding.item is not None:
        items: tuple[Item, ...] = (finding.item,)
    else:
        part = knowledge.parts.get(finding.part)
        items = part.items if part else ()
    for item in items:
        story = knowledge.items.get(item)
        if story is not None:
            yield story


def _held(finding: Finding, knowledge: Knowledge) -> Finding:
    """The finding, marked where a deferral on its item, or on an item of its part, holds it back."""
    for story in _stories(finding, knowledge):
        deferral = hold(finding.rule, story.chronicle, knowledge.frame)
        if deferral is not None:
            return msgspec.structs.replace(finding, deferred=deferral)
    return finding

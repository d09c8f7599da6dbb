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
from collections.abc import Callable, Iterable
from typing import Any, NamedTuple

import msgspec

from buildlog.model.remember import Remember, once
from buildlog.reckoning.knowledge import Frame, Knowledge
from buildlog.rules import book
from buildlog.rules.deferral import hold
from buildlog.rules.finding import Finding, Findings, gathered
from buildlog.rules.subjects import Subject, bundles


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
    module = importlib.import_module(f"{book.__name__}.{name.replace('-', '_')}")
    declared = {key: getattr(module, key, None) for key in ("NAME", "GRADE", "SUBJECT", "check")}
    missing = [key for key, value in declared.items() if value is None]
    if missing or declared["NAME"] != name or not isinstance(declared["SUBJECT"], Subject):
        raise TypeError(f"{module.__name__} is no rule: it declares {declared}")
    text = inspect.cleandoc(module.__doc__ or "")
    return Rule(name, str(declared["GRADE"]), declared["SUBJECT"], module.check, text)


@functools.cache
def rules_about(subject: Subject) -> tuple[Rule, ...]:
    """The rules about a sort of subject, in order of their names."""
    return tuple(each for each in map(rule, names()) if each.subject is subject)


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
    held = [_held(finding, knowledge) for finding in found]
    return gathered(held, knowledge.day)


def check_bundle(subject: Subject, subjects: tuple[Any, ...], frame: Frame) -> tuple[Finding, ...]:
    """What the rules about a sort of subject find on these."""
    return tuple(
        finding for each in rules_about(subject) for one in subjects for finding in each.check(one, frame)
    )


def _held(finding: Finding, knowledge: Knowledge) -> Finding:
    """The finding, marked where a deferral on its item, or on an item of its part, holds it back."""
    if finding.item is not None:
        items: tuple[Any, ...] = (finding.item,)
    else:
        part = knowledge.parts.get(finding.part)
        items = part.items if part else ()
    for item in items:
        story = knowledge.items.get(item)
        deferral = hold(finding.rule, story.chronicle, knowledge.frame) if story else None
        if deferral is not None:
            return msgspec.structs.replace(finding, deferred=deferral)
    return finding

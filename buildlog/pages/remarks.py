"""Findings as pages show them: on what they are about and on what they rest on, so that both lead to them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from buildlog.pages import guide as to
from buildlog.pages import words
from buildlog.pages.frame import Link, Remark
from buildlog.pages.guide import Guide
from buildlog.rules.finding import Finding, Rest

_SPOTS = {"record": "r", "work": "w", "medium": "m"}


def remark(guide: Guide, finding: Finding, titles: Mapping[str, str]) -> Remark:
    """A finding with links to what it is about and to what it rests on.

    Args:
        guide: the edition's names.
        finding: the finding.
        titles: those of the entries it rests on, by key.
    """
    return Remark(
        grade=words.grade(finding.grade.word),
        rule=guide.rule(finding.rule),
        says=finding.message,
        why=finding.why,
        clears=finding.clears,
        about=_about(guide, finding),
        rests=_rests(finding, titles),
        deferred=_deferred(guide, finding, titles),
    )


def _about(guide: Guide, finding: Finding) -> tuple[Link, ...]:
    about: list[Link] = []
    if finding.item is not None:
        about.append(guide.name(str(finding.item)))
    elif finding.part:
        about.append(_part(guide, finding.part))
    if finding.task:
        about.append(to.task(finding.task))
    if finding.person:
        about.append(guide.person(finding.person))
    return tuple(about)


def _part(guide: Guide, number: str) -> Link:
    """A part number on no list has a page only where something is logged of it."""
    known = number in guide.names.items or any(each.number == number for each in guide.strays)
    return to.part(number) if known else Link(number)


def _rests(finding: Finding, titles: Mapping[str, str]) -> tuple[Link, ...]:
    """The first thing that the finding rests on in each entry; what is in a list is named in its message."""
    firsts: dict[str, Link] = {}
    for each in finding.rests:
        if each.entry:
            firsts.setdefault(each.entry, _rest(each, titles))
    return tuple(firsts.values())


def _rest(rest: Rest, titles: Mapping[str, str]) -> Link:
    spot = f"{_SPOTS[rest.sort]}{rest.place}" if rest.sort in _SPOTS and rest.place else ""
    title = titles.get(rest.entry, rest.entry)
    return to.entry(rest.entry, title, spot) if rest.entry in titles else Link(title)


def _deferred(guide: Guide, finding: Finding, titles: Mapping[str, str]) -> str:
    deferral = finding.deferred
    if deferral is None:
        return ""
    people = ", ".join(each.text for each in guide.folk(deferral.by))
    until = guide.milestones.get(deferral.until, deferral.until)
    where = titles.get(deferral.rest.entry, deferral.rest.entry)
    return f"Put off by {people} until {until}: {deferral.reason} ({where})"


def entries_of(findings: Iterable[Finding]) -> set[str]:
    """The entries that findings lead to."""
    found: set[str] = set()
    for each in findings:
        found.update(rest.entry for rest in each.rests if rest.entry)
        if each.deferred is not None:
            found.add(each.deferred.rest.entry)
    return found

"""Findings in the forms that leave the tool: JSON for programs, lines of text for people."""

from __future__ import annotations

from typing import Any, NamedTuple

from buildlog.reckoning.knowledge import Frame
from buildlog.rules.finding import Finding, Findings, Grade, natural
from buildlog.rules.wording import by, people


class Line(NamedTuple):
    """A line of text with its style: `subject`, a grade's word, `detail`, `deferred`, `total`, `clean`."""

    style: str
    text: str


def as_json(findings: Findings) -> dict[str, Any]:
    """The findings as plain values: a list in order, null where a key does not apply.

    What a deferral holds back is not in `findings`; where there is any, it is listed under `deferred`, each
    with `reason`, `by` (keys of people) and `until` beside the other keys.
    """
    told: dict[str, Any] = {
        "day": findings.day.isoformat(),
        "findings": [_row(each) for each in findings.all if each.deferred is None],
    }
    if findings.deferred:
        told["deferred"] = [_deferred_row(each) for each in findings.deferred]
    return told


def _row(finding: Finding) -> dict[str, Any]:
    return {
        "rule": finding.rule,
        "grade": finding.grade.word,
        "item": str(finding.item) if finding.item is not None else None,
        "part": finding.number or None,
        "task": finding.task or None,
        "stage": finding.stage or None,
        "entry": finding.entry or None,
        "file": finding.where.file or None,
        "line": finding.where.line or None,
        "message": finding.message,
    }


def _deferred_row(finding: Finding) -> dict[str, Any]:
    held = finding.deferred
    reason = {"reason": held.reason, "by": list(held.by), "until": held.until} if held else {}
    return {**_row(finding), **reason}


def as_text(findings: Findings, frame: Frame) -> tuple[Line, ...]:
    """The findings as lines for a terminal, grouped by what they are about, the most serious group first.

    `frame` has the names of the people who put findings off.
    """
    day = findings.day.isoformat()
    if not findings.all:
        return (Line("clean", f"No findings on {day}, as far as the log says."),)
    groups: dict[str, list[Finding]] = {}
    for each in findings.all:
        groups.setdefault(each.subject, []).append(each)
    lines: list[Line] = []
    for subject, group in sorted(groups.items(), key=lambda named: (_gravity(named[1]), natural(named[0]))):
        lines.append(Line("subject", _heading(subject, group[0], frame)))
        for finding in group:
            lines.extend(_lines(finding, frame))
        lines.append(Line("detail", ""))
    return (*lines, *_totals(findings))


def _heading(subject: str, finding: Finding, frame: Frame) -> str:
    """What a group is about; a person by name, with the key that entries use."""
    name = people((subject,), frame) if subject == finding.person else subject
    return subject if name == subject else f"{name} ({subject})"


def _gravity(group: list[Finding]) -> int:
    """The most serious grade of a group that nothing holds back; what is held back comes last."""
    return min((each.grade for each in group if each.deferred is None), default=Grade.OBSERVATION + 1)


def _lines(finding: Finding, frame: Frame) -> list[Line]:
    style = finding.grade.word if finding.deferred is None else "deferred"
    found = [Line(style, f"  {style}  {finding.rule}: {finding.message}")]
    if finding.where.file:
        place = f"{finding.where.file}:{finding.where.line}" if finding.where.line else finding.where.file
        found.append(Line("detail", f"      at {place}"))
    elif finding.entry:
        found.append(Line("detail", f"      in {finding.entry}"))
    found.append(Line("detail", f"      cleared by: {finding.clears}"))
    if finding.deferred is not None:
        held = finding.deferred
        found.append(Line("detail", f"      deferred until {held.until}{by(held.by, frame)}: {held.reason}"))
    return found


def _totals(findings: Findings) -> tuple[Line, ...]:
    counts = [(len(findings.of(grade)), grade.word) for grade in Grade]
    told = [f"{number} {word}" for number, word in counts]
    if findings.deferred:
        told.append(f"{len(findings.deferred)} deferred")
    return (
        Line("total", f"{', '.join(told)}, on {findings.day.isoformat()}."),
        Line("detail", "This is what the log says, as entered. It does not say that anything is airworthy."),
    )

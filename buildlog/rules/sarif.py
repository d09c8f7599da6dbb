"""Findings as SARIF 2.1.0 (OASIS, with errata 01), which editors and code hosts show beside the files.

Every rule is carried with its help; places are relative to the folder of the log; what a deferral holds back
is a suppressed result, with the reason as its justification.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Any
from urllib.parse import quote

from buildlog.model.key import Where
from buildlog.rules.chain import Rule
from buildlog.rules.finding import Deferral, Finding, Findings, Grade
from buildlog.rules.plain import plain_text

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
BASE = "LOG"
"""The name that stands for the folder of the log, so that no machine's path is in the output."""

LEVELS = {Grade.MAJOR: "error", Grade.MINOR: "warning", Grade.OBSERVATION: "note"}
"""SARIF's levels for our grades."""


def as_sarif(findings: Findings, rules: Sequence[Rule], version: str) -> dict[str, Any]:
    """The findings as a SARIF log of one run, as plain values.

    Args:
        findings: what the rules found, places and all.
        rules: the rules that ran, in order.
        version: of the tool.
    """
    places = {each.name: number for number, each in enumerate(rules)}
    prints: Counter[str] = Counter()
    return {
        "$schema": SCHEMA,
        "version": "2.1.0",
        "runs": [
            {
                "tool": {
                    "driver": {
                        "name": "buildlog",
                        "version": version,
                        "semanticVersion": version,
                        "rules": [_rule(each) for each in rules],
                    }
                },
                "language": "en",
                "columnKind": "unicodeCodePoints",
                "originalUriBaseIds": {BASE: {"description": _text("The folder of the log.")}},
                "results": [_result(each, places, prints) for each in findings.all],
                "properties": {
                    "day": findings.day.isoformat(),
                    "caution": "This is what the log says, as entered. It does not say that anything is"
                    " airworthy.",
                },
            }
        ],
    }


def _rule(rule: Rule) -> dict[str, Any]:
    why = " ".join(rule.text.split("\n\n")[0].split())
    grade = next(each for each in Grade if each.word in rule.grade)
    return {
        "id": rule.name,
        "shortDescription": _text(why),
        "fullDescription": _text(why),
        "help": {"text": plain_text(rule.text), "markdown": rule.text},
        "defaultConfiguration": {"level": LEVELS[grade]},
        "properties": {"grade": rule.grade},
    }


def _result(finding: Finding, places: Mapping[str, int], prints: Counter[str]) -> dict[str, Any]:
    found = {
        "ruleId": finding.rule,
        "ruleIndex": places[finding.rule],
        "kind": "fail",
        "level": LEVELS[finding.grade],
        "message": _text(f"{finding.subject}: {finding.message} To clear it: {finding.clears}"),
        "locations": [_location(finding)],
        "partialFingerprints": {"finding/v1": _fingerprint(finding, prints)},
        "suppressions": [_suppression(finding.deferred)] if finding.deferred is not None else [],
        "properties": {"grade": finding.grade.word, "stage": finding.stage}
        if finding.stage
        else {"grade": finding.grade.word},
    }
    others = list(dict.fromkeys(rest.where for rest in finding.rests[1:] if rest.where.file))
    if others:
        found["relatedLocations"] = [
            {"id": number, **_physical(where)} for number, where in enumerate(others, start=1)
        ]
    return found


def _location(finding: Finding) -> dict[str, Any]:
    found = _physical(finding.where) if finding.where.file else {}
    return {**found, "logicalLocations": [{"name": finding.subject, "kind": _kind(finding)}]}


def _kind(finding: Finding) -> str:
    sorts: Iterable[tuple[str, object]] = (
        ("item", finding.item),
        ("part", finding.part),
        ("task", finding.task),
        ("person", finding.person),
        ("medium", finding.medium),
    )
    return next((sort for sort, value in sorts if value), "entry")


def _physical(where: Where) -> dict[str, Any]:
    """A place; its URI is percent-encoded (RFC 3986), bytes that are no UTF-8 too."""
    uri = quote(where.file.encode("utf-8", "surrogateescape"), safe="/")
    found: dict[str, Any] = {"artifactLocation": {"uri": uri, "uriBaseId": BASE}}
    if where.line:
        found["region"] = {"startLine": where.line}
        if where.column:
            found["region"]["startColumn"] = where.column
    return {"physicalLocation": found}


def _suppression(deferral: Deferral) -> dict[str, Any]:
    """A deferral is written in the log itself, and counts: it is by somebody who may."""
    found: dict[str, Any] = {
        "kind": "inSource",
        "status": "accepted",
        "justification": f"Put off until {deferral.until} by {', '.join(deferral.by)}: {deferral.reason}",
    }
    if deferral.rest.where.file:
        found["location"] = _physical(deferral.rest.where)
    return found


def _fingerprint(finding: Finding, prints: Counter[str]) -> str:
    """The same for the same finding when lines above it come and go: by what it is about, and its entry."""
    about = (finding.rule, finding.subject, finding.stage, finding.person, finding.task, finding.entry)
    digest = hashlib.sha256("\0".join(about).encode("utf-8", "surrogateescape")).hexdigest()[:32]
    prints[digest] += 1
    return f"{digest}:{prints[digest]}"


def _text(text: str) -> dict[str, str]:
    return {"text": text}

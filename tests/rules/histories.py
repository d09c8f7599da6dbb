"""Small histories with what must and must not be found in them."""

from __future__ import annotations

import datetime
from collections.abc import Callable

import pytest

from buildlog.reckoning.reckon import reckon
from buildlog.rules.chain import check
from buildlog.rules.finding import Finding, Findings
from tests.logs import facts

History = tuple[str, list[str]]
"""A log in the language of `logs`, and the findings of one rule as `grade subject stage`, in order."""


def checked(text: str, on: str = "") -> Findings:
    return check(reckon(facts(text), datetime.date.fromisoformat(on) if on else None))


def found(rule: str, text: str, on: str = "") -> list[Finding]:
    return [finding for finding in checked(text, on).all if finding.rule == rule]


def told(findings: list[Finding]) -> list[str]:
    return [f"{each.grade.word} {each.subject} {each.stage}".rstrip() for each in findings]


def table(rule: str, histories: dict[str, History]) -> Callable[[str, list[str]], None]:
    """A test of a rule over a table of histories; a line `on DAY` in one says the day to stand on."""
    assert len(histories) >= 8, "at least eight histories a rule"

    @pytest.mark.parametrize(("text", "expected"), histories.values(), ids=histories)
    def test(text: str, expected: list[str]) -> None:
        day, rest = "", []
        for line in text.split("\n"):
            word, _, after = line.strip().partition(" ")
            if word == "on":
                day = after
            else:
                rest.append(line)
        assert told(found(rule, "\n".join(rest), day)) == expected

    return test

"""As many findings as one likes, for the sheets that show them."""

from __future__ import annotations

from buildlog.model.key import Audience
from buildlog.model.names import names_of
from buildlog.pages import words
from buildlog.pages.findings import Told, Tree
from buildlog.pages.frame import Link, Remark
from buildlog.pages.guide import guide_of
from tests.logs import facts

_LOG = facts("part A")
GUIDE = guide_of(_LOG.settings, names_of(_LOG.parts), frozenset(), Audience.SHOP, frozenset())

TREE: Tree = (
    ("W-1", 0),
    *((f"W-1-{number:03d}", 1 + number % 3) for number in range(300)),
)
"""An aircraft of 300 parts."""


def many(count: int) -> tuple[Told, ...]:
    """Findings of every grade about those parts and some other things; every tenth is put off."""
    return tuple(_told(number) for number in range(count))


def _told(number: int) -> Told:
    grade = ("major", "minor", "observation")[number % 3]
    part = TREE[1 + number * 7 % 300][0]
    elsewhere = number % 50 == 49
    remark = Remark(
        grade=words.grade(grade),
        rule=Link(f"rule-{grade}-{number % 7}"),
        says=f"This is finding no. {number}. It was accepted on 2026-03-01 by J. Okafor, and not since.",
        clears="An acceptance of the stage to-drawing by somebody who may inspect it.",
        about=(Link("T-1") if elsewhere else Link(f"{part}/L", f"items/{part}/L.html"),),
        rests=(Link("Spars bonded, and what came of it", "entries/2026-03-01-spars.html#r1"),),
        deferred="Put off by J. Okafor until First taxi: no jig (Spars bonded)" if number % 10 == 9 else "",
    )
    return Told(remark, "" if elsewhere else part, "task" if elsewhere else "")

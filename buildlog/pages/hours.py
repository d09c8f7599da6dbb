"""The page of the hours: every rollup."""

from __future__ import annotations

from collections.abc import Mapping

from buildlog.pages import address, words
from buildlog.pages import guide as to
from buildlog.pages.frame import Link, Page, Tally
from buildlog.pages.guide import Guide
from buildlog.pages.sheets import HoursSheet
from buildlog.reckoning.knowledge import Rollup

_TITLES = {
    "person": ("By person", "nobody named"),
    "kind": ("By kind of work", "no kind"),
    "discipline": ("By discipline", "no discipline"),
    "task": ("By task", "no task"),
    "milestone": ("By milestone", "no milestone"),
    "part": ("By part", "no part"),
    "assembly": ("By assembly", "no part"),
    "system": ("By system", "no system"),
    "week": ("By week (ISO 8601)", ""),
    "month": ("By month", ""),
}
_NOTES = {"assembly": "Each with all that is below it in the parts list: rows overlap and do not add up"}


def draw_hours(guide: Guide, rollups: Mapping[str, Rollup], part_names: Mapping[str, str], day: str) -> Page:
    """The page of the hours."""
    at = "hours.html"
    total = next((each.total for each in rollups.values()), None)
    sheet = HoursSheet(
        block=guide.block(at, "Hours", day=day),
        total=words.hours(total) if total is not None else "0 h",
        tallies=tuple(_tally(guide, each, part_names) for each in rollups.values()),
    )
    return Page(at, "hours.html", sheet)


def _tally(guide: Guide, rollup: Rollup, part_names: Mapping[str, str]) -> Tally:
    title, nothing = _TITLES[rollup.by]
    rows = [
        (Link(nothing) if key is None else _key(guide, rollup.by, key, part_names), each)
        for key, each in rollup.rows
    ]
    return words.tally(title, rows, rollup.total, _NOTES.get(rollup.by, ""))


def _key(guide: Guide, by: str, key: str, part_names: Mapping[str, str]) -> Link:
    if by == "person":
        return guide.person(key)
    if by == "task":
        return to.task(key)
    if by in ("part", "assembly"):
        return to.part(key, part_names.get(key, ""))
    if by == "milestone":
        return Link(guide.milestones.get(key, key))
    if by == "month":
        return Link(words.month(key), address.of_month(key))
    return Link(key)

"""The aggregates of hidden facts that `declassify` lets through on purpose, computed beforehand.

Nothing in here names a hidden fact; how coarse each figure is, `buildlog meaning declassify` says.
"""

from __future__ import annotations

from typing import Annotated

import msgspec

from buildlog.model.key import Reads, public


class HoursOf(msgspec.Struct, frozen=True, kw_only=True):
    """The whole hours of one discipline; `discipline` is empty for everything else together."""

    discipline: Annotated[str, public("the discipline; empty for the rest", Reads.INSIDE)] = ""
    hours: Annotated[int, public("whole hours", Reads.INSIDE)] = 0


class ReadinessOf(msgspec.Struct, frozen=True, kw_only=True):
    """How far one milestone is, in whole per cent, rounded down."""

    milestone: Annotated[str, public("the milestone's title, or its key without one", Reads.INSIDE)] = ""
    percent: Annotated[int, public("whole per cent, 0 to 100", Reads.INSIDE)] = 0


class Grants(msgspec.Struct, frozen=True, kw_only=True):
    """The aggregates that an edition may show. What is not granted is empty, or None.

    `through` is the last complete month, as `2026-03`, up to which `hours`, `total` and `people` count; empty
    where none of them is told.
    """

    through: Annotated[str, public("the last complete month", Reads.INSIDE)] = ""
    hours: Annotated[tuple[HoursOf, ...], public("hours by discipline", Reads.INSIDE)] = ()
    total: Annotated[int | None, public("the sum of those hours", Reads.INSIDE)] = None
    readiness: Annotated[tuple[ReadinessOf, ...], public("milestones", Reads.INSIDE)] = ()
    inspected_percent: Annotated[
        int | None, public("inspections that are current, of all asked for, whole per cent", Reads.INSIDE)
    ] = None
    people: Annotated[int | None, public("how many people worked", Reads.INSIDE)] = None


NO_GRANTS = Grants()

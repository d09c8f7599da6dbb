"""Doing nothing quickly: what the last run saw and made, and whether all of it is still so."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import TypeVar

import msgspec

from buildlog.works.added import FOLDER as STATIC
from buildlog.works.kept import Kept
from buildlog.works.outcome import Outcome, Plan
from buildlog.works.places import inputs_leave_out, places
from buildlog.works.seen import COARSE, FINE, NOTHING_READ, SECOND, Look, Seen, Sightings, identify, survey
from buildlog.works.standing import stand

T = TypeVar("T")

MEDIA = "media"


class Inputs(msgspec.Struct, frozen=True):
    """The log's own files with their digests, and its media as they look from outside."""

    files: dict[str, Seen] = {}
    media: dict[str, Look] = {}
    taken: int = 0

    def same_as(self, other: Inputs) -> bool:
        """Whether these are the inputs that `other` was. Media only just written are not trusted."""
        if self.media != other.media or self.files.keys() != other.files.keys():
            return False
        if any(_fresh(look.mtime, other.taken) for look in other.media.values()):
            return False
        return all(seen.digest == other.files[name].digest for name, seen in self.files.items())


class LastRun(msgspec.Struct, frozen=True):
    """A run that published: for which plan, from what, what stood afterwards, and what it told."""

    plan: Plan
    inputs: Inputs
    standing: dict[str, Sightings]
    outcome: Outcome


def name_of(plan: Plan) -> str:
    """The name under which the run of a plan is kept."""
    return "run-" + hashlib.sha256(msgspec.json.encode(plan)).hexdigest()[:16]


def looks_of(root: Path, plan: Plan) -> dict[str, Look]:
    """What the log's files and media look like from outside; the plan's folder for editions is no input."""
    return survey(root, leave_out=inputs_leave_out(root, plan)).files


def inputs_of(
    root: Path, looks: Mapping[str, Look], known: Inputs, now: int, read: Mapping[str, str] = NOTHING_READ
) -> Inputs:
    """The inputs of a run, reading those that may have changed.

    Args:
        root: the log.
        looks: see `looks_of`.
        known: what was seen before.
        now: the disk's time before the looks, in nanoseconds.
        read: the digests of files that were read since the looks.
    """
    media = {name: look for name, look in looks.items() if name.startswith(MEDIA + "/")}
    own = {name: look for name, look in looks.items() if name not in media}
    files = identify(root, own, Sightings(known.taken, known.files), read)
    return Inputs(_storable(files), _storable(media), now)


def unchanged(root: Path, plan: Plan, kept: Kept, now: int) -> Outcome | None:
    """What the last run of this plan told, if all it read and all it made is still as it was.

    Args:
        root: the log.
        plan: the plan.
        kept: what is kept of the log.
        now: the disk's time, in nanoseconds.
    """
    last = kept.read(name_of(plan), LastRun)
    if last is None or last.plan != plan:
        return None
    seen = survey(root, leave_out=inputs_leave_out(root, plan))
    if any(each.partition("/")[0] == STATIC for each in seen.odd):
        # a link there is no input, but the public edition is refused for it, in every run
        return None
    if not inputs_of(root, seen.files, last.inputs, now).same_as(last.inputs):
        return None
    for edition, (out, back) in places(root, plan).items():
        sightings = last.standing.get(edition)
        if sightings is None:
            return None
        standing = stand(out, back, sightings)
        if standing.foreign or standing.droppings or standing.altered:
            return None
        then = {path: seen.digest for path, seen in sightings.files.items()}
        if {path: seen.digest for path, seen in standing.seen.items()} != then:
            return None
    return last.outcome


def _storable(named: dict[str, T]) -> dict[str, T]:
    """The same, under names that can be kept: a file whose name is not UTF-8 is watched like any other."""
    return {
        name if name.isascii() else name.encode("utf-8", "backslashreplace").decode(): each
        for name, each in named.items()
    }


def _fresh(mtime: int, taken: int) -> bool:
    return mtime + (FINE if mtime % SECOND else COARSE) >= taken

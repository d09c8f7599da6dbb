"""What leaves the shop with an edition, for whoever is about to hand it on or upload it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator
from pathlib import Path

from buildlog.edition.view import files_for, kept_back
from buildlog.media.shelf import on_shelf
from buildlog.model.grants import Grants
from buildlog.model.key import Audience
from buildlog.model.log import Log, MediaFile
from buildlog.works.control import Control
from buildlog.works.generations import Published
from buildlog.works.outcome import EditionOutcome


def report_of(
    edition: str,
    out: Path,
    published: Published,
    logs: tuple[Log, Log],
    addresses: Collection[str],
    control: Control,
    added: Collection[str],
) -> EditionOutcome:
    """What an edition holds, what changed in it, and what its builder should know.

    Args:
        edition: its name.
        out: where it stands.
        published: what publishing did, or would do.
        logs: the whole log, and what the door let through of it.
        addresses: those of all its files.
        control: what was held against it.
        added: the addresses of files that the builder added by hand.
    """
    log, seen = logs
    new = set(published.written)
    return EditionOutcome(
        edition=edition,
        folder=str(out),
        files=len(published.written) + published.same,
        written=control.masked(published.written),
        withdrawn=control.masked(published.removed),
        pages=sum(address.endswith(".html") for address in addresses),
        photos=sum(bool(medium.renditions) for medium in seen.media),
        clips=_anew(seen, ("clip", "sound")),
        documents=_anew(seen, ("document",)),
        originals=control.masked(medium.file for medium in seen.media if medium.copy),
        stripped=tuple(_stripped(log, seen)),
        allowed=control.allowed,
        warned=control.warned,
        unlinked=control.unlinked,
        withheld=control.masked(_withheld(log, edition)) if edition == Audience.PUBLIC.word else (),
        unlooked=control.masked(sorted(_unlooked(log, seen, new))) if edition == Audience.PUBLIC.word else (),
        added=control.masked(added),
        grants=tuple(_granted(seen.grants)),
    )


def _anew(seen: Log, sorts: tuple[str, ...]) -> int:
    """How many media of some sorts are in the edition as they were made anew."""
    return sum(bool(each.cleaned and not each.copy) and each.sort in sorts for each in seen.media)


def _unlooked(log: Log, seen: Log, new: Collection[str]) -> Iterator[str]:
    """The pictures and clips that are new in the edition, by the names that the builder knows them by."""
    originals = _originals(log)
    for medium in seen.media:
        if any(address in new for address in _addresses(medium)):
            yield originals[on_shelf(medium.file)].file


def _originals(log: Log) -> dict[str, MediaFile]:
    """The media of the log by what was made of them."""
    found = {each.name: medium for medium in log.media for each in medium.renditions}
    return found | {medium.cleaned: medium for medium in log.media if medium.cleaned}


def _stripped(log: Log, seen: Log) -> Iterator[str]:
    """What the photographs of an edition carried, each with the number of those that did."""
    originals = _originals(log)
    photos = [originals[on_shelf(each.renditions[-1].name)] for each in seen.media if each.renditions]
    counts = Counter(what for photo in photos for what in photo.stripped)
    for what, count in sorted(counts.items()):
        yield f"{what} from {count} {'file' if count == 1 else 'files'}"


def _addresses(medium: MediaFile) -> Iterator[str]:
    for each in (*medium.renditions, *medium.poster):
        yield f"media/{each.name}"
    if medium.cleaned:
        yield f"media/{medium.cleaned}"


def _withheld(log: Log, edition: str) -> Iterator[str]:
    """The media of public entries that are not published, with the reason of each."""
    wanted = files_for(log, Audience[edition.upper()])
    for medium in log.media:
        if medium.file in wanted and not (medium.renditions or medium.cleaned):
            reason = medium.problem or medium.uncleaned or "it was not prepared"
            yield f"{medium.file}: {reason}"
    for file, where in kept_back(log, Audience[edition.upper()]).items():
        yield f"{file}: it is also referred to in {where}, which is not for them"


def _granted(grants: Grants) -> Iterator[str]:
    if grants.total is not None:
        among = f"{len(grants.hours)} discipline{'' if len(grants.hours) == 1 else 's'}"
        yield f"hours: {grants.total}, in {among}, through {grants.through}"
    for each in grants.readiness:
        yield f"readiness: {each.milestone}, {each.percent} per cent"
    if grants.inspected_percent is not None:
        yield f"inspection-status: {grants.inspected_percent} per cent"
    if grants.people is not None:
        yield f"people-count: {grants.people}, through {grants.through}"

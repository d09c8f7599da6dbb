"""At which revision of its drawing an article was made or accepted, as its records say."""

from __future__ import annotations

import re

from buildlog.model.lists import Part
from buildlog.reckoning.events import Event

_REVISION = re.compile(r"(?P<drawing>.*?)\s*\brev(?:ision)?\b\.?\s*(?P<revision>\S+)", re.IGNORECASE)


def stated(event: Event, part: Part) -> str:
    """The revision of the part's drawing that a record states; empty where it states none.

    The key `revision` goes before the words of `drawing` and of `data`: `TN-57-1100 rev C`, several parted
    by commas or semicolons. Of those, only what names the part's own drawing, or its number, counts; `rev C`
    alone counts in `drawing`.
    """
    record = event.record
    own = getattr(record, "revision", "")
    if own:
        return own.strip()
    return _of(getattr(record, "drawing", ""), part, unnamed=True) or _of(record.data, part, unnamed=False)


def alike(one: str, other: str) -> bool:
    """Whether two revisions are one: `1.10` is not `1.1`, and `b` is `B`."""
    return _bare(one) == _bare(other)


def _of(text: str, part: Part, *, unnamed: bool) -> str:
    names = {each.casefold() for each in (part.drawing, part.number) if each}
    for piece in re.split(r"[,;]", text):
        found = _REVISION.match(piece.strip())
        if found is None:
            continue
        drawing = found["drawing"].strip().casefold()
        if drawing in names or (unnamed and not drawing):
            return found["revision"].rstrip(".")
    return ""


def _bare(revision: str) -> str:
    found = _REVISION.fullmatch(revision.strip())
    return (found["revision"] if found else revision.strip()).casefold()

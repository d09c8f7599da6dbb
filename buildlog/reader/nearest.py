"""The known name nearest to one that is not known, for messages."""

from __future__ import annotations

from collections.abc import Collection

_ALIKE = 60.0
"""How alike, of 100, two names must be for one to be offered for the other."""

_FEW = 14


def nearest(text: str, known: Collection[str]) -> str:
    """The known name most like the text; empty where none is like it."""
    # imported here: only a log with something to report pays for it
    from rapidfuzz import fuzz, process  # noqa: PLC0415

    best = process.extractOne(
        text, sorted(known), scorer=fuzz.ratio, processor=str.casefold, score_cutoff=_ALIKE
    )
    return str(best[0]) if best else ""


def advice(text: str, known: Collection[str], what: str = "known here") -> str:
    """What to do about an unknown name: the nearest known one, and all of them where they are few."""
    if not known:
        return "there are none yet"
    like = nearest(text, known)
    if like:
        return f'the nearest is "{like}"'
    if len(known) <= _FEW:
        return f"{what}: {', '.join(known)}"
    return f"none of the {len(known)} {what} is like it"

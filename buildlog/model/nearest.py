"""The known name nearest to one that is not known."""

from __future__ import annotations

from collections.abc import Collection

_ALIKE = 60.0
"""How alike, of 100, two names must be for one to be offered for the other."""


def nearest(text: str, known: Collection[str]) -> str:
    """The known name most like a text; empty where none is like it. Of equals the first in order of names."""
    # imported here: only a log with something to report pays for it
    from rapidfuzz import fuzz, process  # noqa: PLC0415 - see above

    best = process.extractOne(
        text, sorted(known), scorer=fuzz.ratio, processor=str.casefold, score_cutoff=_ALIKE
    )
    return str(best[0]) if best else ""

"""The known names nearest to one that is not known."""

from __future__ import annotations

from collections.abc import Callable, Collection

_ALIKE = 60.0
"""How alike, of 100, two names must be for one to be offered for the other."""


def nearest(text: str, known: Collection[str]) -> str:
    """The known name most like a text; empty where none is like it. Of equals the first in order of names."""
    return next(iter(likest(text, sorted(known), 1)), "")


def likest(
    text: str, known: Collection[str], most: int, plain: Callable[[str], str] = str.casefold
) -> tuple[str, ...]:
    """The known names that are most like a text, so many at most, the most like first.

    `plain` gives of a name what is compared.
    """
    from rapidfuzz import fuzz, process  # noqa: PLC0415 - only a log with something to report pays for it

    found = process.extract(
        text, list(known), scorer=fuzz.ratio, processor=plain, limit=most, score_cutoff=_ALIKE
    )
    return tuple(str(each[0]) for each in found)

"""A name as a piece of an address: letters, digits and hyphens that every file system holds."""

from __future__ import annotations

import re
import unicodedata

_OTHER = re.compile(r"[^A-Za-z0-9]+", re.ASCII)


def slug(name: str, longest: int) -> str:
    """The letters and digits of a name without their marks, with hyphens for all else; it may be empty.

    Args:
        name: any text.
        longest: how many characters at most.
    """
    folded = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode("ascii")
    return _OTHER.sub("-", folded).strip("-")[:longest].rstrip("-")

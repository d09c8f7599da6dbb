"""How a photo is prepared, and the name of that way of doing it.

Kept apart from `stills`, so that a run in which everything is kept knows the recipe without loading Pillow.
"""

from __future__ import annotations

import functools
import hashlib
import importlib.util
from pathlib import Path

WIDTHS = (480, 960, 1920)
"""Pixels across, small first. A photo is never enlarged: its own width replaces those that are wider."""

QUALITY = 82
"""JPEG quality, on the scale of the Independent JPEG Group."""

_EDITION = 1
"""Raised whenever `stills` would make other bytes from the same photo."""

_LIBRARIES = ("PIL", "pillow_heif")


@functools.cache
def recipe() -> str:
    """The name of the present recipe: another one for other widths, quality, steps or library versions.

    The versions are read from the libraries' files, because asking the packaging machinery for them costs
    more than stat'ing thousands of files.
    """
    parts = [repr((_EDITION, WIDTHS, QUALITY)).encode()]
    for library in _LIBRARIES:
        found = importlib.util.find_spec(library)
        if found is not None and found.origin is not None:
            parts.extend(path.read_bytes() for path in Path(found.origin).parent.glob("_version.py"))
    return "still-" + hashlib.sha256(b"\0".join(parts)).hexdigest()[:16]


def widths_for(width: int) -> tuple[int, ...]:
    """The widths to make of a photo `width` pixels across, small first; always at least one.

    A photo narrower than a standard width is made in its own width instead of that one and all wider ones.
    """
    narrower = tuple(each for each in WIDTHS if each < width)
    return (*narrower, width) if width <= WIDTHS[-1] else narrower

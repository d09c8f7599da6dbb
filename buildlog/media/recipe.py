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

_EDITION = 2
"""Raised whenever `stills` would make other bytes from the same photo."""

_LIBRARIES = ("PIL", "pillow_heif")

_VERSIONS = ("_version.py", "about.py")
"""Files in which one library or another says its version."""

_REELS_EDITION = 4
"""Raised whenever `reels` would make another clip or sound of the same file, or refuse another."""

_DOCUMENTS_EDITION = 1
"""Likewise, for `documents`."""


@functools.cache
def recipe() -> str:
    """The name of the present recipe: another one for other widths, quality, steps or library versions."""
    return "still-" + _name(repr((_EDITION, WIDTHS, QUALITY)), _LIBRARIES)


@functools.cache
def copy_recipe(sort: str) -> str:
    """The name of the way in which a `clip`, `sound` or `document` is made anew for the public."""
    if sort == "document":
        return "document-" + _name(repr(_DOCUMENTS_EDITION), ("pikepdf",))
    # A clip's poster is a still.
    return f"{sort}-" + _name(repr((_REELS_EDITION, recipe())), ("av",))


def _name(steps: str, libraries: tuple[str, ...]) -> str:
    """A name for steps done with libraries of these versions.

    The versions are read from the libraries' files, because asking the packaging machinery for them costs
    more than stat'ing thousands of files.
    """
    parts = [steps.encode()]
    for library in libraries:
        found = importlib.util.find_spec(library)
        if found is not None and found.origin is not None:
            folder = Path(found.origin).parent
            parts.extend((folder / name).read_bytes() for name in _VERSIONS if (folder / name).is_file())
    return hashlib.sha256(b"\0".join(parts)).hexdigest()[:16]


def widths_for(width: int) -> tuple[int, ...]:
    """The widths to make of a photo `width` pixels across, small first; always at least one.

    A photo narrower than a standard width is made in its own width instead of that one and all wider ones.
    """
    narrower = tuple(each for each in WIDTHS if each < width)
    return (*narrower, width) if width <= WIDTHS[-1] else narrower

"""What to do about a name that is not known, for messages."""

from __future__ import annotations

from collections.abc import Collection

from buildlog.model.nearest import nearest

_FEW = 14
"""So many known names are all told where none is like the unknown one."""


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

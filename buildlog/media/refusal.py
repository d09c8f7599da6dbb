"""Why a file is not made anew for the public."""

from __future__ import annotations


class UncleanableError(Exception):
    """A clip, sound or document that is not published. The message says what was found and what to do."""

"""What a terminal shows: colour where it is wanted, progress where somebody watches."""

from __future__ import annotations

import os
import sys
import time
from typing import TextIO

_CODES = {"bold": "1", "red": "31", "yellow": "33", "dim": "2"}

GRADE_STYLES = {"major": "red", "minor": "yellow", "observation": "dim"}


def colourful(stream: TextIO) -> bool:
    """Whether to colour what is written to a stream: a terminal, and `NO_COLOR` unset or empty."""
    return stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def styled(text: str, style: str, stream: TextIO | None = None) -> str:
    """The text in a style, where the stream (standard output unless given) shows styles."""
    if style not in _CODES or not colourful(stream or sys.stdout):
        return text
    return f"\x1b[{_CODES[style]}m{text}\x1b[0m"


class Progress:
    """One line on standard error that says how far a long step is; nothing where nobody watches."""

    def __init__(self) -> None:
        self._watched = sys.stderr.isatty()
        self._told = 0.0
        self._shown = False

    def __call__(self, step: str, done: int, total: int) -> None:
        """Say how far a step is. Told at most ten times a second."""
        now = time.monotonic()
        if not self._watched or now - self._told < 0.1:
            return
        self._told = now
        self._shown = True
        sys.stderr.write(f"\r\x1b[K{step} {done} of {total}" if total else f"\r\x1b[K{step}")
        sys.stderr.flush()

    def clear(self) -> None:
        """Take the line away."""
        if self._shown:
            sys.stderr.write("\r\x1b[K")
            sys.stderr.flush()
            self._shown = False

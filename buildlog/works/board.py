"""What the live server tells a page that waits: which version stands, and what keeps the next one back."""

from __future__ import annotations

import threading


class Board:
    """A notice that many readers wait for. Safe to use from several threads."""

    def __init__(self) -> None:
        self._changed = threading.Condition()
        self._version = 0
        self._problems: tuple[str, ...] = ()
        self._shut = False

    @property
    def now(self) -> tuple[int, tuple[str, ...]]:
        """The version that stands and the problems of the last run."""
        with self._changed:
            return self._version, self._problems

    def post(self, problems: tuple[str, ...]) -> None:
        """Post the end of a run that published something new, or that met problems."""
        with self._changed:
            self._version += 1
            self._problems = problems
            self._changed.notify_all()

    def shut(self) -> None:
        """Let every reader go."""
        with self._changed:
            self._shut = True
            self._changed.notify_all()

    def wait(self, after: int, patience: float) -> tuple[int, tuple[str, ...]]:
        """Wait until another version than `after` stands, at most so many seconds; what stands then."""
        with self._changed:
            self._changed.wait_for(lambda: self._shut or self._version != after, patience)
            return self._version, self._problems

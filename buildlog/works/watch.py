"""Waits for changes to a log's files, however an editor saves them.

A save by rename, a burst of events, a folder that vanishes for a moment and comes back as another one: all
end as one wake-up once it has been quiet for a little while.
"""

from __future__ import annotations

import threading
import time
from pathlib import Path

from watchdog.events import FileSystemEvent, FileSystemEventHandler
from watchdog.observers import Observer
from watchdog.observers.api import BaseObserver, ObservedWatch

QUIET = 0.05
"""Seconds without an event that end a burst."""

LONGEST = 1.0
"""Seconds after which a burst is looked at even if it goes on."""

ROUND = 0.5
"""Seconds between two looks at whether the folders are still the ones that are watched."""

_FOLDERS = ("entries", "parts", "media")
_CHANGES = ("created", "modified", "moved", "deleted", "closed")


class Watch(FileSystemEventHandler):
    """Watches the files of one log."""

    def __init__(self, root: Path) -> None:
        """Set it up; nothing is watched before `start`.

        Args:
            root: the folder of the log.
        """
        self._root = root
        self._observer: BaseObserver = Observer()
        self._watched: dict[Path, tuple[tuple[int, int], ObservedWatch]] = {}
        self._event = threading.Event()
        self._last = 0.0
        self._first = 0.0

    def start(self) -> None:
        """Begin to watch."""
        self._observer.start()
        self._renew()

    def stop(self) -> None:
        """Stop watching."""
        self._observer.stop()
        self._observer.join()

    def on_any_event(self, event: FileSystemEvent) -> None:
        """Take note of an event, if it is about a file of the log."""
        if event.event_type in _CHANGES and self._is_ours(str(event.src_path), str(event.dest_path)):
            self._note()

    def wait(self, patience: float) -> bool:
        """Wait for the end of a burst of changes, at most so many seconds; whether there was one."""
        until = time.monotonic() + patience
        while not self._event.wait(min(ROUND, max(0.0, until - time.monotonic()))):
            if self._renew():
                self._note()
            elif time.monotonic() >= until:
                return False
        while True:
            now = time.monotonic()
            if now - self._last >= QUIET or now - self._first >= LONGEST:
                break
            time.sleep(QUIET / 5)
        self._event.clear()
        self._renew()
        return True

    def _note(self) -> None:
        self._last = time.monotonic()
        if not self._event.is_set():
            self._first = self._last
            self._event.set()

    def _is_ours(self, *paths: str) -> bool:
        for path in paths:
            try:
                inner = Path(path).relative_to(self._root).parts
            except ValueError:
                continue
            if inner and (inner[0] in _FOLDERS or (len(inner) == 1 and not inner[0].startswith("."))):
                return inner[0] not in ("private", "site")
        return False

    def _renew(self) -> bool:
        """Watch the folders that are there now; whether any of them is another than before."""
        changed = False
        for folder, deep in ((self._root, False), *((self._root / name, True) for name in _FOLDERS)):
            known = self._watched.get(folder)
            there = _identity(folder)
            if known is not None and known[0] == there:
                continue
            if known is not None:
                self._let_go(folder, known[1])
                changed = True
            if there is not None:
                try:
                    watched = self._observer.schedule(self, str(folder), recursive=deep)
                except OSError:
                    continue
                self._watched[folder] = (there, watched)
                changed = True
        return changed

    def _let_go(self, folder: Path, watched: ObservedWatch) -> None:
        del self._watched[folder]
        try:
            self._observer.unschedule(watched)
        except (KeyError, OSError):
            # The system let go of it by itself when the folder went away.
            return


def _identity(folder: Path) -> tuple[int, int] | None:
    try:
        status = folder.stat()
    except OSError:
        return None
    return status.st_dev, status.st_ino

import os
from pathlib import Path

import pytest

from buildlog.media import crew
from buildlog.media.shelf import develop

LONG_AGO = 1_600_000_000


class MediaLog:
    """A log with media files and a shelf beside it."""

    def __init__(self, folder: Path):
        self.root = folder / "log"
        self.shelf = folder / "shelf"
        (self.root / "media").mkdir(parents=True)

    def add(self, name, data):
        path = self.root / "media" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
        os.utime(path, (LONG_AGO, LONG_AGO))
        return path

    def develop(self, *names, **options):
        return develop(self.root, names, self.shelf, **options)

    def one(self, name, data):
        self.add(name, data)
        (medium,) = self.develop(name)
        return medium

    def stills(self):
        return {path.name: path.read_bytes() for path in (self.shelf / "stills").iterdir()}


@pytest.fixture
def media_log(tmp_path):
    return MediaLog(tmp_path)


@pytest.fixture
def orders(monkeypatch):
    """The photos that were really made, as they are handed out."""
    given = []

    def watched(work, things):
        for thing, outcome in do(work, things):
            given.append(thing.found.file)
            yield thing, outcome

    do = crew.apart
    monkeypatch.setattr(crew, "apart", watched)
    return given


@pytest.fixture
def at_home(monkeypatch):
    """Photos made in this process, where a test can reach in."""
    monkeypatch.setattr(crew, "apart", lambda work, things: ((thing, work(thing)) for thing in things))

"""A log's folder to its facts: its files, read or kept, and its media, prepared or kept."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import NamedTuple

import msgspec

from buildlog.media.shelf import develop
from buildlog.model.key import Audience
from buildlog.model.log import Log, MediaFile, Problem
from buildlog.model.remember import Remember, once
from buildlog.reader.assemble import assemble
from buildlog.reader.log import media_problems
from buildlog.reader.sheets import Sheet
from buildlog.reader.survey import SETTINGS, Survey, survey
from buildlog.rules.chain import names
from buildlog.works.crowd import workers_here
from buildlog.works.kept import Kept
from buildlog.works.lastrun import Inputs, inputs_of, looks_of
from buildlog.works.outcome import Plan
from buildlog.works.seen import Look
from buildlog.works.sources import Sources

Progress = Callable[[str, int, int], None]


class _Found(NamedTuple):
    """The files of a log, and what all that lies in its folder looked like before any was read."""

    files: Survey
    looks: dict[str, Look]


class Gathering:
    """Gathers the facts of one log, again and again; what did not change is not read again."""

    def __init__(self, root: Path, plan: Plan, kept: Kept, folder: Path | None, known: Inputs) -> None:
        """Set it up.

        Args:
            root: the folder of the log.
            plan: what it is gathered for.
            kept: what is kept of this log between processes.
            folder: where photos are kept; with None none can be prepared.
            known: the inputs of an earlier run.
        """
        self._root = root
        self._plan = plan
        self._sources = Sources(root, kept.shelf("sheets"))
        self._rules = names()
        self.inputs = known
        self.shelf = folder / "stills" if folder is not None else None
        self._begun: _Found | None = None

    def begin(self) -> None:
        """Let other processes begin to read a log of which nothing is known, while this one does its own."""
        self._begun = self._find()
        self._sources.begin(self._begun.files.files, workers_here())

    def gather(
        self, now: int, progress: Progress, remember: Remember = once
    ) -> tuple[Log | None, tuple[Problem, ...]]:
        """The log as it is written now, or all that keeps it from being read; exactly one of the two.

        Args:
            now: the disk's time, in nanoseconds, before anything was looked at.
            progress: is told how far it is.
            remember: keeps steps between calls.
        """
        (found, looks), self._begun = self._begun or self._find(), None
        if not _is_log(found):
            return None, found.problems

        def tell(done: int, of: int) -> None:
            progress("reading", done, of)

        read = self._sources.finish(tell)
        self.inputs = inputs_of(self._root, looks, self.inputs, now, read)
        sheets = self._sources.read(found.files, self.inputs.files, workers_here(), tell)
        log, problems = remember(assemble, "log", sheets, self._rules)
        wrong = (*found.problems, *media_problems(self._root, sheets), *problems)
        if log is None or wrong:
            return None, tuple(sorted(wrong, key=_place))
        return msgspec.structs.replace(log, media=self._develop(sheets, progress)), ()

    def _find(self) -> _Found:
        found = survey(self._root)
        return _Found(found, looks_of(self._root, self._plan) if _is_log(found) else {})

    def _develop(self, sheets: Iterable[Sheet], progress: Progress) -> tuple[MediaFile, ...]:
        return develop(
            self._root,
            _referred(sheets),
            self.shelf,
            lambda done, of: progress("photos", done, of),
            photos=self._plan.photos and self.shelf is not None,
            public=_for_the_public(sheets) if Audience.PUBLIC.word in self._plan.editions else None,
            copying=lambda done, of: progress("clips and documents", done, of),
        )


def _is_log(found: Survey) -> bool:
    return any(source.file == SETTINGS for source in found.files)


def _referred(sheets: Iterable[Sheet]) -> tuple[str, ...]:
    """The files below media/ that entries and their records name."""
    files: dict[str, None] = {}
    for sheet in sheets:
        if sheet.entry is not None:
            files.update(dict.fromkeys(medium.file for medium in sheet.entry.media))
            for record in sheet.entry.records:
                files.update(dict.fromkeys(record.document))
    return tuple(files)


def _for_the_public(sheets: Iterable[Sheet]) -> dict[str, bool]:
    """The files that nothing keeps from the public, and whether each is named for it in every place."""
    named: dict[str, bool] = {}
    kept: set[str] = set()
    for entry in (sheet.entry for sheet in sheets if sheet.entry is not None and not sheet.entry.draft):
        for medium in entry.media:
            if max(entry.audience, medium.audience or entry.audience) > Audience.PUBLIC:
                kept.add(medium.file)
            says = medium.audience is Audience.PUBLIC
            named[medium.file] = says and named.get(medium.file, True)
        kept.update(file for record in entry.records for file in record.document)
    return {file: each for file, each in named.items() if file not in kept}


def _place(problem: Problem) -> tuple[str, int, int]:
    return (problem.where.file, problem.where.line, problem.where.column)

"""The line: gather the log, then make each edition of the plan; in order, and again on every change."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import msgspec

from buildlog.model.log import Log
from buildlog.printroom.press import Press
from buildlog.works.gathering import Gathering
from buildlog.works.kept import Kept
from buildlog.works.lastrun import LastRun, name_of
from buildlog.works.making import Making
from buildlog.works.memo import Memo
from buildlog.works.outcome import Outcome, Plan
from buildlog.works.rubbish import left_lying

Progress = Callable[[str, int, int], None]


class Line:
    """The line for one log and plan, with all it remembers from run to run."""

    def __init__(
        self, root: Path, plan: Plan, kept: Kept, gathering: Gathering, last: LastRun | None, theme: Path
    ) -> None:
        """Set the line up.

        Args:
            root: the folder of the log.
            plan: what to make.
            kept: what is kept of this log between processes.
            gathering: gathers the facts of the log.
            last: the run before, in this process or another.
            theme: the folder of the theme.
        """
        self._plan = plan
        self._kept = kept
        self._name = name_of(plan)
        self._memo = Memo()
        self._gathering = gathering
        # Editions share what they print alike: prose is kept by all that its rendering depends on.
        self._prose: dict[bytes, str] = {}
        press = Press(theme, self._prose)
        self._makings = [
            Making(edition, root, plan, kept, self._name, gathering.shelf, press) for edition in plan.editions
        ]
        if last is not None:
            for making in self._makings:
                if making.edition in last.standing:
                    making.remember(last.standing[making.edition])

    def run(self, now: int, progress: Progress) -> Outcome:
        """Run the line once.

        Args:
            now: the disk's time, in nanoseconds, before anything was looked at.
            progress: is told how far it is.
        """
        with left_lying():
            try:
                return self._run(now, progress)
            finally:
                self._prose.clear()

    def _run(self, now: int, progress: Progress) -> Outcome:
        self._memo.begin()
        log, problems = self._gathering.gather(now, progress, self._memo)
        if log is None:
            # The memo is not told that this run ended: what it remembers of the last good one stays.
            return Outcome(problems=problems)
        outcome = self._make(log, progress)
        self._memo.end()
        self._keep(outcome)
        return outcome

    def _make(self, log: Log, progress: Progress) -> Outcome:
        made = [making.run(log, progress) for making in self._makings]
        first = made[0]
        return Outcome(
            title=log.settings.title,
            day=first.day,
            editions=tuple(each.outcome for each in made),
            findings=first.counts,
            drafts=len(log.drafts),
        )

    def _keep(self, outcome: Outcome) -> None:
        if self._plan.dry or any(edition.refused for edition in outcome.editions):
            return
        standing = {making.edition: making.sightings for making in self._makings}
        quiet = tuple(
            msgspec.structs.replace(each, written=(), withdrawn=(), unlooked=()) for each in outcome.editions
        )
        told = msgspec.structs.replace(outcome, editions=quiet)
        self._kept.write(self._name, LastRun(self._plan, self._gathering.inputs, standing, told))
        self._kept.save()

"""`follow`: compile on every save, and tell the open page."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

from buildlog.works.board import Board
from buildlog.works.gathering import Gathering
from buildlog.works.holding import Held, hold
from buildlog.works.identity import theme_digest, tool_digest
from buildlog.works.kept import Kept
from buildlog.works.lastrun import Inputs, LastRun, name_of
from buildlog.works.line import Line, Progress
from buildlog.works.outcome import EditionOutcome, Outcome, Plan
from buildlog.works.places import KEPT, keeping, places
from buildlog.works.serve import LiveServer
from buildlog.works.standing import Refused
from buildlog.works.theme import theme_folder
from buildlog.works.watch import Watch

Tell = Callable[[Outcome, float], None]
"""Is told how a run went, and how many seconds it took."""

FOREVER = 3600.0


class Follower:
    """Follows one log until it is stopped."""

    def __init__(self, root: Path, plan: Plan, progress: Progress, tell: Tell, port: int = 0) -> None:
        """Compile once and open the server.

        Args:
            root: the folder of the log.
            plan: what to make; the first edition is the one that is served.
            progress: is told how far a run is.
            tell: is told how each run went.
            port: the port to serve on, 0 for any that is free.

        Raises:
            OSError: the port is taken.
        """
        theme = theme_folder()
        self._root = root
        self._plan = plan
        self._progress = progress
        self._tell = tell
        self._folder = keeping(root, plan)
        kept = Kept(self._folder or root / KEPT, tool_digest(), theme_digest(theme))
        last = kept.read(name_of(plan), LastRun)
        gathering = Gathering(root, plan, kept, self._folder, last.inputs if last is not None else Inputs())
        self._line = Line(root, plan, kept, gathering, last, theme)
        self._board = Board()
        self._stopped = False
        self._watch = Watch(root)
        # The first run may use several processes: it comes before any thread is started.
        self.compile()
        self._watch.start()
        self.server = LiveServer(places(root, plan)[plan.editions[0]][0], self._board, port)

    def run(self, patience: float = FOREVER) -> None:
        """Serve, and compile on every change, until `stop`."""
        self.server.start()
        # What changed between the first run and the first watch is not missed.
        self.compile()
        while not self._stopped:
            if self._watch.wait(patience) and not self._stopped:
                self.compile()

    def stop(self) -> None:
        """Stop serving and watching."""
        self._stopped = True
        self._watch.stop()
        self.server.stop()

    def compile(self) -> Outcome:
        """Run the line once and post how it went."""
        began = time.perf_counter()
        outcome = self._run()
        told = tuple(str(problem) for problem in outcome.problems)
        told += tuple(edition.refused for edition in outcome.editions if edition.refused)
        news = any(edition.written or edition.withdrawn for edition in outcome.editions)
        if news or told != self._board.now[1]:
            self._board.post(told)
            self._tell(outcome, time.perf_counter() - began)
        return outcome

    def _run(self) -> Outcome:
        try:
            if self._folder is None or not self._root.is_dir():
                return self._line.run(time.time_ns(), self._progress)
            with hold(self._folder) as now:
                return self._line.run(now, self._progress)
        except (Held, Refused) as refused:
            editions = tuple(
                EditionOutcome(edition=name, refused=str(refused)) for name in self._plan.editions
            )
            return Outcome(editions=editions)
        except OSError as error:
            # A folder that is away for a moment: the next event, or the next look, finds it again.
            gone = EditionOutcome(edition=self._plan.editions[0], refused=f"the log cannot be read: {error}")
            return Outcome(editions=(gone,))

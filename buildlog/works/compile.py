"""`compile`: one run of the whole line, from files to editions, or nothing at all where nothing changed."""

from __future__ import annotations

import time
from collections.abc import Callable
from contextlib import nullcontext
from pathlib import Path

import msgspec

from buildlog.works.holding import Held, hold
from buildlog.works.identity import theme_digest, tool_digest
from buildlog.works.kept import Kept
from buildlog.works.lastrun import Inputs, LastRun, name_of, unchanged
from buildlog.works.outcome import EditionOutcome, Outcome, Plan
from buildlog.works.places import KEPT, keeping
from buildlog.works.rubbish import left_lying
from buildlog.works.standing import Refused
from buildlog.works.theme import theme_folder

Progress = Callable[[str, int, int], None]
"""Is told the step, how much of it is done, and of how much."""


def compile_log(root: Path, plan: Plan, progress: Progress) -> Outcome:
    """Make the editions of a plan from a log.

    Args:
        root: the folder of the log.
        plan: what to make.
        progress: is told how far it is.

    Returns:
        What was made. With problems, nothing was published.
    """
    theme = theme_folder()
    # What is no log gets nothing written into it, not even a lock; reading it says what is wrong.
    folder = keeping(root, plan) if (root / "buildlog.toml").is_file() else None
    kept = Kept(folder or root / KEPT, tool_digest(), theme_digest(theme))
    try:
        with hold(folder) if folder is not None else nullcontext(time.time_ns()) as now:
            if not plan.dry:
                outcome = unchanged(root, plan, kept, now)
                if outcome is not None:
                    return msgspec.structs.replace(outcome, unchanged=True)
            return _run(root, plan, kept, folder, theme, now, progress)
    except (Held, Refused) as refused:
        editions = tuple(EditionOutcome(edition=name, refused=str(refused)) for name in plan.editions)
        return Outcome(editions=editions)


def _run(
    root: Path, plan: Plan, kept: Kept, folder: Path | None, theme: Path, now: int, progress: Progress
) -> Outcome:
    from buildlog.works.gathering import Gathering  # noqa: PLC0415 - where nothing changed no log is read

    last = kept.read(name_of(plan), LastRun)
    gathering = Gathering(root, plan, kept, folder, last.inputs if last is not None else Inputs())
    with left_lying():
        gathering.begin()
        from buildlog.works.line import Line  # noqa: PLC0415 - loaded while other processes read already

        return Line(root, plan, kept, gathering, last, theme).run(now, progress)

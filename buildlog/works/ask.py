"""Answers without a site: what is known of a log on a day, and what the rules find."""

from __future__ import annotations

import datetime
import time
from collections.abc import Callable
from contextlib import nullcontext
from pathlib import Path

import msgspec

from buildlog.edition.view import view
from buildlog.model.key import Audience
from buildlog.model.log import Problem
from buildlog.reckoning.knowledge import Knowledge
from buildlog.reckoning.reckon import reckon
from buildlog.rules.chain import check
from buildlog.rules.finding import Findings
from buildlog.works.gathering import Gathering
from buildlog.works.holding import hold
from buildlog.works.identity import theme_digest, tool_digest
from buildlog.works.kept import Kept
from buildlog.works.lastrun import Inputs
from buildlog.works.outcome import Plan
from buildlog.works.places import KEPT, keeping
from buildlog.works.rubbish import left_lying
from buildlog.works.theme import theme_folder

Progress = Callable[[str, int, int], None]


class Answer(msgspec.Struct, frozen=True):
    """What is known and found, or the problems that keep the log from being read."""

    knowledge: Knowledge | None = None
    findings: Findings | None = None
    problems: tuple[Problem, ...] = ()


def ask(root: Path, on: datetime.date | None, progress: Progress) -> Answer:
    """Read a log and reckon it.

    Args:
        root: the folder of the log.
        on: the day to stand on; without it, the log's latest.
        progress: is told how far it is.

    Raises:
        Held: another process is at work on the log.
    """
    plan = Plan()
    folder = keeping(root, plan) if (root / "buildlog.toml").is_file() else None
    kept = Kept(folder or root / KEPT, tool_digest(), theme_digest(theme_folder()))
    held = hold(folder) if folder is not None else nullcontext(time.time_ns())
    with left_lying():
        with held as now:
            log, problems = Gathering(root, plan, kept, folder, Inputs()).gather(now, progress)
            if folder is not None:
                kept.save()
        if log is None:
            return Answer(problems=problems)
        knowledge = reckon(view(log, Audience.SHOP), on)
        return Answer(knowledge, check(knowledge))

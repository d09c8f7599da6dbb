"""What several commands share: reading a day, asking the works, telling problems."""

from __future__ import annotations

import argparse
import datetime
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from buildlog.cli.terminal import Progress, styled
from buildlog.model.log import Problem

if TYPE_CHECKING:
    from buildlog.reckoning.knowledge import Knowledge
    from buildlog.rules.finding import Findings


def day(text: str) -> datetime.date:
    """A day as it is written in a log, `2026-03-14`."""
    try:
        found = datetime.date.fromisoformat(text)
    except ValueError:
        found = None
    if found is None or text != found.isoformat():
        raise argparse.ArgumentTypeError(f"{text!r} is no day; write it as 2026-03-14")
    return found


class Known(NamedTuple):
    """What is known of a log on a day, and what the rules find in it."""

    knowledge: Knowledge
    findings: Findings


def on_day(command: argparse.ArgumentParser) -> None:
    """The argument of a command whose answer stands on a day."""
    command.add_argument("--on", metavar="DATE", type=day, help="stand on this day; leave out what is later")


def known_of(log: Path, on: datetime.date | None) -> Known | None:
    """What is known of a log; None, and told why, where it cannot be read or is at work elsewhere."""
    from buildlog.works.ask import ask
    from buildlog.works.holding import Held

    progress = Progress()
    try:
        answer = ask(log, on, progress)
    except Held as held:
        sys.stderr.write(f"{held}\n")
        return None
    finally:
        progress.clear()
    if answer.knowledge is None or answer.findings is None:
        tell_problems(answer.problems)
        return None
    return Known(answer.knowledge, answer.findings)


def tell_problems(problems: Sequence[Problem], note: str = "nothing was made of the log") -> None:
    """Print every problem on standard error, and how many there are."""
    for problem in problems:
        sys.stderr.write(f"{problem}\n")
    count = f"{len(problems)} problem{'s' if len(problems) != 1 else ''}"
    sys.stderr.write(f"{styled(count, 'red', sys.stderr)}; {note}\n")

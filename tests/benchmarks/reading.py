"""Reading alone: `python -m tests.benchmarks.reading LOG`, every file to facts, and nothing kept.

With as many processes as `buildlog findings` reads with, so that the two may be compared.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

from buildlog.works.gathering import Gathering
from buildlog.works.kept import Kept
from buildlog.works.lastrun import Inputs
from buildlog.works.outcome import Plan


def main(root: Path) -> None:
    """Do it."""
    plan = Plan(photos=False)
    gathering = Gathering(root, plan, Kept(root / "nowhere", "", ""), None, Inputs())
    log, problems = gathering.gather(time.time_ns(), lambda *_: None)
    assert log is not None, problems


if __name__ == "__main__":
    main(Path(sys.argv[1]))

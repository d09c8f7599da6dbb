"""How problems and counts are told on a terminal."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from buildlog.cli.terminal import styled
from buildlog.model.log import Problem


def tell_problems(problems: Sequence[Problem]) -> None:
    """Print every problem on standard error, and how many there are."""
    for problem in problems:
        sys.stderr.write(f"{problem}\n")
    count = f"{len(problems)} problem{'s' if len(problems) != 1 else ''}"
    sys.stderr.write(f"{styled(count, 'red', sys.stderr)}; nothing was published, what stood before stands\n")

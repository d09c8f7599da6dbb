"""`buildlog hours LOG --by KEY`."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from buildlog.cli.start import DONE, UNREADABLE
from buildlog.cli.tell import asked_of, day, tell_problems

KEYS = ("person", "kind", "discipline", "task", "milestone", "part", "assembly", "system", "week", "month")


def arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of the command."""
    command.add_argument("log", metavar="LOG", type=Path, help="the folder with buildlog.toml")
    command.add_argument("--by", choices=KEYS, default="task", help="what each row is (default: task)")
    command.add_argument("--format", choices=("text", "json", "csv"), default="text", help="default: text")
    command.add_argument("--on", metavar="DATE", type=day, help="stand on this day; leave out what is later")


def run(asked: argparse.Namespace) -> int:
    """Print one rollup."""
    from buildlog.works.hours_told import as_csv, as_json, as_lines

    answer = asked_of(asked.log, asked.on)
    if answer is None or answer.knowledge is None:
        if answer is not None:
            tell_problems(answer.problems)
        return UNREADABLE
    rollup = answer.knowledge.hours[asked.by]
    if asked.format == "json":
        print(json.dumps(as_json(rollup), ensure_ascii=False))
    elif asked.format == "csv":
        sys.stdout.write(as_csv(rollup).replace("\r\n", "\n"))
    else:
        print("\n".join(as_lines(rollup)))
    return DONE

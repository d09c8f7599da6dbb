"""`buildlog hours LOG --by KEY`."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from buildlog.cli.start import DONE, UNREADABLE
from buildlog.cli.tell import known_of, on_day

KEYS = ("person", "kind", "discipline", "task", "milestone", "part", "assembly", "system", "week", "month")


def arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of the command."""
    command.add_argument("log", metavar="LOG", type=Path, help="the folder with buildlog.toml")
    command.add_argument("--by", choices=KEYS, default="task", help="what each row is (default: task)")
    command.add_argument("--format", choices=("text", "json", "csv"), default="text", help="default: text")
    on_day(command)


def run(asked: argparse.Namespace) -> int:
    """Print one rollup."""
    from buildlog.works.hours_told import as_csv, as_json, as_lines

    answer = known_of(asked.log, asked.on)
    if answer is None:
        return UNREADABLE
    rollup = answer.knowledge.hours[asked.by]
    if asked.format == "json":
        print(json.dumps(as_json(rollup), ensure_ascii=False))
    elif asked.format == "csv":
        sys.stdout.write(as_csv(rollup).replace("\r\n", "\n"))
    else:
        print("\n".join(as_lines(rollup)))
    return DONE

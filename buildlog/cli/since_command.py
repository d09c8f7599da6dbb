"""`buildlog since LOG INSPECTOR-OR-DAY [ITEM]`."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from buildlog.cli.start import DONE, UNREADABLE
from buildlog.cli.tell import known_of, on_day
from buildlog.cli.terminal import GRADE_STYLES, styled


def arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of the command."""
    command.add_argument("log", metavar="LOG", type=Path, help="the folder with buildlog.toml")
    command.add_argument("start", metavar="WHEN", help="an inspector's key, or a day such as 2026-03-14")
    command.add_argument("item", metavar="ITEM", nargs="?", default="", help="one assembly, if not all")
    command.add_argument("--format", choices=("text", "json"), default="text", help="default: text")
    on_day(command)


def run(asked: argparse.Namespace) -> int:
    """Print what happened since a visit or a day."""
    from buildlog.works.since_told import as_json, as_lines, since

    answer = known_of(asked.log, asked.on)
    if answer is None:
        return UNREADABLE
    told = since(answer.knowledge, answer.findings, asked.start, asked.item)
    if told.problem:
        sys.stderr.write(f"{told.problem}\n")
        return UNREADABLE
    if asked.format == "json":
        print(json.dumps(as_json(told, answer.knowledge), ensure_ascii=False, indent=1))
    else:
        styles = {**GRADE_STYLES, "subject": "bold", "detail": "dim"}
        for line in as_lines(told, answer.knowledge):
            print(styled(line.text, styles.get(line.style, line.style)))
    return DONE

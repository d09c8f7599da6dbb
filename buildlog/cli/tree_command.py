"""`buildlog tree LOG [ITEM]`."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from buildlog.cli.start import DONE, UNREADABLE
from buildlog.cli.tell import known_of, on_day


def arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of the command."""
    command.add_argument("log", metavar="LOG", type=Path, help="the folder with buildlog.toml")
    command.add_argument("item", metavar="ITEM", nargs="?", default="", help="one assembly, if not all")
    command.add_argument("--format", choices=("text", "json"), default="text", help="default: text")
    on_day(command)


def run(asked: argparse.Namespace) -> int:
    """Print what is inside what on a day, each thing with its status."""
    from buildlog.works.tree_told import as_json, as_lines, tree

    answer = known_of(asked.log, asked.on)
    if answer is None:
        return UNREADABLE
    found = tree(answer.knowledge, answer.findings, asked.item)
    if found.problem:
        sys.stderr.write(f"{found.problem}\n")
        return UNREADABLE
    if asked.format == "json":
        print(json.dumps(as_json(found, answer.knowledge), ensure_ascii=False, indent=1))
    else:
        print("\n".join(as_lines(found, answer.knowledge, whole=not asked.item)))
    return DONE

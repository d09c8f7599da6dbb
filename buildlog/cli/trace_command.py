"""`buildlog trace LOG LOT`."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from buildlog.cli.start import DONE, UNREADABLE
from buildlog.cli.tell import known_of, on_day
from buildlog.cli.terminal import styled


def arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of the command."""
    command.add_argument(
        "of",
        metavar="[LOG] LOT",
        nargs="+",
        help="the folder with buildlog.toml (without it, the one you are in), and the key of a lot or a tool",
    )
    command.add_argument("--format", choices=("text", "json", "csv"), default="text", help="default: text")
    on_day(command)


def run(asked: argparse.Namespace) -> int:
    """Print everything that a lot went into, or that a tool was used on, and where that is now."""
    from buildlog.works.trace_told import as_csv, as_json, as_lines, traced, unknown

    if len(asked.of) > 2:
        sys.stderr.write(f"one folder and one lot or tool are expected, not {len(asked.of)} names\n")
        return UNREADABLE
    log, key = (Path(asked.of[0]), asked.of[1]) if len(asked.of) == 2 else (Path(), asked.of[0])
    answer = known_of(log, asked.on)
    if answer is None:
        return UNREADABLE
    found = traced(answer.knowledge, key)
    if found is None:
        sys.stderr.write(f"{unknown(answer.knowledge, key)}\n")
        return UNREADABLE
    if asked.format == "json":
        print(json.dumps(as_json(found), ensure_ascii=False, indent=1))
    elif asked.format == "csv":
        sys.stdout.write(as_csv(found).replace("\r\n", "\n"))
    else:
        for line in as_lines(found):
            print(styled(line.text, {"subject": "bold", "detail": "dim"}.get(line.style, line.style)))
    return DONE

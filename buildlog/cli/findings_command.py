"""`buildlog findings LOG`."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from buildlog.cli.start import DONE, HELD, UNREADABLE
from buildlog.cli.tell import known_of, on_day
from buildlog.cli.terminal import GRADE_STYLES, styled

GRADES = ("major", "minor", "observation")


def arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of the command."""
    command.add_argument("log", metavar="LOG", type=Path, help="the folder with buildlog.toml")
    command.add_argument("--format", choices=("text", "json", "sarif"), default="text", help="default: text")
    command.add_argument(
        "--hold-at",
        choices=(*GRADES, "nothing"),
        default="major",
        help="exit with 1 if there is a finding of this grade or above (default: major)",
    )
    on_day(command)


def run(asked: argparse.Namespace) -> int:
    """Print what the rules find."""
    from buildlog.rules.finding import Grade
    from buildlog.rules.report import as_json, as_text

    answer = known_of(asked.log, asked.on)
    if answer is None:
        return UNREADABLE
    if asked.format == "json":
        print(json.dumps(as_json(answer.findings), ensure_ascii=False, indent=1))
    elif asked.format == "sarif":
        from buildlog import __version__
        from buildlog.rules import chain
        from buildlog.rules.sarif import as_sarif

        told = as_sarif(answer.findings, chain.rules(), __version__)
        print(json.dumps(told, ensure_ascii=False, indent=1))
    else:
        for line in as_text(answer.findings, answer.knowledge.frame):
            print(styled(line.text, GRADE_STYLES.get(line.style, line.style)))
    if asked.hold_at == "nothing":
        return DONE
    return HELD if answer.findings.at_or_above(Grade[asked.hold_at.upper()]) else DONE

"""`buildlog write LOG`."""

from __future__ import annotations

import argparse
import datetime
import sys
from pathlib import Path

from buildlog.cli.start import DONE, UNREADABLE
from buildlog.cli.tell import day


def arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of the command."""
    command.add_argument("log", metavar="LOG", type=Path, help="the folder with buildlog.toml")
    command.add_argument("title", metavar="TITLE", nargs="?", default="Session", help="default: Session")
    command.add_argument("--date", metavar="DATE", type=day, help="the day (default: today in its zone)")


def run(asked: argparse.Namespace) -> int:
    """Start the entry and say where it is."""
    from buildlog.works.standing import Refused
    from buildlog.works.write import write

    try:
        path = write(asked.log, asked.title, datetime.datetime.now().astimezone(), asked.date)
    except Refused as refused:
        sys.stderr.write(f"{refused}\n")
        return UNREADABLE
    print(asked.log / path)
    return DONE

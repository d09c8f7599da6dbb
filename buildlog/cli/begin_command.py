"""`buildlog begin FOLDER`."""

from __future__ import annotations

import argparse
import datetime
import sys
from pathlib import Path

from buildlog.cli.start import DONE, UNREADABLE


def arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of the command."""
    command.add_argument("folder", metavar="FOLDER", type=Path, help="a folder that is new or empty")
    command.add_argument("--title", help="the project's name (default: the folder's)")


def run(asked: argparse.Namespace) -> int:
    """Lay the log out and say what to do next."""
    from buildlog.works.begin import begin
    from buildlog.works.standing import Refused

    title = asked.title or asked.folder.resolve().name
    try:
        written = begin(asked.folder, title, datetime.date.today())
    except Refused as refused:
        sys.stderr.write(f"{refused}\n")
        return UNREADABLE
    print(f"{asked.folder} is a log now:")
    for name in written:
        print(f"  {name}")
    print(f"next: buildlog compile {asked.folder}")
    print(f"then: buildlog follow {asked.folder}, and write")
    return DONE

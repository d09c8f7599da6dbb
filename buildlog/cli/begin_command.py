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
        written = begin(asked.folder, title, datetime.date.today(), _zone())
    except Refused as refused:
        sys.stderr.write(f"{refused}\n")
        return UNREADABLE
    print(f"{asked.folder} is a log now:")
    for name in written:
        print(f"  {name}")
    print(f"next: buildlog compile {asked.folder}")
    print(f"then: buildlog follow {asked.folder}, and write")
    return DONE


def _zone() -> str:
    """The machine's time zone; nothing where that is no place on earth, or not what its clock says."""
    import zoneinfo

    import tzlocal

    try:
        name = tzlocal.get_localzone_name() or ""
        there = datetime.datetime.now(zoneinfo.ZoneInfo(name)).utcoffset()
    except (KeyError, OSError, ValueError):
        return ""
    here = datetime.datetime.now().astimezone().utcoffset()
    return name if "/" in name and not name.startswith("Etc/") and there == here else ""

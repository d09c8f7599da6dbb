"""`buildlog`: reads the command and hands over to the module of that name."""

from __future__ import annotations

import argparse
import importlib
import os
import sys
import threading
from collections.abc import Sequence
from typing import NoReturn

from buildlog import __version__

DONE, HELD, UNREADABLE = 0, 1, 2
"""Exit status: done; findings at or above the grade asked for, or an edition refused; log or call wrong."""

COMMANDS = {
    "begin": "lay out a new log that compiles at once",
    "write": "start today's entry, with the people, tasks and parts used lately as ready lines",
    "compile": "make the site from the log",
    "follow": "compile on every save and show the pages live",
    "findings": "run the rules and print what they find",
    "hours": "print the hours by person, task, part, week or another key",
    "since": "tell what was done, changed, closed and found since an inspector's last visit, or a day",
    "tree": "print what is inside what on any day, each thing with its status then",
    "trace": "list everything that a lot went into, or a tool was used on, and where that is now",
    "meaning": "explain a rule, a kind of record or a key",
}

_ABOUT = """\
A build log is a folder of dated Markdown entries. buildlog compiles it into a site of cross-referenced
pages: each part's history, the hours, what was never inspected or no longer counts.
"""

_AFTER = """\
exit status:
  0  done
  1  findings at or above --hold-at, or an edition refused
  2  the log could not be read, or the call was wrong

It keeps records; it certifies nothing. Airworthiness is for the competent authority and for licensed
people; the manufacturer's and the authority's data come before anything shown here.
"""


def parser(only: str = "") -> argparse.ArgumentParser:
    """The whole command line. Where `only` is a command, the modules of the others are not loaded."""
    whole = argparse.ArgumentParser(
        prog="buildlog",
        description=_ABOUT,
        epilog=_AFTER,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    whole.add_argument("--version", action="version", version=f"buildlog {__version__}")
    commands = whole.add_subparsers(dest="command", required=True, metavar="COMMAND", title="commands")
    for name, says in COMMANDS.items():
        one = commands.add_parser(
            name,
            help=says,
            description=says[0].upper() + says[1:] + ".",
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        if only in (name, "") or only not in COMMANDS:
            importlib.import_module(f"buildlog.cli.{name}_command").arguments(one)
    return whole


def command() -> NoReturn:
    """The command itself: run it and leave.

    A process that made a large edition holds a million small values. The system takes its memory back at
    once; to take them apart one by one first would only keep whoever waits for it.
    """
    status = main()
    sys.stderr.flush()
    if threading.active_count() == 1:
        os._exit(status)
    raise SystemExit(status)


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return the exit status."""
    try:
        words = sys.argv[1:] if argv is None else argv
        asked = parser(words[0] if words else "").parse_args(words)
        status: int = importlib.import_module(f"buildlog.cli.{asked.command}_command").run(asked)
        sys.stdout.flush()
    except KeyboardInterrupt:
        sys.stderr.write("\nstopped; what was published still stands\n")
        return 130
    except BrokenPipeError:
        # The reader of our output went away, as `head` does: the rest has nobody to read it.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    return status

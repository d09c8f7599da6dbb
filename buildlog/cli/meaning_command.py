"""`buildlog meaning NAME`."""

from __future__ import annotations

import argparse
import sys

from buildlog.cli.start import DONE, UNREADABLE


def arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of the command."""
    command.add_argument(
        "name",
        metavar="NAME",
        nargs="?",
        help="a rule, a kind of record, a key, a list or a setting; without it, everything there is",
    )


def run(asked: argparse.Namespace) -> int:
    """Print what a name means."""
    from buildlog.rules.reference import meaning, nearest, plain, topics

    if asked.name is None:
        for topic in topics().values():
            print(f"{topic.name:28} {topic.title}")
        return DONE
    found = meaning(asked.name)
    if found is None:
        near = " or ".join(nearest(asked.name))
        meant = f"; did you mean {near}?" if near else ";"
        sys.stderr.write(
            f"nothing here is called {asked.name!r}{meant} `buildlog meaning` lists all there is\n"
        )
        return UNREADABLE
    print(plain(found))
    return DONE

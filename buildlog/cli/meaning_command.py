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
    from buildlog.rules.reference import meaning, plain, topics  # noqa: PLC0415 - only when it is asked for

    if asked.name is None:
        for topic in topics().values():
            print(f"{topic.name:28} {topic.title}")
        return DONE
    topic = meaning(asked.name)
    if topic is None:
        sys.stderr.write(f"nothing here is called {asked.name!r}; `buildlog meaning` lists what is\n")
        return UNREADABLE
    print(plain(topic))
    return DONE

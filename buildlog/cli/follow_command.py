"""`buildlog follow LOG`."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from buildlog.cli.start import DONE, UNREADABLE
from buildlog.cli.tell import tell_problems
from buildlog.cli.terminal import Progress
from buildlog.works.outcome import EDITIONS, Outcome, Plan


def arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of the command."""
    command.add_argument("log", metavar="LOG", type=Path, help="the folder with buildlog.toml")
    command.add_argument(
        "--edition",
        choices=(*EDITIONS, "all"),
        default="shop",
        help="which edition is made and shown (default: shop); with all, every one is made, the shop's is"
        " shown, and the page says when another would be refused",
    )
    command.add_argument("--out", metavar="DIR", type=Path, help="as for compile")
    command.add_argument(
        "--port", type=int, default=0, help="the port on 127.0.0.1 (default: any that is free)"
    )
    command.add_argument("--open", action="store_true", help="open the page in the browser")
    command.add_argument("--without-photos", action="store_true", help="prepare no photos")


def run(asked: argparse.Namespace) -> int:
    """Follow the log until Ctrl-C."""
    from buildlog.works.follow import Follower

    if not (asked.log / "buildlog.toml").is_file():
        sys.stderr.write(
            f"{asked.log} is no log: it has no buildlog.toml. Lay one out: buildlog begin FOLDER\n"
        )
        return UNREADABLE
    progress = Progress()
    plan = Plan(
        editions=EDITIONS if asked.edition == "all" else (asked.edition,),
        out=str(asked.out) if asked.out is not None else None,
        photos=not asked.without_photos,
    )

    def tell(outcome: Outcome, seconds: float) -> None:
        progress.clear()
        tell_run(outcome, seconds)

    try:
        follower = Follower(asked.log, plan, progress, tell, asked.port)
    except OSError as error:
        sys.stderr.write(f"cannot serve on port {asked.port}: {error.strerror}; choose another with --port\n")
        return UNREADABLE
    print(f"following {asked.log}; open {follower.server.address}", flush=True)
    print("Ctrl-C ends it", flush=True)
    if asked.open:
        import webbrowser

        webbrowser.open(follower.server.address)
    try:
        follower.run()
    except KeyboardInterrupt:
        print()
    finally:
        follower.stop()
    return DONE


def tell_run(outcome: Outcome, seconds: float) -> None:
    """One line a run that changed something; problems in full."""
    if outcome.problems:
        tell_problems(outcome.problems, "the pages stay as they were")
        return
    for edition in outcome.editions:
        if edition.refused:
            sys.stderr.write(f"refused: {edition.refused}\n")
        else:
            gone = f", {len(edition.withdrawn)} withdrawn" if edition.withdrawn else ""
            which = f"{edition.edition}: " if len(outcome.editions) > 1 else ""
            print(f"{which}{len(edition.written)} written{gone} in {seconds:.2f} s", flush=True)

"""`buildlog compile LOG`."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

import msgspec

from buildlog.cli.start import DONE, HELD, UNREADABLE
from buildlog.cli.tell import tell_problems
from buildlog.cli.terminal import Progress, styled
from buildlog.works.outcome import EDITIONS, EditionOutcome, Outcome, Plan

FEW = 6
"""How many lines of a sort are printed; the report has all."""


def arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of the command."""
    command.add_argument("log", metavar="LOG", type=Path, help="the folder with buildlog.toml")
    command.add_argument(
        "--edition",
        choices=(*EDITIONS, "all"),
        default="all",
        help="which edition (default: all)",
    )
    command.add_argument(
        "--out",
        metavar="DIR",
        type=Path,
        help="put each edition into a folder of its own in DIR (default: LOG/site for the public one, to be"
        " uploaded, LOG/private/shop and LOG/private/inspector for the others)",
    )
    command.add_argument(
        "--without-photos", action="store_true", help="prepare no photos: quicker, for a look at the text"
    )
    command.add_argument(
        "--dry-run", action="store_true", help="do everything but publish, and say what would change"
    )
    command.add_argument(
        "--report", metavar="FILE", type=Path, help="write what each edition holds and what changed, as JSON"
    )
    command.add_argument("--why", action="store_true", help="name every file that changed")


def run(asked: argparse.Namespace) -> int:
    """Compile and say what was made."""
    # Imported here: a call for help, or a log in which nothing changed, needs none of it.
    from buildlog.works.compile import compile_log

    progress = Progress()
    plan = Plan(
        editions=EDITIONS if asked.edition == "all" else (asked.edition,),
        out=str(asked.out) if asked.out is not None else None,
        photos=not asked.without_photos,
        dry=asked.dry_run,
    )
    try:
        outcome = compile_log(asked.log, plan, progress)
    finally:
        progress.clear()
    if outcome.problems:
        tell_problems(outcome.problems, "nothing was published, what stood before stands")
        return UNREADABLE
    tell_outcome(outcome, asked.log, dry=asked.dry_run, why=asked.why)
    if asked.report is not None and not write_report(outcome, asked.report):
        return UNREADABLE
    return HELD if any(edition.refused for edition in outcome.editions) else DONE


def tell_outcome(outcome: Outcome, log: Path, *, dry: bool = False, why: bool = False) -> None:
    """Print what a run made."""
    from buildlog.rules.wording import graded

    refused = [edition for edition in outcome.editions if edition.refused]
    for edition in refused:
        sys.stderr.write(f"{styled('refused', 'red', sys.stderr)}: {edition.refused}\n")
    if len(refused) == len(outcome.editions):
        return
    print(f"{outcome.title}, " + (f"as it stands on {outcome.day}" if outcome.day else "no entries yet"))
    for edition in outcome.editions:
        if edition.refused:
            continue
        print(f"  {edition.edition:10} {_changes(edition, dry=dry)}")
        print(f"  {'':10} {edition.folder}/index.html")
        if edition.edition != "shop":
            _tell_readers(edition)
        if why:
            for path in edition.written:
                print(f"  {'':10} written    {path}")
            for path in edition.withdrawn:
                print(f"  {'':10} withdrawn  {path}")
    counts = ", ".join(graded(count, grade) for grade, count in outcome.findings if count)
    # the public's edition has no findings of its own to count
    if outcome.findings:
        print(f"  {'findings':10} {counts or 'none'}" + (f"; see: buildlog findings {log}" if counts else ""))
    if outcome.drafts:
        print(f"  {'drafts':10} {outcome.drafts} set aside")


def _tell_readers(edition: EditionOutcome) -> None:
    """Print what leaves the shop with an edition."""
    held = [_counted(edition.pages, "page")]
    if edition.photos:
        held.append(f"{_counted(edition.photos, 'photo')}, rebuilt from bare pixels")
    if edition.clips:
        held.append(f"{_counted(edition.clips, 'clip')}, encoded anew")
    if edition.documents:
        held.append(f"{_counted(edition.documents, 'document')}, drawn anew")
    print(f"  {'':10} it holds   {', '.join(held)}")
    if edition.stripped:
        print(f"  {'':10} stripped   {', '.join(edition.stripped)}")
    for word, each in (
        *(("as it is", original) for original in edition.originals),
        *(("granted", grant) for grant in edition.grants),
        *(("by hand", file) for file in edition.added),
        *(("allowed", allowed) for allowed in edition.allowed),
        *(("left out", withheld) for withheld in edition.withheld),
    ):
        print(f"  {'':10} {word:10} {each}")
    _tell_some("look again", edition.warned, "these may be hidden things, or ordinary words")
    _tell_some("not linked", edition.unlinked, "these stay plain text in prose, and a tag of them goes")
    _tell_some("new media", edition.unlooked, "look at each: faces, voices and number plates are not checked")
    _tell_some(
        "withdrawn", edition.withdrawn, "feeds that were read and copies that were made may remember these"
    )


def _tell_some(word: str, told: tuple[str, ...], says: str) -> None:
    """Print what some lines mean, the first of them, and how many more there are."""
    if told:
        print(f"  {'':10} {word:10} {says}:")
    for each in told[:FEW]:
        print(f"  {'':10} {'':10} {each}")
    if len(told) > FEW:
        print(f"  {'':10} {'':10} and {len(told) - FEW} more; all of them: --report FILE")


def write_report(outcome: Outcome, file: Path) -> bool:
    """Write what a run made as JSON; False, and why on standard error, where that may not be."""
    inside = [edition.folder for edition in outcome.editions if edition.folder]
    place = file.resolve()
    if any(place.is_relative_to(Path(folder).resolve()) for folder in inside):
        sys.stderr.write(f"{file} lies in an edition, where no report belongs; name a file elsewhere\n")
        return False
    day = outcome.day.isoformat() if outcome.day else None
    told = [msgspec.to_builtins(edition) for edition in outcome.editions]
    text = json.dumps({"day": day, "editions": told}, indent=2, ensure_ascii=False)
    try:
        file.write_text(text + "\n", encoding="utf-8")
    except OSError as error:
        sys.stderr.write(f"the report could not be written to {file}: {error.strerror}\n")
        return False
    return True


def _counted(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"


def _changes(edition: EditionOutcome, *, dry: bool) -> str:
    if not edition.written and not edition.withdrawn:
        return f"{edition.files} files, nothing changed"
    would = "would be " if dry else ""
    told = f"{edition.files} files, {len(edition.written)} {would}written"
    return told + (f", {len(edition.withdrawn)} {would}withdrawn" if edition.withdrawn else "")

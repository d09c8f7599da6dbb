"""What stands in the folder of an edition, before anything is put there.

An edition carries the list ``SHA256SUMS`` of all its files but itself, in the form that ``sha256sum --check``
of the GNU coreutils reads, comment line included. The list is how the tool knows its own work again: a folder
that holds anything the list does not name was not made by the tool alone, and is left as it is.
"""

from __future__ import annotations

import contextlib
import os
import re
import time
from collections.abc import Iterable, Mapping
from pathlib import Path

import msgspec

from buildlog.works import disk
from buildlog.works.seen import NOTHING_SEEN, Seen, Sightings, Survey, identify, look_at, survey

LIST = "SHA256SUMS"
"""The file of an edition that lists all its other files with their digests."""

HEADLINE = "# An edition made by buildlog. To check it: sha256sum --check SHA256SUMS"
"""The first line of the list, so that another program's list of the same name is not taken for ours."""

DROPPINGS = frozenset({".DS_Store", "Thumbs.db", "desktop.ini", ".directory"})
"""Files that the file browsers of macOS, Windows and KDE leave in every folder they show, with how it was
shown and nothing else (common practice, no source). They are no reason to refuse a folder, and are left out
of the next edition. So are ``._NAME`` beside a NAME of ours, which macOS adds on disks of other systems."""

NAMED = 5
"""How many offending names a message shows."""

_LINE = re.compile(r"([0-9a-f]{64})  (.+)")


class Refused(Exception):  # noqa: N818 - a decision, told to a person
    """The edition was not put in its place, and what was there still is. The text says why and what to do."""


class Standing(msgspec.Struct, frozen=True):
    """What stands in `out`, and in the generation behind it, `back`.

    `seen` are the files of the edition with the digests of the bytes they really have; `altered` those on the
    list that are gone or have other bytes. `foreign` are the things the tool did not make: with any of them
    nothing is published there. `surveyed` is the clock's time before the first look, in nanoseconds. `front`
    and `behind` are the two generations as they looked; `behind` is None until it had to be looked at, and
    then `lag` are the paths at which it differs from `front`. `stamp` is the time that all files and folders
    are known to have, None where that is not known.
    """

    out: Path
    back: Path
    front: Survey | None = None
    behind: Survey | None = None
    seen: dict[str, Seen] = {}
    altered: tuple[str, ...] = ()
    foreign: tuple[str, ...] = ()
    droppings: tuple[str, ...] = ()
    surveyed: int = 0
    lag: frozenset[str] = frozenset()
    stamp: int | None = None

    @property
    def sightings(self) -> Sightings:
        """What to keep, so that the next run need not read the files again."""
        return Sightings(self.surveyed, self.seen)

    def refuse_foreign(self) -> None:
        """Raise `Refused` where the folder holds anything that the tool did not make."""
        if not self.foreign:
            return
        shown = ", ".join(self.foreign[:NAMED])
        more = len(self.foreign) - NAMED
        rest = f" and {more} more" if more > 0 else ""
        why = "" if self.seen else f", and no list {LIST} that says it is an edition"
        raise Refused(
            f"{self.out} holds what buildlog did not make: {shown}{rest}{why}; nothing was changed there."
            " Move it elsewhere, or choose another folder"
        )


def stand(out: Path, back: Path, known: Sightings = NOTHING_SEEN) -> Standing:
    """Look at what stands in `out`, after finishing or undoing an exchange that was cut short.

    `known` are the `Standing.sightings` of an earlier run; files that still look the same are not read again.
    Where `out` is a symbolic link, what it points to is meant.

    Raises:
        Refused: where `out` or `back` is no folder, or one lies in the other, or a file cannot be read.
    """
    out, back = out.resolve(), back.resolve()
    if out == back or out in back.parents or back in out.parents:
        raise Refused(f"{out} and {back} are in each other's way; choose another folder")
    for place in (out, back):
        if place.exists() and not place.is_dir():
            raise Refused(f"{place} is not a folder; move it elsewhere, or choose another folder")
    surveyed = time.time_ns()
    try:
        recover(out, back)
        if not out.exists():
            return Standing(out, back, surveyed=surveyed)
        return _judge(out, back, survey(out), known, surveyed)
    except OSError as error:
        raise Refused(f"{out} could not be read ({error}); nothing was changed there") from error


def _judge(out: Path, back: Path, front: Survey, known: Sightings, surveyed: int) -> Standing:
    listed = read_list(out / LIST) if LIST in front.files else None
    if listed is None:
        droppings = tuple(name for name in front.files if _name_of(name) in DROPPINGS)
        others = _tops([*front.folders, *front.files.keys() - droppings, *front.odd])
        return Standing(out, back, front, foreign=others, droppings=droppings, surveyed=surveyed)
    ours = listed.keys() | {LIST}
    folders = folders_of(ours)
    strange = [name for name in front.files if name not in ours]
    droppings = tuple(name for name in strange if _is_dropping(name, ours, folders))
    foreign = [name for name in strange if name not in set(droppings)]
    foreign += [name + "/" for name in front.folders if name not in folders]
    foreign += front.odd
    looks = {name: look for name, look in front.files.items() if name in ours}
    seen = identify(out, looks, known)
    altered = tuple(sorted(name for name in listed if name not in seen or seen[name].digest != listed[name]))
    return Standing(
        out, back, front, None, seen, altered, tuple(sorted(foreign)), tuple(sorted(droppings)), surveyed
    )


def unchanged(standing: Standing) -> bool:
    """Whether no file or folder was added to either generation, or taken from it, since it was looked at."""
    if standing.front is None:
        return not standing.out.exists()
    return _is_still(standing.out, standing.front) and (
        standing.behind is None or _is_still(standing.back, standing.behind)
    )


def _is_still(root: Path, then: Survey) -> bool:
    try:
        for name, look in then.folders.items():
            now = look_at(os.lstat(f"{root}{os.sep}{name}"))
            if (now.mtime, now.ctime, now.inode) != (look.mtime, look.ctime, look.inode):
                return False
    except OSError:
        return False
    return True


def print_list(digests: Mapping[str, str]) -> bytes:
    """The list of an edition's files, by path, as ``sha256sum --check`` reads it."""
    lines = [HEADLINE, *(f"{digests[path]}  {path}" for path in sorted(digests))]
    return ("\n".join(lines) + "\n").encode()


def read_list(path: Path) -> dict[str, str] | None:
    """The digests of an edition's files by path, or None where the list is not one of ours."""
    try:
        first, *lines = path.read_text(encoding="utf-8").removesuffix("\n").split("\n")
    except (OSError, UnicodeDecodeError):
        return None
    found = [_LINE.fullmatch(line) for line in lines]
    if first != HEADLINE or not all(found):
        return None
    return {match[2]: match[1] for match in found if match}


def folders_of(paths: Iterable[str]) -> set[str]:
    """The folders that these files are in, with those above them, down from ``""``."""
    folders = {""}
    for path in paths:
        folder = path.rpartition("/")[0]
        while folder not in folders:
            folders.add(folder)
            folder = folder.rpartition("/")[0]
    return folders


def aside_of(place: Path) -> Path:
    """Where the old edition waits for a moment, while it changes places with `place` in two steps."""
    return place.with_name(place.name + ".aside")


def bin_of(back: Path) -> Path:
    """Where files of the generation behind go that are in no edition any more, until there is time."""
    return back.with_name(back.name + ".bin")


def tray_of(back: Path) -> Path:
    """Where several processes lay the pages they print, until the edition takes them."""
    return back.with_name(back.name + ".tray")


def beside(out: Path) -> Path:
    """Where the new edition is put together when `back` lies on another file system."""
    return out.with_name(f".{out.name}.buildlog-next")


def recover(out: Path, back: Path) -> None:
    """Finish or undo an exchange that was cut short. Which it is shows from the folders that are there."""
    for place in (back, beside(out)):
        aside = aside_of(place)
        if not aside.exists():
            continue
        if not out.exists():
            aside.rename(out)
        elif not place.exists():
            aside.rename(place)
        else:
            discard(aside)
    discard(beside(out))
    discard(bin_of(back))
    clear(tray_of(back))


def discard(folder: Path) -> None:
    """Remove a folder of ours with all that is in it, if it is there."""
    if folder.exists():
        disk.empty(str(folder))
        folder.rmdir()


def clear(tray: Path) -> None:
    """Remove a tray with what was left on it.

    A worker outlives a killed run for a moment and may lay one page more: then the next run removes it.
    """
    with contextlib.suppress(OSError):
        discard(tray)


def _is_dropping(name: str, ours: Iterable[str], folders: set[str]) -> bool:
    last = _name_of(name)
    if last in DROPPINGS:
        return True
    owner = name[: len(name) - len(last)] + last[2:]
    return last.startswith("._") and (owner in ours or owner in folders)


def _name_of(path: str) -> str:
    return path.rpartition("/")[2]


def _tops(names: Iterable[str]) -> tuple[str, ...]:
    """The uppermost of these names: what a person sees on opening the folder."""
    tops = {name.partition("/")[0] + ("/" if "/" in name else "") for name in names if name}
    return tuple(sorted(name for name in tops if name + "/" not in tops))

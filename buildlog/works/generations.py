"""All-or-nothing publishing: an edition is put together out of sight, then changes places with the old one.

There are two generations of each edition, the one that stands and the one behind it. What is new is written
to the one behind, what did not change is linked to it from the one that stands, what is stale is taken out of
it, and then the two folders are exchanged in one step. Whenever the process ends, the folder holds the old
edition or the new one, and the next run starts from whichever it is.

Nothing waits for the disk. A process that is killed loses nothing; a power cut may leave files torn, and the
next run finds them by their size and digest and mends them.

The cost is that of the change: after an exchange the generation behind is one edition old, so most of its
files are already those of the next.
"""

from __future__ import annotations

import errno
import functools
import hashlib
import os
import re
from collections.abc import Mapping
from pathlib import Path

import msgspec

from buildlog.works import disk
from buildlog.works.seen import SECOND, Look, Seen, Survey, digest_of, look_at, survey
from buildlog.works.standing import (
    LIST,
    Refused,
    Standing,
    aside_of,
    beside,
    bin_of,
    discard,
    folders_of,
    print_list,
    stand,
    unchanged,
)

_SAFE = re.compile(r"(?:(?!\.\.?/)[^/\\\x00-\x1f\x7f]+/)*(?!\.\.?$)[^/\\\x00-\x1f\x7f]+")


class Leaf(msgspec.Struct, frozen=True, gc=False):
    """One file of an edition: the SHA-256 of its bytes, hexadecimal, and where they come from.

    Either `data`, the bytes; or `source`, a file to copy, or to move where it is ours to give up; or neither,
    for a file that the edition standing now already has. The digest of `data` and of a moved file is taken
    as given, that of a copied file is checked.
    """

    digest: str
    data: bytes | None = None
    source: Path | str | None = None
    move: bool = False


class Vanished(Refused, ValueError):  # noqa: N818 - a state of affairs, told to a person
    """Files that stood in the edition, and were to stay, have gone. To plan once more mends it."""


class Published(msgspec.Struct, frozen=True):
    """What publishing did, and what stands now; paths are sorted, and compared with the edition before.

    `written` have new bytes, `removed` are gone, `same` is how many others there are; the list is in none of
    them. `linked` is how many links the generation behind needed to catch up. `exchanged` is false where no
    byte had to change.
    """

    standing: Standing
    written: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    same: int = 0
    linked: int = 0
    exchanged: bool = False


def leaf_of(data: bytes) -> Leaf:
    """A file with these bytes."""
    return Leaf(hashlib.sha256(data).hexdigest(), data)


def lacking(standing: Standing, leaves: Mapping[str, Leaf]) -> tuple[str, ...]:
    """The paths whose leaf says no more than a digest that no file standing now has: make these again."""
    bare = [path for path, leaf in leaves.items() if leaf.data is None and leaf.source is None]
    there = {seen.digest for seen in standing.seen.values()} if bare else set()
    return tuple(path for path in bare if leaves[path].digest not in there)


def publish(standing: Standing, leaves: Mapping[str, Leaf], *, stamp: int) -> Published:
    """Make `standing.out` hold exactly these files and the list of them, all with the time `stamp`.

    The bytes change all at once. Where only times or permissions differ, they are set in place. Call `sweep`
    some time afterwards.

    Args:
        standing: what stands there; looked at anew where that is no longer so.
        leaves: the files, by path below the folder, with `/`.
        stamp: seconds since 1970, the time given to every file and folder.

    Raises:
        Refused: where the folder holds anything that the tool did not make, or the disk refuses. What was
            published stays.
        Vanished: for leaves that are `lacking`: what stood when they were planned has gone since.
        ValueError: for a path that leaves the folder, is both file and folder, or is the list's own.
    """
    if not unchanged(standing):
        standing = stand(standing.out, standing.back, standing.sightings)
    standing.refuse_foreign()
    before = standing.seen
    folders = folders_of([*leaves, LIST])
    _check_paths(leaves, folders, before)
    wanted = {**leaves, LIST: leaf_of(print_list({path: leaf.digest for path, leaf in leaves.items()}))}
    changed = {
        path for path, leaf in wanted.items() if path not in before or before[path].digest != leaf.digest
    }
    removed = before.keys() - wanted.keys()
    missing = lacking(standing, {path: leaf for path, leaf in leaves.items() if path in changed})
    if missing:
        raise Vanished(
            f"{standing.out} lost files while the edition was made, and there is nothing to make these from:"
            f" {', '.join(missing[:5])}. Compile again"
        )
    linked: set[str] = set()
    if changed or removed:
        try:
            builder = _Builder(standing, wanted, folders, stamp)
            linked = builder.build(changed)
            behind = _swap(standing)
        except OSError as error:
            raise Refused(f"{standing.out} was not published ({error}); what was there still is") from error
    try:
        if changed or removed:
            standing = _after(standing, wanted, changed | linked, builder, behind)
            standing = msgspec.structs.replace(standing, lag=frozenset(changed | removed))
        standing = _in_place(standing, stamp)
    except OSError as error:
        raise Refused(f"{standing.out} was published, but not all times were set ({error})") from error
    written = changed - {LIST}
    return Published(
        standing,
        tuple(sorted(written)),
        tuple(sorted(removed)),
        len(leaves) - len(written),
        len(linked),
        exchanged=bool(changed or removed),
    )


def sweep(standing: Standing) -> None:
    """Free the space of the files that publishing took out. Until then, or the next `stand`, it is in use."""
    discard(bin_of(standing.back))


def _check_paths(leaves: Mapping[str, Leaf], folders: set[str], known: Mapping[str, Seen]) -> None:
    wrong = [path for path in leaves.keys() - known.keys() if not _SAFE.fullmatch(path)]
    wrong += folders & leaves.keys()
    if LIST in leaves:
        wrong.append(LIST)
    if wrong:
        raise ValueError(f"not paths for files of an edition: {sorted(wrong)}")


class _Builder:
    """Brings the generation behind to what is wanted, in these `folders`.

    `links` turns false once the disk refuses a link.
    """

    def __init__(self, standing: Standing, wanted: Mapping[str, Leaf], folders: set[str], stamp: int) -> None:
        self.folders = folders
        self._touched: set[str] = set()
        standing.back.mkdir(parents=True, exist_ok=True)
        self._behind = standing.behind or survey(standing.back)
        self._lag = standing.lag if standing.behind else wanted.keys()
        self._bin = bin_of(standing.back)
        self._binned: int | None = None
        self._wanted = wanted
        self._stamp = stamp
        self._front = f"{standing.out}{os.sep}"
        self._back = f"{standing.back}{os.sep}"
        self._seen = standing.seen
        self._looks = standing.front.files if standing.front else {}
        self.links = not standing.seen or standing.out.stat().st_dev == standing.back.stat().st_dev

    def build(self, changed: set[str]) -> set[str]:
        """Build the edition, of which these paths differ from what stands; return those that were linked."""
        self._clear()
        for folder in sorted(self.folders - self._behind.folders.keys()):
            disk.make_folder(self._back + folder)
            self._touch(folder)
            self._touched.add(folder)
        linked = {
            path
            for path in sorted((changed | self._lag) & self._wanted.keys())
            if not self._is_there(path) and self._put(path)
        }
        for folder in self.folders:
            if folder in self._touched or not _dressed(
                self._behind.folders[folder], disk.FOLDER_MODE, self._stamp
            ):
                disk.dress(self._back + folder, disk.FOLDER_MODE, self._stamp)
        return linked

    def _clear(self) -> None:
        for path in self._behind.files.keys() - self._wanted.keys():
            self._remove(path)
        for path in self._behind.odd:
            self._remove(path)
        for folder in sorted(self._behind.folders.keys() - self.folders, reverse=True):
            disk.remove_folder(self._back + folder)
            self._touch(folder)
            self._touched.add(folder)

    def _is_there(self, path: str) -> bool:
        """Whether the generation behind has the file: it is one file with one that stands, and was read."""
        behind = self._behind.files.get(path)
        if behind is None:
            return False
        if self.links:
            look = self._looks.get(self._in_front(path) or "")
            return look is not None and look.links > 1 and look.inode == behind.inode
        if digest_of(self._back + path) != self._wanted[path].digest:
            return False
        if not _dressed(behind, disk.FILE_MODE, self._stamp):
            disk.dress(self._back + path, disk.FILE_MODE, self._stamp)
        return True

    def _in_front(self, path: str) -> str | None:
        """The file standing now that is to be linked here: that of the same path before any other."""
        leaf, seen = self._wanted[path], self._seen.get(path)
        if seen is not None and seen.digest == leaf.digest:
            return path
        return self._by_digest.get(leaf.digest) if leaf.data is None else None

    @functools.cached_property
    def _by_digest(self) -> dict[str, str]:
        return {seen.digest: path for path, seen in self._seen.items()}

    def _put(self, path: str) -> bool:
        """Put a file in its place; return whether it was linked."""
        leaf, target, front = self._wanted[path], self._back + path, self._in_front(path)
        if path in self._behind.files:
            self._remove(path)
        self._touch(path)
        if front is not None and self.links and self._link(self._front + front, target):
            return True
        if front is not None:
            self._copy(self._front + front, target, leaf)
        elif leaf.data is not None:
            disk.write(target, leaf.data, self._stamp)
        elif leaf.move:
            disk.move(str(leaf.source), target, self._stamp)
        else:
            self._copy(str(leaf.source), target, leaf)
        return False

    def _link(self, source: str, target: str) -> bool:
        try:
            os.link(source, target)
        except OSError as error:
            # One file may have too many links; any other refusal is the disk's, and holds for all.
            self.links = error.errno == errno.EMLINK
            return False
        return True

    def _copy(self, source: str, target: str, leaf: Leaf) -> None:
        if disk.copy(source, target, self._stamp) != leaf.digest:
            raise OSError(errno.EIO, "the file changed or is damaged", source)

    def _remove(self, path: str) -> None:
        """Take a file out. Freeing its bytes may take longer than all the rest: that is left to `sweep`."""
        if self._binned is None:
            self._bin.mkdir(exist_ok=True)
            self._binned = disk.count(str(self._bin))
        disk.rename(self._back + path, f"{self._bin}{os.sep}{self._binned}")
        self._binned += 1
        self._touch(path)

    def _touch(self, path: str) -> None:
        self._touched.add(path.rpartition("/")[0])


def _swap(standing: Standing) -> Survey | None:
    """Exchange the generations; return what is behind now, or None where that has to be looked at."""
    out, back = standing.out, standing.back
    out.parent.mkdir(parents=True, exist_ok=True)
    try:
        _change_places(out, back)
    except OSError as error:
        if error.errno != errno.EXDEV:
            raise
        _over_to_another_disk(out, back)
        return None
    if standing.front is None:
        return None
    folders = {**standing.front.folders, "": look_at(os.lstat(back))}
    return msgspec.structs.replace(standing.front, folders=folders)


def _change_places(out: Path, new: Path) -> None:
    if not out.exists():
        new.rename(out)
        return
    try:
        disk.exchange(out, new)
    except disk.ExchangeError:
        aside = aside_of(new)
        out.rename(aside)
        try:
            new.rename(out)
        except OSError:
            aside.rename(out)
            raise
        aside.rename(new)


def _over_to_another_disk(out: Path, back: Path) -> None:
    """Copy the new edition beside the folder it is for, and let those two change places."""
    new = beside(out)
    new.mkdir()
    whole = survey(back)
    for folder in sorted(whole.folders.keys() - {""}):
        (new / folder).mkdir()
    for path, look in whole.files.items():
        disk.copy(f"{back}{os.sep}{path}", f"{new}{os.sep}{path}", look.mtime // SECOND)
    for folder, look in whole.folders.items():
        disk.dress(f"{new}{os.sep}{folder}", disk.FOLDER_MODE, look.mtime // SECOND)
    _change_places(out, new)
    discard(new)


def _after(
    old: Standing, wanted: Mapping[str, Leaf], changed: set[str], builder: _Builder, behind: Survey | None
) -> Standing:
    """What stands after an exchange. What is shared with the old edition need not be looked at again."""
    before = f"{old.out}{os.sep}"
    if old.front is None or behind is None or not builder.links:
        front = survey(old.out)
        seen = {path: _seen(look, wanted[path].digest) for path, look in front.files.items()}
        return Standing(old.out, old.back, front, behind, seen, surveyed=old.surveyed)
    files, seen = dict(old.front.files), dict(old.seen)
    for path in old.front.files.keys() - wanted.keys():
        del files[path]
        seen.pop(path, None)
    for path in changed:
        files[path] = look_at(os.lstat(before + path))
        seen[path] = _seen(files[path], wanted[path].digest)
    folders = {path: look_at(os.lstat(before + path)) for path in builder.folders}
    front = Survey(files, folders)
    return Standing(old.out, old.back, front, behind, seen, surveyed=old.surveyed, stamp=old.stamp)


def _in_place(standing: Standing, stamp: int) -> Standing:
    """Set the times and permissions that are not as they should be, of files that are.

    Files that did not change are shared by both generations, so this is done after an exchange: bytes change
    all at once, their times directly afterwards.
    """
    if standing.front is None or standing.stamp == stamp:
        return standing
    before = f"{standing.out}{os.sep}"
    files, folders, seen = dict(standing.front.files), dict(standing.front.folders), dict(standing.seen)
    for path, known in standing.seen.items():
        if not _dressed(files[path], disk.FILE_MODE, stamp):
            disk.dress(before + path, disk.FILE_MODE, stamp)
            files[path] = look_at(os.lstat(before + path))
            seen[path] = _seen(files[path], known.digest)
    for path, look in folders.items():
        if not _dressed(look, disk.FOLDER_MODE, stamp):
            disk.dress(before + path, disk.FOLDER_MODE, stamp)
            folders[path] = look_at(os.lstat(before + path))
    front = Survey(files, folders, standing.front.odd)
    return msgspec.structs.replace(standing, front=front, seen=seen, stamp=stamp)


def _seen(look: Look, digest: str) -> Seen:
    return Seen(look.size, look.mtime, look.ctime, look.inode, digest)


def _dressed(look: Look, mode: int, stamp: int) -> bool:
    return look.mtime == stamp * SECOND and (look.mode == mode or os.name == "nt")

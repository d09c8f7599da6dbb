"""Which source files a log has, and what stands in the way of reading them. Cheap: nothing is opened."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Callable, Iterator
from pathlib import Path

import msgspec

from buildlog.model.key import NOWHERE, Where
from buildlog.model.log import Problem
from buildlog.reader.limits import FILES, FOLDER_DEPTH, LIST_BYTES, MIB, PROSE_BYTES, SETTINGS_BYTES
from buildlog.reader.names import media_path_problem, quoted

SETTINGS = "buildlog.toml"
_LIMITS = {
    SETTINGS: SETTINGS_BYTES,
    **dict.fromkeys(("parts.csv", "tasks.csv", "lots.csv", "tools.csv", "secrets.txt"), LIST_BYTES),
}
_FOLDERS = ("entries", "parts")
_KNOWN = (*_LIMITS, *_FOLDERS, "media")
_DATED = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_PICTURES = (".jpg", ".jpeg", ".png", ".webp", ".heic", ".tif", ".tiff", ".avif", ".mp4", ".mov", ".pdf")


class Source(msgspec.Struct, frozen=True):
    """One file to read. `file` is relative to the log, with `/`; `mtime_ns` as the file system tells it."""

    file: str
    size: int
    mtime_ns: int


class Survey(msgspec.Struct, frozen=True):
    """The files of a log, sorted by path, and the problems of its folder."""

    files: tuple[Source, ...]
    problems: tuple[Problem, ...]


def survey(root: Path) -> Survey:
    """List the source files of a log. `media/` is not walked; no file is opened."""
    walk = _Walk(os.path.realpath(root))
    if not root.is_dir():
        return Survey((), (_no_folder(root),))
    walk.top()
    files = sorted(walk.files, key=lambda each: each.file)
    if not any(each.file == SETTINGS for each in files) and not walk.refused(SETTINGS):
        todo = f"name a folder that holds one, or lay a log out with `buildlog begin {root.name or 'LOG'}`"
        walk.problem(SETTINGS, "there is no buildlog.toml here, so this is no log", todo)
    if len(files) > FILES:
        walk.problem("", f"the log has {len(files):,} files; the limit is {FILES:,}", "make two logs of it")
        files = files[:FILES]
    return Survey(tuple(files), tuple(sorted(walk.problems, key=lambda each: each.where.file)))


def _no_folder(root: Path) -> Problem:
    if not os.path.lexists(root):
        todo = "name the one that holds buildlog.toml, or lay a log out with `buildlog begin FOLDER`"
        return Problem(NOWHERE, f"there is no folder {root}", todo)
    return Problem(NOWHERE, f"{root} is no folder", "name the folder that holds buildlog.toml")


def media_problem(
    root: str | Path,
    file: str,
    where: Where = NOWHERE,
    real: Callable[[str | Path], str] = os.path.realpath,
) -> Problem | None:
    """What is wrong with a path below media/ that the log refers to; None if nothing is, or there is no file.

    Args:
        root: the log's folder.
        file: the path as written.
        where: where it is written, for the problem.
        real: gives the real path of a folder; one that remembers, where many references are asked about.
    """
    wrong = media_path_problem(file)
    if wrong:
        return Problem(where, *wrong)
    below = f"{real(root).rstrip(os.sep)}{os.sep}media{os.sep}"
    folder, _, name = file.rpartition("/")
    found = f"{real(below + folder)}{os.sep}{name}"
    if os.path.islink(found):  # noqa: PTH114 - a Path for each of thousands of files costs too much
        found = os.path.realpath(found)
    if found.startswith(below):
        return None
    return Problem(where, f"{quoted(file)} leaves media/ by a symbolic link", "put the file itself there")


class _Walk:
    def __init__(self, root: str) -> None:
        self._root = root
        self.files: list[Source] = []
        self.problems: list[Problem] = []

    def problem(self, file: str, found: str, todo: str) -> None:
        self.problems.append(Problem(Where(file, 1, 1) if file else NOWHERE, found, todo))

    def refused(self, file: str) -> bool:
        return any(each.where.file == file for each in self.problems)

    def top(self) -> None:
        for entry in self._entries(self._root, ""):
            if entry.name in _LIMITS:
                self._add(entry, entry.name, _LIMITS[entry.name])
            elif entry.name in _FOLDERS:
                self._folder(entry, entry.name, 1)
            elif entry.name.lower() in _KNOWN and entry.name not in _KNOWN:
                todo = f"rename it to `{entry.name.lower()}`"
                self.problem(entry.name, f"{quoted(entry.name)} is not read: small letters are meant", todo)

    def _folder(self, entry: os.DirEntry[str], file: str, depth: int) -> None:
        if entry.is_symlink():
            self.problem(
                file, "this folder is a symbolic link, which is not followed", "put the folder itself here"
            )
        elif not entry.is_dir():
            self.problem(file, f"`{file}` is a file where a folder is expected", "rename it")
        elif depth > FOLDER_DEPTH:
            self.problem(
                file, f"folders are more than {FOLDER_DEPTH} deep here", "move what is below further up"
            )
        else:
            for inner in self._entries(entry.path, file):
                self._inside(inner, f"{file}/{inner.name}", depth)

    def _inside(self, entry: os.DirEntry[str], file: str, depth: int) -> None:
        name = entry.name
        if name.startswith(".") or name.endswith("~") or (name[0] == name[-1] == "#"):
            return  # what editors and file managers leave behind
        if name.endswith(".md"):
            self._add(entry, file, PROSE_BYTES)
        elif entry.is_dir(follow_symlinks=False) or (entry.is_symlink() and entry.is_dir()):
            self._folder(entry, file, depth + 1)
        elif file.startswith("entries/") and _DATED.match(name):
            todo = "move it below media/" if name.lower().endswith(_PICTURES) else "end its name in `.md`"
            self.problem(file, f"{quoted(name)} is not read: an entry's name ends in `.md`", todo)

    def _add(self, entry: os.DirEntry[str], file: str, limit: int) -> None:
        try:
            if entry.is_symlink() and not self._stays(entry):
                self.problem(
                    file, "this file is a symbolic link that leaves the log", "put the file itself here"
                )
                return
            about = entry.stat()
        except OSError:
            if not entry.is_symlink():
                return  # gone between the listing and the look
            self.problem(file, "this file is a symbolic link to nothing", "put the file itself here")
            return
        if not stat.S_ISREG(about.st_mode):
            self.problem(file, "this is no ordinary file", "put a file here, or rename this")
        elif about.st_size > limit:
            told = f"the file holds {about.st_size:,} bytes; the limit is {limit // MIB} MiB"
            self.problem(file, told, "split it, or move what is not text out of it")
        else:
            self.files.append(Source(file, about.st_size, about.st_mtime_ns))

    def _stays(self, entry: os.DirEntry[str]) -> bool:
        return os.path.realpath(entry.path).startswith(self._root.rstrip(os.sep) + os.sep)

    def _entries(self, folder: str, file: str) -> Iterator[os.DirEntry[str]]:
        try:
            with os.scandir(folder) as listed:
                entries = sorted(listed, key=lambda each: each.name)
        except OSError as error:
            told = f"the folder cannot be read: {error.strerror or 'unknown reason'}"
            self.problem(file or SETTINGS, told, "look at its name and permissions")
            return
        for entry in entries:
            if entry.name.isascii() or self._spelt(entry, file):
                yield entry

    def _spelt(self, entry: os.DirEntry[str], folder: str) -> bool:
        try:
            entry.name.encode()
        except UnicodeEncodeError:
            shown = entry.name.encode(errors="surrogateescape").decode(errors="replace")
            path = f"{folder}/{shown}" if folder else shown
            self.problem(path, "the name of this file is not UTF-8", "rename it")
            return False
        return True

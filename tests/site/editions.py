"""Compiled editions as a judge from outside meets them: a folder of files, and pages read as HTML."""

from __future__ import annotations

import dataclasses
import fnmatch
import functools
import os
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Mapping
from html.parser import HTMLParser
from pathlib import Path

REPOSITORY = Path(__file__).resolve().parents[2]

TEMPLATES = {
    "data.html": "data/index.html",
    "drafts.html": "drafts.html",
    "entries.html": "entries/index.html",
    "entry.html": "entries/????-??-??-*.html",
    "findings.html": "findings.html",
    "findings_sorted.html": "findings/by-*.html",
    "format.html": "format/index.html",
    "home.html": "index.html",
    "hours.html": "hours.html",
    "item.html": "items/*.html",
    "lost.html": "404.html",
    "month.html": "entries/????-??.html",
    "part.html": "parts/[!it]*.html",
    "parts.html": "parts/index.html",
    "people.html": "people/index.html",
    "person.html": "people/[!i]*.html",
    "standing.html": "standing/index.html",
    "standing_days.html": "standing/days.html",
    "stock.html": "lots/[!i]*.html",
    "stocks.html": "tools/index.html",
    "stood.html": "standing/????-??.html",
    "task.html": "tasks/[!i]*.html",
    "tasks.html": "tasks/index.html",
    "topic.html": "format/[!it]*.html",
    "torque.html": "format/torque.html",
    "tree.html": "parts/tree.html",
    "visit.html": "visits/[!i]*.html",
    "visits.html": "visits/index.html",
}
"""By template, the addresses of the pages that are printed with it (patterns; of the sample's names)."""

PUBLIC_TEMPLATES = {
    "public/entries.html": "entries/index.html",
    "public/entry.html": "entries/????-??-??-*.html",
    "public/files.html": "data/index.html",
    "public/front.html": "index.html",
    "public/lost.html": "404.html",
    "public/month.html": "entries/????-??.html",
    "public/part.html": "parts/[!i]*.html",
    "public/parts.html": "parts/index.html",
    "public/photographs.html": "photographs/*.html",
    "public/progress.html": "progress.html",
    "public/task.html": "tasks/[!i]*.html",
    "public/tasks.html": "tasks/index.html",
}
"""The same of the public edition."""

PRINTED = [("sample", each) for each in TEMPLATES] + [
    ("empty_public" if each == "public/lost.html" else "sample_public", each) for each in PUBLIC_TEMPLATES
]
"""Every template of a page, with the edition that is looked at for it.

The page of a lost address leads from the root of its server where that is known, so not from a folder.
"""


@dataclasses.dataclass(frozen=True)
class Reference:
    """An address written on a page: by which element and attribute, and where."""

    element: str
    attribute: str
    value: str
    line: int


@dataclasses.dataclass(frozen=True)
class Page:
    """What an HTML page says of addresses, names and words; `kinds` are its elements with their classes."""

    references: tuple[Reference, ...]
    ids: tuple[str, ...]
    kinds: frozenset[str]
    text: str


class _Reader(HTMLParser):
    """Reads a page by the standard library, which shares no code with what prints it."""

    _SINGLE = frozenset(("href", "src", "poster", "data", "action", "formaction", "cite", "background"))

    def __init__(self) -> None:
        super().__init__()
        self.references: list[Reference] = []
        self.ids: list[str] = []
        self.kinds: set[str] = set()
        self.text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.kinds.update(f"{tag} {each}" for each in (dict(attrs).get("class") or "").split(" "))
        line = self.getpos()[0]
        for name, value in attrs:
            if name == "id":
                self.ids.append(value or "")
            elif name in self._SINGLE:
                self.references.append(Reference(tag, name, value or "", line))
            elif name in ("srcset", "imagesrcset"):
                for candidate in (value or "").split(","):
                    self.references.append(Reference(tag, name, candidate.split()[0], line))

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def read_page(path: Path) -> Page:
    """Read a page."""
    reader = _Reader()
    reader.feed(path.read_text("utf-8"))
    reader.close()
    return Page(tuple(reader.references), tuple(reader.ids), frozenset(reader.kinds), "".join(reader.text))


class Edition:
    """A log and an edition that was compiled from it."""

    def __init__(self, log: Path, folder: Path) -> None:
        self.log = log
        self.folder = folder

    @functools.cached_property
    def files(self) -> frozenset[str]:
        """The address of every file."""
        every = (path for path in self.folder.rglob("*") if path.is_file())
        return frozenset(path.relative_to(self.folder).as_posix() for path in every)

    @functools.cached_property
    def pages(self) -> dict[str, Page]:
        """Every HTML page by its address."""
        return {name: read_page(self.folder / name) for name in sorted(self.files) if name.endswith(".html")}

    @functools.cached_property
    def address(self) -> str:
        """Where it will be published, with a slash behind it; empty where that is not known."""
        settings = tomllib.loads((self.log / "buildlog.toml").read_text("utf-8"))
        told: str = settings.get("editions", {}).get(self.folder.name, {}).get("address", "")
        return told if not told or told.endswith("/") else f"{told}/"

    def of_template(self, template: str) -> str:
        """The address of the page printed with a template that shows the most different things."""
        pattern = {**TEMPLATES, **PUBLIC_TEMPLATES}[template]
        fitting = [name for name in self.pages if fnmatch.fnmatchcase(name, pattern)]
        return max(fitting, key=lambda name: (len(self.pages[name].kinds), -len(self.pages[name].text), name))

    @property
    def of_a_folder(self) -> list[str]:
        """The pages that are as they should be when read from a folder.

        That of a lost address is none where it leads from the root of a server. The reference has no text
        of the log.
        """
        lost = {"404.html"} if self.address else set()
        return [name for name in self.pages if name not in lost and not name.startswith("format/")]

    def url(self, name: str) -> str:
        """The address of a file from `file://`."""
        return (self.folder / name).as_uri()


def copy_log(log: Path, to: Path) -> Path:
    """A log without what was compiled from it, its files in an order and of an age of their own."""
    for path in sorted(log.rglob("*"), reverse=True):
        inner = path.relative_to(log)
        if path.is_file() and inner.parts[0] not in ("private", "site"):
            (to / inner).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(path, to / inner)
    return to


def buildlog(*arguments: str | Path, environment: Mapping[str, str] | None = None) -> str:
    """Run the tool as its user does, in a process of its own; what it prints. Its failure is an error."""
    done = subprocess.run(
        [sys.executable, "-m", "buildlog", *arguments],
        env={**os.environ, "PYTHONPATH": str(REPOSITORY), **(environment or {})},
        capture_output=True,
        text=True,
        check=False,
        timeout=500,
    )
    assert done.returncode == 0, f"{arguments}: exit status {done.returncode}\n{done.stdout}\n{done.stderr}"
    return done.stdout


def compile_one(
    log: Path, out: Path, edition: str = "shop", environment: Mapping[str, str] | None = None
) -> Edition:
    """Compile one edition of a log into a folder of its own in `out`."""
    buildlog("compile", log, "--edition", edition, "--out", out, environment=environment)
    return Edition(log, out / edition)

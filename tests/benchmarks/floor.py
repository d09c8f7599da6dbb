"""The floor: one process that only reads, parses the header, renders the Markdown and one page, and writes.

    python -m tests.benchmarks.floor LOG OUT

The page is the theme's page of an entry with the header's facts and the prose, and nothing that has to be
known from anywhere else: what any program would do that made these pages one by one.
"""

from __future__ import annotations

import sys
from pathlib import Path

import yaml

from buildlog.pages.frame import Block, Detail, Link, Page, Prose
from buildlog.pages.sheets import EntrySheet
from buildlog.printroom.press import Press
from buildlog.works.theme import theme_folder

SHEETS = tuple(Link(name, f"{name.lower()}/index.html") for name in ("Entries", "Parts", "Tasks", "People"))


def main(log: Path, out: Path) -> None:
    """Do it."""
    press = Press(theme_folder())
    out.mkdir(parents=True)
    for path in sorted((log / "entries").rglob("*.md")):
        text = path.read_text("utf-8")
        _, header, body = text.split("---\n", 2)
        head = yaml.load(header, Loader=yaml.CSafeLoader)
        title, day = head["title"], str(head["date"])
        facts = (Detail("People", tuple(Link(person) for person in head["people"])),)
        sheet = EntrySheet(
            block=Block(project="Floor", number=path.stem, title=title, edition="shop", sheets=SHEETS),
            day=day,
            weekday="Day",
            month=Link(day[:7], f"entries/{day[:7]}.html"),
            facts=facts,
            prose=Prose(body),
        )
        page = press.press(Page(f"entries/{path.stem}.html", "entry.html", sheet))
        (out / f"{path.stem}.html").write_bytes(page)


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))

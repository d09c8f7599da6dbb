"""A made log of any size, the same for the same seed. Invented data, for measuring only."""

from __future__ import annotations

import datetime
import random
from pathlib import Path

WORDS = """
spar rib glue clamp plywood gusset scarf trim sand fit drill ream bolt washer bracket wing panel edge leading
trailing tip root aileron cable pulley bench jig line level square check dry set cure mix coat brush varnish
fabric tape rib stitch wrap iron shrink weld tack tube cluster primer paint bearing shim wheel axle brake hose
fitting tank filter pump wire clip mount frame longeron bulkhead floor seat the a and then with on under after
before slowly again twice morning evening cold warm good better enough
""".split()

SETTINGS = """\
format = 1

[project]
title = "Measured"
about = "A log made for measuring"
zone = "Europe/Oslo"

[people.ada]
name = "Ada Invented"
public = "Ada"
roles = ["builder"]

[people.bo]
name = "Bo Invented"
roles = ["builder"]

[people.ins]
name = "I. Invented"
roles = ["inspector"]
"""

FIRST_DAY = datetime.date(2015, 1, 3)


def make_log(folder: Path, entries: int, seed: int = 57, an_item_every: int = 5) -> None:
    """Write a log of so many entries below a new folder: 350 words, two work lines, three records,
    one photo reference each, and an item for every five entries, or for every so many."""
    rng = random.Random(seed)
    folder.mkdir(parents=True)
    (folder / "buildlog.toml").write_text(SETTINGS, "utf-8")
    items = max(entries // an_item_every, 10)
    parts = _parts(items)
    (folder / "parts.csv").write_text("\n".join(["number,name,class,items,parent,system", *parts]) + "\n")
    tasks = max(entries // 40, 5)
    rows = [f"T-{n},Task {n},woodwork,,{f'T-{n - 1}' if n > 1 else ''},12" for n in range(1, tasks + 1)]
    (folder / "tasks.csv").write_text(
        "\n".join(["task,title,discipline,milestone,after,estimate", *rows]) + "\n"
    )
    names = _item_names(items)
    for number in range(entries):
        date = FIRST_DAY + datetime.timedelta(days=number * 4000 // entries)
        path = folder / "entries" / f"{date.year}" / f"{date}-session-{number:05d}.md"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(entry(rng, number, date, names, tasks), "utf-8")


def entry(rng: random.Random, number: int, date: datetime.date, names: list[str], tasks: int) -> str:
    """The text of one entry."""
    item, other = names[number % len(names)], names[(number * 7 + 3) % len(names)]
    hour = 17 + number % 4
    return f"""\
---
date: {date}
start: {hour}:{number % 60:02d}
title: Session {number} on {item}
people: [ada, bo]
place: Workshop
conditions: 20 °C, 50 % RH
work:
  - task: T-{number % tasks + 1}
    parts: {item}
    kind: woodwork
    hours: 1.5 each
  - task: T-{(number * 3) % tasks + 1}
    parts: [{item}, {other}]
    kind: bonding
    hours: 2 total
records:
  - {"made" if number < len(names) else "modified"}: {item}
  - measured: {item}
    what: gap
    value: 0.{number % 9 + 1} mm
    limits: 1 mm max
  - inspected: {item}
    stage: to-drawing
    by: ins
    result: accepted
media:
  - file: {date.year}/photo-{number:05d}.jpg
    shows: {item}
    caption: The {rng.choice(WORDS)} after the {rng.choice(WORDS)}
---
{prose(rng, item, other)}"""


def prose(rng: random.Random, item: str, other: str) -> str:
    """About 350 words of Markdown: paragraphs, a list, emphasis, names that become links."""

    def words(count: int) -> str:
        chosen = [rng.choice(WORDS) for _ in range(count)]
        chosen[count // 2] = f"*{chosen[count // 2]}*"
        return " ".join(chosen).capitalize() + "."

    paragraphs = [
        f"{words(40)} {item} {words(30)}",
        f"{words(70)}",
        f"- {words(15)}\n- {words(15)} See {other}.\n- {words(15)}",
        f"{words(60)} **{rng.choice(WORDS)}** {words(40)}",
        f"## {rng.choice(WORDS).capitalize()}\n\n{words(60)}",
    ]
    return "\n\n".join(paragraphs) + "\n"


def _parts(items: int) -> list[str]:
    rows = ["M-00-0000,Aircraft,hardware,,,53"]
    for group in range((items + 9) // 10):
        rows.append(f"M-57-{group:04d}0,Assembly {group},assembly,,M-00-0000,57")
        rows.extend(
            f"M-57-{group:04d}{n},Part {group}.{n},general,L R,M-57-{group:04d}0,57" for n in range(1, 5)
        )
    return rows


def _item_names(items: int) -> list[str]:
    names = [
        f"M-57-{group:04d}{n}/{side}"
        for group in range((items + 9) // 10)
        for n in range(1, 5)
        for side in ("L", "R")
    ]
    return names[:items]

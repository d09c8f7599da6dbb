"""`begin`: lay out a new log that compiles at once and shows by example how it is written."""

from __future__ import annotations

import datetime
from pathlib import Path

from buildlog.works.standing import Refused

_SETTINGS = """\
format = 1

[project]
title = "{title}"
about = "What it is, in one sentence"
# where it is built: new entries are dated by it
{zone}
# The people. The key is what entries use: initials, say, but no common word, because pages for the public may
# not hold it. The public reads `public`, or "a builder" without it.
[people.yn]
name   = "Your Name"
# public = "Your"
roles  = ["builder"]

[people.insp1]
name   = "Inspector's Name"
roles  = ["inspector"]

# What tasks lead to.
[milestones.first-taxi]
title = "First taxi"

# The public edition holds the entries, parts and tasks that say `audience: public`, and nothing else;
# `buildlog meaning editions` says what of them.
# [editions.public]
# address    = "https://example.org/where-it-will-stand/"
# declassify = ["hours", "readiness"]

# Stages, classes and kinds of work may be added; `buildlog meaning stages` says how.
"""

_PARTS = """\
number,name,class,items,parent,system
P-00-0001,Aircraft,hardware,,,
P-57-0001,Wing,assembly,L R,P-00-0001,57
P-57-0002,Main spar,critical,L R,P-57-0001,57
P-57-0003,Rib,general,12,,57
"""

_TASKS = """\
task,title,discipline,milestone,after,estimate,low,high,parts
WING-1,Make the ribs,woodwork,first-taxi,,24,18,40,P-57-0003
WING-2,Make the spars,woodwork,first-taxi,,40,30,60,P-57-0002
WING-3,Assemble the wings,woodwork,first-taxi,WING-1 WING-2,30,20,50,P-57-0001
"""

_ENTRY = """\
---
date: {date}
title: The log is begun
people: yn
work:
  - task: WING-1
    parts: P-57-0003/1
    kind: woodwork
    hours: 1:30
records:
  - made: P-57-0003/1
---
The first rib, P-57-0003/1, came out of the jig today. Write what was done as you would tell it; a part or
a task that is named becomes a link by itself.

~~~ shop only
A passage like this one is read in the shop and nowhere else.
~~~
"""

_NOTE = """\
Notes on a part go into `parts/NUMBER.md` and are shown on its page.
"""

_GITIGNORE = """\
# made by buildlog
site/
private/

# words that no edition below the shop may hold
secrets.txt
"""


def begin(folder: Path, title: str, today: datetime.date, zone: str = "") -> tuple[str, ...]:
    """Lay out a log in a folder that is new or empty and return the paths written, relative to it.

    `zone` is the IANA time zone of where it is built, by which `write` dates entries; the settings leave it
    out where it is not known.

    Raises:
        Refused: the folder has something in it, or cannot be written.
    """
    if folder.exists() and (not folder.is_dir() or any(each.name != ".git" for each in folder.iterdir())):
        raise Refused(f"{folder} has something in it already; name a folder that is new or empty")
    told = f'zone  = "{zone}"\n' if zone else '# zone = "Europe/Oslo"\n'
    files = {
        "buildlog.toml": _SETTINGS.format(title=_toml_text(title), zone=told),
        "parts.csv": _PARTS,
        "tasks.csv": _TASKS,
        "parts/P-57-0003.md": _NOTE,
        f"entries/{today.year}/{today}-the-log-is-begun.md": _ENTRY.format(date=today),
        "media/README.txt": "Photographs, clips and documents that entries refer to go here.\n",
        ".gitignore": _GITIGNORE,
    }
    try:
        for name, text in files.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8", newline="\n")
    except OSError as error:
        raise Refused(f"{folder} cannot be written: {error}") from error
    return tuple(files)


def _toml_text(text: str) -> str:
    """Text as it stands between the quotes of a TOML basic string."""
    plain = "".join(" " if ord(char) < 32 or ord(char) == 127 else char for char in text)
    return plain.replace("\\", "\\\\").replace('"', '\\"')

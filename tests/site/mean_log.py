"""A log that is meant to break pages: names, prose and people that no program likes, all of them allowed."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

from PIL import Image

RUN = "window.ran=1"
"""What every hostile text tries to do. No page may ever have `window.ran`."""

MARKUP = f'<img src=x onerror="{RUN}">'
LONG_WORD = "counterclockwise" * 30

NUMBERS = (
    'A/B#C?D%:"<>|',
    "A/B",
    "TN 3 spaced  twice",
    ".leading",
    "trailing.",
    "X" * 200,
    "Ø-Å-零件-ñ",
    "CON",
    "aux",
    "LPT1.txt",
    "case-x",
    "CASE-X",
    "index",
    "TREE",
    "DIR.HTML",
    "DIR",
    "..",
    "%2e%2e",
    "a\\b",
    "a&amp;b",
    f"<script>{RUN}</script>",
    f"'\"><svg onload={RUN}>",
    "javascript:window.ran=1",
    "{{ 7*7 }}{% raw %}",
    "=1+1",
    "+SUM(A1)",
    "-2+3",
    "@cmd",
    "'quoted",
    "1E5",
    "007",
    "NO",
    "~",
)
"""Numbers of parts. Windows, macOS and Linux rules for names (see `buildlog/pages/address.py`), HTML, URLs,
CSV formulas (OWASP, "CSV Injection"), and words that YAML would take for something else."""

PEOPLE = {
    "ann": f'Ann "Nuts" O\'Neil {MARKUP}',
    "aux": "</title><script>window.ran=1</script>",
    "zoe": "Zoë Æ. 零",
    "long": LONG_WORD,
}


def write_mean_log(root: Path) -> Path:
    """Write it and return its folder."""
    root.mkdir(parents=True)
    _put(root, "buildlog.toml", _settings())
    _put(root, "parts.csv", _parts())
    tasks = [[each, f"Task {each}", MARKUP] for each in ("T/1", "t/1", "=2+2", "nul", f"<b>{RUN}")]
    _put(root, "tasks.csv", _table(["task", "title", "discipline"], tasks))
    lots = [["L<1>", MARKUP, "2026-12-31"], ["con", "Glue", ""], ["@L", "Varnish", ""]]
    _put(root, "lots.csv", _table(["lot", "material", "expires"], lots))
    _put(root, "tools.csv", _table(["tool", "name", "due"], [["T?1", f'Wrench "{MARKUP}"', "2026-12-31"]]))
    _put(root, "parts/CON.md", f"Notes with `{MARKUP}` and {LONG_WORD}.\n")
    (root / "media").mkdir()
    for name in ("spar & rib #1.jpg", "Ø零.png", "wide.jpg"):
        size = (4000, 60) if name == "wide.jpg" else (90, 60)
        Image.new("RGB", size, (180, 150, 110)).save(root / "media" / name)
    (root / "media" / "broken.jpg").write_bytes(b"\xff\xd8 no photo")
    _put(root, "media/page.html", f"<script>{RUN}</script>")
    _put(root, "media/drawing.svg", f'<svg xmlns="http://www.w3.org/2000/svg" onload="{RUN}"/>')
    for name, text in _entries().items():
        _put(root, f"entries/{name}.md", text)
    return root


ADDRESS = "https://example.org/the%20log/a&b"
"""Where the public edition of the mean log would stand: without a slash behind it."""

HIDDEN = (
    "Quentin Averill",
    "Resinhouse",
    "SER-99120",
    "IMG_4711",
    "DSC_0815",
    "DSC_0816",
    "K-7001",
    "Nimbus",
)
"""Words of that log which its public edition must not hold: none of them stands in a public text."""


def write_mean_public_log(root: Path) -> Path:
    """A log whose every public text is hostile, and where nothing hidden equals any of them."""
    root.mkdir(parents=True)
    _put(root, "buildlog.toml", _public_settings())
    heads = ["number", "name", "items", "parent", "system", "audience", "supplier"]
    rows = []
    for at, number in enumerate(NUMBERS):
        parent = NUMBERS[at - 1] if 0 < at < 14 else "" if at == 0 else NUMBERS[0]
        name = LONG_WORD if at == 9 else f"{at} {MARKUP} {number}"
        items = "L R" if at == 0 else "3" if at % 5 == 0 else ""
        rows.append([number, name, items, parent, MARKUP, "public", "Resinhouse"])
    rows.append(["K-7001", "Nimbus", "", NUMBERS[0], "", "", ""])
    _put(root, "parts.csv", _table(heads, rows))
    keys = ("T/1", "t/1", "=2+2", "nul", f"<b>{RUN}", LONG_WORD[:200])
    tasks = [[key, f"{key} {MARKUP}", MARKUP, f"m{at // 5}", "8", "public"] for at, key in enumerate(keys)]
    heads = ["task", "title", "discipline", "milestone", "estimate", "audience"]
    _put(root, "tasks.csv", _table(heads, tasks))
    _put(root, "parts/CON.md", f"# {LONG_WORD}\n\nNotes with `{MARKUP}`, A/B and **{LONG_WORD}**.\n")
    (root / "media").mkdir()
    for shade, name in enumerate(("IMG_4711.jpg", "DSC_0815.png", "DSC_0816.jpg")):
        size = (4000, 60) if shade == 2 else (90, 60)
        Image.new("RGB", size, (180, 150, 60 * shade)).save(root / "media" / name)
    for name, text in _public_entries().items():
        _put(root, f"entries/{name}.md", text)
    return root


def _public_settings() -> str:
    lines = ["format = 1", "[project]", f"title = {_quoted('Mean </title>' + MARKUP)}"]
    lines += [f"about = {_quoted('About ' + MARKUP + ' ' + LONG_WORD)}"]
    for at, (key, name) in enumerate(PEOPLE.items()):
        lines += [f"[people.person-{key}]", f'name = "Quentin Averill {at}"', f"public = {_quoted(name)}"]
        lines += ['roles = ["builder"]', f'contact = "person{at}@example.net"']
    lines += ["[people.person-unnamed]", 'name = "Quentin Averill"', 'roles = ["builder"]']
    for at, title in enumerate((MARKUP, f"</script>{LONG_WORD}")):
        lines += [f"[milestones.m{at}]", f"title = {_quoted(title)}", f"needs = {['m0'] if at else []}"]
    lines += ["[editions.public]", f"address = {_quoted(ADDRESS)}"]
    lines += ['declassify = ["hours", "readiness", "inspection-status", "people-count"]']
    return "\n".join(lines) + "\n"


def _public_entries() -> dict[str, str]:
    people = ", ".join(f"person-{key}" for key in (*PEOPLE, "unnamed"))
    told = {}
    for day in range(1, 29, 3):
        # sessions enough for hours to be let through, in two months that are over
        for month in ("2025-11", "2026-01"):
            told[f"{month}-{day:02d}-{'Sub & #' if day % 2 else 'con'}"] = f"""\
---
title: {_quoted(f"{day} </title><script>{RUN}</script>" if day % 2 else LONG_WORD)}
audience: public
people: [{people}]
present: [person-ann]
work:
  - task: {_quoted(("T/1", "t/1", "=2+2", "nul", f"<b>{RUN}")[day % 5])}
    parts: [{_quoted(NUMBERS[0] + "/L")}, {_quoted(NUMBERS[day])}]
    hours: 1.5 each
media:
  - file: {("IMG_4711.jpg", "DSC_0815.png", "DSC_0816.jpg")[day % 3]}
    shows: {_quoted(NUMBERS[day])}
    caption: {_quoted(MARKUP if day % 2 else LONG_WORD)}
---
{MARKUP.replace("<", "&lt;")} {NUMBERS[0]} and {LONG_WORD}.
"""
    told["2026-02-01-nothing"] = "---\naudience: public\n---\n"
    told["2026-02-02-prose"] = f"""\
---
audience: public
media:
  - file: DSC_0816.jpg
  - file: IMG_4711.jpg
    caption: |
      {MARKUP}

      ~~~ shop only
      Resinhouse
      ~~~
---
{_prose("2026-02-01-nothing.md")}

And ![an "alt" onerror={RUN}](../media/DSC_0816.jpg "t\\" onerror={RUN}")
[the picture][there]

[there]: ../media/IMG_4711.jpg
"""
    told["2026-02-03-end"] = (
        "---\naudience: inspector\nrecords:\n  - received: CON\n    serial: SER-99120\n---\n"
    )
    return told


def write_empty_log(root: Path) -> Path:
    """A log with nothing in it but its settings."""
    root.mkdir(parents=True)
    _put(root, "buildlog.toml", 'format = 1\n\n[project]\ntitle = "Empty"\n')
    return root


def _put(root: Path, name: str, text: str) -> None:
    path = root / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, "utf-8", newline="")


def _table(heads: list[str], rows: list[list[str]]) -> str:
    text = io.StringIO()
    csv.writer(text).writerows([heads, *rows])
    return text.getvalue()


def _settings() -> str:
    lines = ["format = 1", "[project]", f"title = {_quoted('Mean </title>' + MARKUP)}"]
    lines += [f"about = {_quoted('About ' + MARKUP + ' ' + LONG_WORD)}"]
    for key, name in PEOPLE.items():
        lines += [f"[people.{key}]", f"name = {_quoted(name)}", 'roles = ["builder"]']
    lines += ["[people.okafor]", 'name = "J. Okafor"', 'roles = ["inspector"]']
    lines += ["[stages.mean]", f"title = {_quoted(MARKUP)}", 'undone_by = ["modified"]']
    lines += ["[classes.mean]", 'stages = ["mean", "to-drawing"]']
    lines += ["[milestones.mean]", f"title = {_quoted(MARKUP)}", 'items = ["CON"]']
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def _parts() -> str:
    heads = ["number", "name", "class", "items", "parent", "drawing"]
    rows = [[NUMBERS[0], MARKUP, "mean", "L R", "", f"D {MARKUP}"]]
    for at, number in enumerate(NUMBERS[1:], start=1):
        parent = NUMBERS[at - 1] if at < 14 else NUMBERS[0]
        rows.append(
            [number, f"Part {at} {number}", "mean" if at % 2 else "", "2" if at % 5 == 0 else "", parent, ""]
        )
    rows[9][1] = LONG_WORD
    return _table(heads, rows)


def _entries() -> dict[str, str]:
    return {
        "2026-01-01-nothing": "",
        "2026-01-02-blank": "\n\n",
        "2026-01-03-header-alone": "---\ndate: 2026-01-03\n---\n",
        "Sub dir/2026-01-04-Ünïcode & (odd) #name": "Prose alone.\n",
        "2026-01-05-aux": _work(),
        "2026-01-06-records": _records(),
        "2026-01-08-prose": _prose(),
    }


def _work() -> str:
    return f"""\
---
title: {_quoted(f"</title><script>{RUN}</script>")}
people: [ann, aux, zoe, long]
place: {_quoted(MARKUP)}
conditions: {_quoted(LONG_WORD)}
work:
  - task: "=2+2"
    parts: [{_quoted(NUMBERS[0] + "/L")}, CON]
    kind: {_quoted(MARKUP)}
    hours: 1:20 each
    note: {_quoted(MARKUP)}
completes: "T/1"
---
All four.
"""


def _records() -> str:
    made = "\n".join(f"  - made: {_quoted(number)}" for number in NUMBERS[1:])
    markup, first, left = (_quoted(each) for each in (MARKUP, NUMBERS[0], NUMBERS[0] + "/L"))
    return f"""\
---
people: [ann]
records:
{made}
  - made: {first}
    lots: ["L<1>", con]
    serial: {markup}
  - inspected: {left}
    stage: mean
    by: okafor
    result: accepted
    note: {markup}
  - installed: {left}
    on: CON
  - measured: aux
    what: {markup}
    value: 0.4 mm
    tool: "T?1"
  - nonconformance: 007/1
    id: {_quoted("NC/" + MARKUP)}
    description: {_quoted(LONG_WORD)}
  - modified: CON
    date: 2026-01-07
  - measured: aux
    what: {markup}
    value: 0.6 mm
    limits: 0.5 mm max
    date: 2026-01-07
  - torqued: aux
    fastener: {markup}
    thread: {markup}
    nut: {_quoted(LONG_WORD)}
    value: 60 in-lb
  - torqued: aux
    fastener: {_quoted(LONG_WORD)}
    thread: 1/4-28
    nut: shear
    value: "> 35 in-lb"
media:
  - file: "spar & rib #1.jpg"
    shows: {first}
    caption: {markup}
  - file: Ø零.png
    caption: {_quoted(LONG_WORD)}
  - file: wide.jpg
  - file: broken.jpg
  - file: missing.jpg
  - file: page.html
  - file: drawing.svg
---
Names: {" and ".join(NUMBERS[:6])}, CON, case-x, CASE-X.

![an "alt" onerror={RUN} {LONG_WORD}](../media/wide.jpg "t\\" onerror={RUN}")
"""


def _prose(entry: str = "2026-01-01-nothing.md") -> str:
    cells = "|".join(["a wide cell that does not end"] * 14)
    deep = "".join(f"{'  ' * depth}- level {depth}\n" for depth in range(8))
    return f"""\
# Heading one

###### Heading six

# Heading one

`{MARKUP}` and `</code><script>{RUN}</script>`

```html
<script>{RUN}</script>
</pre></code>{MARKUP}
```

    <script>{RUN}</script>

{LONG_WORD}

`{LONG_WORD}`

1 < 2 & 3 > 2, &lt;script&gt;{RUN}&lt;/script&gt; &amp;amp; &#60;b&#62;
javascript:{RUN} {{{{ 7*7 }}}} {{% x %}}

[a link](<https://example.org/?a="b"&c=%3Cd%3E> "title \\" onmouseover={RUN}"), <https://example.org/?x=1&y='2'>

[another entry]({entry}), [a mail](mailto:someone@example.org?subject=%22%3E)

| {cells} |
|{":-:|" * 14}
| {cells} |

{"> " * 8}deep

{deep}
---

~~~ shop only
Fenced.
~~~
"""

"""The floor: one process that only reads, parses the header, renders the Markdown and one page, and writes.

python -m tests.benchmarks.floor LOG OUT
"""

from __future__ import annotations

import sys
from pathlib import Path

import jinja2
import markupsafe
import yaml

from buildlog.model.prose import parser

PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>{{ head.title }}</title></head>
<body><main><h1>{{ head.title }}</h1><dl><dt>Date</dt><dd>{{ head.date }}</dd>
<dt>People</dt><dd>{% for person in head.people %}{{ person }} {% endfor %}</dd></dl>
<article>{{ prose }}</article></main></body></html>
"""


def main(log: Path, out: Path) -> None:
    """Do it."""
    template = jinja2.Environment(autoescape=True).from_string(PAGE)
    markdown = parser()
    out.mkdir(parents=True)
    for path in sorted((log / "entries").rglob("*.md")):
        text = path.read_text("utf-8")
        _, header, body = text.split("---\n", 2)
        head = yaml.load(header, Loader=yaml.CSafeLoader)
        page = template.render(head=head, prose=markupsafe.Markup(markdown.render(body)))
        (out / f"{path.stem}.html").write_text(page, "utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))

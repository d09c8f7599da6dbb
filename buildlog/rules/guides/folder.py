"""The folder of a log."""

NAME = "folder"
TITLE = "The folder of a log"
TEXT = """
A log is one folder of text files and media, format 1:

```
mylog/
  buildlog.toml            settings: project, people, stages, classes, milestones, editions
  parts.csv                the parts list
  tasks.csv                the task list
  lots.csv  tools.csv      optional: lots of material, tools with their calibration
  parts/NUMBER.md          optional: notes on one part, shown on its page
  entries/**/YYYY-MM-DD-anything.md
  media/**                 photos, clips, documents
  secrets.txt              optional: words that no edition below the shop may hold, one a line
```

Text files are UTF-8. A byte order mark and CRLF are tolerated; UTF-16, NUL bytes and tabs in a
header are errors. The lists are CSV (RFC 4180); a semicolon as separator is tolerated.

Keep `secrets.txt` out of what you share. The public edition goes to `site`, the one folder to
upload; the others to `private/shop` and `private/inspector`. Beside those, `private/kept` holds what
the tool keeps between runs so that the next is quick: it may be deleted at any time, and is made
anew. `private/` is as private as the log: keep it off the web and out of git.

Nothing in a log is ever changed by the tool. Mistakes are corrected as on paper: a later record
`voided` strikes an earlier one through, and both stay.
It names all that the earlier one is about; `buildlog meaning voided` says who may strike what.
"""

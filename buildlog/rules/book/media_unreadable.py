"""A photo that cannot be opened proves nothing, and is easiest to replace while the camera has it.

Basis: 14 CFR 91.417, taken as a model, on how long records are kept; that a record must be readable to be
one is common practice, no source.

Flagged: a file below media/ that an entry refers to, in `media` or as the `document` of a record, and
that is missing, or cannot be read, or is not what its name says. One finding a file, naming every entry
that refers to it.

Cleared by: the file put in its place, whole, or the reference taken out.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.reckoning.knowledge import Frame
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import MediaUse, Subject
from buildlog.rules.wording import listing

NAME = "media-unreadable"
GRADE = "minor"
SUBJECT = Subject.MEDIUM


def check(use: MediaUse, _frame: Frame) -> Iterator[Finding]:
    """Yield one finding for a file that cannot be shown."""
    entries = list(dict.fromkeys(rest.entry for rest in use.rests))
    yield Finding(
        rule=NAME,
        grade=Grade.MINOR,
        message=f"media/{use.file.file}: {use.file.problem.rstrip('.')} (named in {listing(entries)}).",
        why="What it was to show cannot be seen.",
        clears="The file put in its place, whole, or the reference taken out.",
        medium=use.file.file,
        entry=entries[0],
        rests=use.rests,
    )

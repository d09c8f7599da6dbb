"""Two dates on one page, and whoever looks for the session in its folder looks in the wrong place.

Basis: AC 20-27G asks for documentation in sequence; the rest is common practice, no source.

Flagged: an entry whose file name begins with one date and whose header gives another. The header counts.

Cleared by: the file renamed, or the header's date put right.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.reckoning.knowledge import EntryStory, Frame
from buildlog.rules.finding import Finding, Grade, Rest
from buildlog.rules.subjects import Subject

NAME = "file-date-differs"
GRADE = "observation"
SUBJECT = Subject.ENTRY


def check(story: EntryStory, _frame: Frame) -> Iterator[Finding]:
    """Yield one finding where file name and header disagree."""
    entry = story.entry
    if not entry.header_date or entry.file_date is None or entry.file_date == entry.date:
        return
    yield Finding(
        rule=NAME,
        grade=Grade.OBSERVATION,
        message=f"The file name says {entry.file_date}, the header {entry.date}; the header counts.",
        why="The entry is filed under another day than the one it is shown on.",
        clears="The file renamed, or the header's date put right.",
        entry=entry.key,
        rests=(Rest(entry.key, "entry", 0, entry.date, entry.where),),
    )

"""What was put off until later is forgotten by exactly the day on which it was to be looked at.

Basis: common practice, no source: a deferred item carries the day or the event by which it is to be settled.

Flagged: a deferral by an engineer or inspector that is past its day (the day itself is good) or whose
milestone is reached, where the finding that it held back is there again and no later deferral holds it.
Where that was settled meanwhile, there is nothing to say. A deferral by somebody who is neither never held
anything back. One finding a deferral.

Cleared by: whatever clears the finding; or a new deferral, with a reason and a new day.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.model.records import Deferred
from buildlog.reckoning.knowledge import Frame
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Returned, Subject, rest_on
from buildlog.rules.wording import by, listing

NAME = "deferral-lapsed"
GRADE = "minor"
SUBJECT = Subject.RETURNED


def check(returned: Returned, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for a deferral that no longer holds what it held back."""
    event, record = returned.event, returned.event.record
    if not isinstance(record, Deferred):
        return
    stages = listing(sorted({each.stage for each in returned.findings if each.stage}))
    until = record.until if record.until not in frame.milestones_reached else f"{record.until}, now reached"
    yield Finding(
        rule=NAME,
        grade=Grade.MINOR,
        message=f"The finding `{record.rule}`{f' ({stages})' if stages else ''} was put off on"
        f" {event.moment.day}{by(event.people, frame)} until {until}, and is there again:"
        f" {record.reason.rstrip('.')}.",
        why="The time that was given for it is over.",
        clears=f"What clears `{record.rule}`, or a new deferral.",
        item=returned.findings[0].item,
        part=returned.findings[0].part,
        entry=event.entry,
        rests=(rest_on(event), *dict.fromkeys(rest for each in returned.findings for rest in each.rests[:1])),
    )

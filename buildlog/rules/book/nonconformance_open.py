"""Something is known not to conform, and nobody with the authority has said what becomes of it.

Basis: ISO 9001 and AS9100 practice: a nonconformance is dispositioned as use-as-is, rework, repair, scrap
or return, by somebody with the authority to decide, and the decision is recorded.

Flagged: a nonconformance of the present article that is open. It is open until an engineer or inspector
decides, within the dates of their authority. After `rework` or `repair` it stays open until an accepted
inspection or a passed test `clears` it by its number; after `scrap` or `return`, until a record says that
this was done. Use-as-is closes it; that, and a repair, stay visible for good, as a departure. While it is
open, every stage of the article is on hold.
So is an item that a lot of material went into which is itself on hold, was rejected, failed a test or was
damaged, with nothing since that passed it; thrown away or not, what was used of it is still there.

Cleared by: the disposition; for rework and repair, the inspection or test with `clears`.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.reckoning.knowledge import Frame, ItemStory
from buildlog.reckoning.nonconformance import Case
from buildlog.rules.cases import cases_of
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.lots_held import held_lots
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import by

NAME = "nonconformance-open"
GRADE = "major"
SUBJECT = Subject.ITEM

_CLEARS = {
    "": "A disposition by an engineer or inspector.",
    "rework": "An accepted inspection or a passed test that clears it, after the rework.",
    "repair": "An accepted inspection or a passed test that clears it, after the repair.",
    "scrap": "A record that the article was scrapped.",
    "return": "A record that the article was returned.",
}


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each open nonconformance, of the item or of a lot in it."""
    yield from held_lots(story, frame)
    for case in cases_of(story, frame):
        if case.open:
            decided = (rest_on(case.decided),) if case.decided else ()
            yield Finding(
                rule=NAME,
                grade=Grade.MAJOR,
                message=_message(case, frame),
                why="The article does not conform, and is on hold until this is settled.",
                clears=_CLEARS[case.decision],
                item=story.item,
                entry=case.raised.entry,
                rests=(rest_on(case.raised), *decided),
            )


def _message(case: Case, frame: Frame) -> str:
    record = case.raised.record
    described = getattr(record, "description", "")
    what = f": {described.rstrip('.')}" if described else ""
    raised = (
        f"Nonconformance {case.id}, raised on {case.raised.moment.day}{by(case.raised.people, frame)}{what}"
    )
    if case.decided is None:
        return f"{raised}, has no disposition by an engineer or inspector."
    left = "not cleared yet" if case.decision in ("rework", "repair") else "not done yet"
    return f"{raised}, was decided on {case.decided.moment.day} ({case.decision}) and is {left}."

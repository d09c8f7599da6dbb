"""A part that nobody looked at may be built wrong, and the longer it waits, the less can be seen.

Basis: amateur-built practice asks that the log show at what points the project was inspected and by whom,
with photographs before covering (FAA Order 8130.2F, paragraph 147, as a magazine reports it; AC 20-27G on
continuous documentation). Which inspections are asked for is up to the log's own classes.

Flagged: an article that exists, and a stage that its class asks for, without any inspection of that
stage. It is major when the stage is due, and an observation before. A stage is due at once, or, with
`before`, when its milestone is reached. Parts kept by lot are never flagged. An acceptance by somebody
without authority, or by who built it, has a finding of its own. So has a stage that is due before closing
once the item was closed or hidden without it: `closed-before-inspection` says so in this one's stead, since
what is now in the way of a look is the closing, and the look alone would not clear it.

Cleared by: an inspection of that stage, or a passed test that names it.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.reckoning.knowledge import Frame, ItemStory
from buildlog.rules.beginnings import begun
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject
from buildlog.rules.wording import stage_name

NAME = "never-inspected"
GRADE = "major when due, observation before"
SUBJECT = Subject.ITEM


def check(story: ItemStory, _frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each stage asked for that has no inspection."""
    article = story.chronicle.present
    if article is None or story.class_.bulk:
        return
    for status in story.stages:
        if not status.asked or status.inspections or status.unseen:
            continue
        first = begun(article)
        name = stage_name(status.stage)
        yield Finding(
            rule=NAME,
            grade=Grade.MAJOR if status.due else Grade.OBSERVATION,
            message=f"It was never inspected for {name}."
            if status.due
            else f"It is still to be inspected for {name}{_before(status.stage.before)}.",
            why="Nobody but its builder has vouched for it, and what is covered later can no longer be seen.",
            clears=f"An inspection of the stage {status.stage.key} by somebody who may do it.",
            item=story.item,
            stage=status.stage.key,
            entry=first.entry,
            rests=(first,),
        )


def _before(before: str) -> str:
    return ", before it is closed" if before == "closed" else f", before {before}"

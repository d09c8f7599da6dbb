"""What is behind a skin can no longer be looked at, and whoever signs later signs for what they did not see.

Basis: amateur-built practice asks that the log show at what points the project was inspected and by whom,
with photographs before covering (FAA Order 8130.2F, paragraph 147, as a magazine reports it). Which stages
come before closing up is the log's own setting, `before = "closed"`.

Flagged: an item that was closed, or that a closing above it hid, while a stage that its class asks for
before closing was not current: never looked at, rejected, undone, passed in part, by too few or by somebody
who may not, or on hold. An acceptance written after the closing, of what was still shut away, changes
nothing. It is minor where the log leaves open which came first, or whether the closing hid it. One finding
an item and stage, however many closings; it points at the last. `never-inspected` is silent beside it: of
a stage nobody looked at, the closing is the graver thing to say, and it asks for more. A rejection, or an
event that undid an acceptance before the closing, rests on a record of its own and keeps its own finding.

Cleared by: the area opened, or the item taken out, and the stage passed then, before it is closed again.
Closed again without that, it is flagged for the new closing. Or a deferral by an engineer or inspector.
It does not wait for the closing after the pass: what is open and was passed in sight hides nothing, it may
stay open or on the bench for good, and a finding that stood until it is closed would answer "may it be
closed up?" with no on the one day when it may. The next closing is judged for itself.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.reckoning.knowledge import Frame, ItemStory, StageStatus, Status, Unseen
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import by, stage_name

NAME = "closed-before-inspection"
GRADE = "major; minor where the log leaves the order open"
SUBJECT = Subject.ITEM

_THEN = {
    Status.NONE: "nobody had passed it for {}",
    Status.REJECTED: "it was rejected for {}",
    Status.UNDONE: "its acceptance for {} had been undone",
    Status.UNCLEAR: "it was unclear whether its acceptance for {} counted",
    Status.PARTIAL: "it was passed for {} only in part, or by too few",
    Status.ON_HOLD: "it was on hold, so not passed for {}",
}


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each stage before closing that was not current when it was closed up."""
    if story.class_.bulk:
        return
    for status in story.stages:
        if status.unseen:
            yield _finding(story, status, frame)


def _finding(story: ItemStory, status: StageStatus, frame: Frame) -> Finding:
    worst = [each for each in status.unseen if each.sure] or list(status.unseen)
    last = max(worst, key=lambda each: each.shut.closing.event.moment.show)
    event = last.shut.closing.event
    closings = {each.shut.closing.event: None for each in (last, *reversed(status.unseen))}
    before = [each for each in status.inspections if each.moment.show < event.moment.show]
    return Finding(
        rule=NAME,
        grade=Grade.MAJOR if last.sure else Grade.MINOR,
        message=_message(last, status, story, frame),
        why="What is shut away cannot be looked at, and nobody is known to have vouched for it.",
        clears=f"The area opened, the stage {status.stage.key} passed, and then closed again."
        if last.sure
        else "Times on both records; or the area opened, the stage passed, and closed again.",
        item=story.item,
        stage=status.stage.key,
        entry=event.entry,
        rests=(*map(rest_on, closings), *map(rest_on, before[-1:])),
    )


def _message(unseen: Unseen, status: StageStatus, story: ItemStory, frame: Frame) -> str:
    shut, event = unseen.shut, unseen.shut.closing.event
    area = shut.closing.area
    own = shut.whole == story.item
    if own:
        subject = f"Its area “{area}” was closed" if area else "It was closed"
    else:
        subject = f"{shut.whole}{f' ({area})' if area else ''} was closed over it"
    done = f"{subject} on {event.moment.day}{by(event.people, frame)}"
    name = stage_name(status.stage)
    if not unseen.sure:
        told = f"{done}, and nothing says whether it had been passed for {name} by then."
        if story.item in shut.closing.unsure:
            told = f"{shut.whole} was closed on {event.moment.day}{by(event.people, frame)}, and nothing says"
            told += f" whether this was inside by then; it was not passed for {name}."
    else:
        told = f"{done}, and {_THEN[unseen.status].format(name)}."
    if shut.out is not None:
        told = f"{told[:-1]}; in sight again since {shut.out.day}, and not passed since then."
    return told

"""A stand-in that is still on when it matters looks like the real thing, and nobody looks for it any more.

Basis: common practice, no source. What serves on the ground only carries a red tag or streamer and is
counted off the aircraft before the milestone that it must not see.

Flagged: an item of a part whose `use` is `not-for-flight` that sits on or in something, by its records or
else by the parts list; and any item whose last `installed` record has an `until`. It is minor until its
milestone, and major once that is reached. Its milestone is the one in `until`; without one it is the last of
the log, those that no other milestone needs. Moves of one day with no order between them leave it perhaps
on, and that is flagged; so does a removal from something else than it was on. On the shelf, scrapped or
never made it is quiet. One finding an item.

Cleared by: a record that it was removed; for a part that stays on for good, one that it was installed
without `until`.
"""

from __future__ import annotations

from collections.abc import Iterator

from buildlog.model.records import Installed
from buildlog.reckoning.clashes import Clash
from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Frame, ItemStory, Stay
from buildlog.reckoning.whereabouts import last_stays
from buildlog.rules.beginnings import begun
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import by

NAME = "not-for-flight-installed"
GRADE = "minor, major once its milestone is reached"
SUBJECT = Subject.ITEM


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield a finding for an item that must come off and may still be on."""
    article = story.chronicle.present
    ground = story.part is not None and story.part.use == "not-for-flight"
    if article is None or not (ground or _until(article.stays[-1]) or len(article.stays) > 1):
        return
    doubted = _doubted(story)
    lasts = last_stays(tuple(stay for stay in article.stays if stay.begun not in doubted))
    on = [stay for stay in lasts if stay.within is not None and (ground or _until(stay))]
    if not on:
        return
    stay = on[-1]
    until = _until(stay)
    due = until in frame.milestones_reached if until else _all_reached(frame)
    rest = begun(article) if stay.begun is None else rest_on(stay.begun)
    yield Finding(
        rule=NAME,
        grade=Grade.MAJOR if due else Grade.MINOR,
        message=_message(stay, frame, ground=ground, due=due, sure=len(on) == len(lasts) and not doubted),
        why="It serves on the ground only, and must not be taken for what belongs there."
        if ground
        else "It was put on for a time, and that ends with its milestone.",
        clears=f"A record that {story.item} was removed"
        + ("." if ground else ", or that it was installed for good, without `until`."),
        item=story.item,
        entry=rest.entry,
        rests=(rest,),
    )


def _message(stay: Stay, frame: Frame, *, ground: bool, due: bool, sure: bool) -> str:
    until = _until(stay)
    what = "It is not for flight, and" if ground else "It was put on for a time only, and"
    if stay.begun is None:
        place = f"is on {stay.within}: the parts list has it there, and no record says otherwise"
    else:
        still = "is" if sure else "may still be"
        put = f"put there on {stay.begun.moment.day}{by(stay.begun.people, frame)}"
        place = f"{still} on {stay.within}, {put}"
    if until:
        limit = f"; it must come off before {until}{', which is reached' if due else ''}"
    else:
        limit = "; the last milestone is reached" if due else ""
    return f"{what} {place}{limit}."


def _doubted(story: ItemStory) -> list[Event]:
    """The removals from elsewhere than where it was: it may be on where it was all the same."""
    return [
        each.event
        for each in story.contradictions
        if each.clash is Clash.NOT_THERE and each.place is not None
    ]


def _until(stay: Stay) -> str:
    record = stay.begun.record if stay.begun else None
    return record.until if isinstance(record, Installed) else ""


def _all_reached(frame: Frame) -> bool:
    return bool(frame.last_milestones) and set(frame.milestones_reached).issuperset(frame.last_milestones)

"""The answers at the head of an item's page: what stands against it, who looked, what happened since.

They stand above the fold of a laptop: each is as short as its question, and says where the rest is. Nothing
here says that anything is fit for use; it says what this log has against it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec

from buildlog.pages import guide as to
from buildlog.pages import words
from buildlog.pages.carried import ending
from buildlog.pages.frame import Link, Remark, Row
from buildlog.pages.guide import Guide
from buildlog.pages.rows import Pointed, Titles
from buildlog.pages.sheets import StageLine
from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import ItemStory, StageStatus, Status

Sentence = tuple[Link, ...]

REASONS = 3
"""How many findings the answer names; the rest are further down the page."""

LINES = 6
"""How many lines the other answers have at most."""


class Answer(msgspec.Struct, frozen=True, kw_only=True):
    """Whether it may be closed up or used, by this log: in a line, and why not."""

    verdict: str
    waits: tuple[str, ...] = ()
    reasons: tuple[Remark, ...] = ()
    further: tuple[Remark, ...] = ()
    says: tuple[Sentence, ...] = ()


def answer(
    guide: Guide, story: ItemStory, remarks: Sequence[Remark], troubled_inside: Sequence[Link], below: str
) -> Answer:
    """What this log has against closing an item up or using it.

    `remarks` are its findings, the most serious first; `troubled_inside` the items in it, however deep, that
    something major stands against; `below` where the rest of its findings are listed.
    """
    held = tuple(each for each in remarks if each.grade.word != "observation" and not each.deferred)
    waits = _waits(guide, story)
    says: list[Sentence] = []
    if troubled_inside:
        says.append((Link("Something major stands against what is inside it: "), *listed(troubled_inside)))
    if len(held) > REASONS:
        says.append((Link(f"{words.counted(len(held) - REASONS, 'more finding')} below", below),))
    return Answer(
        verdict=_verdict(guide, story, held, troubled_inside),
        waits=waits,
        reasons=held[:REASONS],
        further=held[REASONS:],
        says=tuple(says),
    )


def listed(links: Sequence[Link], most: int = LINES) -> tuple[Link, ...]:
    """The first few links of many, and how many more there are."""
    shown: list[Link] = []
    for each in links[:most]:
        shown += [Link(", "), each] if shown else [each]
    if len(links) > most:
        shown.append(Link(f" and {len(links) - most} more"))
    return (*shown, Link("."))


def _waits(guide: Guide, story: ItemStory) -> tuple[str, ...]:
    """The stages still to be passed before something that lies ahead."""
    return tuple(
        f"“{each.stage.title or each.stage.key}” is still to be passed before "
        + ("it is closed up." if each.stage.before == "closed" else f"“{_milestone(guide, each)}”.")
        for each in _ahead(story)
    )


def _ahead(story: ItemStory) -> list[StageStatus]:
    asked = (each for each in story.stages if each.asked and not each.due)
    return [each for each in asked if each.status is not Status.CURRENT]


def _milestone(guide: Guide, each: StageStatus) -> str:
    return guide.milestone(each.stage.before).text


def _verdict(guide: Guide, story: ItemStory, held: Sequence[Remark], troubled_inside: Sequence[Link]) -> str:
    if not story.exists:
        if not story.chronicle.articles:
            return "There is none yet: nothing is recorded of it."
        last = story.chronicle.articles[-1]
        if last.ended is not None and last.ended.kind == "reidentified":
            return f"There is none now. {ending(last)}"
        return "There is none now: the last one is gone."
    majors = sum(each.grade.word == "major" for each in held)
    if majors:
        stands = "stands" if majors == 1 else "stand"
        return f"Not as the log stands: {words.counted(majors, 'major finding')} {stands} against it."
    if troubled_inside:
        return "Not as the log stands: something inside it has a major finding."
    ahead = _ahead(story)
    if any(each.stage.before == "closed" for each in ahead):
        return "Not as the log stands: it is still to be inspected before it is closed up."
    if ahead:
        first = _milestone(guide, ahead[0])
        return f"Nothing major in this log stands against it; it is to be inspected before “{first}”."
    if held:
        minor = words.counted(len(held), "minor finding")
        return f"Nothing major in this log stands against it; {minor} open."
    return "Nothing in this log stands against it."


def stage_line(guide: Guide, of: StageStatus, titles: Titles) -> StageLine:
    """One stage: its status, who looked, when, and what that is worth now."""
    last = of.last
    says: list[Sentence] = []
    if not of.asked:
        says.append((Link("Its class does not ask for it."),))
    if of.last is not None and 0 < len(of.signers) < of.signatures:
        says.append((Link(f"{words.counted(len(of.signers), 'signature')} of {of.signatures}."),))
    for event in of.against[:REASONS]:
        surely = "Undone" if of.status is Status.UNDONE else "Perhaps undone"
        what = f"{surely} by: {event.kind.replace('_', ' ')} "
        says.append(
            (Link(what), to.item(event.item), Link(f", {event.moment.day.isoformat()}, "), by(event, titles))
        )
    if len(of.against) > REASONS:
        says.append((Link(f"And by {words.counted(len(of.against) - REASONS, 'more event')}."),))
    gone = of.unaccounted
    if gone is not None and of.status is Status.UNCLEAR:
        told = (
            "What it passed is not known: no record before it says that another was made or received since "
        )
        says.append((Link(told), Link(gone.moment.day.isoformat()), Link(": "), by(gone, titles)))
    for each in of.refusals:
        what = f"The name of {guide.person(each.person).text} does not count, who {each.reason}: "
        says.append((Link(what), by(each.event, titles)))
    if of.sealed is not None:
        says.append(
            (
                Link("Held by the closing of "),
                Link(of.sealed.moment.day.isoformat()),
                Link(": "),
                by(of.sealed, titles),
            )
        )
    if last is None and of.asked and not of.due:
        says.append((Link("Not due yet."),))
    return StageLine(
        stage=of.stage.title or of.stage.key,
        status=words.status(of.status),
        people=guide.folk(last.people) if last else (),
        source=to.entry(last.entry, last.moment.day.isoformat(), f"r{last.place}") if last else None,
        says=tuple(says),
    )


def by(event: Event, titles: Titles) -> Link:
    """Lead an event to its record."""
    return to.entry(event.entry, titles[event.entry], f"r{event.place}")


def since(
    story: ItemStory, rows: Iterable[tuple[tuple[object, ...], Row]], pointed: tuple[Pointed, ...]
) -> tuple[tuple[Row, ...], str]:
    """What happened after the last inspection, in few lines, and what is to be said beside them.

    `rows` are all that happened to the item, each with the key that sorts it.
    """
    lasts = [each.last.moment for each in story.stages if each.last is not None]
    if not lasts:
        return (), "It was never inspected; its history is below." if story.exists else _not_there(story)
    last = max(lasts, key=lambda moment: moment.show)
    told = {each.event for each in pointed}
    inside = {
        each
        for stage in story.stages
        for each in stage.against
        if each.item != story.item and each not in told and not _of_itself(story, each)
    }
    found = _drawn_together(row for key, row in rows if key > last.show and not row.struck)
    if not found and not inside:
        return (), f"Nothing is recorded since {last.day.isoformat()}."
    room = LINES - bool(inside)
    says = [_inside_says(inside)] if inside else []
    if len(found) > room:
        says.append(f"The latest of {len(found)}; the history has them all.")
    return found[-room:], " ".join(says)


def _of_itself(story: ItemStory, event: Event) -> bool:
    """Whether an event under another name is of the present article itself."""
    present = story.chronicle.present
    return present is not None and present.carried is not None and event in present.events


def _not_there(story: ItemStory) -> str:
    return (
        "Its history is below." if story.chronicle.articles else "Nothing: it is still to be made or bought."
    )


def _drawn_together(rows: Iterable[Row]) -> tuple[Row, ...]:
    """What one entry says of a day in the same word as one line, with the items it names."""
    found: dict[tuple[str, str, str], Row] = {}
    for row in rows:
        entry = row.source.to.partition("#")[0] if row.source else ""
        # a record about another item names that item first among its particulars
        named = row.details[0].values if row.details and row.kind.endswith(" it") else ()
        key = (row.day, row.kind, entry)
        before = found.get(key)
        of = tuple(dict.fromkeys((*(before.of if before else ()), *named)))
        found[key] = msgspec.structs.replace(before or row, of=of)
    return tuple(found.values())


def _inside_says(events: Iterable[Event]) -> str:
    told = sorted(
        {(each.moment.show, each.kind.replace("_", " "), str(each.item), each.moment.day) for each in events}
    )
    said = [f"{item} {kind} on {day.isoformat()}" for _, kind, item, day in told[:REASONS]]
    more = f"; and {len(told) - REASONS} more" if len(told) > REASONS else ""
    return f"Inside it: {'; '.join(said)}{more}."

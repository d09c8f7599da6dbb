"""The first sheet, the drafts set aside, and the sheet for an address that leads nowhere."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from buildlog.model.entry import Draft
from buildlog.model.settings import Milestone
from buildlog.pages.frame import Detail, Link, Page, Remark
from buildlog.pages.guide import Guide
from buildlog.pages.sheets import (
    DraftLine,
    DraftsSheet,
    EntryLine,
    HomeSheet,
    LostSheet,
    MilestoneLine,
)
from buildlog.pages.visit_sheets import VisitLine
from buildlog.reckoning.knowledge import TaskState, TaskStory
from buildlog.rules.wording import graded

LATEST = 8
"""How many entries the first sheet shows."""

URGENT = 6
"""How many findings the first sheet shows."""


class Today(msgspec.Struct, frozen=True):
    """What the first sheet shows, beside the guide."""

    day: str
    last: Link | None
    latest: tuple[EntryLine, ...]
    remarks: tuple[Remark, ...]
    milestones: tuple[MilestoneLine, ...]
    facts: tuple[Detail, ...]
    drafts: int
    visits: tuple[VisitLine, ...] = ()


def draw_home(guide: Guide, today: Today) -> Page:
    """The first sheet."""
    counts = dict.fromkeys(("major", "minor", "observation"), 0)
    standing = tuple(each for each in today.remarks if not each.deferred)
    for each in standing:
        counts[each.grade.word] += 1
    sheet = HomeSheet(
        block=guide.block("index.html", guide.project, last=today.last, day=today.day),
        title=guide.project,
        about=guide.about,
        latest=today.latest,
        grades=tuple(
            Link(graded(count, word), f"findings.html#{word}") for word, count in counts.items() if count
        ),
        urgent=tuple(each for each in standing if each.grade.word == "major")[:URGENT],
        milestones=today.milestones,
        facts=today.facts,
        drafts=today.drafts,
        visits=today.visits,
    )
    return Page("index.html", "home.html", sheet)


def milestone_lines(
    milestones: tuple[Milestone, ...], tasks: Mapping[str, TaskStory]
) -> tuple[MilestoneLine, ...]:
    """Each milestone with how many of its tasks there are, and are complete."""
    found = []
    for each in milestones:
        own = [story for story in tasks.values() if story.task and story.task.milestone == each.key]
        done = sum(story.state is TaskState.COMPLETE for story in own)
        found.append(
            MilestoneLine(title=each.title or each.key, to="tasks/index.html", complete=done, tasks=len(own))
        )
    return tuple(found)


def draw_drafts(guide: Guide, drafts: tuple[Draft, ...]) -> Page:
    """The entries set aside."""
    at = "drafts.html"
    lines = tuple(
        DraftLine(key=each.key, title=each.title, file=str(each.where), problems=each.problems)
        for each in drafts
    )
    return Page(at, "drafts.html", DraftsSheet(block=guide.block(at, "Drafts set aside"), lines=lines))


def draw_lost(guide: Guide) -> Page:
    """What a server shows for an address that leads nowhere."""
    return Page("404.html", "lost.html", LostSheet(block=guide.block("404.html", "No such sheet")))

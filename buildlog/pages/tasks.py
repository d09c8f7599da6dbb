"""The task list and the page of each task."""

from __future__ import annotations

import msgspec

from buildlog.model.entry import WorkLine
from buildlog.pages import address, words
from buildlog.pages import guide as to
from buildlog.pages.frame import Detail, Link, Page, Row, Tally
from buildlog.pages.guide import Guide
from buildlog.pages.remarks import remark
from buildlog.pages.rows import Titles, called
from buildlog.pages.sheets import TaskLine, TaskSheet, TasksSheet
from buildlog.reckoning.events import TaskStep
from buildlog.reckoning.hours import added, added_by_key
from buildlog.reckoning.knowledge import TaskStory
from buildlog.rules.finding import Finding

_STEPS = {"completes": "Complete", "resumes": "Taken up again"}


class TaskBundle(msgspec.Struct, frozen=True):
    """All that the page of a task shows, beside the guide.

    `lines` are the work lines of the story's steps, None for a step that is no work; `around` the tasks
    before and after it.
    """

    story: TaskStory
    lines: tuple[WorkLine | None, ...]
    around: dict[str, TaskLine]
    titles: dict[str, str]
    findings: tuple[Finding, ...] = ()
    mentions: tuple[Link, ...] = ()


def task_line(story: TaskStory) -> TaskLine:
    """A task in a list of tasks."""
    task = story.task
    return TaskLine(
        task=to.task(story.key),
        title=task.title if task else "on no task list",
        state=words.state(story.state),
        discipline=task.discipline if task else "",
        after=tuple(to.task(key) for key in story.before_it),
        hours=words.column(story.hours) if story.hours else "",
        estimate=words.column(task.estimate) if task and task.estimate is not None else "",
    )


def draw_task(guide: Guide, bundle: TaskBundle) -> Page:
    """The page of a task."""
    story, at = bundle.story, address.of_task(bundle.story.key)
    title = story.task.title if story.task else "on no task list"
    last = story.steps[-1] if story.steps else None
    sheet = TaskSheet(
        block=guide.block(
            at,
            f"{story.key} {title}",
            last=to.entry(last.entry, last.moment.day.isoformat(), _spot(last)) if last else None,
        ),
        task=story.key,
        title=title,
        state=words.state(story.state),
        facts=_facts(guide, story),
        after=tuple(bundle.around[key] for key in story.before_it if key in bundle.around),
        before=tuple(bundle.around[key] for key in story.after_it if key in bundle.around),
        parts=tuple(guide.name(str(item)) for item in story.items),
        rows=tuple(
            _row(guide, step, line, bundle.titles)
            for step, line in zip(story.steps, bundle.lines, strict=True)
        ),
        hours=_hours(guide, bundle),
        remarks=tuple(remark(guide, each, bundle.titles) for each in bundle.findings),
        mentions=bundle.mentions,
    )
    return Page(at, "task.html", sheet)


def _facts(guide: Guide, story: TaskStory) -> tuple[Detail, ...]:
    task = story.task
    if task is None:
        return ()
    low, high = task.low, task.high
    told = (
        ("Discipline", task.discipline),
        ("Milestone", guide.milestones.get(task.milestone, task.milestone)),
        ("Estimate", words.hours(task.estimate) if task.estimate is not None else ""),
        ("At best", words.hours(low) if low is not None else ""),
        ("At worst", words.hours(high) if high is not None else ""),
        ("Written in", str(task.where)),
    )
    return tuple(Detail(label, (Link(text),)) for label, text in told if text)


def _spot(step: TaskStep) -> str:
    return f"w{step.line}" if step.line else ""


def _row(guide: Guide, step: TaskStep, line: WorkLine | None, titles: Titles) -> Row:
    source = to.entry(step.entry, titles[step.entry], _spot(step))
    day = step.moment.day.isoformat()
    if line is None:
        return Row(kind=_STEPS[step.step], day=day, source=source)
    told = [Detail("", (Link(words.hours(step.hours)),))] if step.hours else []
    if line.parts:
        told.append(Detail("on", tuple(guide.name(share.name) for share in line.parts)))
    people = line.people or tuple(each.person for each in line.hours)
    return Row(
        kind=called(line.kind or "work"),
        day=day,
        people=guide.folk(people),
        details=tuple(told),
        source=source,
    )


def _hours(guide: Guide, bundle: TaskBundle) -> tuple[Tally, ...]:
    worked = [(line.kind, each) for line in bundle.lines if line for each in line.hours]
    if not worked:
        return ()
    people = added_by_key((each.person, each.hours) for _, each in worked)
    kinds = added_by_key((kind, each.hours) for kind, each in worked)
    total = added(people.values())
    by_person = [
        (guide.person(key) if key else Link("nobody named"), each) for key, each in sorted(people.items())
    ]
    by_kind = [(Link(key or "no kind"), each) for key, each in sorted(kinds.items())]
    return words.tally("By person", by_person, total), words.tally("By kind of work", by_kind, total)


def draw_tasks(guide: Guide, lines: tuple[tuple[str, TaskLine], ...]) -> Page:
    """The task list by milestone, each line with the key of its milestone."""
    at = "tasks/index.html"
    groups: dict[str, list[TaskLine]] = {key: [] for key in guide.milestones}
    for key, line in lines:
        groups.setdefault(key, []).append(line)
    none = groups.pop("", [])
    told = [(guide.milestones.get(key, key), tuple(each)) for key, each in groups.items() if each]
    if none:
        told.append(("No milestone" if told else "All tasks", tuple(none)))
    return Page(at, "tasks.html", TasksSheet(block=guide.block(at, "Task list"), milestones=tuple(told)))

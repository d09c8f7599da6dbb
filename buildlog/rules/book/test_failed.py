"""A test that went wrong is the most expensive thing anybody learned about an article; it must not be lost.

Basis: common practice, no source: what failed a test is put right and tested again. 14 CFR 43.11, taken as
a model, has the discrepancies that an inspection found listed and kept.

Flagged: a failed test of the present article, where no test of the same `what` surely came after it and
passed. Tests are the same where their `what` is, capitals and blanks apart. A pass of the same day with no
order to the failure does not count. Not flagged here: a failed test for a stage, which rejects that stage
and is `inspection-rejected`; one whose nonconformance (named by the record, or raised on the item in the
same session) is open, which is `nonconformance-open`, or was settled since.

Cleared by: a record `tested` of the same `what` that passed; a nonconformance for it, dispositioned; or the
article scrapped or returned.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from buildlog.model.records import Tested
from buildlog.reckoning.events import Event
from buildlog.reckoning.knowledge import Frame, ItemStory
from buildlog.reckoning.order import Order, compare
from buildlog.rules.cases import answered, cases_of
from buildlog.rules.finding import Finding, Grade
from buildlog.rules.subjects import Subject, rest_on
from buildlog.rules.wording import by, counted

NAME = "test-failed"
GRADE = "major"
SUBJECT = Subject.ITEM


def check(story: ItemStory, frame: Frame) -> Iterator[Finding]:
    """Yield one finding for each test of the present article whose failure stands."""
    article = story.chronicle.present
    tests = [e for e in article.events if e.kind == "tested" and not e.struck] if article else []
    if not any(_failed(event) for event in tests):
        return
    known = cases_of(story, frame)
    passed = [event for event in tests if _result(event) == "passed"]
    standing: dict[str, list[Event]] = {}
    for event in tests:
        if _failed(event) and not answered(event, known) and not _passed_after(event, passed):
            standing.setdefault(_what(event), []).append(event)
    for failures in standing.values():
        yield _finding(story, failures, passed, frame)


def _finding(story: ItemStory, failures: Sequence[Event], passed: Sequence[Event], frame: Frame) -> Finding:
    last = failures[-1]
    what = getattr(last.record, "what", "")
    note = f": {last.record.note.rstrip('.')}" if last.record.note else ""
    more = f" ({counted(len(failures), 'time', 'times')} in all)" if len(failures) > 1 else ""
    unclear = any(
        _what(event) == _what(last) and compare(last.moment, event.moment) is Order.UNCLEAR
        for event in passed
    )
    doubt = " A pass of the same day has no order to it." if unclear else ""
    called = f"the test “{what}”" if what else "a test"
    again = f"of “{what}”" if what else "without a `what`, as this one,"
    return Finding(
        rule=NAME,
        grade=Grade.MAJOR,
        message=f"It failed {called} on {last.moment.day}{by(last.people, frame)}{more}{note}.{doubt}",
        why="Nothing in the log says that it passed the same test since.",
        clears=f"A record `tested` {again} that passed, or a nonconformance for it that is dispositioned.",
        item=story.item,
        entry=last.entry,
        rests=tuple(rest_on(event) for event in reversed(failures)),
    )


def _passed_after(failure: Event, passed: Sequence[Event]) -> bool:
    return any(
        _what(event) == _what(failure) and compare(failure.moment, event.moment) is Order.BEFORE
        for event in passed
    )


def _failed(event: Event) -> bool:
    return isinstance(event.record, Tested) and event.record.result == "failed" and not event.record.stage


def _result(event: Event) -> str:
    return event.record.result if isinstance(event.record, Tested) else ""


def _what(event: Event) -> str:
    what = event.record.what if isinstance(event.record, Tested) else ""
    return " ".join(what.casefold().split())

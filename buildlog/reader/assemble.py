"""The sheets of a log to the log: what each file says, held against what the others know."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

import msgspec

from buildlog.model.entry import Draft, Entry
from buildlog.model.key import Reads, Where
from buildlog.model.log import Log, Problem
from buildlog.model.names import names_of
from buildlog.model.settings import (
    STANDARD_CLASSES,
    STANDARD_HARMLESS,
    STANDARD_STAGES,
    Class,
    Settings,
    Stage,
)
from buildlog.reader.across import hidden_work, misnamed_voids, unraised
from buildlog.reader.known import Known, Trouble, trouble_with
from buildlog.reader.names import quoted
from buildlog.reader.reading import Mention, key_of, parts_of
from buildlog.reader.rings import rings
from buildlog.reader.sheets import Sheet

_PARTS, _TASKS, _LOTS, _TOOLS = "parts.csv", "tasks.csv", "lots.csv", "tools.csv"
_ITEM_KEYS = (
    Reads.ITEM,
    Reads.ITEMS,
    Reads.ITEMS_ONE_BY_ONE,
    Reads.ITEMS_OR_LOTS,
    Reads.ITEMS_OR_LOTS_ONE_BY_ONE,
)


def assemble(sheets: Sequence[Sheet], rules: Collection[str] = ()) -> tuple[Log | None, tuple[Problem, ...]]:
    """The log that the sheets make, or the problems that keep it from being one: exactly one of the two.

    Args:
        sheets: one for each file, in any order. Without one of buildlog.toml there is no log.
        rules: the names of all rules, for deferrals; without any, the rule of a deferral is not checked.
    """
    lists = _Lists(sheets)
    known = _known(lists, rules)
    problems = [problem for sheet in lists.sheets for problem in sheet.problems]
    troubles, in_drafts = _troubles(lists, known)
    problems += troubles
    problems += _twice(lists.sheets)
    problems += _rings(lists)
    problems += unraised(lists.entries)
    if not (lists.parts.problems or lists.lots.problems):
        # by a list that could not be read, no name stands for what its writer meant
        problems += misnamed_voids(lists.entries, known.items)
    problems += hidden_work(lists.entries, lists.settings.harmless if lists.settings else ())
    settings = lists.settings
    if problems or settings is None:
        ordered = sorted(problems, key=lambda each: (each.where.file, each.where.line, each.where.column))
        return None, tuple(ordered)
    drafts = [_told(sheet.draft, in_drafts.get(sheet.file, ())) for sheet in lists.sheets if sheet.draft]
    log = Log(
        settings=settings,
        parts=lists.parts.parts,
        tasks=lists.tasks.tasks,
        lots=lists.lots.lots,
        tools=lists.tools.tools,
        lot_list=_LOTS in lists.by_file,
        tool_list=_TOOLS in lists.by_file,
        notes=tuple(sheet.note for sheet in lists.sheets if sheet.note),
        entries=tuple(sorted(lists.entries, key=lambda each: (each.date, each.key))),
        drafts=tuple(sorted(drafts, key=lambda each: each.key)),
        secrets=tuple(line for sheet in lists.sheets for line in sheet.secrets),
    )
    return log, ()


class _Lists:
    """The sheets by file, and those that others are held against; a missing list is an empty sheet."""

    def __init__(self, sheets: Sequence[Sheet]) -> None:
        self.sheets = sorted(sheets, key=lambda each: each.file)
        self.entries = [sheet.entry for sheet in self.sheets if sheet.entry]
        self.by_file = {sheet.file: sheet for sheet in self.sheets}
        self.parts = self._list(_PARTS)
        self.tasks = self._list(_TASKS)
        self.lots = self._list(_LOTS)
        self.tools = self._list(_TOOLS)
        own = next((sheet.settings for sheet in self.sheets if sheet.settings), None)
        self.settings = _with_standards(own) if own else None

    def _list(self, file: str) -> Sheet:
        return self.by_file.get(file) or Sheet(file=file)


def _with_standards(own: Settings) -> Settings:
    stages: dict[str, Stage] = {each.key: each for each in (*STANDARD_STAGES, *own.stages)}
    classes: dict[str, Class] = {each.key: each for each in (*STANDARD_CLASSES, *own.classes)}
    return msgspec.structs.replace(
        own,
        stages=tuple(stages.values()),
        classes=tuple(classes.values()),
        harmless=tuple(dict.fromkeys((*STANDARD_HARMLESS, *own.harmless))),
    )


def _known(lists: _Lists, rules: Collection[str]) -> Known:
    settings = lists.settings
    return Known(
        items=names_of(lists.parts.parts, lists.lots.lots),
        numbers=_keys(lists.parts, [each.number for each in lists.parts.parts]),
        tasks=_keys(lists.tasks, [each.task for each in lists.tasks.tasks]),
        lots=_keys(lists.lots, [each.lot for each in lists.lots.lots]) if _LOTS in lists.by_file else None,
        tools=_keys(lists.tools, [each.tool for each in lists.tools.tools])
        if _TOOLS in lists.by_file
        else None,
        people={each.key: None for each in settings.people} if settings else None,
        stages={each.key: None for each in settings.stages} if settings else None,
        classes={each.key: None for each in settings.classes} if settings else None,
        milestones={each.key: None for each in settings.milestones} if settings else None,
        rules=dict.fromkeys(rules) if rules else None,
        records={entry.key: len(entry.records) for entry in lists.entries},
        drafts={sheet.draft.key for sheet in lists.sheets if sheet.draft},
    )


def _keys(sheet: Sheet, keys: Iterable[str]) -> Collection[str] | None:
    found = dict.fromkeys(keys)
    # a list that could not be read has said so itself; its names are not then missed one by one
    return None if sheet.problems and not found else found


def _troubles(lists: _Lists, known: Known) -> tuple[list[Problem], Mapping[str, list[str]]]:
    wanted: set[str] = set()
    for sheet in lists.sheets:
        wanted.update(sheet.names)
    bad: dict[str, Trouble] = {}
    for key in wanted:
        trouble = trouble_with(known, *parts_of(key))
        if trouble:
            bad[key] = trouble
    problems: list[Problem] = []
    in_drafts: dict[str, list[str]] = {}
    for sheet in lists.sheets if bad else ():
        if bad.keys().isdisjoint(sheet.names):
            continue
        for mention in sheet.mentions:
            trouble = bad.get(key_of(mention))
            if trouble is None or _described(mention, wanted):
                continue
            problem = Problem(mention.where, *trouble)
            if sheet.draft:
                in_drafts.setdefault(sheet.file, []).append(str(problem))
            else:
                problems.append(problem)
    return problems, in_drafts


def _described(mention: Mention, wanted: Iterable[str]) -> bool:
    """Whether this is the note on a part that is on no list, but has a history: it has a page to stand on."""
    if mention.reads is not Reads.PART or not mention.where.file.startswith("parts/"):
        return False
    for key in wanted:
        reads, text, _ = parts_of(key)
        if reads in _ITEM_KEYS and (text == mention.text or text.startswith(f"{mention.text}/")):
            return True
    return False


def _told(draft: Draft, troubles: Iterable[str]) -> Draft:
    extra = tuple(troubles)
    return msgspec.structs.replace(draft, problems=(*draft.problems, *extra)) if extra else draft


def _twice(sheets: Iterable[Sheet]) -> Iterator[Problem]:
    files: dict[str, str] = {}
    for sheet in sheets:
        entry: Entry | Draft | None = sheet.entry or sheet.draft
        if entry is None:
            continue
        first = files.setdefault(entry.key, sheet.file)
        if first != sheet.file:
            found = f"there are two entries {quoted(entry.key)}; the other is {first}"
            yield Problem(entry.where, found, "rename one: its name stands for it in the whole log")


def _rings(lists: _Lists) -> Iterator[Problem]:
    parts = {each.number: each for each in lists.parts.parts}
    for ring in rings({number: [part.parent] if part.parent else [] for number, part in parts.items()}):
        yield _ring(
            parts[ring[0]].where, ring, "the part {} is inside itself", "in", "give one another `parent`"
        )
    tasks = {each.task: each for each in lists.tasks.tasks}
    for ring in rings({key: task.after for key, task in tasks.items()}):
        yield _ring(
            tasks[ring[0]].where, ring, "the task {} comes after itself", "after", "take one `after` out"
        )
    milestones = {each.key: each for each in lists.settings.milestones} if lists.settings else {}
    for ring in rings({key: milestone.needs for key, milestone in milestones.items()}):
        where = milestones[ring[0]].where
        yield _ring(where, ring, "the milestone {} needs itself", "needs", "take one out of its `needs`")


def _ring(where: Where, ring: Sequence[str], what: str, link: str, todo: str) -> Problem:
    shown = [*ring, ring[0]]
    if len(shown) > 8:
        shown = [*shown[:4], "…", *shown[-3:]]
    chain = f" {link} ".join(shown)
    return Problem(where, f"{what.format(quoted(ring[0]))}: {chain}", todo)

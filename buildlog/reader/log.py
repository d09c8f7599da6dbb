"""A folder to its log in one call, for tests and callers that keep nothing between runs."""

from __future__ import annotations

import functools
import os
from collections.abc import Collection
from pathlib import Path

from buildlog.model.key import Reads, Where
from buildlog.model.log import Log, Problem
from buildlog.reader.assemble import assemble
from buildlog.reader.read import read_sheet
from buildlog.reader.sheets import Sheet
from buildlog.reader.survey import media_problem, survey


def read_log(root: Path, rules: Collection[str] = ()) -> tuple[Log | None, tuple[Problem, ...]]:
    """Read a whole log: the log, or all that keeps it from being one; exactly one of the two.

    Args:
        root: the log's folder.
        rules: the names of all rules, for deferrals; without any, the rule of a deferral is not checked.
    """
    found = survey(root)
    problems = list(found.problems)
    sheets: list[Sheet] = []
    for source in found.files:
        try:
            data = (root / source.file).read_bytes()
        except OSError as error:
            told = f"the file cannot be read: {error.strerror or 'unknown reason'}"
            problems.append(Problem(Where(source.file, 1, 1), told, "look at its permissions"))
        else:
            sheets.append(read_sheet(source.file, data))
    problems += media_problems(root, sheets)
    log, wrong = assemble(sheets, rules)
    problems += wrong
    if problems:
        return None, tuple(
            sorted(problems, key=lambda each: (each.where.file, each.where.line, each.where.column))
        )
    return log, ()


def media_problems(root: Path, sheets: Collection[Sheet]) -> list[Problem]:
    """The references below media/ that a symbolic link leads out of it, each where it is written."""
    real = functools.cache(os.path.realpath)
    medium = Reads.MEDIUM
    found = (
        media_problem(root, mention.text, mention.where, real)
        for sheet in sheets
        if sheet.draft is None
        for mention in sheet.mentions
        if mention.reads is medium
    )
    return [each for each in found if each]

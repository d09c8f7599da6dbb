"""Audience fences in prose: `~~~ shop only` … `~~~`, found and cut before Markdown is parsed.

Only whole lines at the left edge make a fence. Every other line that begins with `~~~` is a problem, because
a fence that is not one would publish what it was meant to keep back.
"""

from __future__ import annotations

import enum
import re

import msgspec

from buildlog.model.key import Audience

_OPENING = re.compile(r"~~~[ \t\u00a0]*(shop|inspector)[ \t\u00a0]+only[ \t\u00a0]*", re.IGNORECASE)
_CLOSING = re.compile(r"~~~[ \t\u00a0]*")
_SUSPECT = re.compile(
    # behind blanks that no reader sees, or the marks of quotes and lists
    r"(?P<before>(?:[\s\u200b\ufeff]|>|[-+*](?=\s)|[0-9]{1,9}[.)](?=\s))*)"
    # three tildes or what an eye takes for them; fewer of them, or backticks, only with an audience
    r"(?:[~～∼˜]{3}|(?:[~～∼˜]{1,2}|`{3,})[ \t\u00a0]*(?:shop|inspector|public)[ \t\u00a0]+only\b)",
    re.IGNORECASE,
)
_TILDES = re.compile("[~～∼˜]")
_AUDIENCES = {"shop": Audience.SHOP, "inspector": Audience.INSPECTOR}
_FORM = "a fence is a line `~~~ shop only` or `~~~ inspector only` at the left edge, and a line `~~~` ends it"


class Passage(msgspec.Struct, frozen=True):
    """A run of prose for one audience, without its fence lines.

    `audience` is PUBLIC for what stands outside any fence: as the entry or part allows. `line` is the line
    of the body, from 1, on which `text` begins.
    """

    audience: Audience
    text: str
    line: int


class FenceProblem(msgspec.Struct, frozen=True):
    """A line that begins with `~~~` and will not do; line and column count from 1 within the body."""

    line: int
    column: int
    found: str
    todo: str


class _Sort(enum.Enum):
    PROSE = 0
    OPENS = 1
    CLOSES = 2


class _Line(msgspec.Struct, frozen=True):
    """One line of a body, its number from 1, and for whom it is; 0 numbers a blank that was set in."""

    text: str
    number: int
    audience: Audience = Audience.PUBLIC
    sort: _Sort = _Sort.PROSE

    @property
    def blank(self) -> bool:
        return not self.text or self.text.isspace()


def fence_problems(body: str) -> tuple[FenceProblem, ...]:
    """All that is wrong with the fences of a body, in the order of its lines."""
    if not (_TILDES.search(body) or ("```" in body and "only" in body.lower())):
        return ()
    found: list[FenceProblem] = []
    opened = 0
    for number, line in enumerate(body.split("\n"), 1):
        if _OPENING.fullmatch(line):
            if opened:
                found.append(_within(line, number, opened))
            opened = number
        elif _CLOSING.fullmatch(line):
            if not opened:
                todo = f"take it out; {_FORM}; code is marked with backticks"
                found.append(FenceProblem(number, 1, "`~~~` ends a fence that was never begun", todo))
            opened = 0
        elif suspect := _SUSPECT.match(line):
            found.append(_suspect(suspect, line, number))
    if opened:
        todo = "put a line `~~~` after the last line of the passage"
        found.append(FenceProblem(opened, 1, "this audience fence is never closed", todo))
    return tuple(found)


def passages(body: str) -> tuple[Passage, ...]:
    """The body in runs, each for one audience, in order; empty runs are left out.

    A body with problems gives runs all the same: what follows a fence that is never closed is inside it.
    """
    found: list[Passage] = []
    run: list[_Line] = []
    for line in [*_lines(body), _Line("", 0, sort=_Sort.CLOSES)]:
        if line.sort is _Sort.PROSE:
            run.append(line)
            continue
        kept = _trimmed(run)
        if kept:
            found.append(Passage(kept[0].audience, "\n".join(each.text for each in kept), kept[0].number))
        run = []
    return tuple(found)


def withhold(body: str, audience: Audience) -> str:
    """The body without the passages above an audience; the fences of the others stand, for pages to mark.

    Text and blank lines close over the gap as if nothing had stood there.
    """
    if "~~~" not in body:
        return body
    return "\n".join(line.text for line in _trimmed(_left(body, audience)))


def cut(body: str, audience: Audience) -> str:
    """The body as one audience may read it, plain Markdown: hidden passages gone, and no fence line left.

    A passage that stays is set off by blank lines, so that it reads as it does between its fences.
    """
    if "~~~" not in body:
        return body
    return "\n".join(text for text, _ in cut_lines(body, audience))


def cut_lines(body: str, audience: Audience) -> tuple[tuple[str, int], ...]:
    """The lines of `cut`, each with the number of the line of the body it was, from 1; 0 if it was none."""
    kept: list[_Line] = []
    for line in _left(body, audience):
        if line.sort is not _Sort.PROSE:
            _close(kept, blank=True)
        elif not (line.blank and kept and kept[-1].number == 0):
            kept.append(line)
    return tuple((line.text, line.number) for line in _trimmed(kept))


def _lines(body: str) -> list[_Line]:
    found: list[_Line] = []
    inside = Audience.PUBLIC
    for number, text in enumerate(body.split("\n"), 1):
        if opening := _OPENING.fullmatch(text):
            inside = _AUDIENCES[opening[1].lower()]
            found.append(_Line(text, number, inside, _Sort.OPENS))
        elif _CLOSING.fullmatch(text):
            found.append(_Line(text, number, inside, _Sort.CLOSES))
            inside = Audience.PUBLIC
        else:
            found.append(_Line(text, number, inside))
    return found


def _left(body: str, audience: Audience) -> list[_Line]:
    """What is not above the audience, fence lines and all; one blank at most where something went."""
    kept: list[_Line] = []
    gap = False
    for line in _lines(body):
        if line.audience > audience:
            gap = True
            continue
        if gap and line.blank:
            _close(kept, blank=True)
            continue
        if gap:
            _close(kept, blank=False)
            gap = False
        kept.append(line)
    return kept


def _close(kept: list[_Line], *, blank: bool) -> None:
    """Leave one blank at the end where there were several, or where one is asked for."""
    while kept and kept[-1].blank:
        kept.pop()
        blank = True
    if blank and kept:
        kept.append(_Line("", 0))


def _trimmed(lines: list[_Line]) -> list[_Line]:
    start, end = 0, len(lines)
    while start < end and lines[start].blank:
        start += 1
    while end > start and lines[end - 1].blank:
        end -= 1
    return lines[start:end]


def _within(line: str, number: int, opened: int) -> FenceProblem:
    found = f"`{line.strip()}` begins inside the audience fence of line {opened} of the prose"
    return FenceProblem(number, 1, found, "end the first one with a line `~~~`")


def _suspect(suspect: re.Match[str], line: str, number: int) -> FenceProblem:
    before = suspect["before"]
    shown = line.strip()[:60]
    if not before:
        found = f"`{shown}` is a fence for nobody"
    elif before.isspace() or not before.strip("\u200b\ufeff"):
        found = f"`{shown}` is indented"
    elif ">" in before:
        found = f"`{shown}` stands in a quote"
    else:
        found = f"`{shown}` stands in a list"
    return FenceProblem(number, len(before) + 1, found, f"{_FORM}; code is marked with backticks")

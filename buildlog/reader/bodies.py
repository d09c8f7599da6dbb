"""What prose may not hold: raw HTML, links to nowhere, pictures of nothing, fences that are none."""

from __future__ import annotations

import posixpath
import re
from typing import TYPE_CHECKING
from urllib.parse import unquote

from buildlog.model.fences import cut_lines, fence_problems
from buildlog.model.key import Audience, Reads
from buildlog.model.nearest import nearest
from buildlog.model.prose import NESTING, SCHEMES, in_media, scheme_of, suspicious_parser
from buildlog.reader.limits import BRACKETS, BRACKETS_IN_A_BLOCK, LINE_CHARACTERS, LINES
from buildlog.reader.names import quoted
from buildlog.reader.nodes import Text
from buildlog.reader.reading import Reading

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from markdown_it.token import Token

_ANGLE = re.compile(r"<[A-Za-z/!?]")
"""A tag, comment or address in angles."""

# Both are searched in a body with a line feed set before it: a pattern that begins with a plain character
# is looked for ten times faster than one that begins with `^`.
_DEEP = re.compile(r"\n(?:[ \t>*+\-]{20,}\S|(?:[ \t]*(?:[-+*>]|[0-9]{1,9}[.)])){10,})")
"""Marks and blanks enough, at the beginning of a line, for deep nesting."""

_HOPELESS = re.compile(rf"\n(?:[ \t]*(?:>|(?:[-+*]|[0-9]{{1,9}}[.)])(?=[ \t]))){{{NESTING + 1},}}")
"""More nesting than is read. It is DEEP too."""

_SHALLOWER = "take some levels of quotes or lists away"
_PLACES = "a link goes to http, https, mailto, or a place in the log"


def check_prose(reading: Reading, body: str, first: int, media: Collection[str] = ()) -> None:
    """Note all that is wrong with a body.

    Args:
        reading: gathers the problems.
        body: the prose.
        first: the line of the file on which it begins.
        media: the files below media/ that the entry lists: what prose may show or lead to.
    """
    if not body:
        return
    deep = _DEEP.search("\n" + body) is not None
    if not _fit_to_parse(reading, body, first, deep=deep):
        return
    # plain ASCII without either holds no fence, nor what could be taken for one
    if "~" in body or "`" in body or not body.isascii():
        for problem in fence_problems(body):
            place = Text("", first + problem.line - 1, problem.column)
            reading.problem(place, problem.found, problem.todo)
    if not (deep or _links_or_html(body)):
        return
    # a passage cut away may turn harmless text on both sides of it into something else: check every reading
    readings = {cut_lines(body, audience) for audience in Audience} if "~~~" in body else {_numbered(body)}
    for lines in sorted(readings):
        _Check(reading, lines, first, media).run()


def _numbered(body: str) -> tuple[tuple[str, int], ...]:
    return tuple((line, number) for number, line in enumerate(body.split("\n"), 1))


def _links_or_html(body: str) -> bool:
    # one character is looked for many times faster than two
    if "]" in body and ("](" in body or "]:" in body):
        return True
    return "<" in body and _ANGLE.search(body) is not None


def _fit_to_parse(reading: Reading, body: str, first: int, *, deep: bool) -> bool:
    fit = True
    if (count := body.count("\n") + 1) > LINES:
        found = f"the prose has {count:,} lines; the limit is {LINES:,}"
        reading.problem(Text("", first, 1), found, "split it")
        return False
    if len(body) > LINE_CHARACTERS:
        for number, line in enumerate(body.split("\n"), first):
            if len(line) > LINE_CHARACTERS:
                found = f"this line has {len(line):,} characters; the limit is {LINE_CHARACTERS:,}"
                reading.problem(Text("", number, 1), found, "break it into several")
                fit = False
    if body.count("[") > BRACKETS_IN_A_BLOCK:
        fit = _few_brackets(reading, body, first) and fit
    if deep and (hopeless := _HOPELESS.search("\n" + body)):
        # it begins with the line feed before its line; the one set before the body makes up for that
        place = Text("", first + body.count("\n", 0, hopeless.start()), 1)
        reading.problem(place, f"prose is nested more than {NESTING} deep", _SHALLOWER)
        fit = False
    return fit


def _few_brackets(reading: Reading, body: str, first: int) -> bool:
    met, in_block = 0, 0
    for number, line in enumerate(body.split("\n"), first):
        in_block = in_block + line.count("[") if line.strip() else 0
        met += line.count("[")
        if in_block > BRACKETS_IN_A_BLOCK or met > BRACKETS:
            found = f"more than {BRACKETS_IN_A_BLOCK:,} `[` stand in one paragraph, or {BRACKETS:,} in all"
            reading.problem(Text("", number, 1), found, "break the prose up")
            return False
    return True


class _Check:
    """One reading of a body. Inline tokens carry no place, so each is looked for behind the one before."""

    def __init__(
        self, reading: Reading, lines: Sequence[tuple[str, int]], first: int, media: Collection[str]
    ) -> None:
        self._media = media
        self._reading = reading
        self._lines = lines
        self._first = first
        self._row = 0
        self._offset = 0

    def run(self) -> None:
        deep = False
        env: dict[str, object] = {}
        for token in suspicious_parser().parse("\n".join(text for text, _ in self._lines), env):
            if token.map:
                self._row, self._offset = token.map[0], 0
            if token.level > NESTING and not deep:
                deep = True
                self._problem(f"prose is nested more than {NESTING} deep", _SHALLOWER)
            if token.type == "html_block":
                self._find(token.content.strip())
                self._html(token.content)
            for child in token.children or ():
                self._inline(child)

    def _inline(self, token: Token) -> None:
        if token.type == "html_inline":
            self._find(token.content)
            self._html(token.content)
        elif token.type == "link_open":
            self._link(str(token.attrs.get("href", "")))
        elif token.type == "image":
            self._find("![")
            self._picture(str(token.attrs.get("src", "")))
        elif token.type in ("softbreak", "hardbreak"):
            self._row, self._offset = min(self._row + 1, len(self._lines) - 1), 0
        if token.type in ("text", "code_inline") and token.content:
            self._find(token.content)
            self._offset += len(token.content)

    def _html(self, content: str) -> None:
        shown = quoted(content.strip().partition("\n")[0][:40])
        if content.lstrip().startswith("<!--"):
            todo = "take it out; what only the shop may read goes between `~~~ shop only` and `~~~`"
            self._problem(f"an HTML comment stands here: {shown}", todo)
        else:
            todo = "write it as Markdown; show a `<` as `&lt;`, or code in backticks"
            self._problem(f"raw HTML stands here: {shown}", todo)
        if "\n" not in content:
            self._offset += len(content)

    def _link(self, href: str) -> None:
        self._find("](" if "](" in self._rest() else "<")
        scheme = scheme_of(unquote(href))
        shown = quoted(unquote(href))
        if scheme:
            if scheme not in SCHEMES:
                self._problem(f"the link {shown} goes to `{scheme}:`", _PLACES)
            return
        target = unquote(href).partition("#")[0].partition("?")[0]
        if "\\" in target or target.startswith("/"):
            self._problem(f"the link {shown} leads out of the log", f"{_PLACES}, relative to this file")
            return
        path = posixpath.normpath(posixpath.join(posixpath.dirname(self._reading.file), target))
        if path.startswith(".."):
            self._problem(f"the link {shown} leads out of the log", f"{_PLACES}, relative to this file")
        elif target.endswith(".md"):
            line = self._lines[min(self._row, len(self._lines) - 1)][1]
            place = Text("", self._first + line - 1, self._offset + 1)
            reads = Reads.PART if path.startswith("parts/") else Reads.ENTRY
            self._reading.mention(reads, posixpath.basename(target).removesuffix(".md"), place)
        elif target and in_media(target) not in self._media:
            todo = f"lead to an entry's .md file, or to a file of this entry's `media`{self._near(target)}"
            self._problem(f"the link {shown} leads to nothing that has a page", todo)

    def _picture(self, source: str) -> None:
        self._find("![")
        if in_media(source) not in self._media:
            todo = f"name it in `media`, with a caption{self._near(source)}"
            self._problem(f"the picture {quoted(unquote(source))} is not in this entry's `media`", todo)

    def _near(self, target: str) -> str:
        close = nearest(in_media(target), self._media)
        return f"; the nearest there is {quoted(close)}" if close else ""

    def _rest(self) -> str:
        return self._lines[self._row][0][self._offset :] if self._row < len(self._lines) else ""

    def _find(self, content: str) -> None:
        wanted = content.partition("\n")[0]
        for row in range(self._row, min(self._row + 3, len(self._lines))):
            at = self._lines[row][0].find(wanted, self._offset if row == self._row else 0)
            if at >= 0:
                self._row, self._offset = row, at
                return

    def _problem(self, found: str, todo: str) -> None:
        line = self._lines[min(self._row, len(self._lines) - 1)][1]
        self._reading.problem(Text("", self._first + line - 1, self._offset + 1), found, todo)

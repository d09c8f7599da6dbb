"""An entry's two halves: the header between lines of dashes, and the prose. What phones do is forgiven."""

from __future__ import annotations

import re

import msgspec

from buildlog.reader.nodes import Text
from buildlog.reader.reading import Reading

_DASHES = r"(?:[-‐‑‒–—―−]{2,}|[–—―⸺⸻])[ \t\u00a0\u202f]*"
_OPENING = re.compile(rf"(?:[ \t\u00a0]*\n)*[ \t\u00a0]*{_DASHES}(?:\n|\Z)")
# these begin with a line feed, not with `^`: a pattern with a plain first character is found far faster
_CLOSING = re.compile(rf"\n{_DASHES}$", re.MULTILINE)
_LIKE_A_HEADER = re.compile(
    r"\s*(?:date|start|title|audience|draft|people|present|work|records|media)[ \t]*:", re.IGNORECASE
)
_DRAFT = re.compile(
    r"\ndraft[ \t\u00a0]*:[ \t\u00a0]*[\"'“”‘’]?true[\"'“”‘’]?[ \t\u00a0]*$", re.MULTILINE | re.IGNORECASE
)

_BLANKS = str.maketrans(dict.fromkeys("\u00a0\u202f\u2007\u2028\u2029\u0085", " "))
"""No-break spaces, and what YAML would take for line ends where no editor does."""

_TOUCHED = re.compile("[\u00a0\u202f\u2007\u2028\u2029\u0085“„‟”«»‘‚’]")
_OPENS, _CLOSES = "“„‟”«»", "”“‟«»"
_CURLY = re.compile(
    rf"^(?P<before>[ ]*(?:- +)*(?:[\w ]+: +)?)"
    rf"(?:[{_OPENS}](?P<double>[^{_OPENS}\n]*)[{_CLOSES}]|[‘‚’](?P<single>[^‘‚’\n]*)[’‘])[ ]*$",
    re.MULTILINE,
)


class Halves(msgspec.Struct, frozen=True):
    """A file taken apart. `header` is None where there is none; each half says on which line it begins."""

    header: str | None
    header_line: int
    body: str
    body_line: int
    draft: bool = False


def halves(reading: Reading, text: str) -> Halves:
    """Take header and prose apart. A header never closed is a problem, and all of the file is its header."""
    opening = _OPENING.match(text)
    if opening is None:
        _refuse_unopened(reading, text)
        return _with_body(None, 1, text, 1, draft=False)
    first = text.count("\n", 0, opening.end()) + 1
    closing = _CLOSING.search(text, opening.end() - 1)
    if closing is None:
        rest = text[opening.end() :]
        dashes = Text("", max(first - 1, 1), 1)
        reading.problem(
            dashes, "the header that begins here is never closed", "put a line `---` after its last key"
        )
        return Halves(None, first, "", first, _is_draft(rest.partition("\n\n")[0]))
    header = text[opening.end() : closing.start() + 1]
    after = first + header.count("\n") + 1
    return _with_body(header, first, text[closing.end() + 1 :], after, draft=_is_draft(header))


def forgiven(header: str) -> str:
    """The header as a careful hand would have typed it, each character still in its place."""
    if header.isascii() or not _TOUCHED.search(header):
        return header
    return _CURLY.sub(_straight, header.translate(_BLANKS))


def without_tabs(reading: Reading, header: str, first: int) -> str | None:
    """The header with each tab noted and made a blank; None where tabs indent, and its shape is unclear."""
    if "\t" not in header:
        return header
    lines = header.split("\n")
    indented = False
    for index, line in enumerate(lines):
        if "\t" in line:
            place = Text("", first + index, line.index("\t") + 1)
            reading.problem(place, "a tab stands in the header", "use spaces; two for each step in")
            indented = indented or line.index("\t") < len(line) - len(line.lstrip(" \t"))
            lines[index] = line.replace("\t", " ")
    return None if indented else "\n".join(lines)


def unquoted(text: str) -> str:
    """A value without the curly quotes around it, if that is all they do."""
    if len(text) > 1 and text[0] in _OPENS and text[-1] in _CLOSES:
        inner = text[1:-1]
        return text if any(quote in inner for quote in _OPENS) else inner
    if len(text) > 1 and text[0] in "‘‚" and text[-1] in "’‘":
        return text[1:-1]
    return text


def _with_body(header: str | None, header_line: int, body: str, body_line: int, *, draft: bool) -> Halves:
    # prose is kept without blank lines at its ends: they mean nothing, and equal prose should be equal
    blank = len(body) - len(body.lstrip())
    start = body.rfind("\n", 0, blank) + 1
    prose = body[start:].rstrip()
    return Halves(header, header_line, prose, body_line + (body.count("\n", 0, start) if prose else 0), draft)


def _refuse_unopened(reading: Reading, text: str) -> None:
    if _LIKE_A_HEADER.match(text) and _CLOSING.search(text):
        line = len(text[: len(text) - len(text.lstrip())].split("\n"))
        todo = "put a line `---` before its first key"
        reading.problem(Text("", line, 1), "this looks like a header, but no line `---` begins it", todo)


def _is_draft(header: str) -> bool:
    return _DRAFT.search("\n" + header) is not None


def _straight(found: re.Match[str]) -> str:
    double = found["double"] is not None
    inner = found["double"] if double else found["single"]
    if "'" not in inner:
        quote = "'"
    elif '"' not in inner and "\\" not in inner:
        quote = '"'
    else:
        return found[0]
    trailing = len(found[0]) - len(found["before"]) - len(inner) - 2
    return f"{found['before']}{quote}{inner}{quote}{' ' * trailing}"

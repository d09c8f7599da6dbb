"""A header's YAML to nodes of text with places.

No value is guessed at, and what YAML would do behind one's back (anchors, aliases, tags, merges, comments
that cut a value) is refused where it stands.
"""

from __future__ import annotations

import bisect
import re
from collections.abc import Callable
from typing import Any

from buildlog.reader.header import unquoted
from buildlog.reader.limits import HEADER_CHARACTERS, HEADER_DEPTH, HEADER_NODES
from buildlog.reader.names import quoted
from buildlog.reader.nodes import Node, Series, Table, Text
from buildlog.reader.reading import Reading

_QUOTE = 'put the whole value in quotes: "…"'
_SINGLE = "use single quotes: '…'"
_ALIGN = "put it under the others of its kind; put a value that goes on behind a quote or bracket in quotes"
_ONE_DOCUMENT = "leave out lines that begin with `---`, `...` or `%`"
_CUTS = re.compile(r"(?<=\s)#")

_MEANT = (
    # words of the YAML parsers (the C one and the other), what they mean, what to do
    ("mapping values are not allowed", "a colon and a blank stand inside this value", _QUOTE),
    ("cannot start any token", "a value cannot begin with this character", _QUOTE),
    ("scanning a block scalar", "a value cannot begin with `>` or `|`", _QUOTE),
    ("mapping keys are not allowed", "a value cannot begin with `?`", _QUOTE),
    ("node content", "a value cannot begin with this character", _QUOTE),
    ("expected alphabetic or numeric character", "a value cannot begin with `*`, `&` or `!`", _QUOTE),
    ("end of stream", "a quote is opened and never closed", "close it, or leave the quotes out"),
    (
        "unknown escape",
        "a backslash in double quotes stands before a letter that it does not go with",
        _SINGLE,
    ),
    ("hexadecimal", "a backslash in double quotes begins a code that is none", _SINGLE),
    ("hexdecimal", "a backslash in double quotes begins a code that is none", _SINGLE),
    ("maximum nesting depth", "the header is nested too deep, or holds too much", "no header needs this"),
    (
        "expected ',' or ']'",
        "a list that begins with `[` is never closed",
        "put commas between, `]` at the end",
    ),
    (
        "expected ',' or '}'",
        "a table that begins with `{` is never closed",
        "put commas between, `}` at the end",
    ),
    ("find expected ':'", "this is neither `key: value` nor part of a value", "write `key: value`"),
    ("expected key", "this does not go with the keys above", _ALIGN),
    ("expected '-' indicator", "this does not go with the list above", _ALIGN),
    ("expected <block end>", "this does not go with the keys or the list above", _ALIGN),
    ("sequence entries are not allowed", "a list cannot begin here", "begin it on a line of its own"),
    ("expected <document start>", "a second document begins here", _ONE_DOCUMENT),
    ("expected '<document start>'", "a second document begins here", _ONE_DOCUMENT),
)


def nodes_of(reading: Reading, header: str, first: int) -> Node | None:
    """The header as nodes; None where it is empty or cannot be read, which is then a problem.

    Args:
        reading: takes the problems.
        header: the text between the lines of dashes.
        first: the line of the file on which it begins.
    """
    if len(header) > HEADER_CHARACTERS:
        found = f"the header holds {len(header):,} characters; the limit is {HEADER_CHARACTERS:,}"
        reading.problem(Text("", first, 1), found, "split the entry")
        return None
    return _Tree(reading, header, first).grown()


class _RefusedError(Exception):
    """What was met makes the rest unreadable; the problem is already noted."""


class _Tree:
    """Grows the nodes of one header from the parser's events, which bear their places."""

    def __init__(self, reading: Reading, header: str, first: int) -> None:
        import yaml  # noqa: PLC0415 - to read lists, settings and prose alone needs none of it

        self._yaml = yaml
        events = yaml.events
        self._scalar, self._alias = events.ScalarEvent, events.AliasEvent
        self._series_begins, self._series_ends = events.SequenceStartEvent, events.SequenceEndEvent
        self._table_ends = events.MappingEndEvent
        self._reading = reading
        self._header = header
        self._first = first
        # where values begin and end: to tell a `#` within one from a comment
        self._hashes = "#" in header
        self._starts: list[int] = []
        self._ends: list[int] = []
        self._nodes = 0
        self._next: Callable[[], Any] = lambda: None

    def grown(self) -> Node | None:
        try:
            self._next = _parser(self._yaml, self._header).get_event
            root = self._document()
        except _RefusedError:
            return None
        except self._yaml.MarkedYAMLError as error:
            # an open quote holds its own `#`; elsewhere a cut value is the likelier cause of what follows
            last = error.problem_mark.line if error.problem_mark else None
            if "quoted" in str(error.context) or not self._cut_values(last):
                self._explain(error)
            return None
        if self._hashes:
            self._cut_values(None)
        return root

    def _document(self) -> Node | None:
        events = self._yaml.events
        self._next()  # the stream begins
        begins = self._next()
        if isinstance(begins, events.StreamEndEvent):
            return None
        if begins.version or begins.tags:
            self._refuse(begins, "a line that begins with `%` stands in the header", "take it out")
        root = self._node(self._next(), 0)
        self._next()  # the document ends
        if not isinstance(after := self._next(), events.StreamEndEvent):
            self._refuse(after, "a second document begins here", _ONE_DOCUMENT)
        return root

    def _node(self, event: Any, depth: int) -> Node:
        mark = event.start_mark
        line, column = self._first + mark.line, mark.column + 1
        self._nodes += 1
        if depth > HEADER_DEPTH or self._nodes > HEADER_NODES:
            self._refuse(event, "the header is nested too deep, or holds too much", "no header needs this")
        kind = type(event)
        if event.anchor is not None:
            if kind is self._alias:
                self._reading.problem(Text("", line, column), f"`*{event.anchor}` is an alias", _QUOTE)
                return Text(f"*{event.anchor}", line, column)
            self._reading.problem(Text("", line, column), f"`&{event.anchor}` is an anchor", _QUOTE)
        if event.tag is not None:
            self._reading.problem(Text("", line, column), f"{quoted(event.tag)} is a tag", _QUOTE)
        if kind is self._scalar:
            if self._hashes:
                self._starts.append(mark.index)
                self._ends.append(event.end_mark.index)
            return Text(_value(event), line, column)
        if kind is self._series_begins:
            items = []
            while type(inner := self._next()) is not self._series_ends:
                items.append(self._node(inner, depth + 1))
            return Series(tuple(items), line, column)
        return Table(self._rows(depth + 1), line, column)

    def _rows(self, depth: int) -> tuple[tuple[Text, Node], ...]:
        following, node, end = self._next, self._node, self._table_ends
        rows: list[tuple[Text, Node]] = []
        seen: dict[str, Text] = {}
        while type(event := following()) is not end:
            key = node(event, depth)
            value = node(following(), depth)
            if not isinstance(key, Text):
                self._reading.problem(key, "a key is a list or table", "write `key: value`")
            elif key.text == "<<":
                self._reading.problem(key, "`<<` merges one table into another", "write the keys out")
            elif key.text in seen:
                found = f"{quoted(key.text)} is here twice; the first is on line {seen[key.text].line}"
                self._reading.problem(key, found, "keep one of them")
            else:
                seen[key.text] = key
                rows.append((key, value))
        return tuple(rows)

    def _refuse(self, event: Any, found: str, todo: str) -> None:
        mark = event.start_mark
        self._reading.problem(Text("", self._first + mark.line, mark.column + 1), found, todo)
        raise _RefusedError

    def _cut_values(self, last: int | None) -> bool:
        """Report each line, up to a last one, where a `#` begins a comment behind something else."""
        found = False
        start = 0
        for number, line in enumerate(self._header.split("\n")[: None if last is None else last + 1]):
            # a line that begins with it is a comment, or inside a value: either way nothing is cut
            cuts = () if line.lstrip().startswith("#") else _CUTS.finditer(line)
            column = next((at.start() for at in cuts if not self._inside_value(start + at.start())), None)
            if column is not None:
                place = Text("", self._first + number, column + 1)
                todo = f"{_QUOTE}; a comment stands on a line of its own"
                self._reading.problem(place, "`#` would cut off the rest of this line", todo)
                found = True
            start += len(line) + 1
        return found

    def _inside_value(self, position: int) -> bool:
        before = bisect.bisect_right(self._starts, position)
        return before > 0 and position < self._ends[before - 1]

    def _explain(self, error: Any) -> None:
        said = f"{error.context or ''}: {error.problem or ''}"
        mark = error.problem_mark or error.context_mark
        if "never closed" in (meaning := _meaning(said))[0] and error.context_mark:
            mark = error.context_mark
        place = Text("", self._first + mark.line, mark.column + 1) if mark else None
        self._reading.problem(place, *meaning)


def _meaning(said: str) -> tuple[str, str]:
    for words, found, todo in _MEANT:
        if words in said:
            return found, todo
    return f"the header cannot be read here ({said.strip(' :')})", _QUOTE


def _value(event: Any) -> str:
    text: str = event.value
    if not event.style:
        return text if text.isascii() else unquoted(text)
    return text.rstrip() if event.style in "|>" else text


def _parser(yaml: Any, header: str) -> Any:
    """The C parser where PyYAML was built with it; its own one gives the same events, slowly."""
    if yaml.__with_libyaml__:
        return yaml.cyaml.CParser(header)

    class Events(yaml.reader.Reader, yaml.scanner.Scanner, yaml.parser.Parser):  # type: ignore[misc]  # yaml is Any here
        def __init__(self) -> None:
            yaml.reader.Reader.__init__(self, header)
            yaml.scanner.Scanner.__init__(self)
            yaml.parser.Parser.__init__(self)

    return Events()

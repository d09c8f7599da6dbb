"""The one Markdown there is: CommonMark with tables, no raw HTML, links to few places.

Reader and printroom take the same parser, so that what was checked is what is shown.
"""

from __future__ import annotations

import functools
import posixpath
import re
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING
from urllib.parse import unquote

if TYPE_CHECKING:
    from markdown_it import MarkdownIt

NESTING = 40
"""How deep quotes and lists may go, in levels of tokens (a list and its point are two)."""

SCHEMES = ("http", "https", "mailto")
"""Where a link may lead, beside places in the log."""

_BREAKS = ("softbreak", "hardbreak")
_SCHEME = re.compile(r"[\x00-\x20]*([A-Za-z][A-Za-z0-9+.\-]*):")


@functools.cache
def parser() -> MarkdownIt:
    """The parser that pages are made with: no HTML, and no link that `link_allowed` refuses."""
    return _commonmark_with_tables(link_allowed)


@functools.cache
def suspicious_parser() -> MarkdownIt:
    """The same Markdown, with HTML and every link made a token, so that a check can find and refuse them."""
    configured = _commonmark_with_tables(lambda _: True)
    configured.options["html"] = True
    return configured


def link_allowed(target: str) -> bool:
    """Whether a link may lead there: http, https, mailto, or a relative place."""
    scheme = scheme_of(target)
    if scheme:
        return scheme in SCHEMES
    return not target.lstrip().startswith(("/", "\\"))


def scheme_of(target: str) -> str:
    """The scheme of a link in small letters; empty for a relative one."""
    found = _SCHEME.match(target)
    return found[1].lower() if found else ""


def texts_of(body: str) -> Iterator[tuple[str, int]]:
    """The texts of a body's blocks as they read on a page, marks and the places of links taken out.

    Yields:
        Each text with the line of the body, from 1, on which it begins; a break in it is one line further on.
    """
    line = 1
    for token in parser().parse(body):
        if token.map:
            line = token.map[0] + 1
        if token.children:
            yield "".join("\n" if each.type in _BREAKS else each.content for each in token.children), line
        elif token.type in ("fence", "code_block"):
            yield token.content, line + (token.type == "fence")


def in_media(target: str) -> str:
    """The name below media/ of a place as prose writes it, from wherever its file lies."""
    path = posixpath.normpath(unquote(target.replace("\\", "/")).partition("#")[0])
    while path.startswith("../"):
        path = path[3:]
    return path.removeprefix("media/")


def _commonmark_with_tables(links: Callable[[str], bool]) -> MarkdownIt:
    from markdown_it import MarkdownIt  # noqa: PLC0415 - to do nothing, or to read plain prose, needs none

    # deeper than NESTING, so that what is too deep is still seen, and refused, instead of dropped
    configured = MarkdownIt("commonmark", {"html": False, "maxNesting": NESTING + 20}).enable("table")
    # the library asks the parser itself which links are good; the object's own answer goes before its class's
    vars(configured)["validateLink"] = links
    return configured

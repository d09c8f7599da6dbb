"""Markdown as a terminal shows it: words wrapped, tables as lists, no marks."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from buildlog.model.prose import parser

if TYPE_CHECKING:
    from markdown_it.token import Token

WIDTH = 88


def plain_text(markdown: str) -> str:
    """A Markdown text for a terminal, of the blocks that the reference is written in."""
    blocks = [block for block in _blocks(parser().parse(markdown)) if block]
    return "\n\n".join(blocks)


def _blocks(tokens: Sequence[Token]) -> Iterator[str]:
    at = 0
    while at < len(tokens):
        token = tokens[at]
        if token.type == "heading_open":
            title = _words(tokens[at + 1])
            yield f"{title}\n{'-' * len(title)}"
        elif token.type == "paragraph_open" and token.level == 0:
            yield textwrap.fill(_words(tokens[at + 1]), WIDTH, break_on_hyphens=False)
        elif token.type in ("fence", "code_block"):
            yield textwrap.indent(token.content.rstrip("\n"), "    ")
        elif token.type.endswith("list_open") and token.level == 0:
            yield "\n".join(_points(tokens, at))
        elif token.type == "table_open":
            yield "\n".join(_rows(tokens, at))
        at += 1


def _points(tokens: Sequence[Token], at: int) -> Iterator[str]:
    for token in tokens[at + 1 : _end(tokens, at)]:
        if token.type == "inline":
            yield textwrap.fill(
                _words(token), WIDTH, initial_indent="- ", subsequent_indent="  ", break_on_hyphens=False
            )


def _rows(tokens: Sequence[Token], at: int) -> Iterator[str]:
    """Each row as its first cell with the others below it, named by their heads after the second."""
    heads: list[str] = []
    cells: list[str] = []
    for token in tokens[at + 1 : _end(tokens, at)]:
        if token.type == "inline":
            cells.append(_words(token))
        elif token.type == "thead_close":
            heads, cells = cells, []
        elif token.type == "tr_close" and heads:
            first, second, *rest = cells
            yield first
            told = "; ".join(
                [second, *(f"{head}: {cell}" for head, cell in zip(heads[2:], rest, strict=True))]
            )
            indent = " " * 4
            yield textwrap.fill(
                told, WIDTH, initial_indent=indent, subsequent_indent=indent, break_on_hyphens=False
            )
            cells = []


def _end(tokens: Sequence[Token], at: int) -> int:
    closing = tokens[at].type.replace("_open", "_close")
    level = tokens[at].level
    return next(
        place
        for place in range(at, len(tokens))
        if tokens[place].type == closing and tokens[place].level == level
    )


def _words(token: Token) -> str:
    return "".join(
        " " if child.type in ("softbreak", "hardbreak") else child.content for child in token.children or ()
    )

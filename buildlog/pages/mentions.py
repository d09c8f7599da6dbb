"""Which parts, items, tasks, lots and tools a piece of prose names.

A name counts where it stands by itself: longest first, and never inside a longer number, whether that is on
a list or not. `spans` is the one rule for it; `mentions` asks it of a whole body, for cross-references, and
the printroom of each run of text, for links. Code is left out of both.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Iterable, Sequence

import ahocorasick_rs

_CODE = re.compile(
    r"^(`{3,})[^`\n]*\n.*?^\1`*[ \t]*$|(?<!`)(`+)(?!`).+?(?<!`)\2(?!`)", re.DOTALL | re.MULTILINE
)
_JOINS = frozenset("-–./_")


@functools.lru_cache(maxsize=8)
def _search(names: tuple[str, ...]) -> ahocorasick_rs.AhoCorasick:
    return ahocorasick_rs.AhoCorasick(names)


def mentions(names: tuple[str, ...], body: str) -> tuple[str, ...]:
    """The names that a body of Markdown mentions outside code, each once, in the order of their first place.

    Args:
        names: every name there is, none empty; keep the tuple, a search is prepared for it once.
        body: the prose as the edition sees it.
    """
    if not names:
        return ()
    text = _CODE.sub(" ", body) if "`" in body else body
    found = _search(names).find_matches_as_indexes(text, overlapping=True)
    hits = ((start, end, names[which]) for which, start, end in found)
    return tuple(dict.fromkeys(name for _, _, name in _standing(text, hits)))


def spans(names: Sequence[str], text: str) -> list[tuple[int, int, str]]:
    """Where a few names stand in a run of text: start, end and name, from left to right."""
    hits: list[tuple[int, int, str]] = []
    for name in names:
        at = text.find(name)
        while at >= 0:
            hits.append((at, at + len(name), name))
            at = text.find(name, at + 1)
    return _standing(text, hits) if hits else hits


def _standing(text: str, hits: Iterable[tuple[int, int, str]]) -> list[tuple[int, int, str]]:
    """Of overlapping hits at word edges, the leftmost, and of those the longest."""
    kept: list[tuple[int, int, str]] = []
    reach = 0
    for start, end, name in sorted(hits, key=lambda hit: (hit[0], -hit[1])):
        if start >= reach and _begins(text, start, name, reach) and _ends(text, end):
            kept.append((start, end, name))
            reach = end
    return kept


def _begins(text: str, start: int, name: str, reach: int) -> bool:
    if start == 0:
        return True
    before = text[start - 1]
    if _of_word(before):
        return not _of_word(text[start])
    joined = before in _JOINS and start > 1 and _of_word(text[start - 2])
    # `WING-12/WING-13` names two tasks; in `TN-57-1100/12` the 12 is a designator, not a task 12
    return not joined or (before == "/" and reach == start - 1 and not name.isalnum())


def _ends(text: str, end: int) -> bool:
    if end == len(text):
        return True
    after = text[end]
    if _of_word(after):
        return not _of_word(text[end - 1])
    if end + 1 == len(text):
        return True
    beyond = text[end + 1]
    if after in "-–_":
        return not _of_word(beyond)
    return not (after == "." and beyond.isdigit())


def _of_word(letter: str) -> bool:
    return letter.isalnum() or letter == "_"

"""The places in the log that links and pictures in prose lead to, as they are written."""

from __future__ import annotations

import re
from collections.abc import Callable

_TARGET = re.compile(
    # before the place of a link or picture, or of a link defined on a line of its own, in a list or not
    r"(?P<before>\]\(\s*|^[ \t>*+\-0-9.)]*\[[^\]\n]+\]:\s*)"
    # between angles, or bare, with any parentheses in pairs
    r"(?:<(?P<held>[^<>\n]*)>|(?P<plain>[^\s()<>]+(?:\([^\s()<>]*\)[^\s()<>]*)*))",
    re.MULTILINE,
)
_ELSEWHERE = re.compile(r"[A-Za-z][A-Za-z0-9+.\-]*:|#")


def targets(body: str) -> tuple[str, ...]:
    """The places that links and pictures of a body lead to, without those that have a scheme."""
    if "](" not in body and "]:" not in body:
        return ()
    found = (_written(each) for each in _TARGET.finditer(body))
    return tuple(dict.fromkeys(each for each in found if each and not _ELSEWHERE.match(each)))


def with_targets(body: str, change: Callable[[str], str]) -> str:
    """The body with each such place as `change` writes it; its lines stay the same in number.

    Args:
        body: Markdown.
        change: gives another place for one, without blanks or angles.
    """
    if "](" not in body and "]:" not in body:
        return body

    def changed(found: re.Match[str]) -> str:
        target = _written(found)
        if not target or _ELSEWHERE.match(target):
            return found[0]
        return found["before"] + change(target)

    return _TARGET.sub(changed, body)


def _written(found: re.Match[str]) -> str:
    return found["plain"] if found["held"] is None else found["held"]

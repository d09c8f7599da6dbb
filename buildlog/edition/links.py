"""Links and pictures that would lead to what an audience does not have: they go, their text stays.

A page would not follow them, but the place they lead to is the name of a file, and data that an edition
carries holds prose as it is written. What is written so that it is not found here, the gate finds.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping
from typing import NamedTuple

from buildlog.model.log import Log
from buildlog.model.prose import in_media, scheme_of

_TITLE = r"""(?:\s+(?:"[^"]*"|'[^']*'|\([^()]*\)))?"""
_TEXT = r"(?:[^\[\]\\]|\\.|\[(?:[^\[\]\\]|\\.)*\])*"
_PLACE = r"(?:<(?P<held>[^<>\n]*)>|(?P<plain>[^\s()<>]+(?:\([^\s()<>]*\)[^\s()<>]*)*))"
_INLINE = re.compile(rf"!?\[(?P<text>{_TEXT})\]\(\s*{_PLACE}{_TITLE}\s*\)")
_DEFINED = re.compile(
    # in a list or a quote too
    rf"^(?P<before>[ \t>*+\-0-9.)]*)\[(?P<text>(?:[^\[\]\\]|\\.)+)\]:\s*{_PLACE}{_TITLE}[ \t]*$",
    re.MULTILINE,
)
_REFERRED = re.compile(rf"!?\[({_TEXT})\](?:\[((?:[^\[\]\\]|\\.)*)\])?(?![\[(:])")


class Known(NamedTuple):
    """What links of an edition may lead to: entries by key, parts by number, files below media/."""

    entries: Collection[str]
    parts: Collection[str]
    files: Collection[str]


def known_of(seen: Log) -> Known:
    """What the links of a viewed log may lead to."""
    return Known(
        {entry.key for entry in seen.entries},
        {part.number for part in seen.parts},
        {medium.file for medium in seen.media},
    )


def unled(body: str, known: Known) -> str:
    """The prose without the places that its audience does not have, the lines of it where they were.

    A link to one gives its text, a picture of one what is said instead of it, and a definition of one goes.
    """
    if "](" not in body and "]:" not in body:
        return body
    body = _INLINE.sub(lambda found: _inline(found, known), body)
    leads: dict[str, bool] = {}
    for found in _DEFINED.finditer(body):
        # of two definitions of one label the first counts
        leads.setdefault(_label(found["text"]), not _lost(found, known))
    body = _DEFINED.sub(
        lambda found: found["before"] + _blank(found[0]) if _lost(found, known) else found[0], body
    )
    return body if all(leads.values()) else _REFERRED.sub(lambda found: _referred(found, leads), body)


def _inline(found: re.Match[str], known: Known) -> str:
    """A link or picture as it stays; in its text there may be another picture."""
    start, end = found.span("text")
    text = _INLINE.sub(lambda inner: _inline(inner, known), found["text"])
    before, behind = found.string[found.start() : start], found.string[end : found.end()]
    return text + _blank(behind) if _lost(found, known) else before + text + behind


def _referred(found: re.Match[str], leads: Mapping[str, bool]) -> str:
    return found[0] if leads.get(_label(found[2] or found[1]), True) else found[1]


def _blank(gone: str) -> str:
    return "\n" * gone.count("\n")


def _label(text: str) -> str:
    return " ".join(text.casefold().split())


def _lost(found: re.Match[str], known: Known) -> bool:
    target = found["held"] or found["plain"] or ""
    if not target or scheme_of(target) or target.startswith("#"):
        return False
    path = in_media(target)
    stem = path.rpartition("/")[2]
    if stem.endswith(".md"):
        stem = stem.removesuffix(".md")
        return stem not in known.entries and stem not in known.parts
    return path not in known.files

"""The gate: before an edition takes its place, all its files are searched for words its readers may not read.

The door (`view`) has taken hidden facts away; the gate looks for what came round it: a name that the author
wrote into prose, and any mistake of ours. It errs on the side of refusing.
"""

from __future__ import annotations

import functools
import hashlib
import re
from collections.abc import Iterable

import ahocorasick_rs
import msgspec

from buildlog.edition.decoded import decoded, fold


class Word(msgspec.Struct, frozen=True):
    """A word that an edition may not hold. `sort` says what it is; a `secret` one is never quoted."""

    text: str
    sort: str
    secret: bool = False

    def __str__(self) -> str:
        """As a message names it."""
        return self.sort if self.secret else f"“{self.text}”, {self.sort}"


class Gate:
    """Searches texts for some words, in any case and spacing, at word edges."""

    def __init__(self, words: Iterable[Word]) -> None:
        """Set it up. Words of a single letter are left out: they stand in every text."""
        self._words: dict[str, Word] = {}
        for word in words:
            key = _squeezed(fold(word.text))
            if len(key) > 1:
                self._words.setdefault(key, word)
        self._keys = sorted(self._words)
        self._search = ahocorasick_rs.AhoCorasick(self._keys) if self._keys else None
        told = msgspec.msgpack.encode([self._words[key] for key in self._keys])
        self.digest = hashlib.sha256(told).hexdigest()
        """Of all it looks for: what passed a gate of this digest passes again."""

    def hits(self, folded: str) -> tuple[Word, ...]:
        """The words that a folded text holds, each once."""
        if self._search is None:
            return ()
        found = self._search.find_matches_as_indexes(_squeezed(folded), overlapping=True)
        keys = dict.fromkeys(self._keys[which] for which, _, _ in found)
        return tuple(self._words[key] for key in keys if _pattern(key).search(folded))

    def masked(self, text: str) -> str:
        """A text for a message, with `…` where it holds one of the words."""
        told = fold(text)
        if not (self.hits(told) or self.hits(told.replace("-", " "))):
            return text
        folded, places = "", []
        for place, letter in enumerate(text):
            each = fold(letter)
            folded += each
            places += [place] * len(each)
        gone: set[int] = set()
        # in an address, hyphens stand for blanks
        for read in (folded, folded.replace("-", " ")):
            for word in self.hits(read):
                for found in _pattern(_squeezed(fold(word.text))).finditer(read):
                    gone.update(range(places[found.start()], places[found.end() - 1] + 1))
        shown = []
        for place, letter in enumerate(text):
            if place not in gone:
                shown.append(letter)
            elif place - 1 not in gone:
                shown.append("…")
        return "".join(shown)

    def check(self, address: str, data: bytes) -> tuple[Word, ...]:
        """The words that a file of an edition holds."""
        return self.hits(decoded(address, data)) if self._search is not None else ()


def _squeezed(folded: str) -> str:
    return "".join(folded.split())


@functools.lru_cache(maxsize=1 << 12)
def _pattern(key: str) -> re.Pattern[str]:
    """The letters of a word with any blanks between them, where no letter or digit goes before or after.

    A name may have the s of a genitive behind it.
    """
    # a low line parts words, as in the names of files
    before = r"(?<![^\W_])" if key[0].isalnum() else ""
    after = r"(?![^\W_])" if key[-1].isalnum() else ""
    after = rf"(?:['’]?s)?{after}" if key[-1].isalpha() else after
    return re.compile(before + r"\s*".join(map(re.escape, key)) + after)

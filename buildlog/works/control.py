"""What is held against an edition before it takes its place, and how its refusal is told."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator, Mapping
from pathlib import Path

import msgspec

from buildlog.edition.decoded import fold
from buildlog.edition.gate import Gate, Word
from buildlog.edition.hidden import OF_ENTRIES, OF_PEOPLE, words_of
from buildlog.edition.source import Search, Written, search
from buildlog.model.key import Audience
from buildlog.model.log import Log
from buildlog.printroom.press import Press

Check = Callable[[str, bytes], tuple[str, ...]]
"""What a file of an edition may not hold and does: one line each; empty where it may pass."""

REFERENCE = "format/"
"""The sheets of the reference are the same for every log: what they hold is nobody's secret."""

TOLD = 12
"""How many lines a refusal has at most."""


class Control(msgspec.Struct, frozen=True):
    """The control of one edition. `check` is None, and `digest` empty, where nothing is looked for.

    `written` is what stands in the source and may not, `allowed` what an entry lets pass, `warned` what may
    be something hidden or an ordinary word, `unlinked` the names that stay plain text because nobody said
    that this audience may see what they name.
    """

    check: Check | None = None
    digest: str = ""
    written: tuple[Written, ...] = ()
    allowed: tuple[str, ...] = ()
    warned: tuple[str, ...] = ()
    unlinked: tuple[str, ...] = ()
    edition: str = ""
    secrets: Gate = Gate(())
    strict: Gate = Gate(())

    def masked(self, told: Iterable[str]) -> tuple[str, ...]:
        """Lines of a message without the words of secrets.txt: a file may be called by one."""
        return tuple(map(self.secrets.masked, told))

    def held(self, files: Mapping[str, bytes]) -> Iterator[tuple[str, str]]:
        """What files added by hand hold that they may not, with the address of each.

        An entry allows a word for itself alone: in them it is looked for all the same.
        """
        for address, data in files.items():
            for what in self.strict.check(address, data):
                yield address, str(what)

    def refusal(self, held: Iterable[tuple[str, str]], addresses: Iterable[str]) -> str:
        """Why the edition may not be published; empty where it may.

        Args:
            held: addresses of pages with what each holds that it may not.
            addresses: those of all files of the edition.
        """
        lines = [f"{each.where}: {each.word}; {_way_out(each, self.edition)}" for each in self.written]
        known = {str(each.word) for each in self.written}
        lines += [f"{address}: {what}" for address, what in held if what not in known]
        if self.check is not None:
            names = ((address, what) for address in addresses for what in self.check(address, b""))
            lines += [f"the file name {address}: {what}" for address, what in names if what not in known]
        if not lines:
            return ""
        lines = list(dict.fromkeys(self.masked(lines)))
        more = [f"and {len(lines) - TOLD} more"] if len(lines) > TOLD else []
        told = "\n  ".join([*lines[:TOLD], *more])
        return f"the {self.edition} edition holds what its readers may not read; what stood stands\n  {told}"


def control_of(log: Log, seen: Log, audience: Audience, root: Path, press: Press) -> Control:
    """The control of an edition.

    Args:
        log: the whole log.
        seen: what the door let through.
        audience: whose edition it is; the shop may read all.
        root: the folder of the log: no path of this machine may be published.
        press: whose templates have words of their own, which are no secrets on any page.
    """
    secrets = Gate(Word(text, "", secret=True) for text in log.secrets)
    if audience is Audience.SHOP:
        return Control(secrets=secrets)
    words = words_of(log, seen, audience)
    forbidden = (*words.hidden, *_paths(root))
    every = search(log, seen, audience, Gate((*forbidden, *words.ordinary, *words.unmarked)))
    found = _only(every, set(forbidden))
    written = {each.word for each in found.found}
    allowed = {each.word for each in found.allowed} - written
    spoken = fold(press.words())
    strict = Gate(forbidden)
    ours = set(strict.hits(spoken))
    passes = {*allowed, *ours}
    # somebody's key may also be their first name: a word that passes does so whatever else it stands for
    spelt = {fold(word.text) for word in passes}
    if audience is Audience.PUBLIC:
        # whose own entries are called after their titles: of that day, and perhaps in the same words
        passes |= {word for word in forbidden if word.sort in OF_ENTRIES}
    gate = Gate(word for word in forbidden if word not in passes and fold(word.text) not in spelt)

    def check(address: str, data: bytes) -> tuple[str, ...]:
        # the public's edition has no reference: what lies there was put there by hand
        if address.startswith(REFERENCE) and audience is not Audience.PUBLIC:
            return ()
        return tuple(map(str, gate.check(address, data)))

    return Control(
        check,
        gate.digest,
        written=found.found,
        allowed=_told(secrets, (each for each in found.allowed if each.word in allowed)),
        warned=_told(secrets, _only(every, set(words.ordinary)).found),
        unlinked=_told(secrets, _only(every, set(words.unmarked)).found),
        edition=audience.word,
        secrets=secrets,
        strict=strict,
    )


def _only(found: Search, words: Container[Word]) -> Search:
    """What was found of some words."""
    return Search(
        tuple(each for each in found.found if each.word in words),
        tuple(each for each in found.allowed if each.word in words),
    )


def _told(secrets: Gate, found: Iterable[Written]) -> tuple[str, ...]:
    return tuple(secrets.masked(f"{each.where}: {each.word}") for each in found)


def _way_out(each: Written, edition: str) -> str:
    """What the author can do about a word where it is written."""
    file = each.where.file
    entry = file.startswith("entries/")
    ways = ["say it in another word"]
    if each.prose:
        ways.insert(0, "put it into a fence (`~~~ shop only`)")
    elif entry and Gate((each.word,)).check(file, b""):
        ways.insert(0, "rename the file, if the word stands in its name")
    elif file.endswith(".csv"):
        ways.append(f"take `{edition}` out of the `audience` of that row")
    if edition == Audience.PUBLIC.word and each.word.sort in OF_PEOPLE:
        ways.append("give that person a `public` name in buildlog.toml")
    if entry:
        ways.append("list it under `allow` in the header of that entry")
    return ", or ".join(ways) if len(ways) < 3 else f"{', '.join(ways[:-1])}, or {ways[-1]}"


def _paths(root: Path) -> Iterable[Word]:
    """The paths of this machine that a page might hold by mistake."""
    for path in dict.fromkeys((str(root.resolve()), str(Path.home()))):
        if len(Path(path).parts) > 2:
            yield Word(path, "a path of this machine")

"""Pages to files: only a page whose frozen value differs from the one it was last made from is printed.

In the first run of a process there is nothing to remember, so bundles are drawn and printed by all the
workers there are, and only what was printed comes back. Later runs draw from memory, in this process.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import Any

import msgspec

from buildlog.model.remember import Remember
from buildlog.pages.frame import Page
from buildlog.pages.site import Bundle, draw
from buildlog.printroom.press import Press
from buildlog.works.crowd import spread
from buildlog.works.generations import Leaf
from buildlog.works.kept import PageRecord

There = Callable[[str], bool]
"""Whether a file with this digest stands in the edition now and need not be printed."""


class Pressed(msgspec.Struct, frozen=True):
    """The leaves of an edition's pages, and what to keep about them."""

    leaves: dict[str, Leaf]
    records: dict[str, PageRecord]


class _Sheet(msgspec.Struct, frozen=True, array_like=True, gc=False):
    """One page made: its address, the digests of its value and of its bytes, the bytes if new."""

    address: str
    arguments: str
    output: str
    data: bytes | None = None


_SHEETS = msgspec.msgpack.Decoder(list[_Sheet])


class Pressing:
    """Makes the pages of one edition from run to run."""

    def __init__(self, press: Press, records: dict[str, PageRecord]) -> None:
        """Set it up; `records` are those of an earlier process."""
        self._press = press
        self._records = records
        self._pages: dict[str, Page] | None = None

    @property
    def before(self) -> bool:
        """Whether it is known what pages were printed from, in an earlier run or process."""
        return bool(self._records)

    def run(
        self,
        bundles: Sequence[Bundle],
        there: There,
        remember: Remember,
        workers: int,
        tell: Callable[[int], None],
    ) -> Pressed:
        """Make what must be made.

        Args:
            bundles: the bundles of the edition.
            there: see `There`.
            remember: keeps drawn bundles between runs.
            workers: how many processes may draw and print in a first run.
            tell: is told how many bundles are done.
        """
        if self._pages is None and workers > 1:
            made = spread(bundles, lambda each: self._encoded(each, there), workers, tell)
            sheets = [sheet for each in made for sheet in _SHEETS.decode(each)]
            self._pages = {}
        else:
            before = self._pages or {}
            self._pages = {page.address: page for each in bundles for page in draw(each, remember)}
            sheets = [self._made(page, there, before) for page in self._pages.values()]
        self._records = {each.address: PageRecord(each.arguments, each.output) for each in sheets}
        return Pressed({each.address: Leaf(each.output, each.data) for each in sheets}, self._records)

    def _encoded(self, bundle: Bundle, there: There) -> bytes:
        return msgspec.msgpack.encode([self._made(page, there, {}) for page in draw(bundle)])

    def _made(self, page: Page, there: There, before: dict[str, Page]) -> _Sheet:
        record = self._records.get(page.address)
        if record is not None and before.get(page.address) is page and there(record.output):
            return _Sheet(page.address, record.arguments, record.output)
        arguments = digest_of_page(page)
        if record is not None and record.arguments == arguments and there(record.output):
            return _Sheet(page.address, arguments, record.output)
        data = self._press.press(page)
        return _Sheet(page.address, arguments, hashlib.sha256(data).hexdigest(), data)


def digest_of_page(page: Page) -> str:
    """The SHA-256 of all that a page shows, hexadecimal."""
    return hashlib.sha256(_ENCODER.encode(page)).hexdigest()


def _plain(value: Any) -> Any:
    if isinstance(value, Fraction):
        return f"{value.numerator}/{value.denominator}"
    raise TypeError(f"a page holds a {type(value).__name__}, which is not one of the plain frozen values")


_ENCODER = msgspec.msgpack.Encoder(enc_hook=_plain)

"""Pages to files: only a page whose frozen value differs from the one it was last made from is printed.

In the first run of a process there is nothing to remember, so bundles are drawn and printed by all the
workers there are. They lay what they print on a tray, and only what it is comes back. Later runs draw from
memory, in this process.
"""

from __future__ import annotations

import contextlib
import hashlib
import itertools
import os
from collections.abc import Callable, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

import msgspec

from buildlog.model.remember import Remember
from buildlog.pages.frame import Page
from buildlog.pages.site import Bundle, draw
from buildlog.printroom.press import Press
from buildlog.works import disk
from buildlog.works.control import Check
from buildlog.works.crowd import spread
from buildlog.works.generations import Leaf
from buildlog.works.kept import PageRecord

There = Callable[[str], bool]
"""Whether a file with this digest stands in the edition now and need not be printed."""


class Pressed(msgspec.Struct, frozen=True):
    """The leaves of an edition's pages, and what to keep about them."""

    leaves: dict[str, Leaf]
    records: dict[str, PageRecord]
    held: tuple[tuple[str, str], ...] = ()
    """Addresses of pages with what each holds that it may not."""


class Tray(msgspec.Struct, frozen=True):
    """A folder of ours for pages just printed, and the time that they are given, in seconds since 1970."""

    folder: Path
    stamp: int


class _Sheet(msgspec.Struct, frozen=True, array_like=True, gc=False):
    """One page made: its address, the digests of its value and of its bytes.

    If it is new, the bytes, or the name of the file on the tray that holds them.
    """

    address: str
    arguments: str
    output: str
    data: bytes | None = None
    laid: str = ""
    held: tuple[str, ...] = ()


_SHEETS = msgspec.msgpack.Decoder(list[_Sheet])


class Pressing:
    """Makes the pages of one edition from run to run."""

    def __init__(self, press: Press, records: dict[str, PageRecord]) -> None:
        """Set it up; `records` are those of an earlier process."""
        self._press = press
        self._records = records
        self._pages: dict[str, Page] | None = None
        self._check: Check | None = None
        self._looked_for = ""

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
        tray: Tray | None,
        check: Check | None,
        looked_for: str,
        tell: Callable[[int], None],
    ) -> Pressed:
        """Make what must be made.

        Args:
            bundles: the bundles of the edition.
            there: see `There`.
            remember: keeps drawn bundles between runs.
            workers: how many processes may draw and print in a first run.
            tray: where they may lay what they print; without it, it comes back.
            check: the gate that every page must pass.
            looked_for: the digest of what the gate looks for; a page that passed it is not checked again.
            tell: is told how many bundles are done.
        """
        self._check, self._looked_for = check, looked_for
        if self._pages is None and workers > 1:
            if tray is not None:
                tray.folder.mkdir(parents=True, exist_ok=True)
            # The largest bundles are the last ones: begun first, they keep nobody waiting in the end.
            made = spread(bundles[::-1], lambda each: self._encoded(each, there, tray), workers, tell)
            sheets = [sheet for each in reversed(made) for sheet in _SHEETS.decode(each)]
            self._pages = {}
        else:
            before = self._pages or {}
            self._pages = {page.address: page for each in bundles for page in draw(each, remember)}
            sheets = [self._made(page, there, before) for page in self._pages.values()]
        self._records = {
            each.address: PageRecord(each.arguments, each.output, looked_for)
            for each in sheets
            if not each.held
        }
        folder = tray.folder if tray is not None else Path()
        return Pressed(
            {each.address: _leaf(each, folder) for each in sheets},
            self._records,
            tuple((each.address, what) for each in sheets for what in each.held),
        )

    def _encoded(self, bundle: Bundle, there: There, tray: Tray | None) -> bytes:
        made = (self._made(page, there, {}) for page in draw(bundle))
        return msgspec.msgpack.encode([each if tray is None else _lay(each, tray) for each in made])

    def _made(self, page: Page, there: There, before: dict[str, Page]) -> _Sheet:
        record = self._records.get(page.address)
        if record is not None and record.passed != self._looked_for:
            record = None
        if record is not None and before.get(page.address) is page and there(record.output):
            return _Sheet(page.address, record.arguments, record.output)
        arguments = digest_of_page(page)
        if record is not None and record.arguments == arguments and there(record.output):
            return _Sheet(page.address, arguments, record.output)
        data = self._press.press(page)
        held = self._check(page.address, data) if self._check is not None else ()
        return _Sheet(page.address, arguments, hashlib.sha256(data).hexdigest(), data, held=held)


_COUNT = itertools.count()


def _lay(sheet: _Sheet, tray: Tray) -> _Sheet:
    """Lay a page on the tray. Where the disk refuses it comes back, and to publish it will say why."""
    if sheet.data is None:
        return sheet
    name = f"{os.getpid()}-{next(_COUNT)}"
    with contextlib.suppress(OSError):
        disk.write(f"{tray.folder}{os.sep}{name}", sheet.data, tray.stamp)
        return _Sheet(sheet.address, sheet.arguments, sheet.output, None, name, sheet.held)
    return sheet


def _leaf(sheet: _Sheet, folder: Path) -> Leaf:
    if sheet.laid:
        # plain text: a Path for each page would cost more than to move it
        return Leaf(sheet.output, source=f"{folder}{os.sep}{sheet.laid}", move=True)
    return Leaf(sheet.output, sheet.data)


def digest_of_page(page: Page) -> str:
    """The SHA-256 of all that a page shows, hexadecimal."""
    return hashlib.sha256(_ENCODER.encode(page)).hexdigest()


def _plain(value: Any) -> Any:
    if isinstance(value, Fraction):
        return f"{value.numerator}/{value.denominator}"
    raise TypeError(f"a page holds a {type(value).__name__}, which is not one of the plain frozen values")


_ENCODER = msgspec.msgpack.Encoder(enc_hook=_plain)

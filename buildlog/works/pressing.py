"""Pages to files: only a page whose frozen value differs from the one it was last made from is printed."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

import msgspec

from buildlog.pages.frame import Page
from buildlog.printroom.press import Press
from buildlog.works.crowd import spread
from buildlog.works.generations import Leaf
from buildlog.works.kept import PageRecord


class Pressed(msgspec.Struct, frozen=True):
    """The leaves of an edition's pages, what to keep about them, and which were printed anew."""

    leaves: dict[str, Leaf]
    records: dict[str, PageRecord]
    printed: tuple[str, ...]


class Pressing:
    """Prints the pages of one edition from run to run."""

    def __init__(self, press: Press, records: Mapping[str, PageRecord]) -> None:
        self._press = press
        self._records = dict(records)
        self._pages: dict[str, Page] = {}

    def run(
        self,
        pages: Mapping[str, Page],
        there: Callable[[str], bool],
        workers: int,
        tell: Callable[[int, int], None],
    ) -> Pressed:
        """Print what must be printed.

        Args:
            pages: the pages of the edition by address.
            there: whether a file with this digest stands in the edition now and need not be printed.
            workers: how many processes may print.
            tell: is told how many pages are printed, of how many.
        """
        leaves: dict[str, Leaf] = {}
        records: dict[str, PageRecord] = {}
        to_print: list[Page] = []
        for address, page in pages.items():
            record = self._known(address, page)
            if record is not None and there(record.output):
                records[address] = record
                leaves[address] = Leaf(record.output)
            else:
                to_print.append(page)
        printed = spread(to_print, self._print, workers, lambda done: tell(done, len(to_print)))
        for page, answer in zip(to_print, printed, strict=True):
            record = PageRecord(answer[:64].decode(), answer[64:128].decode())
            records[page.address] = record
            leaves[page.address] = Leaf(record.output, answer[128:])
        self._pages = dict(pages)
        self._records = records
        return Pressed(leaves, records, tuple(page.address for page in to_print))

    def _known(self, address: str, page: Page) -> PageRecord | None:
        record = self._records.get(address)
        if record is None:
            return None
        if self._pages.get(address) is page:
            return record
        return record if record.arguments == digest_of_page(page) else None

    def _print(self, page: Page) -> bytes:
        data = self._press.press(page)
        digest = hashlib.sha256(data).hexdigest()
        return digest_of_page(page).encode() + digest.encode() + data


def digest_of_page(page: Page) -> str:
    """The SHA-256 of all that a page shows, hexadecimal."""
    return hashlib.sha256(_ENCODER.encode(page)).hexdigest()


def _plain(value: Any) -> Any:
    if isinstance(value, Fraction):
        return f"{value.numerator}/{value.denominator}"
    raise TypeError(f"a page holds a {type(value).__name__}, which is not one of the plain frozen values")


_ENCODER = msgspec.msgpack.Encoder(enc_hook=_plain)

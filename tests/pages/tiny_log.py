"""A log of a few facts, read from the folder beside this file, and its pages.

`python -m tests.pages.tiny_log` writes the golden pages anew; look at what git says before you keep them.
"""

from __future__ import annotations

import functools
from pathlib import Path

import msgspec

from buildlog.model.log import Log, MediaFile, Rendition
from buildlog.model.remember import Remember, once
from buildlog.pages.frame import Page
from buildlog.pages.site import Bundle, draw, lay_out
from buildlog.printroom.press import Press
from buildlog.reader.log import read_log
from buildlog.reckoning.reckon import reckon
from buildlog.rules.chain import check
from buildlog.rules.reference import topics

HERE = Path(__file__).parent
GOLDEN = HERE / "golden"
THEME = HERE.parents[1] / "themes" / "sheet"

SHOWN = (
    "index.html",
    "entries/2026-02-01-spars-bonded.html",
    "entries/2026-02.html",
    "items/W-110/L.html",
    "items/W-120.html",
    "parts/W-110.html",
    "parts/tree.html",
    "tasks/T-1.html",
    "lots/EPX-1.html",
    "people/ivo.html",
    "findings.html",
    "findings/by-part.html",
    "findings/by-rule.html",
    "standing/index.html",
    "standing/2026-02.html",
    "drafts.html",
    "feed.xml",
    "data/records.csv",
    "data/items.csv",
)
"""The pages whose golden copies are kept: one of each kind that says much."""

MEDIA = (
    MediaFile(file="lost.jpg", problem="missing"),
    MediaFile(
        file="spar.jpg", renditions=(Rendition("s-400.jpg", 400, 300), Rendition("s-800.jpg", 800, 600))
    ),
)


@functools.cache
def tiny() -> Log:
    """The log, its photo prepared."""
    log, problems = read_log(HERE / "tiny")
    assert log is not None, problems
    return msgspec.structs.replace(log, media=MEDIA)


def drawn(bundles: tuple[Bundle, ...], remember: Remember = once) -> tuple[Page, ...]:
    """The pages of bundles."""
    return tuple(page for bundle in bundles for page in draw(bundle, remember))


def pages_of(log: Log) -> tuple[Page, ...]:
    """All pages of a log, with three topics of the reference."""
    known = reckon(log)
    reference = topics()
    return drawn(
        lay_out(
            known,
            check(known),
            topics=tuple(reference[each] for each in ("inspection-undone", "drawing_changed", "torque")),
        )
    )


@functools.cache
def pages() -> tuple[Page, ...]:
    """All pages of the tiny log."""
    return pages_of(tiny())


@functools.cache
def printed() -> dict[str, str]:
    """The tiny log's edition, by address."""
    press = Press(THEME)
    return {page.address: press.press(page).decode() for page in pages()}


if __name__ == "__main__":
    for address in SHOWN:
        path = GOLDEN / address
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(printed()[address].encode())

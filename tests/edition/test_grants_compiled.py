"""The public edition before and after each session of the demonstration: what a hidden one changes.

Issue 4 point 3. Pages are frozen values, and bytes are made of nothing else.
"""

from __future__ import annotations

import functools
from collections.abc import Sequence
from pathlib import Path

import msgspec
import pytest

from buildlog.edition.view import view
from buildlog.model.entry import Entry
from buildlog.model.key import Audience
from buildlog.model.log import Log
from buildlog.pages.public.site import lay_out_public
from buildlog.pages.site import draw
from buildlog.reader.log import read_log
from buildlog.readiness.declassified import declassified
from buildlog.works.pressing import digest_of_page

SAMPLE = Path(__file__).parents[2] / "sample_site"
MONTHLY = ("hours", "people-count")
ALL = (*MONTHLY, "readiness", "inspection-status")
SHOW_GRANTS = {"index.html", "progress.html"}


@functools.cache
def demonstration() -> Log:
    log, problems = read_log(SAMPLE)
    assert log is not None, problems
    return log


def compiled(entries: Sequence[Entry], names: Sequence[str]) -> dict[str, str]:
    """The digest of every page of the public edition of these entries, with these aggregates let through."""
    log = msgspec.structs.replace(demonstration(), entries=tuple(entries))
    grants = declassified(log, view(log, Audience.PUBLIC), names)
    bundles = lay_out_public(view(log, Audience.PUBLIC, grants))
    return {page.address: digest_of_page(page) for each in bundles for page in draw(each)}


def changed(one: dict[str, str], other: dict[str, str]) -> set[str]:
    return {at for at in one.keys() | other.keys() if one.get(at) != other.get(at)}


def is_public(entry: Entry) -> bool:
    return entry.audience is Audience.PUBLIC


@pytest.mark.parametrize("names", [(), MONTHLY, ALL], ids=["nothing", "monthly", "all four"])
def test_a_hidden_session_changes_no_page_but_by_what_is_named(names: tuple[str, ...]) -> None:
    """After the public's last day nothing at all; on that very day the per cents, where they are named."""
    entries, later, that_day = demonstration().entries, 0, 0
    for much, entry in enumerate(entries):
        before = entries[:much]
        last = max((each.date for each in before if is_public(each)), default=None)
        if is_public(entry) or last is None:
            continue
        pages = compiled(before, names)
        if entry.date > last:
            later += 1
            assert changed(pages, compiled((*before, entry), names)) == set()
        differs = changed(pages, compiled((*before, msgspec.structs.replace(entry, date=last)), names))
        assert differs <= (SHOW_GRANTS if names == ALL else set())
        that_day += bool(differs)
    assert later >= 20
    assert bool(that_day) == (names == ALL)


def test_a_hidden_session_of_an_old_month_changes_only_the_pages_that_show_what_is_granted() -> None:
    entries = demonstration().entries
    whole, bare = compiled(entries, ALL), compiled(entries, ())
    assert whole.keys() >= SHOW_GRANTS
    seen = 0
    for place, entry in list(enumerate(entries))[::4]:
        if not is_public(entry):
            without = [*entries[:place], *entries[place + 1 :]]
            assert changed(compiled(without, ()), bare) == set()
            assert changed(compiled(without, ALL), whole) <= SHOW_GRANTS
            seen += changed(compiled(without, ALL), whole) != set()
    assert seen, "and it does change those: the guide warns of it"

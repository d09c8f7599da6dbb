"""Whatever changes among the facts that an audience may not see, not one page of its edition changes.

Pages are frozen values, and bytes are made of nothing else; a part of the inspector's is printed all the
same, and of the public's every page. Of the logs that are made, those must be many whose hidden facts collide
with, contain, or sit beside visible ones: the test fails when they are not.
`BUILDLOG_EDITIONS=20000 pytest tests/edition/test_unchanged.py` makes more.
"""

from __future__ import annotations

import datetime
import functools
import os
import typing
from typing import Any

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings

from buildlog.edition.view import view
from buildlog.model.entry import Entry, Medium
from buildlog.model.grants import Grants
from buildlog.model.key import Audience, Where, keys_of
from buildlog.model.log import Log
from buildlog.model.settings import Person
from buildlog.pages.frame import Page
from buildlog.pages.public.site import lay_out_public
from buildlog.pages.site import draw, lay_out
from buildlog.printroom.press import Press
from buildlog.reckoning.reckon import reckon
from buildlog.rules.chain import check
from buildlog.works.pressing import digest_of_page
from tests import logs
from tests.edition.hidden_facts import HIDDEN, INSPECTOR_LOG, INVOICE, NOTHING, Fence, Hidden, beside, log_of
from tests.pages.tiny_log import THEME

EXAMPLES = int(os.environ.get("BUILDLOG_EDITIONS", "500"))
"""How many logs for each audience. The largest run so far: 2,500."""

TALLY = {audience: [0, 0] for audience in Audience}
PRESS = Press(THEME)
PRINTED = ("entries/two.html", "items/WING/L.html", "index.html")
MANY = settings(
    max_examples=EXAMPLES,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


def pages_of(log: Log, audience: Audience) -> dict[str, Page]:
    """Every page of an edition but the reference of the format, which is the same for all logs."""
    seen = view(log, audience)
    if audience is Audience.PUBLIC:
        bundles = lay_out_public(seen)
    else:
        knowledge = reckon(seen)
        bundles = lay_out(knowledge, check(knowledge), audience)
    return {page.address: page for each in bundles for page in draw(each)}


def media_of(log: Log, audience: Audience) -> list[str]:
    """The files that an edition carries beside its pages, by name."""
    media = view(log, audience).media
    names = [each.name for medium in media for each in (*medium.renditions, *medium.poster)]
    return sorted([*names, *(each for medium in media for each in (medium.copy, medium.cleaned) if each)])


def digests(pages: dict[str, Page]) -> dict[str, str]:
    return {address: digest_of_page(page) for address, page in pages.items()}


def printed(pages: dict[str, Page], audience: Audience) -> dict[str, bytes]:
    """Pages as bytes: some of the inspector's, for they are many, and all of the public's."""
    wanted = pages if audience is Audience.PUBLIC else PRINTED
    return {address: PRESS.press(pages[address]) for address in wanted}


def edition_of(hidden: Hidden, audience: Audience) -> tuple[dict[str, str], dict[str, bytes], list[str]]:
    log = log_of(hidden, audience)
    pages = pages_of(log, audience)
    return digests(pages), printed(pages, audience), media_of(log, audience)


@functools.cache
def bare(audience: Audience) -> tuple[dict[str, str], dict[str, bytes], list[str]]:
    """An edition with nothing hidden among what it is made from."""
    return edition_of(NOTHING, audience)


def unchanged(hidden: Hidden, audience: Audience) -> None:
    TALLY[audience][0] += 1
    TALLY[audience][1] += beside(hidden)
    pages, texts, media = edition_of(hidden, audience)
    expected, as_printed, files = bare(audience)
    assert list(pages) == list(expected)
    assert [each for each in texts if texts[each] != as_printed[each]] == []
    assert [each for each in pages if pages[each] != expected[each]] == []
    assert media == files


@MANY
@given(hidden=HIDDEN)
def test_no_page_of_the_inspector_changes(hidden: Hidden) -> None:
    unchanged(hidden, Audience.INSPECTOR)


@MANY
@given(hidden=HIDDEN)
def test_no_page_of_the_public_changes(hidden: Hidden) -> None:
    unchanged(hidden, Audience.PUBLIC)


@pytest.mark.parametrize("audience", [Audience.INSPECTOR, Audience.PUBLIC])
def test_most_hidden_facts_were_near_visible_ones(audience: Audience) -> None:
    made, near = TALLY[audience]
    if made < EXAMPLES // 2:
        pytest.skip("the logs were made by another process")
    assert near >= made / 2, TALLY


NOT_ON_PAGES = {
    ("Log", "grants"): "passed beside the log, never in it",
    ("MediaFile", "sort"): "what has renditions is a photo, whatever it was taken for",
    ("MediaFile", "cleaned"): "the copy of what is no photo",
    ("MediaFile", "poster"): "the poster of a clip",
    ("MediaFile", "width"): "of a clip",
    ("MediaFile", "height"): "of a clip",
    ("MediaFile", "milliseconds"): "of a clip or sound",
}
"""Fields that the public may know and whose change in this log changes no page, with the reason."""


def other(value: object, hint: object) -> object:
    """Another value of the same type; facts are themselves, and a list of them is shorter."""
    if isinstance(value, str):
        return f"{value}z"
    if isinstance(value, int):
        return value + 1
    if isinstance(value, datetime.date):
        return value + datetime.timedelta(days=1)
    if not isinstance(value, tuple):
        return value
    if "tuple[str" in str(hint):
        return tuple(f"{each}z" for each in value) or ("z",)
    return value[:-1]


def elsewise(fact: msgspec.Struct, kind: type, field: str) -> msgspec.Struct:
    """A fact in which this field of every fact of a type is another."""
    changed: dict[str, Any] = {}
    for name in fact.__struct_fields__:
        value = getattr(fact, name)
        if isinstance(value, msgspec.Struct):
            changed[name] = elsewise(value, kind, field)
        elif isinstance(value, tuple) and value and isinstance(value[0], msgspec.Struct):
            changed[name] = tuple(elsewise(each, kind, field) for each in value)
        if type(fact) is kind and name == field:
            changed[name] = other(changed.get(name, value), typing.get_type_hints(kind)[name])
    return msgspec.structs.replace(fact, **changed)


def public_fields() -> list[tuple[type, str]]:
    """Every field that the public may know, of every type that the visible log holds."""
    kinds: dict[type, None] = {}

    def walk(fact: object) -> None:
        if isinstance(fact, msgspec.Struct) and not isinstance(fact, Grants | Where):
            kinds[type(fact)] = None
            for name in fact.__struct_fields__:
                walk(getattr(fact, name))
        elif isinstance(fact, tuple):
            for each in fact:
                walk(each)

    walk(view(log_of(NOTHING, Audience.PUBLIC), Audience.PUBLIC))
    kinds[Person] = None
    return [
        (kind, name)
        for kind in kinds
        for name, key in keys_of(kind).items()
        if key.audience is Audience.PUBLIC
    ]


@pytest.mark.parametrize(
    ("kind", "field"), public_fields(), ids=lambda each: getattr(each, "__name__", str(each))
)
def test_what_the_public_may_know_does_change_its_pages(kind: type, field: str) -> None:
    """The comparison would tell: each field that passes the door, changed, is seen on some page."""
    if (kind, field) == (Log, "settings"):
        return  # each of its fields is asked by itself
    log = log_of(NOTHING, Audience.PUBLIC)
    changed = elsewise(log, kind, field)
    assert isinstance(changed, Log)
    one, two = (printed(pages_of(each, Audience.PUBLIC), Audience.PUBLIC) for each in (log, changed))
    assert (one == two) is ((kind.__name__, field) in NOT_ON_PAGES)


def test_another_public_name_is_seen() -> None:
    log = log_of(NOTHING, Audience.PUBLIC)
    people = tuple(
        msgspec.structs.replace(each, public="Bramble") if each.key == "bram" else each
        for each in log.settings.people
    )
    named = msgspec.structs.replace(log, settings=msgspec.structs.replace(log.settings, people=people))
    one, two = (pages_of(each, Audience.PUBLIC)["entries/2026-03-01-two.html"] for each in (log, named))
    assert b"Marit and a builder" in PRESS.press(one)
    assert b"Marit and Bramble" in PRESS.press(two)


def test_a_photo_that_a_hidden_entry_shows_too_is_the_one_hidden_thing_that_tells() -> None:
    """By decision: a medium takes the narrowest audience of all that refers to it."""
    log = log_of(NOTHING, Audience.PUBLIC)
    hidden = Entry(key="z", date=log.entries[0].date, media=(Medium(file="one.jpg"),))
    more = msgspec.structs.replace(log, entries=(*log.entries, hidden))
    assert len(media_of(log, Audience.PUBLIC)) == len(media_of(more, Audience.PUBLIC)) + 1


def test_the_shop_sees_a_difference() -> None:
    """The comparison would tell: what is hidden from the inspector does change the shop's pages."""
    some = Hidden(fences=(Fence("one", 1, tight=False, shop=True, says=INVOICE),))
    one, two = (
        digests(pages_of(log_of(each, Audience.INSPECTOR), Audience.SHOP)) for each in (NOTHING, some)
    )
    assert one["entries/one.html"] != two["entries/one.html"]


def test_the_inspector_sees_what_the_public_may_not() -> None:
    some = Hidden(fences=(Fence("one", 1, tight=False, shop=False, says=INVOICE),))
    one, two = (
        digests(pages_of(log_of(each, Audience.PUBLIC), Audience.INSPECTOR)) for each in (NOTHING, some)
    )
    assert one["entries/one.html"] != two["entries/one.html"]


def test_a_hidden_part_never_captures_the_item_of_a_visible_one() -> None:
    """A hidden part `X/2` and a visible `X` whose item 2 an entry names."""
    text = INSPECTOR_LOG.replace("part X name=Shelf parent=WING", "part X name=Shelf items=1,2").replace(
        "part X/1 name=Door\n", ""
    )
    log = logs.facts(text + "2026-03-06 made X/2\n")
    hidden = msgspec.structs.replace(log.parts[0], number="X/2", items=(), audience=Audience.SHOP)
    with_hidden = msgspec.structs.replace(log, parts=(hidden, *log.parts))
    one, two = (digests(pages_of(each, Audience.INSPECTOR)) for each in (log, with_hidden))
    assert one == two
    assert "items/X/2.html" in one

"""Whatever changes among the facts that an audience may not see, not one page of its edition changes.

Pages are frozen values, and bytes are made of nothing else; a part of them is printed all the same. Of the
logs that are made, those must be many whose hidden facts collide with, contain, or sit beside visible ones:
the test fails when they are not. `BUILDLOG_EDITIONS=20000 pytest tests/edition/test_unchanged.py` makes more.
"""

from __future__ import annotations

import datetime
import functools
import os

import hypothesis.strategies as st
import msgspec
import pytest
from hypothesis import HealthCheck, given, settings

from buildlog.edition.view import view
from buildlog.model.entry import Draft, Entry, Medium, WorkLine
from buildlog.model.key import Audience, Where
from buildlog.model.lists import PartNote
from buildlog.model.log import Log, MediaFile, Rendition
from buildlog.pages.frame import Page
from buildlog.pages.site import draw, lay_out
from buildlog.printroom.press import Press
from buildlog.reckoning.reckon import reckon
from buildlog.rules.chain import check
from buildlog.works.pressing import digest_of_page
from tests import logs
from tests.pages.tiny_log import THEME

EXAMPLES = int(os.environ.get("BUILDLOG_EDITIONS", "500"))
"""The largest run so far: 500."""

VISIBLE = """
part WING class=assembly items=L,R
part RIB parent=WING items=1,2
part X name=Shelf parent=WING
part X/1 name=Door
task W-1 discipline=wood milestone=taxi
task W-2 after=W-1
milestone taxi title="First taxi"
lot EPX-1 material=Epoxy expires=2026-12-01
tool TQ-1 name=Wrench calibrated=2026-01-01 due=2026-12-31
2026-03-01 18:00 key=one
    work RIB/1 hours=2 kind=bonding task=W-1
    made RIB/1 lots=EPX-1
    media one.jpg shows=RIB/1
2026-03-01 key=two people=marit,bram
    made WING/L serial=17
    accepted RIB/1 to-drawing okafor
2026-03-05 key=three
    measured WING/L what=gap value="0.4 mm" limits="0.5 mm max" tool=TQ-1
    installed RIB/1 on=WING/L
    completes W-1
"""

BODIES = {
    "one": "Glued RIB/1 with EPX-1.\n\nThe second block.\n\n- a\n- b",
    "two": "Beside X/1 and X. See [the first](one.md).\n\n> quoted",
    "three": "The gap is 0.4 mm.\n\n| a | b |\n| - | - |\n| 1 | 2 |",
}

HIDDEN_PARTS = ("X/2", "RIB/1/A", "WIN", "WING/L2", "ZZ", "RIB-1")
HIDDEN_TASKS = ("W-0", "W-10", "W", "Q-1")
HIDDEN_KEYS = ("2026-02-01-before", "2026-03-01-on", "onetwo", "2026-04-01-after", "two-b")
INVOICE = "Kleivdal 8812"

NAMES = st.sampled_from([*HIDDEN_PARTS, "WING/L", "W-1", "EPX-1", INVOICE, "one.jpg"])
DAYS = st.dates(datetime.date(2026, 2, 1), datetime.date(2026, 4, 30))


class Hidden(msgspec.Struct, frozen=True):
    """What the shop alone knows, beside one and the same visible log."""

    parts: tuple[str, ...]
    tasks: tuple[str, ...]
    entries: tuple[tuple[str, datetime.date, str, tuple[str, ...]], ...]
    fences: tuple[tuple[str, int, str], ...]
    media: tuple[tuple[str, str], ...]
    fields: tuple[str, ...]
    drafts: int
    notes: bool


HIDDEN = st.builds(
    Hidden,
    parts=st.lists(st.sampled_from(HIDDEN_PARTS), unique=True, max_size=4).map(tuple),
    tasks=st.lists(st.sampled_from(HIDDEN_TASKS), unique=True, max_size=3).map(tuple),
    entries=st.lists(
        st.tuples(
            st.sampled_from(HIDDEN_KEYS), DAYS, NAMES, st.sampled_from([(), ("shop.jpg",), ("x.pdf",)])
        ),
        unique_by=lambda each: each[0],
        max_size=4,
    ).map(tuple),
    fences=st.lists(st.tuples(st.sampled_from(sorted(BODIES)), st.integers(0, 3), NAMES), max_size=4).map(
        tuple
    ),
    media=st.lists(st.tuples(st.sampled_from(sorted(BODIES)), NAMES), max_size=2).map(tuple),
    fields=st.lists(st.sampled_from(["", "a", INVOICE, "WING/L", "12.50"]), min_size=6, max_size=6).map(
        tuple
    ),
    drafts=st.integers(0, 2),
    notes=st.booleans(),
)


def fenced(key: str, hidden: Hidden) -> str:
    """The prose of an entry with fences for the shop at block boundaries."""
    blocks = BODIES[key].split("\n\n")
    for entry, place, text in hidden.fences:
        if entry == key:
            at = min(place, len(blocks))
            blocks.insert(at, f"~~~ shop only\n{text}\n\n[the first]: https://example.org/\n~~~")
    return "\n\n".join(blocks)


def log_of(hidden: Hidden) -> Log:
    """The visible log with these hidden facts among it."""
    log = logs.facts(VISIBLE)
    said = iter(hidden.fields)
    supplier, cost, note, contact, lot_note, tool_note = (next(said) for _ in range(6))
    shop = Audience.SHOP
    entries = [msgspec.structs.replace(each, body=fenced(each.key, hidden)) for each in log.entries]
    for key, file in hidden.media:
        kept = Medium(file=f"{file}.shop.jpg", caption=file, audience=shop, shows=("WING/L",))
        entries = [
            msgspec.structs.replace(each, media=(kept, *each.media)) if each.key == key else each
            for each in entries
        ]
    for key, day, text, files in hidden.entries:
        entries.append(
            Entry(
                key=key,
                date=day,
                title=text,
                audience=shop,
                people=("bram",),
                work=(WorkLine(task=text, note=text),),
                body=f"{text} and [one](one.md)",
                media=tuple(Medium(file=file, shows=("RIB/2",)) for file in files),
                where=Where(f"entries/{key}.md", 1, 1),
            )
        )
    parts = [
        msgspec.structs.replace(each, supplier=supplier, cost=cost, note=note, where=Where("parts.csv", n, 1))
        for n, each in enumerate(log.parts, start=2 + len(hidden.parts))
    ]
    for number in hidden.parts:
        parts.insert(
            len(number) % (len(parts) + 1),
            msgspec.structs.replace(log.parts[0], number=number, items=(), parent="WING", audience=shop),
        )
    tasks = [*log.tasks]
    for task in hidden.tasks:
        tasks.insert(
            len(task) % (len(tasks) + 1),
            msgspec.structs.replace(log.tasks[0], task=task, title=task, audience=shop),
        )
    files = {medium.file for entry in entries for medium in entry.media}
    people = tuple(msgspec.structs.replace(each, contact=contact) for each in log.settings.people)
    return msgspec.structs.replace(
        log,
        settings=msgspec.structs.replace(log.settings, people=people, where=Where("buildlog.toml", 9, 9)),
        parts=tuple(parts),
        tasks=tuple(tasks),
        lots=tuple(msgspec.structs.replace(each, note=lot_note, supplier=lot_note) for each in log.lots),
        tools=tuple(msgspec.structs.replace(each, note=tool_note) for each in log.tools),
        entries=tuple(sorted(entries, key=lambda each: (each.date, each.key))),
        drafts=tuple(Draft(key=f"draft-{number}") for number in range(hidden.drafts)),
        notes=tuple(
            PartNote(number=number, body=f"About {number} and WING/L.")
            for number in (*(hidden.parts if hidden.notes else ()), "RIB")
        ),
        media=tuple(
            MediaFile(
                file=file,
                digest=f"{hash(file) % 97:064x}",
                size=len(file),
                renditions=(Rendition(f"{len(file):032x}.jpg", 40, 30),),
            )
            for file in sorted(files)
        ),
        secrets=(note,),
    )


def pages_of(log: Log, audience: Audience) -> dict[str, Page]:
    """Every page of an edition but the reference of the format, which is the same for all logs."""
    seen = view(log, audience)
    knowledge = reckon(seen)
    bundles = lay_out(knowledge, check(knowledge), audience)
    return {page.address: page for each in bundles for page in draw(each)}


def beside(hidden: Hidden) -> bool:
    """Whether a hidden fact collides with, contains or sits beside a visible one."""
    return bool(
        set(hidden.parts) - {"ZZ"}
        or set(hidden.tasks) - {"Q-1"}
        or hidden.fences
        or hidden.media
        or any(
            datetime.date(2026, 3, 1) <= day <= datetime.date(2026, 3, 5) for _, day, _, _ in hidden.entries
        )
    )


NOTHING = Hidden((), (), (), (), (), ("",) * 6, 0, False)
TALLY = [0, 0]
PRESS = Press(THEME)
PRINTED = ("entries/two.html", "items/WING/L.html", "index.html")


def digests(pages: dict[str, Page]) -> dict[str, str]:
    return {address: digest_of_page(page) for address, page in pages.items()}


@functools.cache
def bare() -> tuple[dict[str, str], dict[str, bytes]]:
    """The digests of all pages with nothing hidden among them, and some of them printed."""
    pages = pages_of(log_of(NOTHING), Audience.INSPECTOR)
    return digests(pages), {address: PRESS.press(pages[address]) for address in PRINTED}


@settings(max_examples=EXAMPLES, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(hidden=HIDDEN)
def test_no_page_of_the_inspector_changes(hidden: Hidden) -> None:
    TALLY[0] += 1
    TALLY[1] += beside(hidden)
    pages = pages_of(log_of(hidden), Audience.INSPECTOR)
    expected, printed = bare()
    assert digests(pages) == expected
    assert {address: PRESS.press(pages[address]) for address in PRINTED} == printed


def test_most_hidden_facts_were_near_visible_ones() -> None:
    if TALLY[0] < EXAMPLES // 2:
        pytest.skip("the logs were made by another process")
    assert TALLY[1] >= TALLY[0] / 2, TALLY


def test_the_shop_sees_a_difference() -> None:
    """The comparison would tell: what is hidden from the inspector does change the shop's pages."""
    some = msgspec.structs.replace(NOTHING, fences=(("one", 1, INVOICE),))
    one, other = (digests(pages_of(log_of(each), Audience.SHOP)) for each in (NOTHING, some))
    assert one["entries/one.html"] != other["entries/one.html"]


def test_a_hidden_part_never_captures_the_item_of_a_visible_one() -> None:
    """A hidden part `X/2` and a visible `X` whose item 2 an entry names."""
    text = VISIBLE.replace("part X name=Shelf parent=WING", "part X name=Shelf items=1,2").replace(
        "part X/1 name=Door\n", ""
    )
    log = logs.facts(text + "2026-03-06 made X/2\n")
    hidden = msgspec.structs.replace(log.parts[0], number="X/2", items=(), audience=Audience.SHOP)
    with_hidden = msgspec.structs.replace(log, parts=(hidden, *log.parts))
    one, other = (digests(pages_of(each, Audience.INSPECTOR)) for each in (log, with_hidden))
    assert one == other
    assert "items/X/2.html" in one

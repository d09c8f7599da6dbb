"""Channels that are easily forgotten, one by one: each would tell of something hidden, and does not.

`test_unchanged` compares all bytes of many logs; here each channel is named, with the hidden fact that it
would tell, and is shown to be one: a visible fact in the same place does change it.
"""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Callable
from pathlib import Path

import msgspec
import pytest

from buildlog.edition.view import view
from buildlog.model.entry import Entry, Medium
from buildlog.model.key import Audience
from buildlog.model.lists import Part, PartNote, Task
from buildlog.model.log import Log, MediaFile, Rendition
from buildlog.model.settings import EditionSettings, Milestone, Person, Settings
from buildlog.printroom.press import Press
from tests.edition.test_unchanged import media_of, pages_of
from tests.pages.tiny_log import THEME

PRESS = Press(THEME)
PUBLIC, INSPECTOR, SHOP = Audience.PUBLIC, Audience.INSPECTOR, Audience.SHOP


def day(text: str) -> datetime.date:
    return datetime.date.fromisoformat(text)


def photo(file: str, width: int = 40) -> MediaFile:
    name = file.encode().hex().ljust(20, "0")[:20]
    return MediaFile(file=file, renditions=(Rendition(f"{name}.jpg", width, 30),))


def entry(key: str, audience: Audience = PUBLIC, **facts: object) -> Entry:
    date = day(key[:10])
    return msgspec.structs.replace(Entry(key=key, date=date, audience=audience, title=f"On {key}"), **facts)


ENTRIES = (
    entry("2024-03-05-a", media=(Medium(file="a.jpg", caption="An A"),), people=("x", "y")),
    entry("2026-03-01-b", body="Some.\n\n- one\n- two", media=(Medium(file="b.jpg"), Medium(file="c.jpg"))),
    entry("2026-05-02-c", body="More of WING."),
)
LOG = Log(
    settings=Settings(title="T", milestones=(Milestone(key="taxi", title="Taxi"),)),
    parts=(
        Part(number="WING", name="Wing", audience=PUBLIC),
        Part(number="RIB", name="Rib", audience=PUBLIC, parent="WING"),
    ),
    tasks=(
        Task(task="W-1", title="Join", audience=PUBLIC, milestone="taxi"),
        Task(task="W-2", title="Cover", audience=PUBLIC),
    ),
    entries=ENTRIES,
    media=tuple(photo(f"{each}.jpg") for each in "abc"),
)


def with_entry(more: Entry, *files: MediaFile) -> Log:
    entries = sorted([*LOG.entries, more], key=lambda each: (each.date, each.key))
    return msgspec.structs.replace(LOG, entries=tuple(entries), media=(*LOG.media, *files))


def with_medium(who: Audience) -> Log:
    """One more medium, before all others of the entry with two."""
    medium = Medium(file="d.jpg", caption="A D", shows=("WING",), audience=who)
    one = msgspec.structs.replace(ENTRIES[1], media=(medium, *ENTRIES[1].media))
    files = (*LOG.media, photo("d.jpg", 99))
    return msgspec.structs.replace(LOG, entries=(ENTRIES[0], one, ENTRIES[2]), media=files)


def with_part(part: Part) -> Log:
    return msgspec.structs.replace(LOG, parts=(LOG.parts[0], part, LOG.parts[1]))


def with_task(who: Audience) -> Log:
    milestones = (Milestone(key="sale", title="Sale"), *LOG.settings.milestones)
    settings = msgspec.structs.replace(LOG.settings, milestones=milestones)
    task = Task(task="Q", title="Hush", audience=who, milestone="sale")
    return msgspec.structs.replace(LOG, tasks=(LOG.tasks[0], task, LOG.tasks[1]), settings=settings)


def with_note(who: Audience) -> Log:
    note = PartNote(number="HUSH", body="Rarely seen, RIB and [it](WING.md).")
    return msgspec.structs.replace(a_part()(who), notes=(note,))


def edition(log: Log) -> dict[str, str]:
    """Every page as it is printed, of an edition with an address, so that there is a map of the pages."""
    own = EditionSettings(key="public", address="https://example.org/t/")
    log = msgspec.structs.replace(log, settings=msgspec.structs.replace(log.settings, editions=(own,)))
    return {at: PRESS.press(page).decode() for at, page in pages_of(log, PUBLIC).items()}


Made = Callable[[Audience], Log]
Seen = Callable[[dict[str, str]], object]


def on(key: str, **facts: object) -> Made:
    """One more entry, for somebody."""
    return lambda who: with_entry(entry(key, who, **facts), photo("d.jpg"))


def a_part(parent: str = "", system: str = "") -> Made:
    return lambda who: with_part(Part(number="HUSH", name="Hush", audience=who, parent=parent, system=system))


def page(at: str) -> Seen:
    return lambda pages: pages[at]


def every(pattern: str, *places: str) -> Seen:
    """All that a pattern finds on some pages, or on all."""
    return lambda pages: re.findall(pattern, "".join(pages[at] for at in places or pages))


MAY = "2026-04-01-m"
A_PHOTO = (Medium(file="d.jpg", caption="A D", shows=("WING",)),)
B = "entries/2026-03-01-on-2026-03-01-b.html"
C = "entries/2026-05-02-on-2026-05-02-c.html"

CHANNELS: dict[str, tuple[Made, Seen]] = {
    "months": (on(MAY), lambda pages: sorted(at for at in pages if at.startswith("entries/2"))),
    "counts of a month": (on("2026-05-09-m"), page("entries/index.html")),
    "the month before and after": (on(MAY), page("entries/2026-05.html")),
    "before and after": (on("2026-05-01-m"), every(r'rel="(?:prev|next)"[^>]*', C)),
    "years of photographs": (on("2025-03-05-m", media=A_PHOTO), page("photographs/index.html")),
    "the first page": (on("2026-05-03-m"), page("index.html")),
    "the picture that stands for the whole": (
        on("2020-01-01-m", media=A_PHOTO),
        every(r'property="og:image"[^>]*', "tasks/index.html", "index.html"),
    ),
    "the pictures on the first page": (
        on("2026-05-03-m", media=A_PHOTO),
        every(r"<img [^>]*>|og:image[^>]*", "index.html"),
    ),
    "numbers of figures": (with_medium, every(r"Fig\. \d+", B)),
    "element ids": (with_medium, every(r' id="[^"]*"', B)),
    "alt texts": (with_medium, every(r' alt="[^"]*"', "photographs/index.html")),
    "sizes in attributes": (with_medium, every(r' (?:width|height|srcset|sizes)="[^"]*"')),
    "CSS classes": (with_medium, every(r' class="[^"]*"')),
    "the parts as a tree": (a_part("WING"), page("parts/index.html")),
    "what a part consists of": (a_part("WING"), page("parts/WING.html")),
    "milestones": (with_task, page("tasks/index.html")),
    "the map of the pages": (a_part(), page("sitemap.xml")),
    "the Atom feed": (on(MAY), page("feed.xml")),
    "when the feed was updated": (on("2026-06-01-m"), every("<updated>[^<]*", "feed.xml")),
    "the JSON feed": (
        on(MAY),
        lambda pages: [each["id"] for each in json.loads(pages["feed.json"])["items"]],
    ),
    "the day of the data": (on("2026-06-01-m"), lambda pages: json.loads(pages["data/log.json"])["day"]),
    "keys of the data, in order": (a_part(system="24"), every(r'"(\w+)":', "data/log.json")),
    "rows of the tables": (on(MAY), lambda pages: pages["data/entries.csv"].count("\n")),
    "how many pages": (on(MAY), len),
    "digests of sheets": (on("2026-05-01-m"), every(r'class="mono">(\w+)<')),
    "where it is told of": (on(MAY, body="See WING."), page("parts/WING.html")),
    "told of again": (on(MAY, body="See [it](2026-05-02-c.md)."), page(C)),
    "numbers behind names of one day": (
        on("2026-03-01-a", title="On 2026-03-01-b"),
        lambda pages: [at for at in pages if "2026-03-01" in at],
    ),
    "notes on a part": (with_note, every("Rarely seen")),
}


@pytest.mark.parametrize("channel", CHANNELS)
def test_a_channel_tells_nothing_hidden_and_what_is_visible(channel: str) -> None:
    made, seen = CHANNELS[channel]
    bare = seen(edition(LOG))
    assert seen(edition(made(SHOP))) == bare
    assert seen(edition(made(INSPECTOR))) == bare
    assert seen(edition(made(PUBLIC))) != bare


def test_a_builder_is_one_however_many_there_are_and_wherever_they_stand() -> None:
    people = (Person(key="m", public="Mo"), *(Person(key=f"n{number}", name="N") for number in range(4)))

    def told(*keys: str) -> dict[str, str]:
        entries = (msgspec.structs.replace(ENTRIES[0], people=keys), *ENTRIES[1:])
        settings = msgspec.structs.replace(LOG.settings, people=people)
        return edition(msgspec.structs.replace(LOG, settings=settings, entries=entries))

    assert told("n0", "m", "n1", "n2") == told("m", "n3") == told("n1", "m")
    assert told("m") != told("m", "n3")
    page = told("n0", "m", "n1")["entries/2024-03-05-on-2024-03-05-a.html"]
    assert page.count("a builder") == 1


def test_names_of_media_say_what_their_captions_say_and_no_more() -> None:
    hidden = with_entry(entry(MAY, SHOP, media=A_PHOTO), photo("d.jpg"))
    assert media_of(hidden, PUBLIC) == media_of(LOG, PUBLIC)
    assert [name.rpartition("-")[0] for name in media_of(LOG, PUBLIC)] == ["", "", "an-a"]


def test_the_script_holds_no_data() -> None:
    """What is searched and filtered stands on the pages: script and stylesheet are the same for every log."""
    assert PRESS.assets() == {name: (Path(THEME) / name).read_bytes() for name in ("sheet.css", "sheet.js")}
    assert "fetch(" not in PRESS.assets()["sheet.js"].decode()


def test_a_hidden_fact_leaves_the_view_of_the_public_itself_the_same() -> None:
    """Not the pages alone: what they are made of is equal."""
    for made, _ in CHANNELS.values():
        assert view(made(SHOP), PUBLIC).entries == view(LOG, PUBLIC).entries

"""No file of the log has the name in the public edition that it has on the builder's disk."""

from __future__ import annotations

import datetime
import hashlib

import pytest

from buildlog.edition.view import view
from buildlog.model.entry import Entry, Medium
from buildlog.model.key import Audience
from buildlog.model.lists import Part, PartNote
from buildlog.model.log import Log, MediaFile, Rendition
from buildlog.model.settings import Settings
from buildlog.model.targets import targets, with_targets

DAY = datetime.date(2026, 3, 1)


def entry(key: str, title: str = "", body: str = "", **facts: object) -> Entry:
    return Entry(key=key, title=title, body=body, date=DAY, **({"audience": Audience.PUBLIC} | facts))


def photo(file: str, digest: str) -> MediaFile:
    return MediaFile(
        file=file, renditions=(Rendition(f"{digest}1.jpg", 4, 3), Rendition(f"{digest}2.jpg", 8, 6))
    )


def public(*entries: Entry, **facts: object) -> Log:
    return view(Log(settings=Settings(title="T"), entries=entries, **facts), Audience.PUBLIC)


def test_an_entry_is_called_after_its_date_and_title() -> None:
    seen = public(entry("secret-one", "Left spar, glued"), entry("secret-two"), entry("x", "零件"))
    assert [each.key for each in seen.entries] == [
        "2026-03-01",
        "2026-03-01-left-spar-glued",
        f"2026-03-01-{hashlib.sha256('零件'.encode()).hexdigest()[:8]}",
    ]


def test_entries_of_one_day_and_title_are_told_apart_by_what_is_read() -> None:
    one, two = entry("b", "Ribs", "First."), entry("a", "Ribs", "Second.")
    keys = [(each.key, each.body) for each in public(one, two).entries]
    assert keys == [("2026-03-01-ribs", "First."), ("2026-03-01-ribs-2", "Second.")]
    assert keys == [(each.key, each.body) for each in public(two, one).entries]


def test_the_order_of_one_day_does_not_come_from_file_names_or_hours() -> None:
    for keys in (("a", "b"), ("b", "a")):
        seen = public(
            entry(keys[0], "Ribs", start=datetime.time(9)), entry(keys[1], "Spars", start=datetime.time(8))
        )
        assert [each.title for each in seen.entries] == ["Ribs", "Spars"]


def test_a_hidden_entry_takes_no_name_from_a_visible_one() -> None:
    hidden = entry("a", "Ribs", audience=Audience.INSPECTOR)
    assert [each.key for each in public(hidden, entry("b", "Ribs")).entries] == ["2026-03-01-ribs"]


def test_pictures_are_called_after_their_caption_and_their_bytes() -> None:
    shown = entry(
        "e",
        "E",
        "![alt](../media/IMG_1.jpg) and ![](IMG_2.jpg) and [the first](<../media/IMG_1.jpg>)",
        media=(Medium(file="IMG_1.jpg", caption="Every clamp, we own"), Medium(file="IMG_2.jpg")),
    )
    seen = public(shown, media=(photo("IMG_1.jpg", "aa"), photo("IMG_2.jpg", "bb")))
    assert [each.file for each in seen.media] == ["bb2.jpg", "every-clamp-we-own-aa2.jpg"]
    assert [each.name for each in seen.media[1].renditions] == [
        "every-clamp-we-own-aa1.jpg",
        "every-clamp-we-own-aa2.jpg",
    ]
    assert [each.file for each in seen.entries[0].media] == ["every-clamp-we-own-aa2.jpg", "bb2.jpg"]
    assert seen.entries[0].body == (
        "![alt](every-clamp-we-own-aa2.jpg) and ![](bb2.jpg) and [the first](every-clamp-we-own-aa2.jpg)"
    )


def test_one_picture_kept_twice_is_shown_as_one() -> None:
    shown = entry("e", media=(Medium(file="a.jpg"), Medium(file="b.jpg")))
    seen = public(shown, media=(photo("a.jpg", "aa"), photo("b.jpg", "aa")))
    assert [each.file for each in seen.media] == ["aa2.jpg"]


@pytest.mark.parametrize(
    ("written", "read"),
    [
        ("[x](2026-03-01-two.md)", "[x](2026-03-01-second.md)"),
        ("[x](../2026/2026-03-01-two.md#r1)", "[x](2026-03-01-second.md)"),
        ("[x](<2026-03-01-two.md>)", "[x](2026-03-01-second.md)"),
        ("[x](2026-03-01-hidden.md)", "x"),
        ("[x](2026-03-01-nowhere.md 'title')", "x"),
        ("[x][1]\n\n[1]: 2026-03-01-hidden.md", "x"),
        ("> [1]: 2026-03-01-hidden.md", "> "),
        ("- [x](2026-03-01-hidden.md)", "- x"),
        ("[x](../parts/A-1.md)", "[x](../parts/A-1.md)"),
        ("[x](../parts/B-1.md)", "x"),
        ("![x](../media/kept.jpg)", "x"),
        ("[x](https://example.org/a.md)", "[x](https://example.org/a.md)"),
        ("[x](mailto:a@example.org)", "[x](mailto:a@example.org)"),
        ("[x](#there)", "[x](#there)"),
    ],
)
def test_links_lead_to_the_new_names_or_nowhere(written: str, read: str) -> None:
    seen = public(
        entry("2026-03-01-one", "First", written),
        entry("2026-03-01-two", "Second"),
        entry("2026-03-01-hidden", "Hidden", audience=Audience.INSPECTOR),
        parts=(Part(number="A-1", name="a", audience=Audience.PUBLIC), Part(number="B-1", name="b")),
        notes=(PartNote(number="A-1", body=written),),
    )
    assert seen.entries[0].body == read
    assert seen.notes[0].body == read


def test_targets_are_found_as_they_are_changed() -> None:
    body = "[a](b.md) ![c](<d e.jpg>) [f](g(h).md)\n\n[i]: j.md\n\n[k](https://l.org)"
    assert targets(body) == ("b.md", "d e.jpg", "g(h).md", "j.md")
    assert with_targets(body, lambda _: "#") == ("[a](#) ![c](#) [f](#)\n\n[i]: #\n\n[k](https://l.org)")

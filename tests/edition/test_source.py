"""Forbidden words in the source: found as they read and not only as they are written, with file and line."""

from __future__ import annotations

import msgspec
import pytest

from buildlog.edition.gate import Gate
from buildlog.edition.hidden import words_of
from buildlog.edition.source import Search, search
from buildlog.edition.view import view
from buildlog.model.entry import Medium
from buildlog.model.key import Audience, Where
from buildlog.model.lists import PartNote
from buildlog.model.log import Log, MediaFile
from tests import logs

LOG = """
person einar name="Einar Lie" contact="einar@example.org" certificate=K-77123 roles=inspector
person kari name="Kari Moe" public="Kari M."
part WING name=Wing audience=public
part RIB name=rib audience=shop supplier="Kleivdal Coatings"
part HUSH-9 name=Hush audience=inspector
part SPAR-1 name=Spar
task W-1 title=Wing audience=public
task Q-1 title=Quiet audience=inspector
lot EPX-1 material=Epoxy
tool TQ-1 name=Wrench
2026-03-01 key=2026-03-01-one audience=public
    work WING task=W-1
2026-03-02 key=2026-03-02-two
    received WING serial=SN-4711 from="Brattskog Supply"
    media 2026/bill.jpg
"""


def log_with(body: str, **header: object) -> Log:
    """The log whose first entry, the public one, holds this prose, from line 7 of its file on."""
    log = logs.facts(LOG)
    one = msgspec.structs.replace(log.entries[0], body=body, body_line=7, **header)
    bill = MediaFile(file="2026/bill.jpg")
    return msgspec.structs.replace(log, entries=(one, *log.entries[1:]), media=(bill,))


def found_in(log: Log, audience: Audience = Audience.PUBLIC) -> Search:
    seen = view(log, audience)
    return search(log, seen, audience, Gate(words_of(log, seen, audience).hidden))


def told(body: str) -> list[str]:
    return [f"{each.where.line}: {each.word.text}" for each in found_in(log_with(body)).found]


@pytest.mark.parametrize(
    ("body", "line"),
    [
        ("Then Einar Lie came.", 7),
        ("x\n\nThen Ei**nar** *Lie* came.", 9),
        ("x\ny\nThen Einar\n**Lie** came.", 9),
        ("Einar  \nLie", 7),
        ("Einar\\\nLie", 7),
        ("# One\n\nEi&#110;ar &#x4c;ie", 9),
        ("x\n\n- a\n- Ei\u00adnar LIE", 10),
        ("Einar [Lie](https://example.org)", 7),
        ("x\n\n[Einar](https://example.org) `Lie`", 9),
        ("x\n\nEi\\nar \\L".replace("\\n", "n").replace("\\L", "Lie"), 9),
        ("x\n\n```\ncode\nfor Einar Lie\n```", 11),
        ("x\n\n    for Einar Lie", 9),
        ("| a | b |\n| - | - |\n| x | Ei**nar** Lie |", 9),
        ("> quoted\n> Einar\n> Lie", 8),
        ("![Einar Lie](one.jpg)", 7),
        ("[x](https://example.org/einar%20lie)", 7),
        ("x Einar_Lie_x", 7),
        ("```einar-lie\nx\n```", 7),
    ],
)
def test_a_name_is_told_with_its_line_however_it_is_written(body: str, line: int) -> None:
    assert any(each.startswith(f"{line}: ") and "inar" in each.lower() for each in told(body)), told(body)


@pytest.mark.parametrize(
    "body",
    [
        "Einar\n\nLie",
        "Einars Lier",
        "An Einarsen",
        "~~~ inspector only\nEinar Lie\n~~~",
        "Kari M. came, and KARI.",
        "The rib, the spar SPAR-1 and Hush.",
    ],
)
def test_what_is_none_is_not_told(body: str) -> None:
    assert [each for each in told(body) if "Lie" in each or "kari" in each.lower() or "-" in each] == []


@pytest.mark.parametrize(
    ("word", "sort"),
    [
        ("einar", "the key of a person"),
        ("EINAR  LIE", "the name of a person"),
        ("Kari Moe", "the name of a person"),
        ("k-77123", "a certificate number"),
        ("einar@example.org", "how to reach a person"),
        ("Kleivdal coatings", "a supplier"),
        ("sn-4711", "a serial number"),
        ("Brattskog Supply", "whom something came from"),
        ("EPX-1", "a lot"),
        ("TQ-1", "a tool"),
        ("HUSH-9", "a part number"),
        ("Q-1", "a task"),
        ("bill.jpg", "the name of a media file"),
        ("2026-03-02-two", "the file name of an entry"),
        ("RIB", "a part number"),
    ],
)
def test_each_sort_of_name_is_told_to_the_public_s_builder(word: str, sort: str) -> None:
    found = {each.word.sort for each in found_in(log_with(f"Good.\n\nThere ({word}) it is.")).found}
    assert sort in found


def test_a_link_to_an_entry_that_is_not_in_it_is_no_finding() -> None:
    assert told("See [the other day](2026-03-02-two.md).") == []
    assert view(log_with("See [the other day](2026-03-02-two.md)."), Audience.PUBLIC).entries[0].body == (
        "See the other day."
    )


def test_headers_captions_lists_and_notes_are_told_with_their_places() -> None:
    log = log_with(
        "Good.",
        title="With Einar",
        media=(Medium(file="x.jpg", caption="Einar", where=Where("entries/2026-03-01-one.md", 12, 3)),),
    )
    notes = (PartNote(number="WING", body="x\n\nAsk *Ei*nar.", body_line=1),)
    notes = tuple(
        msgspec.structs.replace(each, where=msgspec.structs.replace(each.where, file="parts/WING.md", line=1))
        for each in notes
    )
    parts = tuple(
        msgspec.structs.replace(each, name="Einar’s wing") if each.number == "WING" else each
        for each in log.parts
    )
    places = [
        str(each.where) for each in found_in(msgspec.structs.replace(log, notes=notes, parts=parts)).found
    ]
    assert sorted(places) == [
        "entries/2026-03-01-one.md:12:3",
        "entries/2026-03-01-one.md:1:1",
        "parts.csv:2:1",
        "parts/WING.md:3:1",
    ]


def test_the_title_of_a_hidden_part_warns_and_what_nobody_marked_is_told() -> None:
    log = log_with("The rib sits on Hush, on SPAR-1.")
    seen = view(log, Audience.PUBLIC)
    words = words_of(log, seen, Audience.PUBLIC)
    assert {each.sort for each in words.ordinary} >= {
        "the title of the part RIB",
        "the title of the part HUSH-9",
    }
    assert [each.text for each in words.unmarked] == ["SPAR-1"]
    assert "rib" not in {each.text for each in words.hidden}


def test_a_secret_goes_before_any_other_sort_of_word() -> None:
    log = msgspec.structs.replace(log_with("From Kleivdal Coatings."), secrets=("kleivdal coatings",))
    (found,) = (each for each in found_in(log).found if "line" in each.word.sort)
    assert str(found.word) == "the word on line 1 of secrets.txt"
    assert [str(each.word) for each in found_in(log).found] == ["the word on line 1 of secrets.txt"]


def test_one_entry_allows_and_the_other_does_not() -> None:
    log = log_with("With Ei*nar* Lie.", allow=("Einar", "einar lie"))
    assert found_in(log).found == ()
    assert {each.word.text for each in found_in(log).allowed} == {"einar", "Einar Lie"}
    more = msgspec.structs.replace(log.entries[0], key="2026-03-03-more", allow=(), body="Ei**nar**.")
    both = found_in(msgspec.structs.replace(log, entries=(*log.entries, more)))
    assert [each.word.text for each in both.found] == ["einar"]

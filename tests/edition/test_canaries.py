"""A canary in every hidden field that the types declare is on no printed page of an edition below."""

from __future__ import annotations

import msgspec
import pytest

from buildlog.edition import told
from buildlog.edition import view as door
from buildlog.edition.view import view
from buildlog.model.entry import Entry, Medium
from buildlog.model.key import Audience, Where, keys_of
from buildlog.model.lists import Part, Task
from buildlog.model.log import Log
from buildlog.printroom.press import Press
from tests.edition.canaries import Cage, by_hand, caged, read
from tests.edition.test_unchanged import media_of, pages_of
from tests.pages.tiny_log import THEME

PRESS = Press(THEME)


def seen_in(log: Log, cage: Cage, audience: Audience) -> set[str]:
    """The fields of which a canary stands on a printed page, or in the name of a file."""
    pages = pages_of(log, audience)
    texts = [read(address, PRESS.press(page)) for address, page in pages.items()]
    return cage.found("\n".join((*texts, *media_of(log, audience))))


@pytest.mark.parametrize("audience", [Audience.INSPECTOR, Audience.PUBLIC])
def test_no_canary_is_on_a_page(audience: Audience) -> None:
    log, cage = caged(audience)
    assert len(cage.fields) > 100
    assert seen_in(log, cage, audience) == set()


STOPS = "stops"
SHOWN = {
    Audience.INSPECTOR: {
        *("Log.secrets", "Person.contact", "Part.supplier", "Part.cost", "Part.note"),
        *("Lot.document", "Lot.supplier", "Lot.cost", "Lot.note", "Tool.document", "Tool.note"),
        *("PartNote.body_line", "Entry.allow", "Entry.body_line", "Entry.file_date"),
    },
    Audience.PUBLIC: {"MediaFile.copy"},
}
"""The fields that pages would show if the door let them through: the inspector's data shows nearly all."""

UNSHOWN = {
    Audience.INSPECTOR: {
        "Entry.draft": "it is true or false, which is no canary",
        "Entry.header_date": "it is true or false, which is no canary",
        "MediaFile.digest": "what an original is like is for the shelf and the report; no page asks for it",
        "MediaFile.size": "likewise",
        "MediaFile.uncleaned": "likewise",
        "MediaFile.stripped": "likewise",
    },
}
"""Those that none would, with the reason of each.

For the public it is one and the same for all: its pages and its data name each field that they show, so that
a field which is let through by mistake still has no place there. Its door is tried by what it takes away
whole, below.
"""


def types_in(fact: object, found: dict[type[msgspec.Struct], None]) -> dict[type[msgspec.Struct], None]:
    """Every type of fact that a log holds."""
    if isinstance(fact, msgspec.Struct):
        found[type(fact)] = None
        for name in fact.__struct_fields__:
            types_in(getattr(fact, name), found)
    elif isinstance(fact, tuple):
        for each in fact:
            types_in(each, found)
    return found


@pytest.mark.parametrize("audience", [Audience.INSPECTOR, Audience.PUBLIC])
def test_a_field_let_through_by_the_door_is_seen_on_a_page(
    audience: Audience, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The door taken away from one field at a time."""
    log, cage = caged(audience)
    told_back = door._visible
    outcome: dict[str, str | bool] = {}
    for kind in types_in(view(log, audience), {}):
        if kind is Where:
            continue
        for name, key in keys_of(kind).items():
            if key.audience <= audience:
                continue

            def ajar(
                fact: type[msgspec.Struct], asked: Audience, kind: type = kind, name: str = name
            ) -> tuple[str, ...]:
                visible = told_back(fact, asked)
                return (*visible, name) if fact is kind else visible

            monkeypatch.setattr(door, "_visible", ajar)
            field = f"{kind.__name__}.{name}"
            try:
                outcome[field] = field in seen_in(log, cage, audience)
            except TypeError:
                # a place in a file declares nothing, and no fact is made without its name
                outcome[field] = STOPS
    assert {field for field, what in outcome.items() if what is True} == SHOWN[audience]
    unseen = {field for field, what in outcome.items() if what is False}
    if audience in UNSHOWN:
        assert unseen == set(UNSHOWN[audience])
    assert {field for field, what in outcome.items() if what == STOPS} >= {
        "Entry.where",
        "Part.where",
        "Log.drafts",
    }


@pytest.mark.parametrize(
    ("kind", "field"),
    [(Entry, "Entry.title"), (Part, "Part.name"), (Task, "Task.title"), (Medium, "Medium.caption")],
)
@pytest.mark.parametrize("audience", [Audience.INSPECTOR, Audience.PUBLIC])
def test_a_fact_let_through_whole_is_seen_on_a_page(
    kind: type, field: str, audience: Audience, monkeypatch: pytest.MonkeyPatch
) -> None:
    log, cage = caged(audience)
    is_hidden = door.is_hidden
    monkeypatch.setattr(
        door, "is_hidden", lambda value, asked: not isinstance(value, kind) and is_hidden(value, asked)
    )
    monkeypatch.setattr(door, "without_kept_media", lambda log, _: log)
    assert field in seen_in(log, cage, audience)


@pytest.mark.parametrize("audience", [Audience.INSPECTOR, Audience.PUBLIC])
def test_a_fence_that_is_not_cut_is_seen_on_a_page(
    audience: Audience, monkeypatch: pytest.MonkeyPatch
) -> None:
    log, cage = caged(audience)
    monkeypatch.setattr(door, "cut", lambda text, _: text)
    assert seen_in(log, cage, audience) == {"a fence"}


def test_keys_and_tags_that_the_public_is_told_are_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    log, cage = caged(Audience.PUBLIC)
    monkeypatch.setattr(told, "_called", lambda keys, _: tuple(keys))
    assert {"Person.key marit", "Person.key bram", "Person.key vera"} <= seen_in(log, cage, Audience.PUBLIC)
    monkeypatch.setattr(told, "_line", lambda line, _: msgspec.structs.replace(line, parts=()))
    assert "Task.task" in seen_in(log, cage, Audience.PUBLIC)
    monkeypatch.setattr(told, "_line", lambda line, _: line)
    with pytest.raises(KeyError):
        # no page can be made of an item of which nothing is known
        seen_in(log, cage, Audience.PUBLIC)


def test_both_ways_to_read_a_file_find_what_is_in_it() -> None:
    cage = Cage()
    word = cage.canary(str, "x")
    for address, text in (
        ("a.html", "<p>cn<b>ry000</b>q</p>"),
        ("a.html", f"<p title='{word}'>"),
        ("a.html", f"<!-- {word} -->"),
        ("feed.xml", "<feed><content>&lt;p>cn&lt;i>ry&lt;/i>000q&lt;/p></content></feed>"),
        ("a.json", '{"a": ["\\u0063nry000q"]}'),
        ("a.csv", f'a,"b\n{word}"\r\n'),
        (f"media/{word}-0a.jpg", ""),
    ):
        assert cage.found("\n".join((address, *by_hand(address, text)))) == {"x"}, address
        assert cage.found(read(address, text.encode())) == {"x"}, address

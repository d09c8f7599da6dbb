"""The one door: what is above an audience is gone, whatever field it stands in; the shop sees all."""

from __future__ import annotations

import datetime
import typing
from fractions import Fraction
from typing import Any

import msgspec
import pytest

from buildlog.edition import view as door
from buildlog.edition.view import view
from buildlog.model.entry import Entry, Medium
from buildlog.model.grants import NO_GRANTS, Grants
from buildlog.model.key import Audience, Where, keys_of
from buildlog.model.lists import Part, PartNote, Task
from buildlog.model.log import Log, MediaFile, Rendition
from buildlog.model.records import KINDS, AnyRecord
from buildlog.model.settings import Settings

WORD = "canary"


def planted(hint: Any) -> Any:
    """A value of a type that could not come about by itself."""
    origin, args = typing.get_origin(hint), typing.get_args(hint)
    if origin is typing.Annotated:
        return planted(args[0])
    if origin is tuple and args[0] == AnyRecord:
        return tuple(map(filled, KINDS.values()))
    if origin is tuple:
        return (planted(args[0]),)
    if origin is typing.Union or type(hint).__name__ == "UnionType":
        return planted(next(each for each in args if each is not type(None)))
    if isinstance(hint, type) and issubclass(hint, msgspec.Struct):
        return filled(hint)
    values = {
        str: WORD,
        bool: True,
        int: 424_242,
        Fraction: Fraction(424_243, 7),
        datetime.date: datetime.date(4242, 4, 2),
        datetime.time: datetime.time(4, 42, 42),
        Audience: Audience.PUBLIC,
    }
    return values[hint]


def filled(kind: type[msgspec.Struct]) -> Any:
    """A fact with something planted in every field."""
    hints = typing.get_type_hints(kind, include_extras=True)
    values = {name: planted(hints[name]) for name in kind.__struct_fields__}
    if kind in (Entry, Part, Task):
        values["audience"] = Audience.PUBLIC
    if kind in (Medium, MediaFile):
        values["file"] = "photo.jpg"  # no record refers to it, so that it is not kept back whole
    return kind(**values)


def fields_above(fact: Any, audience: Audience) -> typing.Iterator[tuple[str, Any, Any]]:
    """Every field above an audience that is not as if it had never been written, however deep."""
    plain = {field.name: field.default for field in msgspec.structs.fields(type(fact))}
    for name, key in keys_of(type(fact)).items():
        value = getattr(fact, name)
        if key.audience > audience:
            if value != plain.get(name):
                yield f"{type(fact).__name__}.{name}", value, plain.get(name)
        elif isinstance(value, msgspec.Struct):
            yield from fields_above(value, audience)
        elif isinstance(value, tuple):
            for each in value:
                if isinstance(each, msgspec.Struct):
                    yield from fields_above(each, audience)


@pytest.mark.parametrize("audience", [Audience.INSPECTOR, Audience.PUBLIC])
def test_every_field_above_an_audience_is_gone(audience: Audience) -> None:
    log = filled(Log)
    assert list(fields_above(log, audience)), "there is something to take away"
    assert list(fields_above(view(log, audience), audience)) == []


@pytest.mark.parametrize("audience", [Audience.INSPECTOR, Audience.PUBLIC])
def test_the_test_above_would_see_any_one_field_let_through(
    audience: Audience, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The door taken away from one field at a time."""
    log = filled(Log)
    own = (msgspec.structs.replace(log.settings.editions[0], key=audience.word),)
    log = msgspec.structs.replace(log, settings=msgspec.structs.replace(log.settings, editions=own))
    kept_back = {name for name, _, _ in fields_above(log, audience)}
    assert len(kept_back) > 30
    if audience is Audience.PUBLIC:
        # people are gone whole, whatever their fields declare
        kept_back = {name for name in kept_back if not name.startswith("Person.")}
        assert view(log, audience).settings.people == ()
    told_back, let_through = door._visible, 0
    for name in kept_back:
        kind, _, field = name.partition(".")

        def ajar(
            fact: type[msgspec.Struct], asked: Audience, kind: str = kind, field: str = field
        ) -> tuple[str, ...]:
            visible = told_back(fact, asked)
            return (*visible, field) if fact.__name__ == kind and field not in visible else visible

        monkeypatch.setattr(door, "_visible", ajar)
        try:
            seen = view(log, audience)
        except TypeError:
            # a place in a file declares nothing, and no fact is made without its name: the program stops
            continue
        assert name in {each for each, _, _ in fields_above(seen, audience)}
        let_through += 1
    assert let_through >= 12


def test_the_shop_sees_the_log_itself() -> None:
    log = filled(Log)
    assert view(log, Audience.SHOP, log.grants) is log


@pytest.mark.parametrize("audience", Audience)
def test_a_view_holds_the_grants_that_were_passed_and_no_others(audience: Audience) -> None:
    log = filled(Log)
    granted = Grants(through="2026-03", total=40)
    assert log.grants != NO_GRANTS
    assert view(log, audience).grants == NO_GRANTS
    assert view(log, audience, granted).grants == granted
    assert view(log, audience, granted) == msgspec.structs.replace(view(log, audience), grants=granted)


def test_every_fact_that_a_log_can_hold_declares_its_audiences() -> None:
    seen: set[type] = set()

    def walk(hint: Any) -> None:
        if hint is Where:
            return  # a place in a file: the fields that hold one are the shop's
        if isinstance(hint, type) and issubclass(hint, msgspec.Struct) and hint not in seen:
            seen.add(hint)
            keys_of(hint)
            for each in typing.get_type_hints(hint, include_extras=True).values():
                walk(each)
        for each in typing.get_args(hint):
            walk(each)

    walk(Log)
    assert {Entry, Part, Settings, *KINDS.values()} <= seen


def test_a_field_without_an_audience_stops_the_program() -> None:
    class Careless(msgspec.Struct, frozen=True):
        name: str = ""

    with pytest.raises(TypeError, match=r"Careless\.name declares no audience"):
        keys_of(Careless)


def log_of(**facts: Any) -> Log:
    return Log(settings=Settings(title="T"), **facts)


def entry(key: str, **facts: Any) -> Entry:
    return Entry(key=key, date=datetime.date(2026, 3, 1), **facts)


def shown(file: str) -> MediaFile:
    """A photo that was made fit to be shown."""
    return MediaFile(file=file, renditions=(Rendition("0a.jpg", 4, 3),))


def test_what_says_of_itself_that_it_is_for_somebody_above_is_gone_whole() -> None:
    log = log_of(
        entries=(
            entry("public", audience=Audience.PUBLIC),
            entry("inspector"),
            entry("shop", audience=Audience.SHOP),
        ),
        parts=(Part(number="A", name="a", audience=Audience.PUBLIC), Part(number="B", name="b")),
        notes=(PartNote(number="A", body="on A"), PartNote(number="B", body="on B")),
    )
    public, inspector = view(log, Audience.PUBLIC), view(log, Audience.INSPECTOR)
    assert [each.key for each in public.entries] == ["2026-03-01"], "called after its date, not its file"
    assert [each.key for each in inspector.entries] == ["public", "inspector"]
    assert [each.number for each in public.parts] == ["A"]
    assert [each.number for each in public.notes] == ["A"], "a note is for whom its part is"


def test_a_medium_may_be_for_fewer_than_its_entry() -> None:
    media = (Medium(file="a.jpg"), Medium(file="b.jpg", audience=Audience.SHOP))
    files = tuple(shown(file) for file in ("a.jpg", "b.jpg"))
    log = log_of(entries=(entry("e", audience=Audience.PUBLIC, media=media),), media=files)
    assert len(view(log, Audience.PUBLIC).entries[0].media) == 1
    assert [each.file for each in view(log, Audience.INSPECTOR).entries[0].media] == ["a.jpg"]


def test_a_medium_goes_no_further_than_the_narrowest_of_all_that_refer_to_it() -> None:
    signed = KINDS["inspected"](of=("A",), document=("scan.jpg", "bill.jpg"))
    log = log_of(
        entries=(
            entry("one", audience=Audience.PUBLIC, media=(Medium(file="scan.jpg"), Medium(file="free.jpg"))),
            entry("two", records=(signed,), media=(Medium(file="free.jpg", audience=Audience.PUBLIC),)),
            entry("three", audience=Audience.SHOP, media=(Medium(file="bill.jpg"),)),
        ),
        media=tuple(MediaFile(file=file) for file in ("bill.jpg", "free.jpg", "scan.jpg")),
    )
    public, inspector = view(log, Audience.PUBLIC), view(log, Audience.INSPECTOR)
    assert [each.file for each in inspector.media] == ["free.jpg", "scan.jpg"]
    assert inspector.entries[1].records[0].document == ("scan.jpg",)
    assert [each.file for each in inspector.entries[0].media] == ["scan.jpg", "free.jpg"]
    assert public.media == (), "the second entry, which is the inspector's, refers to it too"
    assert public.entries[0].media == ()


def test_fenced_passages_are_cut_before_anything_reads_them() -> None:
    body = "Before.\n\n~~~ shop only\nInvoice 8812.\n~~~\n\n~~~ inspector only\nGap 0.4.\n~~~\n\nAfter."
    log = log_of(entries=(entry("e", audience=Audience.PUBLIC, body=body),))
    public = view(log, Audience.PUBLIC).entries[0].body
    inspector = view(log, Audience.INSPECTOR).entries[0].body
    assert public == "Before.\n\nAfter."
    assert "8812" not in inspector
    assert "Gap 0.4." in inspector

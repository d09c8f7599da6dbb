"""The gate finds a forbidden word however it is written, and nothing that only looks like one."""

from __future__ import annotations

import html
import json

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.edition.decoded import decoded, fold
from buildlog.edition.gate import Gate, Word
from buildlog.edition.hidden import words_of
from buildlog.edition.source import search
from buildlog.edition.view import view
from buildlog.model.entry import Medium
from buildlog.model.key import Audience
from tests import logs

SUPPLIER = Word("Kleivdal Coatings", "a supplier")
GATE = Gate([SUPPLIER, Word("SN-4711", "a serial number"), Word("Øyvind", "a name", secret=True)])


@pytest.mark.parametrize(
    ("address", "text"),
    [
        ("a.html", "<p>From Kleivdal Coatings.</p>"),
        ("a.html", "<p>From KLEIVDAL COATINGS, paid.</p>"),
        ("a.html", "<p>From Kleivdal\n  Coatings.</p>"),
        ("a.html", "<p>From Kleivdal&nbsp;Coatings.</p>"),
        ("a.html", "<p>From KleivdalCoatings.</p>"),
        ("a.html", "<p>From <em>Kleiv</em>dal <strong>Coatings</strong>.</p>"),
        ("a.html", "<p>From Kleiv&shy;dal Coat\u00adings.</p>"),
        ("a.html", "<p>From Kleiv\u200bdal&#32;&#x43;oatings.</p>"),
        ("a.html", "<p>From \uff2bleivdal Coatings.</p>"),
        ("a.html", '<img alt="tin of Kleivdal Coatings" src="x.jpg">'),
        ("a.html", '<a href="https://example.org/kleivdal%20coatings">the tin</a>'),
        ("a.html", '<meta name="description" content="Kleivdal Coatings">'),
        ("a.html", "<!-- Kleivdal Coatings --><p>x</p>".replace("<!--", "<p>").replace("-->", "</p>")),
        ("a.html", "<p>From Kleivdal<br>Coatings.</p>"),
        ("a.html", "<p>From Kle\ufe0fiv\u20dddal Coatings.</p>"),
        ("a.html", "<p>the_Kleivdal Coatings_tin</p>"),
        ("a.html", '<code class="language-Kleivdal Coatings">x</code>'),
        ("A.HTML", "<p>From Kleiv<b>dal</b> Coatings.</p>"),
        ("media/kleivdal-coatings-0a1b.jpg", ""),
        ("site.webmanifest", '{"name": "Kleivd\\u0061l Coatings"}'),
        ("a.svg", "<svg><title>Kleivdal Coatings</title></svg>"),
        (
            "feed.xml",
            "<entry><content type='html'>&lt;p&gt;Kleiv&lt;em&gt;dal&lt;/em&gt; Coatings</content></entry>",
        ),
        ("data/log.json", json.dumps({"from": "Kleivdal\nCoatings"})),
        ("data/log.json", json.dumps({"Kleivdal Coatings": 1})),
        ("data/log.json", json.dumps("\u212aleivdal Coatings")),
        ("data/parts.csv", 'number,supplier\r\n1,"Kleivdal\r\nCoatings"\r\n'),
        ("media/Kleivdal%20Coatings.pdf", ""),
        ("entries/kleivdal-coatings.html".replace("-", " "), ""),
    ],
)
def test_found_however_it_is_written(address: str, text: str) -> None:
    assert GATE.check(address, text.encode()) == (SUPPLIER,)


def test_a_message_is_masked_where_it_holds_a_word() -> None:
    gate = Gate([Word("Øyvind Li", "", secret=True)])
    assert (
        gate.masked("entries/2026-03-01-oyvind-li-was-here.md:1:1: x")
        == "entries/2026-03-01-…-was-here.md:1:1: x"
    )
    assert gate.masked("ØYVIND  LI’s bill, and an Øyvind Lie") == "…bill, and an Øyvind Lie".replace(
        "…", "… "
    )
    assert gate.masked("nothing") == "nothing"


@pytest.mark.parametrize(
    "text",
    [
        "Kleivdal sold coatings",
        "a Kleivdal Coatingsworth",
        "XKleivdal Coatings",
        "Kleivdal</td><td>Coatings",
        "Kleivdal</p><p>Coatings",
        "SN-47112 and 3SN-4711",
        "Øyvindsen",
    ],
)
def test_not_found_in_what_only_looks_like_it(text: str) -> None:
    assert GATE.check("a.html", f"<p>{text}</p>".encode()) == ()


def test_names_in_other_letters_and_beside_marks() -> None:
    assert [each.sort for each in GATE.check("a.html", "<td>(sn-4711)</td> ØYVIND!".encode())] == [
        "a serial number",
        "a name",
    ]


@pytest.mark.parametrize("text", ["oyvind", "ØYVIND", "Øyvinds", "Øyvind’s", "O\u0338yvind"])
def test_marks_on_letters_and_a_genitive_hide_nothing(text: str) -> None:
    assert GATE.check("a.html", f"<p>{text} saw</p>".encode())


def test_a_secret_is_never_quoted() -> None:
    (hit,) = GATE.check("a.html", "Øyvind".encode())
    assert "yvind" not in str(hit).casefold()


def test_pictures_are_known_by_their_names_alone() -> None:
    assert GATE.check("media/0a.jpg", b"\xff\xd8 Kleivdal Coatings") == ()


def test_what_it_looks_for_decides_its_digest() -> None:
    assert Gate([SUPPLIER]).digest == Gate([SUPPLIER, SUPPLIER]).digest
    assert Gate([SUPPLIER]).digest != GATE.digest
    assert Gate([]).check("a.html", b"<p>x</p>") == ()


WORDS = st.text(
    st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), min_size=2, max_size=12
).filter(
    lambda text: (
        sum(map(str.isalnum, text)) > 1
        and fold(text) == fold(fold(text))
        and text == text.strip()
        and text[0].isalnum()
        and text[-1].isalnum()
    )
)


@given(
    word=WORDS,
    before=st.sampled_from(["", "a ", "(", "<b>x</b> "]),
    after=st.sampled_from(["", " z", ".", "<i>"]),
)
def test_any_word_is_found_where_it_stands_by_itself(word: str, before: str, after: str) -> None:
    page = f"<p>{before}{html.escape(word)}{after}</p>"
    assert Gate([Word(word, "a word")]).check("a.html", page.encode())
    told = json.dumps({"a": word}).encode()
    assert Gate([Word(word, "a word")]).check("a.json", told)


@given(st.binary(max_size=200), st.sampled_from(["a.html", "a.json", "a.csv", "a.jpg", "a.pdf"]))
def test_no_file_of_ours_stops_it(data: bytes, address: str) -> None:
    text = data.decode(errors="replace").encode()
    assert isinstance(decoded(address, text), str)


LOG = """
part WING
part HUSH-9 audience=shop
task W-1
lot EPX-1 supplier="Kleivdal Coatings"
person zed name="Zed Hidden" contact="zed@example.org" roles=builder
2026-03-01 key=one
    received WING serial=17 from="Brattskog Supply"
2026-03-02 key=two
    media two.jpg caption="Tin of Kleivdal Coatings"
"""


def written(body: str, allow: tuple[str, ...] = ()) -> tuple[list[str], list[str]]:
    """What the source of an entry with this prose holds for the inspector: to be taken out, and allowed."""
    log = logs.facts(LOG)
    first, second = log.entries
    first = msgspec.structs.replace(first, body=body, body_line=7, allow=allow)
    second = msgspec.structs.replace(second, media=() if allow == () else second.media)
    log = msgspec.structs.replace(log, entries=(first, second), secrets=("", "storspove"))
    seen = view(log, Audience.INSPECTOR)
    told = search(log, seen, Audience.INSPECTOR, Gate(words_of(log, seen, Audience.INSPECTOR).hidden))
    return [f"{each.where}: {each.word}" for each in told.found], [str(each.word) for each in told.allowed]


def test_the_source_tells_file_and_line() -> None:
    found, _ = written(
        "Good.\n\nThe tin of Kleivdal\nCoatings and zed@example.org.\n\nStorspove sang on HUSH-9."
    )
    assert sorted(found) == [
        "entries/one.md:10:1: “zed@example.org”, how to reach a person",
        "entries/one.md:12:1: the word on line 2 of secrets.txt",
        "entries/one.md:12:1: “HUSH-9”, a part number",
        "entries/one.md:9:1: “Kleivdal Coatings”, a supplier",
    ]


def test_what_a_fence_keeps_is_not_told() -> None:
    assert written("Good.\n\n~~~ shop only\nKleivdal Coatings\n~~~\n\nzed@example.org")[0] == [
        "entries/one.md:13:1: “zed@example.org”, how to reach a person"
    ]


def test_an_entry_allows_a_word_for_itself_alone() -> None:
    found, allowed = written("From Kleivdal Coatings.", ("kleivdal coatings",))
    assert allowed == ["“Kleivdal Coatings”, a supplier"]
    assert found == ["entries/two.md:100:3: “Kleivdal Coatings”, a supplier"]


def test_a_name_that_stands_where_it_may_be_read_is_no_secret() -> None:
    log = logs.facts(LOG.replace("Brattskog Supply", "Kleivdal Coatings"))
    words = {each.text for each in words_of(log, view(log, Audience.INSPECTOR), Audience.INSPECTOR).hidden}
    assert words == {"HUSH-9", "zed@example.org"}


def test_a_marked_part_is_hidden_even_where_a_record_names_it() -> None:
    log = logs.facts(LOG + "2026-03-03 made HUSH-9\n2026-03-04 made WING\n")
    words = {each.text for each in words_of(log, view(log, Audience.INSPECTOR), Audience.INSPECTOR).hidden}
    assert "HUSH-9" in words
    assert "WING" not in words


def test_a_hidden_part_called_as_an_item_of_a_visible_one_hides_no_item() -> None:
    log = logs.facts("part X items=1,2\npart X/2 audience=shop\n2026-03-03 made X/1\n")
    assert words_of(log, view(log, Audience.INSPECTOR), Audience.INSPECTOR).hidden == ()


def test_each_way_to_reach_somebody_and_a_firm_without_its_sort() -> None:
    log = logs.facts(
        'person zed name=Zed contact="zed@example.org, +47 999 12 345"\n'
        'part WING supplier="Brattvold Stål AS"\n'
    )
    seen = view(log, Audience.INSPECTOR)
    words = {each.text for each in words_of(log, seen, Audience.INSPECTOR).hidden}
    assert {"zed@example.org", "+47 999 12 345", "Brattvold Stål AS", "Brattvold Stål"} == words - {
        "zed@example.org, +47 999 12 345"
    }
    assert Gate(words_of(log, seen, Audience.INSPECTOR).hidden).check("a.html", b"at BRATTVOLD STAL today")


def test_words_of_the_public_hold_every_name() -> None:
    log = logs.facts(LOG)
    seen = view(log, Audience.PUBLIC)
    words = {each.text for each in words_of(log, seen, Audience.PUBLIC).hidden}
    assert {
        "Zed Hidden",
        "zed",
        "zed@example.org",
        "Brattskog Supply",
        "EPX-1",
        "HUSH-9",
    } <= words
    assert "Marit" not in words
    assert "17" not in words, "a serial number that any measure may be: it is told of, not refused"
    assert "17" in {each.text for each in words_of(log, seen, Audience.PUBLIC).ordinary}
    assert "WING" not in words, "nobody said for whom it is: it is told of, and stays plain text"
    assert "WING" in {each.text for each in words_of(log, seen, Audience.PUBLIC).unmarked}


def test_files_of_the_shop_are_named_nowhere() -> None:
    log = logs.facts(LOG)
    two = log.entries[1]
    kept = (*two.media, Medium(file="2026/invoice-8812.jpg", audience=Audience.SHOP))
    log = msgspec.structs.replace(log, entries=(log.entries[0], msgspec.structs.replace(two, media=kept)))
    assert (
        view(log, Audience.INSPECTOR).entries[1].media
        == view(logs.facts(LOG), Audience.INSPECTOR).entries[1].media
    )

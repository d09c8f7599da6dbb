"""The reference answers for every rule, record, key, list and setting, and prints plainly."""

from __future__ import annotations

import pytest

from buildlog.model.key import Reads, keys_of, written
from buildlog.model.prose import suspicious_parser
from buildlog.model.records import KINDS
from buildlog.rules import chain
from buildlog.rules.plain import plain_text
from buildlog.rules.reference import ALSO, SORTS, meaning, nearest, plain, topics
from buildlog.rules.tables import TABLES


@pytest.mark.parametrize(
    ("name", "topic", "says"),
    [
        ("entry", "entry", "one session of work"),
        ("inspected", "inspected", "passed or refused"),
        ("never-inspected", "never-inspected", "Grade: major when due"),
        ("Never inspected", "never-inspected", "Cleared by"),
        ("hours", "hours", "5 total"),
        ("parts.csv", "parts.csv", "next higher assembly"),
        ("PEOPLE", "people", "first day of authority"),
        ("[people]", "people", "who worked"),
        ("stage", "stage", "what it was inspected for"),
        ("`to-drawing`", "to-drawing", "as soon as the item exists"),
        ("stages.pre-close", "pre-close", "before the item is closed"),
        ("undone by inside", "undone_by_inside", "anything inside it"),
        ("from_", "from", "first day of authority"),
        ("on hold", "on hold", "nonconformance is open"),
        ("critical", "critical", "may pass it"),
        ("hardware", "hardware", "by lot"),
        ("item", "items", "designator"),
        ("status", "statuses", "undone_by_inside"),
        ("buildlog.toml", "buildlog.toml", "format = 1"),
        ("project", "project", "IANA"),
        ("kinds", "kinds", "change nothing"),
        ("fence", "fences", "shop only"),
        ("deferred", "deferred", "put off"),
        ("declassify", "declassify", "only once three or more sessions"),
        ("editions.declassify", "declassify", "Nothing is shown that is not named"),
        ("milestones", "milestones", "needs"),
        ("nonconformance", "nonconformance", "does not conform"),
        ("header", "entry", "| `people` |"),
        ("keys", "keys", "`parts.csv`"),
        ("columns", "keys", "`parts.csv`"),
        ("settings", "buildlog.toml", "zone"),
        ("private/kept", "folder", "may be deleted at any time"),
        ("deferred", "deferred", "A finding about a task, a person or an entry cannot be put off"),
    ],
)
def test_meaning(name: str, topic: str, says: str) -> None:
    found = meaning(name)
    assert found is not None
    assert found.name == topic
    assert says in found.text


def test_every_rule_kind_and_written_key_has_a_topic() -> None:
    known = topics()
    assert set(chain.names()) <= set(known)
    assert set(KINDS) <= set(known)
    for fact in (*(table.fact for table in TABLES), *KINDS.values()):
        for field, key in keys_of(fact).items():
            if key.reads not in (Reads.INSIDE, Reads.PROSE) and field != "of":
                assert written(field) in known, field


def test_every_key_of_every_table_is_found_however_it_is_written() -> None:
    for table in TABLES:
        assert meaning(table.name) is not None, table.name
        for field in list(table.keys()):
            found = meaning(written(field))
            assert found is not None, f"{table.name} {field}"
            assert table.called in found.text or found.name in {each.name for each in TABLES}, field


def test_what_is_told_under_another_name_is_a_topic() -> None:
    assert set(ALSO.values()) <= set(topics())
    assert not set(ALSO) & set(topics())


@pytest.mark.parametrize("name", [name for name in topics() if len(name) > 4])
def test_a_name_with_a_letter_left_out_is_offered_or_found(name: str) -> None:
    for at in (1, len(name) // 2, len(name) - 1):
        typed = name[:at] + name[at + 1 :]
        assert meaning(typed) is not None or name in nearest(typed), typed


def test_a_record_lists_its_own_keys_and_names_the_common_ones() -> None:
    text = topics()["inspected"].text
    assert "| `result` | what they found (required) | `accepted` or `rejected` | inspector |" in text
    assert "| `tool` |" not in text
    assert "`tool`" in text
    assert "`where`" not in text


def test_a_name_that_is_several_things_tells_all() -> None:
    text = topics()["nonconformance"].text
    assert "## Key nonconformance" in text
    assert topics()["nonconformance"].kind == "record"
    assert topics()["people"].kind == "table"


def test_the_topics_run_by_sort_then_name() -> None:
    order = [(SORTS.index(topic.kind), topic.name) for topic in topics().values()]
    assert order == sorted(order)
    assert {topic.kind for topic in topics().values()} == set(SORTS)
    assert [name for name, topic in topics().items() if name != topic.name] == []


def test_a_miss_offers_the_nearest() -> None:
    assert meaning("never-inspectd") is None
    assert nearest("never-inspectd")[0] == "never-inspected"
    assert nearest("parts.cvs")[0] == "parts.csv"
    assert nearest("qqqqqqqqq") == ()


@pytest.mark.parametrize("name", topics())
def test_each_topic_is_markdown_that_the_site_can_show(name: str) -> None:
    topic = topics()[name]
    for token in suspicious_parser().parse(topic.text):
        assert token.type != "html_block"
        assert all(child.type not in ("html_inline", "image") for child in token.children or ())
        assert token.type != "heading_open" or token.tag == "h2"


@pytest.mark.parametrize("name", topics())
def test_plain_text_has_no_marks_and_no_long_line(name: str) -> None:
    told = plain(topics()[name])
    assert told.startswith(f"{topics()[name].title}\n===")
    prose = [line for line in told.split("\n") if not line.startswith("    ")]
    assert max(map(len, prose)) <= 88
    assert not any(mark in line for line in prose for mark in ("**", "| ---", "](")), told


def test_plain_text_of_each_block() -> None:
    markdown = (
        "A *word* and `code`\nand more.\n\n## Head\n\n- one\n- two\n\n```\nas it is\n```\n\n"
        "| key | meaning | expected |\n| --- | --- | --- |\n| `a` | first | text |\n\n---\n"
    )
    assert plain_text(markdown) == (
        "A word and code and more.\n\nHead\n----\n\n- one\n- two\n\n    as it is\n\na\n"
        "    first; expected: text"
    )

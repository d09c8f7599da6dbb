"""The readings on an item's page: in words, as a chart, and with the torque table beside."""

from __future__ import annotations

from fractions import Fraction

import pytest

from buildlog.model.amounts import limits_of, value_of
from buildlog.model.key import Audience
from buildlog.model.quantity import Quantity
from buildlog.model.records import Torqued
from buildlog.pages.chart import HEIGHT, WIDTH, Chart, Point, draw, figure
from buildlog.pages.guide import guide_of
from buildlog.pages.readings import Readings, readings_of, reference
from buildlog.reckoning.reckon import reckon
from tests.logs import facts

MADE = "part A\n2026-03-01 made A\n"
BOLT = "fastener='root bolt' run_on='12 in-lb' limits='50 to 70 in-lb'"


def shown(text: str, topics: frozenset[str] = frozenset({"torque"})) -> Readings | None:
    known = reckon(facts(text))
    guide = guide_of(known.log.settings, known.names, frozenset(), Audience.SHOP, topics)
    (story,) = (story for item, story in known.items.items() if str(item) == "A")
    return readings_of(guide, story, {})


def point(day: str, value: str, limits: str = "") -> Point:
    read, held = value_of(value), limits_of(limits) if limits else None
    assert isinstance(read, Quantity)
    assert held is None or isinstance(held, Quantity)
    return Point(day, read, held)


def chart(*points: Point) -> Chart:
    drawn = draw("Gap", points)
    assert drawn
    return drawn


def test_without_readings_there_is_nothing() -> None:
    assert shown(MADE) is None
    assert shown(MADE + "2026-03-02 weighed A value='3 kg'") is None


def test_each_reading_in_words() -> None:
    found = shown(
        MADE + f"2026-03-02 torqued A {BOLT} value='78 in-lb'\n2026-03-03 torqued A {BOLT} value='55 in-lb'\n"
        "2026-03-04 measured A what=gap value='0.4 mm'\n"
        "2026-03-05 measured A what=r value='> 50 MΩ' limits='100 MΩ min'"
    )
    assert found
    told = [(line.of, line.value, line.net, [each.word for each in line.stamps]) for line in found.lines]
    assert told == [
        ("Torque of root bolt", "78 in-lb", "66 in-lb net of 12 in-lb run-on", ["within"]),
        ("Torque of root bolt", "55 in-lb", "43 in-lb net of 12 in-lb run-on", ["outside"]),
        ("Gap", "0.4 mm", "", []),
        ("R", "> 50 MΩ", "", ["not shown to be within"]),
    ]
    assert [line.again for line in found.lines] == [False, True, False, False]
    assert found.lines[0].source.to == "entries/2026-03-02-1.html#r1"
    assert [name for name, _ in found.charts] == ["Torque of root bolt"]
    assert found.conditions == ()


def test_a_torque_that_is_gone_is_not_told_as_within() -> None:
    found = shown(MADE + f"2026-03-02 torqued A {BOLT} value='78 in-lb'\n2026-03-03 loosened A")
    assert found
    assert [[each.word for each in line.stamps] for line in found.lines] == [["loosened since"]]


def test_a_torque_that_was_outside_stays_so_when_it_is_gone() -> None:
    found = shown(MADE + f"2026-03-02 torqued A {BOLT} value='55 in-lb'\n2026-03-03 loosened A")
    assert found
    assert [[each.word for each in line.stamps] for line in found.lines] == [["outside", "loosened since"]]


def test_a_struck_reading_is_left_to_the_history() -> None:
    text = (
        MADE
        + "2026-03-02 measured A value='0.4 mm'\n2026-03-03 voided A entry=2026-03-02-1 record=1 reason=x"
    )
    assert shown(text) is None


def test_articles_are_told_apart_the_present_one_first() -> None:
    found = shown(
        MADE + "2026-03-02 measured A what=gap value='1 mm'\n2026-03-03 scrapped A\n2026-03-04 made A\n"
        "2026-03-05 measured A what=gap value='2 mm'"
    )
    assert found
    assert [(line.of, line.value) for line in found.lines] == [
        ("Gap, article 2", "2 mm"),
        ("Gap, article 1", "1 mm"),
    ]
    assert found.charts == ()


def test_the_table_is_beside_a_torque_without_limits_with_its_conditions() -> None:
    found = shown(MADE + "2026-03-02 torqued A thread=1/4-28 nut=AN310 value='60 in-lb'")
    assert found
    (line,) = found.lines
    assert line.reference.startswith("50 to 70 in-lb net of run-on, at most 100, AC 43.13-1B")
    assert line.stamps == (), "never a pass"
    said = " ".join(found.conditions)
    for words in ("manufacturer’s value comes first", "run-on", "cadmium", "in shear"):
        assert words in said
    assert found.topic
    assert found.topic.to == "format/torque.html"


@pytest.mark.parametrize(
    "keys",
    ["thread=1/4-28 nut=AN310 limits='50 to 70 in-lb'", "thread=1/4-28", "nut=AN310", "thread=M6 nut=shear"],
)
def test_the_table_is_not_shown_where_it_says_nothing_or_limits_are_given(keys: str) -> None:
    found = shown(MADE + f"2026-03-02 torqued A {keys} value='60 in-lb'")
    assert found
    assert found.lines[0].reference == ""
    assert found.conditions == ()


def test_an_estimated_value_says_so() -> None:
    assert "estimated" in reference(Torqued(thread="1-14", nut="shear"))[0]
    assert "estimated" not in reference(Torqued(thread="1-14", nut="tension"))[0]


def test_one_reading_is_no_series() -> None:
    assert draw("Gap", [point("2026-03-01", "1 mm")]) is None


def test_what_is_outside_is_told_by_shape_and_word() -> None:
    drawn = chart(point("a", "0.8 mm", "0.5 mm max"), point("b", "0.4 mm", "0.5 mm max"))
    high, low = drawn.marks
    assert (high.outside, high.label) == (True, "0.8, outside")
    assert (low.outside, low.label) == (False, "0.4")
    (band,) = drawn.bands
    assert (band.high, band.low) == (True, False)
    assert high.y < band.y < low.y, "above the line and below it"
    assert drawn.limits[0].text == "0.5 max"
    assert drawn.says == "Gap: a 0.8 mm; b 0.4 mm. Limits at the last reading: 0.5 mm max."


def test_units_are_brought_to_those_of_the_last_limits() -> None:
    drawn = chart(point("a", "1 in", "30 mm max"), point("b", "2.54 cm", "30 mm max"))
    assert drawn.unit == "mm"
    assert [mark.label for mark in drawn.marks] == ["25.4", "25.4"]
    assert drawn.marks[0].y == drawn.marks[1].y


def test_limits_that_change_make_two_bands() -> None:
    points = [
        point(str(at), "1 mm", limits) for at, limits in enumerate(("2 mm max", "2 mm max", "3 mm max", ""))
    ]
    bands = chart(*points).bands
    assert len(bands) == 2
    assert bands[0].x + bands[0].width == bands[1].x


def test_limits_close_together_keep_their_labels_apart() -> None:
    drawn = chart(point("a", "50 mm", "50 to 50.1 mm"), point("b", "20 mm", "50 to 50.1 mm"))
    assert drawn.limits[1].y - drawn.limits[0].y >= 12


def test_a_long_series_labels_the_last_and_what_is_outside() -> None:
    points = [point(str(at), f"{at} mm", "8 mm max") for at in range(10)]
    labels = [mark.label for mark in chart(*points).marks]
    assert labels == ["", "", "", "", "", "", "", "", "", "9, outside"]


def test_ranges_and_what_is_off_the_scale_are_bars() -> None:
    drawn = chart(point("a", "11 to 13 %"), point("b", "> 12 %"), point("c", "< 12 %"), point("d", "12 %"))
    assert [mark.label for mark in drawn.marks] == ["11 to 13", "> 12", "< 12", "12"]
    assert [bool(mark.bottom) for mark in drawn.marks] == [True, True, True, False]


@pytest.mark.parametrize("values", [("0", "0"), ("5", "5"), ("-1", "-2"), ("1e-9", "1e9"), ("1/3", "2/3")])
def test_every_mark_stands_in_the_drawing(values: tuple[str, str]) -> None:
    for mark in chart(*(point("a", each) for each in values)).marks:
        assert 0 < mark.x < WIDTH
        assert 0 < mark.y < HEIGHT


@pytest.mark.parametrize(
    ("number", "text"),
    [
        ("70", "70"),
        ("1371.5", "1371.5"),
        ("177.92886", "177.9"),
        ("1/3", "0.3333"),
        ("0.000254123", "0.0002541"),
    ],
)
def test_figures(number: str, text: str) -> None:
    assert figure(Fraction(number)) == text

"""The torque table and the adapter, against figures from outside."""

from __future__ import annotations

from fractions import Fraction

import pytest

from buildlog.rules.reference import meaning
from buildlog.rules.torques import CONDITIONS, TABLE, recommended, wrench_setting

# AC 43.13-1B (FAA, 1998), table 7-1, as CHECKS has it: typed again from there, row by row of its two halves.
PUBLISHED = """
8-36 12-15 7-9 20 12 | 8-32 12-15 7-9 20 12
10-32 20-25 12-15 40 25 | 10-24 20-25 12-15 35 21
1/4-28 50-70 30-40 100 60 | 1/4-20 40-50 25-30 75 45
5/16-24 100-140 60-85 225 140 | 5/16-18 80-90 48-55 160 100
3/8-24 160-190 95-110 390 240 | 3/8-16 160-185 95-100 275 170
7/16-20 450-500 270-300 840 500 | 7/16-14 235-255 140-155 475 280
1/2-20 480-690 290-410 1100 660 | 1/2-13 400-480 240-290 880 520
9/16-18 800-1000 480-600 1600 960 | 9/16-12 500-700 300-420 1100 650
5/8-18 1100-1300 600-780 2400 1400 | 5/8-11 700-900 420-540 1500 900
3/4-16 2300-2500 1300-1500 5000 3000 | 3/4-10 1150-1600 700-950 2500 1500
7/8-14 2500-3000 1500-1800 7000 4200 | 7/8-9 2200-3000 1300-1800 4600 2700
1-14 3700-5500 2200-3300* 10000 6000
1-1/8-12 5000-7000 3000-4200* 15000 9000
1-1/4-12 9000-11000 5400-6600* 25000 15000
"""
ROWS = [half.split() for line in PUBLISHED.strip().split("\n") for half in line.split(" | ")]


def test_the_table_to_the_last_value() -> None:
    told = {
        (thread, nut): (*cell.rstrip("*").split("-"), most, cell.endswith("*"))
        for thread, *cells in ROWS
        for nut, cell, most in (("tension", cells[0], cells[2]), ("shear", cells[1], cells[3]))
    }
    mine = {
        key: (str(each.low), str(each.high), str(each.most), each.estimated) for key, each in TABLE.items()
    }
    assert mine == told
    assert len(mine) == 50


@pytest.mark.parametrize(
    ("thread", "nut", "low", "high", "most"),
    [
        ("1/4-28", "tension", 50, 70, 100),
        ("1/4-28 UNF", "Tension nut", 50, 70, 100),
        ("¼ – 28", "MS20365-428", 50, 70, 100),
        ("5/16-24", "AN310-5", 100, 140, 225),
        ("5/16-24 UNF-3A", "AN310", 100, 140, 225),
        ("3/8-24", "shear", 95, 110, 240),
        ("3/8-24", "ms20364", 95, 110, 240),
        ("#10-32", "AN 320", 12, 15, 25),
        ("No. 10-32", "shear nut", 12, 15, 25),
        ("1-1/8-12", "tension", 5000, 7000, 15000),
    ],
)
def test_threads_and_nuts_as_people_write_them(thread: str, nut: str, low: int, high: int, most: int) -> None:
    found = recommended(thread, nut)
    assert found
    assert (found.low, found.high, found.most) == (low, high, most)


@pytest.mark.parametrize(
    ("thread", "nut"),
    [
        ("1/4-28", ""),
        ("", "tension"),
        ("1/4-28", "AN3100"),
        ("1/4-28", "AN365"),  # the head of the table names other numbers, and a guess is no reference
        ("1/4-32", "tension"),
        ("M6", "tension"),
        ("M6-28", "tension"),
        ("1/4-280", "tension"),
        ("1/4", "tension"),
        ("11/4-28", "tension"),
        ("1/4-28", "in tension and shear"),
    ],
)
def test_what_the_table_does_not_know(thread: str, nut: str) -> None:
    assert recommended(thread, nut) is None


@pytest.mark.parametrize(
    ("torque", "wrench", "adapter", "setting"),
    # AC 43.13-1B, figure 7-2, as CHECKS has it
    [("135", "10", "1.5", "117.4"), ("135", "10", "-1.5", "158.8"), ("135", "10", "0", "135")],
)
def test_a_wrench_with_an_adapter(torque: str, wrench: str, adapter: str, setting: str) -> None:
    found = wrench_setting(Fraction(torque), Fraction(wrench), Fraction(adapter))
    assert round(found, 1) == Fraction(setting)


@pytest.mark.parametrize(("wrench", "adapter"), [("0", "1"), ("10", "-10"), ("10", "-11"), ("-1", "5")])
def test_a_wrench_without_a_lever(wrench: str, adapter: str) -> None:
    with pytest.raises(ValueError, match="lever"):
        wrench_setting(Fraction(135), Fraction(wrench), Fraction(adapter))


def test_the_topic_says_all_of_it() -> None:
    topic = meaning("torque")
    assert topic
    for words in (*CONDITIONS, "66 net", "43 net", "117.4", "158.8", "at 90°", "2200–3300\\*", "from memory"):
        assert words in topic.text
    for thread, *cells in ROWS:
        assert f"| {thread} | {cells[0].replace('-', '–')} |" in topic.text

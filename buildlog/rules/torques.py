"""What a builder looks up first: recommended torques, and the setting of a wrench with an adapter.

Shown for reference, beside a torque that has no limits of its own. It is never a pass and never a finding:
the manufacturer's value comes before it, and the table has its conditions.
"""

from __future__ import annotations

import re
from fractions import Fraction

import msgspec

SOURCE = "AC 43.13-1B (FAA, 1998), table 7-1"
"""Where the figures come from, to be named wherever one is shown."""

CONDITIONS = (
    "It is only for where the manufacturer gives no torque. The manufacturer’s value comes first.",
    "It holds no run-on (friction drag) torque, which is added to it: compare the torque net of run-on.",
    "It is for oil-free, cadmium-plated threads.",
    "It is for bolts loaded primarily in shear.",
    "Look for the edition in force, and for the rules of your own country.",
)
"""What must be said wherever a figure of the table is shown."""

NUTS = {
    "tension": ("tension", "MS20365", "AN310"),
    "shear": ("shear", "MS20364", "AN320"),
}
"""What the key `nut` may say for each column of the table: the words, and the numbers that its head names."""

# thread: tension from, to; shear from, to; most for a tension nut (90,000 psi) and a shear nut (54,000 psi).
# In inch-pounds.
_ROWS = """
8-36      12 15      7 9        20    12
10-32     20 25      12 15      40    25
1/4-28    50 70      30 40      100   60
5/16-24   100 140    60 85      225   140
3/8-24    160 190    95 110     390   240
7/16-20   450 500    270 300    840   500
1/2-20    480 690    290 410    1100  660
9/16-18   800 1000   480 600    1600  960
5/8-18    1100 1300  600 780    2400  1400
3/4-16    2300 2500  1300 1500  5000  3000
7/8-14    2500 3000  1500 1800  7000  4200
1-14      3700 5500  2200 3300  10000 6000
1-1/8-12  5000 7000  3000 4200  15000 9000
1-1/4-12  9000 11000 5400 6600  25000 15000
8-32      12 15      7 9        20    12
10-24     20 25      12 15      35    21
1/4-20    40 50      25 30      75    45
5/16-18   80 90      48 55      160   100
3/8-16    160 185    95 100     275   170
7/16-14   235 255    140 155    475   280
1/2-13    400 480    240 290    880   520
9/16-12   500 700    300 420    1100  650
5/8-11    700 900    420 540    1500  900
3/4-10    1150 1600  700 950    2500  1500
7/8-9     2200 3000  1300 1800  4600  2700
"""

_ESTIMATED = ("1-14", "1-1/8-12", "1-1/4-12")
"""Threads whose shear column the table itself marks as estimated."""


class Recommended(msgspec.Struct, frozen=True):
    """One cell of the table. Inch-pounds, net of run-on; `most` is the maximum allowable.

    `estimated`: the table itself says so of the recommended values.
    """

    thread: str
    nut: str
    low: int
    high: int
    most: int
    estimated: bool = False


def _cells() -> dict[tuple[str, str], Recommended]:
    found: dict[tuple[str, str], Recommended] = {}
    for row in _ROWS.strip().split("\n"):
        thread, *figures = row.split()
        t_low, t_high, s_low, s_high, t_most, s_most = map(int, figures)
        found[thread, "tension"] = Recommended(thread, "tension", t_low, t_high, t_most)
        found[thread, "shear"] = Recommended(thread, "shear", s_low, s_high, s_most, thread in _ESTIMATED)
    return found


TABLE = _cells()
"""The whole table by thread and kind of nut, fine threads first."""

_THREAD = re.compile(r"(?:no\.? ?|#)?([0-9]+(?:-[0-9]+/[0-9]+|/[0-9]+)?)-([0-9]+)(?![0-9/]).*", re.IGNORECASE)
_DASHES = str.maketrans("‐‑‒–—−", "------")
_FRACTIONS = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}


def recommended(thread: str, nut: str) -> Recommended | None:
    """What the table says of a thread and a kind of nut as a log writes them; None where it says nothing."""
    kind = _nut(nut)
    return TABLE.get((_thread(thread), kind)) if kind else None


def _thread(text: str) -> str:
    for sign, plain in _FRACTIONS.items():
        text = text.replace(sign, plain)
    found = _THREAD.fullmatch(re.sub(r" ?([-/]) ?", r"\1", text.translate(_DASHES).strip()))
    return f"{found[1]}-{found[2]}" if found else ""


def _nut(text: str) -> str:
    plain = text.strip().casefold().removesuffix("nut").strip()
    number = plain.replace(" ", "")
    for kind, (word, *numbers) in NUTS.items():
        if plain == word or any(re.fullmatch(rf"{each.casefold()}(?:[-a-z].*)?", number) for each in numbers):
            return kind
    return ""


def wrench_setting(torque: Fraction, wrench: Fraction, adapter: Fraction) -> Fraction:
    """What a torque wrench must be set to so that a torque is reached through an adapter: T · L / (L + E).

    The formula of AC 43.13-1B, figure 7-2, from memory.

    Args:
        torque: what the fastener is to get, T, in any unit; the setting is in the same.
        wrench: the length of the wrench L, from the middle of its drive to the middle of the grip.
        adapter: how far the adapter puts the fastener from the drive, E, along the wrench, in the unit of its
            length: positive where that lengthens the wrench, negative where it shortens it, 0 at 90°.

    Raises:
        ValueError: the wrench has no length, or the adapter takes all of it away.
    """
    if wrench <= 0 or wrench + adapter <= 0:
        raise ValueError(
            "the wrench has no lever left: its length with the adapter must be more than nothing"
        )
    return torque * wrench / (wrench + adapter)

"""What lies about in a workshop: clamps, rules, mugs, hand tools, bottles, off-cuts."""

from __future__ import annotations

import math
import random
from typing import Any

import mathutils

from . import metals, prints, wood
from .nodes import Colour
from .shapes import Point, beam, body, box, circle, group, plate, put, rod, rounded, sheet, tube, turned

TINTS: tuple[Colour, ...] = (
    (0.32, 0.05, 0.04),
    (0.06, 0.13, 0.30),
    (0.08, 0.20, 0.10),
    (0.55, 0.40, 0.06),
    (0.20, 0.20, 0.21),
    (0.45, 0.43, 0.38),
)


def f_clamp(opening: float = 0.3, gap: float | None = None) -> Any:
    """A bar clamp along local x: fixed jaw at 0, sliding jaw at ``gap``; throats point to local -y."""
    bar = metals.steel(0.30, 0.35)
    iron = metals.paint((0.24, 0.035, 0.03), 0.4)
    gap = opening * 0.6 if gap is None else gap
    parts = [box((opening + 0.12, 0.022, 0.007), bar, (opening / 2 - 0.01, 0.06, 0))]
    arm = [(-0.012, 0.075), (0.012, 0.075), (0.012, -0.045), (-0.004, -0.045), (-0.012, 0.02)]
    parts.append(plate(arm, 0.016, iron, at=(-0.014, 0, 0)))
    slide = [
        (-0.014, 0.080),
        (0.020, 0.080),
        (0.016, 0.02),
        (0.014, -0.045),
        (-0.014, -0.045),
        (-0.014, 0.02),
    ]
    parts.append(plate(slide, 0.017, iron, at=(gap + 0.042, 0, 0)))
    parts.append(put(rod(0.0055, 0.13, bar), (gap + 0.012, -0.033, 0), (0, 90, 0)))
    parts.append(
        turned(
            [(0, 0), (0.013, 0), (0.013, 0.006), (0.007, 0.012), (0, 0.012)],
            bar,
            at=(gap, -0.033, 0),
            turn=(0, 90, 0),
        )
    )
    grip = [
        (0, 0),
        (0.009, 0.0),
        (0.014, 0.02),
        (0.0155, 0.05),
        (0.013, 0.085),
        (0.015, 0.10),
        (0.010, 0.11),
        (0, 0.11),
    ]
    parts.append(turned(grip, wood.ash("z"), at=(gap + 0.085, -0.033, 0), turn=(0, 90, 0)))
    return group(parts, name="clamp")


def spring_clamp(colour: Colour = (0.5, 0.22, 0.02)) -> Any:
    """A small spring clamp biting at the origin, handles along local +x."""
    shell = metals.plastic(colour)
    parts = []
    for s in (-1, 1):
        side = [
            (-0.005, s * 0.002),
            (0.02, s * 0.016),
            (0.055, s * 0.010),
            (0.11, s * 0.036),
            (0.112, s * 0.028),
            (0.06, s * 0.001),
            (0.03, s * 0.006),
            (0.0, s * 0.0),
        ]
        parts.append(plate(side if s > 0 else side[::-1], 0.018, shell, edge=0.002))
    parts.append(rod(0.004, 0.026, metals.steel(), (0.055, 0, -0.013)))
    return group(parts, name="spring clamp")


def steel_rule(length_mm: int = 300) -> Any:
    """A steel rule lying flat along local x."""
    face = metals.printed(prints.rule(length_mm), 0.35)
    wide = length_mm / 1000
    return group(
        [
            sheet(wide, 0.0255, face, (0, 0, 0.0012)),
            box((wide, 0.0255, 0.001), metals.steel(0.5), (0, 0, 0.0006)),
        ]
    )


def mug(at: Point, colour: Colour = (0.62, 0.60, 0.54), turn: float = 30) -> Any:
    """A mug, half full."""
    glaze = metals.plastic(colour, 0.15)
    wall = [
        (0, 0),
        (0.036, 0),
        (0.041, 0.004),
        (0.042, 0.09),
        (0.0405, 0.092),
        (0.039, 0.09),
        (0.038, 0.055),
        (0, 0.055),
    ]
    handle = [(0.040, 0, 0.075), (0.066, 0, 0.074), (0.072, 0, 0.045), (0.060, 0, 0.02), (0.039, 0, 0.016)]
    coffee = turned([(0, 0), (0.0385, 0)], metals.plastic((0.03, 0.014, 0.006), 0.06), at=(0, 0, 0.060))
    return group(
        [turned(wall, glaze), tube(handle, 0.0055, glaze, curved=True), coffee], at, (0, 0, turn), "mug"
    )


def pencil(at: Point, turn: float = 0) -> Any:
    """A carpenter's pencil lying down."""
    return group(
        [
            box((0.15, 0.013, 0.008), metals.paint((0.42, 0.05, 0.03), 0.3), (0, 0, 0.004), edge=0.003),
            turned(
                [(0.0055, 0), (0.0015, 0.022), (0, 0.024)],
                wood.spruce("z"),
                at=(0.075, 0, 0.0055),
                turn=(0, 90, 0),
                sides=12,
            ),
        ],
        at,
        (0, 0, turn),
    )


def tape(at: Point, turn: float = 0) -> Any:
    """A pocket tape measure with a little blade out."""
    return group(
        [
            plate(
                rounded(0.075, 0.068, 0.02),
                0.034,
                metals.plastic((0.55, 0.38, 0.02)),
                at=(0, 0, 0.034),
                turn=(90, 0, 0),
                edge=0.004,
            ),
            plate(
                circle(0.022), 0.036, metals.plastic((0.03, 0.03, 0.03)), at=(0, 0, 0.034), turn=(90, 0, 0)
            ),
            box((0.09, 0.019, 0.0012), metals.paint((0.55, 0.42, 0.05)), (0.075, 0, 0.004)),
        ],
        at,
        (0, 0, turn),
    )


def offcut(at: Point, size: Point = (0.12, 0.03, 0.012), turn: float = 0, ply: bool = False) -> Any:
    """A scrap of spruce or plywood lying flat."""
    return box(
        size, wood.birch() if ply else wood.spruce(), (at[0], at[1], at[2] + size[2] / 2), (0, 0, turn)
    )


def shavings(at: Point, count: int = 14, spread: float = 0.12, seed: int = 1) -> Any:
    """Curls of planed spruce."""
    chance = random.Random(seed)
    parts = []
    for _ in range(count):
        r, turns, wide = chance.uniform(0.006, 0.013), chance.uniform(0.8, 1.9), chance.uniform(0.008, 0.016)
        n = 22
        points, faces = [], []
        for i in range(n):
            a = turns * 2 * math.pi * i / n
            k = r * (1 - 0.3 * i / n)
            points += [
                (k * math.cos(a), side * wide + 0.0012 * i * chance.uniform(0.6, 1), k * math.sin(a) + r)
                for side in (0, 1)
            ]
        faces = [[2 * i, 2 * i + 1, 2 * i + 3, 2 * i + 2] for i in range(n - 1)]
        curl = body(points, faces, wood.spruce("y"), smooth=True)
        put(curl, (chance.gauss(0, spread), chance.gauss(0, spread * 0.7), 0), (0, 0, chance.uniform(0, 360)))
        parts.append(curl)
    return group(parts, at)


def glue_pot(at: Point) -> Any:
    """A mixing cup of epoxy with a stick in it."""
    cup = metals.plastic((0.75, 0.74, 0.70), 0.4)
    wall = [(0, 0), (0.026, 0), (0.028, 0.002), (0.034, 0.07), (0.032, 0.07), (0.027, 0.004), (0, 0.004)]
    return group(
        [
            turned(wall, cup),
            turned([(0, 0.024), (0.0295, 0.024)], metals.resin()),
            beam((0.005, 0, 0.006), (0.048, 0.01, 0.14), 0.012, 0.0018, wood.birch()),
        ],
        at,
    )


def bottle(at: Point, words: tuple[str, ...], colour: Colour = (0.72, 0.71, 0.66), tall: float = 0.21) -> Any:
    """A plastic bottle with a wrap-round label."""
    skin = metals.plastic(colour, 0.3)
    profile = [
        (0, 0),
        (0.036, 0),
        (0.04, 0.005),
        (0.04, tall * 0.72),
        (0.034, tall * 0.82),
        (0.016, tall * 0.88),
        (0.016, tall * 0.9),
    ]
    cap = turned(
        [(0.0175, 0), (0.0175, tall * 0.1), (0, tall * 0.1)],
        metals.plastic((0.5, 0.06, 0.03)),
        at=(0, 0, tall * 0.88),
    )
    face = metals.printed(prints.label(words, (226, 196, 60), (30, 30, 40), (420, 300)))
    wrap = sheet(0.062, 0.085, face, (0, -0.0305, tall * 0.38), (90, 0, 0))
    for v in wrap.data.vertices:
        v.co.z = -0.0305 + math.sqrt(max(0.0, 0.0406**2 - v.co.x**2))
    return group([turned(profile, skin), cap, wrap], at)


def plane(at: Point, turn: float = 0) -> Any:
    """A small block plane."""
    iron = metals.paint((0.05, 0.06, 0.07), 0.35)
    side = [(-0.08, 0), (0.08, 0), (0.08, 0.018), (0.03, 0.03), (-0.03, 0.032), (-0.08, 0.018)]
    parts = [plate(side, 0.0035, iron, at=(0, s * 0.0235, 0), turn=(90, 0, 0)) for s in (-1, 1)]
    parts.append(box((0.16, 0.05, 0.005), metals.steel(0.5), (0, 0, 0.0025)))
    cap = [(-0.07, 0.025), (-0.05, 0.048), (-0.01, 0.045), (0.025, 0.018), (0.02, 0.012), (-0.03, 0.03)]
    parts.append(plate(cap, 0.04, metals.steel(0.55, 0.2), turn=(90, 0, 0), edge=0.004))
    parts.append(
        turned(
            [(0, 0), (0.011, 0), (0.008, 0.012), (0.013, 0.022), (0.010, 0.03), (0, 0.031)],
            wood.mahogany("z"),
            at=(0.055, 0, 0.018),
        )
    )
    return group(parts, at, (0, 0, turn), "plane")


def saw(at: Point, turn: float = 0) -> Any:
    """A tenon saw lying on its side."""
    blade = [(0, -0.07), (0.28, -0.06), (0.28, 0), (0, 0)]
    handle = [
        (-0.11, -0.085),
        (-0.07, -0.10),
        (-0.03, -0.075),
        (0.02, -0.06),
        (0.025, -0.02),
        (-0.02, 0.01),
        (-0.07, 0.0),
        (-0.115, -0.03),
    ]
    parts = [
        plate(blade, 0.0012, metals.steel(0.55, 0.25)),
        box((0.285, 0.012, 0.005), metals.brass(), (0.14, -0.003, 0)),
        plate(handle, 0.022, wood.ash(), holes=[rounded(0.055, 0.032, 0.014, (-0.065, -0.045))], edge=0.004),
    ]
    return group(parts, (at[0], at[1], at[2] + 0.011), (0, 0, turn), "saw")


def file(at: Point, turn: float = 0, round_: bool = False) -> Any:
    """A file with a wooden handle, lying flat along local x."""
    blade = metals.steel(0.24, 0.45)
    stem = (
        turned(
            [(0, 0), (0.0045, 0.002), (0.006, 0.08), (0.006, 0.2), (0, 0.2)],
            blade,
            at=(-0.2, 0, 0.011),
            turn=(0, 90, 0),
            sides=20,
        )
        if round_
        else box((0.2, 0.02, 0.005), blade, (-0.1, 0, 0.011))
    )
    grip = [
        (0, -0.004),
        (0.007, -0.002),
        (0.010, 0.012),
        (0.009, 0.03),
        (0.0125, 0.06),
        (0.011, 0.095),
        (0.006, 0.105),
        (0, 0.106),
    ]
    return group(
        [stem, turned(grip, wood.ash("z"), at=(0.0, 0, 0.0115), turn=(0, 90, 0), sides=24)], at, (0, 0, turn)
    )


def spanner(at: Point, turn: float = 0, length: float = 0.17) -> Any:
    """A combination spanner lying flat."""
    chrome = metals.steel(0.55, 0.22)
    jaw = [
        (0.02 * math.cos(a), 0.02 * math.sin(a))
        for a in [math.pi * (0.28 + 1.44 * k / 20) for k in range(21)]
    ]
    jaw += [(-0.004, -0.008), (-0.007, 0.0), (-0.004, 0.008)]
    parts = [
        box((length, 0.011, 0.005), chrome, (-length / 2 - 0.012, 0, 0), edge=0.002),
        plate(jaw, 0.008, chrome, edge=0.001),
        plate(
            circle(0.0125),
            0.008,
            chrome,
            holes=[circle(0.0075, sides=12)],
            at=(-length - 0.018, 0, 0),
            edge=0.001,
        ),
    ]
    return group(parts, (at[0], at[1], at[2] + 0.004), (0, 0, turn))


def rag(at: Point, colour: Colour = (0.30, 0.08, 0.06), size: float = 0.22, seed: int = 2) -> Any:
    """A crumpled rag."""
    n = 26
    points, faces = [], []
    for j in range(n + 1):
        for i in range(n + 1):
            x, y = (i / n - 0.5) * size, (j / n - 0.5) * size
            q = mathutils.Vector((x * 14 + seed * 7, y * 14, seed))
            fold = mathutils.noise.fractal(q, 0.8, 2.0, 3)
            edge = min(1.0, 2.4 * min(i, j, n - i, n - j) / n + 0.12)
            points.append(
                (
                    x * (0.72 + 0.12 * fold),
                    y * (0.72 - 0.1 * fold),
                    max(0.0, (0.5 + fold)) * 0.045 * edge + 0.001,
                )
            )
    for j in range(n):
        for i in range(n):
            a = j * (n + 1) + i
            faces.append([a, a + 1, a + n + 2, a + n + 1])
    return put(body(points, faces, wood.cloth(colour), smooth=True), at, (0, 0, seed * 40))


def masking_roll(at: Point, colour: Colour = (0.10, 0.25, 0.5)) -> Any:
    """A roll of tape lying flat."""
    ring = [
        (0.038, 0),
        (0.052, 0),
        (0.053, 0.001),
        (0.053, 0.024),
        (0.052, 0.025),
        (0.038, 0.025),
        (0.038, 0),
    ]
    return turned(ring, metals.paint(colour, 0.6), at=at)


def drawing_sheet(number: str, title: str, at: Point, turn: float = 0, width: float = 0.42) -> Any:
    """A drawing lying on the bench with a curled corner."""
    return sheet(
        width,
        width * 0.75,
        metals.printed(prints.drawing(number, title)),
        (at[0], at[1], at[2] + 0.001),
        (0, 0, turn),
        0.012,
    )

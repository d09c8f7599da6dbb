"""Flat fittings in pairs and bent brackets."""

from __future__ import annotations

import math
import random

from .. import camera, clutter, metals, room, stores, wood
from ..models import fitting
from ..room import BENCH
from ..shapes import Flat, box, circle, plate, put, rounded, tube


def _tapered(a: float, b: float, long: float) -> list[Flat]:
    one = [(a * math.cos(t), a * math.sin(t)) for t in [math.pi / 2 + math.pi * k / 16 for k in range(17)]]
    two = [
        (long + b * math.cos(t), b * math.sin(t))
        for t in [-math.pi / 2 + math.pi * k / 16 for k in range(17)]
    ]
    return one + two


def root_plates() -> None:
    """Six drilled plates, left- and right-handed, on brown paper; from straight above."""
    room.workshop("day")
    room.bench()
    chance = random.Random(4)
    brown = metals.paint((0.40, 0.27, 0.15), 0.85)
    plate(rounded(0.62, 0.46, 0.004), 0.0006, brown, at=(0, 0, BENCH + 0.0006), turn=(0, 0, 2))
    steel = metals.steel(0.33, 0.42)
    for row, hand in ((0.095, 1), (-0.095, -1)):
        shapes: list[tuple[list[Flat], list[list[Flat]]]] = [
            (
                _tapered(0.028, 0.020, 0.12),
                [
                    circle(0.008, (0.0, 0.0)),
                    *[circle(0.0032, (x, y)) for x in (0.045, 0.085, 0.122) for y in (-0.009, 0.009)],
                ],
            ),
            (
                [
                    (-0.028, -0.024),
                    (0.05, -0.03),
                    (0.125, -0.022),
                    (0.135, -0.012),
                    (0.135, 0.012),
                    (0.06, 0.026),
                    (0.02, 0.058),
                    (-0.012, 0.058),
                    (-0.026, 0.03),
                ],
                [
                    circle(0.0064, (0.004, 0.040)),
                    *[circle(0.0032, (x, -0.004)) for x in (0.0, 0.03, 0.062, 0.093, 0.122)],
                ],
            ),
            (
                _tapered(0.022, 0.022, 0.085),
                [
                    circle(0.0064, (0.0, 0.0)),
                    circle(0.0064, (0.085, 0)),
                    *[circle(0.0028, (x, 0.0)) for x in (0.03, 0.055)],
                ],
            ),
        ]
        for k, (ring, holes) in enumerate(shapes):
            flip = [(x, y * hand) for x, y in ring]
            thing = plate(
                flip if hand > 0 else flip[::-1],
                0.003,
                steel,
                holes=[[(x, y * hand) for x, y in h] for h in holes],
                edge=0.0004,
            )
            put(
                thing,
                (-0.235 + 0.18 * k + (0.02 if k == 2 else 0), row - 0.008 * hand, BENCH + 0.0026),
                (0, 0, chance.uniform(-2.5, 2.5)),
            )
    ink = metals.paint((0.03, 0.04, 0.10), 0.9)
    for row, letter in ((0.18, "R"), (-0.175, "L")):
        strokes = {
            "L": [(0, 0.024), (0, 0), (0.014, 0)],
            "R": [(0, 0), (0, 0.024), (0.012, 0.022), (0.012, 0.013), (0, 0.012), (0.014, 0)],
        }[letter]
        tube([(-0.285 + x, row - 0.01 + y, BENCH + 0.0012) for x, y in strokes], 0.0007, ink)
    put(clutter.steel_rule(300), (0.02, -0.205, BENCH + 0.001), (0, 0, 1))
    clutter.file((0.36, 0.10, BENCH), 82)
    clutter.pencil((0.29, -0.16, BENCH + 0.001), 70)
    clutter.mug((-0.40, 0.20, BENCH), (0.14, 0.20, 0.3))
    swarf = metals.steel(0.6, 0.3)
    for _ in range(40):
        box(
            (0.003, 0.0008, 0.0006),
            swarf,
            (chance.gauss(0.1, 0.2), chance.gauss(0, 0.14), BENCH + 0.0015),
            (0, 0, chance.uniform(0, 180)),
            edge=0,
        )
    camera.aim((0.0, -0.045, BENCH + 0.60), (0.0, 0.0, BENCH), 26, stop=11, tilt=-3)


def cracked_bracket() -> None:
    """Bracket 3, cracked along the outside of its bend, on a block."""
    room.workshop("day")
    room.bench()
    box((0.16, 0.10, 0.045), wood.mahogany("x", False), (0.01, 0.0, BENCH + 0.0225), edge=0.002)
    top = BENCH + 0.045
    # Laid on its back edge so that the bend looks at the camera.
    b = fitting.angle_bracket()
    put(b, (0.0, 0.012, top + 0.0072), (0, -45, 0))
    b.location.z = top + 0.0335
    b.rotation_euler = (0, math.radians(135), math.radians(78))
    chance = random.Random(8)
    dark = metals.plastic((0.008, 0.006, 0.005), 0.9)
    outer = 0.007
    line = []
    for k in range(26):
        y = -0.0165 + 0.0245 * k / 25
        a = math.pi * 1.25 + 0.10 * chance.uniform(-1, 1) + 0.16 * math.sin(k * 0.5)
        line.append((outer + (outer + 0.00002) * math.cos(a), y, outer + (outer + 0.00002) * math.sin(a)))
    crack = tube(line, 0.00042, dark, sides=3)
    for k, point in enumerate(crack.data.splines[0].points):
        point.radius = 0.45 + 0.9 * (1 - k / 25) + 0.3 * chance.random()
    branch = tube(
        [
            line[11],
            (line[13][0] + 0.0006, line[13][1], line[13][2] - 0.0004),
            (line[15][0] + 0.0014, line[15][1] - 0.0004, line[15][2] - 0.0009),
        ],
        0.00022,
        dark,
        sides=3,
    )
    crack.parent = branch.parent = b
    put(clutter.steel_rule(150), (-0.02, -0.075, BENCH), (0, 0, -6))
    clutter.file((0.21, 0.06, BENCH), 60)
    camera.aim(
        (-0.045, -0.085, top + 0.092), (0.004, 0.004, top + 0.026), 30, focus=(0.0, 0.0, top + 0.036), stop=12
    )


def six_brackets() -> None:
    """Six bent brackets standing in a row."""
    room.workshop("evening")
    room.bench()
    for k in range(6):
        fitting.angle_bracket(
            at=(-0.225 + 0.085 * k, -0.12 + 0.004 * (k % 2), BENCH + 0.0003),
            turn=(0, 0, 90 + (3, -4, 1, 5, -2, 2)[k]),
            material=metals.steel(0.36, 0.36) if k != 2 else metals.steel(0.46, 0.30),
        )
    stores.vice((0.55, 0.10, BENCH), 0)
    clutter.file((0.14, -0.30, BENCH), 172)
    put(clutter.steel_rule(300), (-0.24, -0.235, BENCH), (0, 0, 4))
    clutter.mug((-0.42, 0.12, BENCH), (0.40, 0.12, 0.08))
    clutter.rag((0.12, 0.16, BENCH))
    clutter.masking_roll((-0.15, 0.20, BENCH))
    camera.aim(
        (-0.20, -0.46, BENCH + 0.22),
        (-0.015, -0.10, BENCH + 0.02),
        25,
        focus=(0, -0.13, BENCH + 0.03),
        stop=9,
    )

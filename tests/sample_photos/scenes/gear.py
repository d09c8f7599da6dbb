"""The undercarriage: legs, wheels, brakes, the new gusset."""

from __future__ import annotations

import itertools
import math
import random
from typing import Any

import numpy as np

from .. import camera, clutter, metals, prints, room, stores, wood
from ..models import fitting, frame
from ..room import BENCH
from ..shapes import Flat, Point, box, circle, group, plate, put, rod, rounded, sheet, tube, turned


def _leg(hand: int, at: Point, turn: float) -> Any:
    """One V, standing on its two lugs with the axle up; ``hand`` says to which side the axle points."""
    grey = metals.primer("grey")
    apex = (0.0, 0.0, 0.60)
    feet = ((-0.30, 0.0, 0.028), (0.30, 0.0, 0.028))
    parts: list[Any] = []
    for foot, r in zip(feet, (0.016, 0.0135), strict=True):
        parts.append(tube([foot, apex], r, grey, sides=10))
        lug = plate(
            [
                *[(0.016 * math.cos(a), 0.016 * math.sin(a)) for a in np.linspace(math.pi, 2 * math.pi, 13)],
                (0.016, 0.05),
                (-0.016, 0.05),
            ],
            0.005,
            grey,
            holes=[circle(0.0055)],
        )
        for d in (-0.012, 0.012):
            leaf = (
                lug
                if d < 0
                else plate(
                    [
                        *[
                            (0.016 * math.cos(a), 0.016 * math.sin(a))
                            for a in np.linspace(math.pi, 2 * math.pi, 13)
                        ],
                        (0.016, 0.05),
                        (-0.016, 0.05),
                    ],
                    0.005,
                    grey,
                    holes=[circle(0.0055)],
                )
            )
            parts.append(put(leaf, (foot[0], d, 0.0165), (90, 0, 0)))
    cross_a, cross_b = (-0.155, 0.0, 0.315), (0.155, 0.0, 0.315)
    parts.append(tube([cross_a, cross_b], 0.009, grey, sides=8))
    parts += [
        fitting.seam(
            [
                (s * 0.155 + 0.018 * math.cos(a) * 0.5, 0.0098 * math.sin(a), 0.315 + 0.010 * math.cos(a))
                for a in np.linspace(0, 6.28, 20)
            ],
            0.0022,
            True,
        )
        for s in (-1, 1)
    ]
    gusset = [(-0.052, 0.50), (0.052, 0.50), (0.012, 0.595), (-0.012, 0.595)]
    parts += [put(plate(gusset, 0.003, grey), (0, d, 0), (90, 0, 0)) for d in (-0.0165, 0.0165)]
    sleeve = turned(
        [(0.0185, -0.05), (0.026, -0.05), (0.026, 0.05), (0.0185, 0.05)], grey, at=apex, turn=(90, 0, 0)
    )
    parts.append(sleeve)
    parts.append(
        put(
            rod(0.0185, 0.22, metals.steel(0.5, 0.24), edge=0.002), (0, hand * 0.04, 0.60), (-90 * hand, 0, 0)
        )
    )
    flange = turned(
        [(0.019, 0), (0.046, 0), (0.046, 0.007), (0.019, 0.007)],
        grey,
        at=(0, hand * 0.058, 0.60),
        turn=(-90 * hand, 0, 0),
    )
    parts.append(flange)
    for k in range(4):
        a = math.pi / 4 + k * math.pi / 2
        hole = rod(0.0045, 0.0004, metals.plastic((0.01, 0.01, 0.01)))
        parts.append(
            put(hole, (0.034 * math.cos(a), hand * 0.0652, 0.60 + 0.034 * math.sin(a)), (-90 * hand, 0, 0))
        )
    parts += [
        fitting.seam(
            [(0.0262 * math.cos(a), y, 0.60 + 0.0262 * math.sin(a)) for a in np.linspace(0, 6.28, 30)],
            0.002,
            True,
        )
        for y in (-0.049, 0.049)
    ]
    return group(parts, at, (0, 0, turn), "leg")


def legs() -> None:
    """Both legs upside down on the bench."""
    room.workshop("day")
    room.bench(2.2)
    for hand, x, y in ((1, -0.42, -0.04), (-1, 0.40, 0.02)):
        _leg(hand, (x, y, BENCH), 8 if hand > 0 else -10)
        for dx in (-0.30, 0.30):
            a = math.radians(8 if hand > 0 else -10)
            px, py = x + dx * math.cos(a), y + dx * math.sin(a)
            box((0.09, 0.055, 0.035), wood.pine(), (px, py + 0.048, BENCH + 0.0175), (0, 0, math.degrees(a)))
            box((0.09, 0.055, 0.035), wood.pine(), (px, py - 0.048, BENCH + 0.0175), (0, 0, math.degrees(a)))
    stores.tin(random.Random(2), (0.90, 0.25, BENCH))
    clutter.file((0.05, -0.30, BENCH), 15)
    clutter.rag((0.85, -0.22, BENCH))
    clutter.mug((-0.92, 0.22, BENCH), (0.13, 0.2, 0.14))
    camera.aim((-0.72, -1.28, BENCH + 0.62), (0.02, 0.0, BENCH + 0.27), 26, focus=(-0.2, -0.1, BENCH + 0.3))


PLATE: list[Flat] = [
    (-0.066, -0.070),
    (0.066, -0.070),
    (0.062, 0.012),
    (0.045, 0.05),
    (0.018, 0.072),
    (-0.018, 0.072),
    (-0.045, 0.05),
    (-0.062, 0.012),
]


def calliper(at: Point, turn: Point = (0, 0, 0), filed: bool = False) -> Any:
    """A small hydraulic calliper on its backing plate, lying on the plate in the local xy plane."""
    cast, bare, green = (
        metals.paint((0.22, 0.23, 0.24), 0.4),
        metals.aluminium(False, 0.62),
        metals.paint((0.45, 0.36, 0.10), 0.35),
    )
    ring = list(PLATE)
    if filed:
        arc = [
            (0.026 + 0.039 * math.cos(a), -0.031 + 0.039 * math.sin(a))
            for a in np.linspace(-math.pi / 2, 0, 9)
        ]
        ring = [(-0.066, -0.070), *arc, *PLATE[2:]]
    holes = [
        circle(0.0185, (0.0, 0.040)),
        *[circle(0.0033, (x, y)) for x, y in ((-0.03, 0.026), (0.03, 0.026), (-0.052, 0.0), (0.052, 0.0))],
    ]
    parts = [plate(ring, 0.005, green, holes=holes, at=(0, 0, 0.0025), edge=0.0006)]
    if filed:
        edge_line = [(x, y, 0.0026) for x, y in arc]
        for p, q in itertools.pairwise(edge_line):
            long = math.dist(p, q)
            slope = math.degrees(math.atan2(q[1] - p[1], q[0] - p[0]))
            parts.append(
                box(
                    (long * 1.04, 0.0012, 0.0052),
                    metals.steel(0.68, 0.2),
                    ((p[0] + q[0]) / 2, (p[1] + q[1]) / 2, 0.0026),
                    (0, 0, slope),
                    edge=0.0002,
                )
            )

        parts.append(
            plate(
                [
                    *[(x - 0.0004, y + 0.0004) for x, y in arc],
                    *[
                        (0.026 + 0.0335 * math.cos(a), -0.031 + 0.0335 * math.sin(a))
                        for a in np.linspace(0, -math.pi / 2, 9)
                    ],
                ],
                0.0003,
                metals.steel(0.66, 0.3),
                at=(0, 0, 0.00525),
                edge=0,
            )
        )
    lower, upper = rounded(0.104, 0.034, 0.014, (0, -0.030)), rounded(0.088, 0.030, 0.012, (0, -0.028))
    parts.append(plate(lower, 0.024, cast, at=(0, 0, 0.019), edge=0.003))
    parts.append(plate(upper, 0.018, cast, at=(0, 0, 0.046), edge=0.004))
    parts.append(box((0.066, 0.026, 0.007), metals.plastic((0.03, 0.03, 0.03), 0.8), (0, -0.029, 0.0335)))
    parts.append(rod(0.0165, 0.006, bare, (0, -0.029, 0.054)))
    for x in (-0.034, 0.034):
        parts.append(put(fitting.bolt(0.0038, 0.012), (x, -0.029, 0.0590), (180, 0, 0)))
        parts.append(rod(0.0055, 0.02, metals.steel(0.5), (x * 1.25, 0.0, 0.005)))
    parts.append(put(rod(0.0042, 0.016, metals.brass()), (0.050, -0.030, 0.040), (0, 60, 0)))
    parts.append(put(rod(0.0022, 0.010, metals.steel(0.6)), (0.0635, -0.030, 0.048), (0, 60, 0)))
    parts.append(
        put(rod(0.0050, 0.012, metals.plastic((0.4, 0.04, 0.03))), (-0.056, -0.030, 0.030), (0, -90, 0))
    )
    return group(parts, at, turn, "calliper")


def wheels_and_brakes() -> None:
    """Two wheels leaning on a box, two brakes in front."""
    room.workshop("day")
    room.bench(2.2)
    card = metals.paint((0.44, 0.30, 0.17), 0.9)
    box((0.62, 0.30, 0.34), card, (0.02, 0.22, BENCH + 0.17), edge=0.004)
    box((0.05, 0.302, 0.341), metals.paint((0.55, 0.44, 0.26), 0.4), (0.02, 0.22, BENCH + 0.17), edge=0.001)
    sheet(
        0.16,
        0.10,
        metals.printed(
            prints.label(("WHEEL ASSY", "2 PCS", "THIS WAY UP"), (235, 232, 222), (30, 30, 30), (480, 300))
        ),
        (-0.16, 0.069, BENCH + 0.24),
        (90, 0, 0),
    )
    for x, lean, spin in ((-0.24, 15, 10), (0.26, 17, -12)):
        a = math.radians(lean)
        low = 0.213 * math.cos(a) + 0.055 * math.sin(a)
        w = frame.wheel((x, -0.075, BENCH + low), turn=(0, 0, 0))
        w.rotation_euler = (math.radians(90 + lean) - 2 * a, 0, math.radians(spin))
    calliper((-0.22, -0.31, BENCH), (0, 0, 14))
    calliper((0.20, -0.32, BENCH), (0, 0, -24))
    sheet(
        0.15,
        0.21,
        metals.printed(prints.form("Packing note", ("Wheel 6.00-6   2", "Brake   2", "checked  M"), False)),
        (0.56, -0.20, BENCH + 0.001),
        (0, 0, 18),
        0.008,
    )
    put(clutter.spanner((0.0, -0.36, BENCH)), (-0.52, -0.27, BENCH + 0.004), (0, 0, 130))
    camera.aim(
        (-0.24, -0.98, BENCH + 0.46),
        (0.02, -0.10, BENCH + 0.13),
        26,
        focus=(-0.05, -0.25, BENCH + 0.15),
        stop=7,
    )


def filed_plate() -> None:
    """One calliper, a corner of its plate newly filed, beside a round file."""
    room.workshop("day")
    room.bench()
    box((0.26, 0.16, 0.04), wood.mahogany("x", False), (0.0, 0.02, BENCH + 0.02), edge=0.003)
    top = BENCH + 0.04
    calliper((0.0, 0.03, top), (0, 0, 20), filed=True)
    clutter.file((0.215, -0.125, BENCH), 8, round_=True)
    dust = metals.steel(0.7, 0.25)
    chance = np.random.default_rng(6)
    for _ in range(70):
        x, y = (
            0.065 + 0.018 * float(chance.standard_normal()),
            -0.035 + 0.012 * float(chance.standard_normal()),
        )
        box(
            (0.0016, 0.0007, 0.0005), dust, (x, y, top + 0.0004), (0, 0, float(chance.random() * 180)), edge=0
        )
    clutter.rag((-0.26, 0.16, BENCH), (0.12, 0.16, 0.22))
    clutter.pencil((-0.12, -0.13, BENCH), 10)
    camera.aim(
        (0.135, -0.150, top + 0.200),
        (0.028, 0.004, top + 0.008),
        28,
        focus=(0.05, -0.01, top + 0.01),
        stop=11,
    )


def gusset() -> None:
    """The new gusset at the apex of the right leg, paint taken back to bright metal."""
    room.workshop("dull")
    room.bench()
    grey, bright = metals.paint((0.30, 0.33, 0.33), 0.4), metals.steel(0.50, 0.38)
    z = BENCH + 0.03
    apex = np.array([0.0, 0.0, z])
    ways = [np.array([math.cos(a), math.sin(a), 0.0]) for a in (math.radians(158), math.radians(112))]
    for way, r in zip(ways, (0.016, 0.0135), strict=True):
        tube([tuple(apex), tuple(apex + way * 0.175)], r, bright, sides=12)
        tube([tuple(apex + way * 0.172), tuple(apex + way * 0.9)], r * 1.012, grey, sides=12)
        d = [
            tuple(
                apex
                + way * 0.172
                + r
                * 1.012
                * (math.cos(t) * np.array([-way[1], way[0], 0]) + math.sin(t) * np.array([0, 0, 1]))
            )
            for t in np.linspace(0, 6.28, 24)
        ]
        tube(d, 0.0005, metals.paint((0.23, 0.26, 0.26), 0.6), closed=True, sides=3)
    turned(
        [(0.0185, -0.05), (0.026, -0.05), (0.026, 0.05), (0.0185, 0.05)],
        bright,
        at=(0.012, -0.012, z),
        turn=(0, 0, 0),
    )
    put(rod(0.0185, 0.13, metals.steel(0.55, 0.22), edge=0.002), (0.012, -0.012, z - 0.03 + 0.001))
    corner = [
        tuple((way * s)[:2])
        for way, s in ((ways[0], 0.034), (ways[0], 0.132), (ways[1], 0.132), (ways[1], 0.034))
    ]
    plate(corner[::-1], 0.004, metals.steel(0.44, 0.42), at=(0, 0, z + 0.002))
    for way, r, side in ((ways[0], 0.016, -1), (ways[1], 0.0135, 1)):
        n = np.array([-way[1], way[0], 0.0]) * side
        line = [
            tuple(apex + way * s + n * (r * 0.86) + np.array([0, 0, 0.0065]))
            for s in np.linspace(0.036, 0.130, 14)
        ]
        group([fitting.seam(line, 0.0033)])
    fitting.seam(
        [
            tuple(apex + ways[0] * 0.031 + np.array([0.0, 0.012, 0.012])),
            tuple(apex + ways[1] * 0.031 + np.array([-0.010, 0.0, 0.012])),
        ],
        0.003,
    )
    box((0.07, 0.16, 0.014), wood.pine("y"), (-0.55, 0.22, BENCH + 0.007))
    box((0.16, 0.07, 0.014), wood.pine(), (-0.22, 0.50, BENCH + 0.007))
    put(clutter.steel_rule(150), (-0.10, -0.055, BENCH), (0, 0, -4))
    plate(
        rounded(0.10, 0.07, 0.003),
        0.0012,
        metals.paint((0.28, 0.16, 0.09), 0.95),
        at=(0.10, 0.14, BENCH + 0.0006),
        turn=(0, 0, 30),
    )
    clutter.rag((0.22, 0.26, BENCH), (0.15, 0.15, 0.16))
    camera.aim((-0.155, -0.160, z + 0.215), (-0.050, 0.048, z), 27, focus=(-0.05, 0.04, z), stop=10)

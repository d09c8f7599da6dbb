"""Spars: scarfs, clamps, squeeze-out, trestles."""

from __future__ import annotations

import math
import random
from typing import Any

import numpy as np

from .. import camera, clutter, metals, room, wood
from ..models import wing
from ..room import BENCH
from ..shapes import body, box, group, loft, plate, put, rod, tube


def scarf_faces() -> None:
    """Two scarf faces of a cap, dry, end to end."""
    room.workshop("day")
    room.bench(2.4)
    high, wide = 0.036, 0.058
    slope = 12 * high
    one = wing.flat_spar_ends(1.05, slope, wide, high, False)
    two = wing.flat_spar_ends(1.05, slope, wide, high, True)
    put(one, (-0.88, -0.16, BENCH), (90, 0, 0))
    put(two, (-0.88 + 1.05 - slope + 0.085, -0.16, BENCH), (90, 0, 1.2))
    clutter.plane((0.30, 0.04, BENCH), 200)
    clutter.shavings((0.1, -0.02, BENCH), 22, 0.10, 3)
    clutter.shavings((0.25, -0.24, BENCH), 8, 0.06, 9)
    put(clutter.steel_rule(300), (-0.35, -0.30, BENCH), (0, 0, -5))
    clutter.pencil((0.02, -0.29, BENCH), 15)
    clutter.mug((-0.55, 0.20, BENCH), (0.12, 0.20, 0.14))
    clutter.rag((0.70, 0.20, BENCH), (0.18, 0.20, 0.24))
    clutter.bottle((-0.25, 0.28, BENCH), ("EPOXY", "A  5 kg"))
    camera.aim(
        (-0.10, -0.60, BENCH + 0.17), (-0.03, -0.12, BENCH + 0.035), 25, focus=(-0.05, -0.18, BENCH + 0.02)
    )


def _trestles(spots: tuple[float, ...], x: float = 0.0) -> None:
    for y in spots:
        room.trestle((x, y, 0), 0.8, 0.78)


def clamped() -> None:
    """The box spar under thirty clamps, seen along its length."""
    room.workshop("dull")
    put(wing.box_spar(), (0, -1.3, 0.785))
    _trestles((-0.9, 0.95, 2.8))
    chance = random.Random(9)
    for k in range(30):
        y = -1.20 + 0.147 * k
        c = clutter.f_clamp(0.26 + 0.04 * (k % 3 == 0), 0.150 + 0.016)
        side = 1 if k % 2 else -1
        # The bar stands upright beside the spar, the fixed jaw under it, the screw on top.
        c.rotation_euler = (
            math.radians(chance.uniform(-2, 2)),
            math.radians(-90),
            math.radians(90 if side > 0 else -90),
        )
        c.location = (side * 0.010, y, 0.785 - 0.006)
    strip = wood.pine("y")
    for z in (0.785 + 0.148 + 0.006,):
        box((0.06, 4.4, 0.012), strip, (0, 0.95, z))
    clutter.rag((0.6, -0.6, 0.0), (0.30, 0.26, 0.2))
    room.stool((-1.25, 0.2, 0))
    clutter.glue_pot((-1.25, 0.2, 0.645))
    camera.aim((0.50, -1.98, 1.34), (0.0, -0.2, 0.86), 25, focus=(0, -0.7, 0.9))


def _bead_line(x: float, z: float, y0: float, y1: float, seed: int) -> list[Any]:
    chance = np.random.default_rng(seed)
    parts = []
    y = y0
    while y < y1:
        r = 0.0011 + 0.0019 * chance.random() ** 2
        long = r * (1.2 + 2.2 * chance.random())
        rings = []
        for k in range(9):
            t = -1 + 2 * k / 8
            q = max(0.06, math.sqrt(max(0.0, 1 - t * t)))
            rings.append(
                [
                    (
                        x - 0.9 * r + 1.15 * r * q * math.cos(a),
                        y + long * t,
                        z - 0.25 * r + r * q * math.sin(a),
                    )
                    for a in np.linspace(0, 5.6, 9)
                ]
            )
        parts.append(loft(rings, metals.resin((0.74, 0.52, 0.22)), caps=True))
        if chance.random() < 0.06:
            drop = 0.006 + 0.012 * chance.random()
            parts.append(
                tube(
                    [(x + 0.0006, y, z), (x + 0.0008, y + 0.0006, z - drop)],
                    r * 0.7,
                    metals.resin((0.74, 0.52, 0.22)),
                )
            )
        y += long * (1.6 + 2.4 * chance.random())
    return parts


def squeeze_out() -> None:
    """Glue beads along the joint of web and cap under two clamps (upright)."""
    room.workshop("day")
    room.bench()
    base = BENCH + 0.055
    put(wing.box_spar(2.0, step=0.005), (0, -0.9, base))
    for y in (-0.75, 0.85):
        box((0.20, 0.05, 0.055), wood.pine(), (0, y, BENCH + 0.0275))
    group(_bead_line(0.0302, base + 0.0048, -0.85, 0.6, 3) + _bead_line(0.0302, base + 0.1432, -0.85, 0.6, 4))
    for k, y in enumerate((-0.335, -0.185, -0.035, 0.115, 0.265)):
        c = clutter.f_clamp(0.28, 0.150 + 0.006)
        c.rotation_euler = (0, math.radians(-90), math.radians(-90))
        c.location = (-0.010, y, base - 0.004)
        if k in (0, 1):
            c.location = (0.012, y, base - 0.004)
            c.rotation_euler = (0, math.radians(-90), math.radians(90))
    box((0.05, 1.6, 0.008), wood.birch("y"), (0, -0.1, base + 0.152))
    clutter.bottle((0.55, 0.30, BENCH), ("EPOXY", "A  5 kg"))
    clutter.glue_pot((0.20, -0.05, BENCH))
    clutter.rag((0.32, 0.12, BENCH))
    camera.aim(
        (0.235, -0.50, base + 0.125),
        (0.012, -0.225, base + 0.082),
        27,
        focus=(0.03, -0.29, base + 0.10),
        stop=8,
    )


def scarf_cut_out() -> None:
    """The cap sawn open, the old scarf lying in front."""
    room.workshop("day")
    room.bench(2.4)
    spruce = wood.spruce()
    high, wide, old = 0.030, 0.055, metals.resin((0.20, 0.09, 0.03))
    for s, x in ((-1, -0.74), (1, 0.70)):
        box((0.80, wide, high), spruce, (x, 0.05, BENCH + 0.022 + high / 2), edge=0.0004)
        box((0.06, 0.2, 0.022), wood.pine("y"), (x + s * 0.18, 0.05, BENCH + 0.011))
        box((0.06, 0.2, 0.022), wood.pine("y"), (x - s * 0.30, 0.05, BENCH + 0.011))
        c = clutter.f_clamp(0.16, 0.052 + 0.02)
        c.rotation_euler = (0, math.radians(-90), math.radians(-90))
        c.location = (x + s * 0.18, 0.05, BENCH + 0.008)
    low = [(0.0, 0.0), (0.54, 0.0), (0.46, 0.006), (0.30, 0.0185), (0.10, high), (0.0, high)]
    upper = [(0.10, high), (0.30, 0.0185), (0.46, 0.006), (0.54, 0.0), (0.56, 0.004), (0.56, high)]
    put(plate(low, wide, wood.spruce(), edge=0.0003), (-0.34, -0.20, BENCH + 0.0), (90, 0, 4))
    put(plate(upper, wide, wood.spruce(), edge=0.0003), (-0.24, -0.30, BENCH + 0.0), (90, 0, -3))
    chance = np.random.default_rng(2)
    for _k in range(26):
        t = chance.random()
        x, z = -0.34 + 0.10 + 0.40 * t, BENCH + high - 0.024 * t * 1.05
        y = -0.20 + (x + 0.34) * 0.07 + wide * (chance.random() - 0.5) * 0.9
        points = [
            (x, y, z + 0.001),
            (x + 0.03 + 0.02 * chance.random(), y + 0.0008, z + 0.001),
            (x + 0.02, y + 0.0025, z - 0.0008),
        ]
        body(points, [(0, 1, 2)], spruce)
    tube([(-0.236, -0.225, BENCH + high + 0.0004), (-0.232, -0.172, BENCH + high + 0.0004)], 0.0008, old)
    clutter.saw((0.42, -0.20, BENCH), 168)
    clutter.pencil((0.20, -0.33, BENCH), -12)
    dust = metals.paint((0.72, 0.54, 0.33), 0.9)
    for cut in (-0.34, 0.30):
        for _ in range(70):
            x, y = cut + 0.03 * chance.standard_normal(), 0.04 + 0.04 * chance.standard_normal()
            box(
                (0.003, 0.0016, 0.001),
                dust,
                (float(x), float(y), BENCH + 0.0006),
                (0, 0, float(chance.random() * 180)),
                edge=0,
            )
    clutter.tape((0.75, -0.28, BENCH), 200)
    clutter.mug((-0.85, 0.26, BENCH))
    camera.aim((-0.08, -0.86, BENCH + 0.60), (0.0, -0.09, BENCH + 0.0), 25)


def on_trestles() -> None:
    """The right box spar out of its clamps."""
    room.workshop("evening")
    put(wing.box_spar(), (0.25, -1.3, 0.785), (0, 0, 0))
    _trestles((-0.9, 0.95, 2.8), 0.25)
    room.stool((1.5, 1.9, 0))
    clutter.rag((1.5, 1.9, 0.645), (0.12, 0.18, 0.26))
    put(clutter.f_clamp(), (0.45, 0.9, 0.80), (0, 0, 70))
    clutter.pencil((0.02, -0.92, 0.79), 80)
    camera.aim((1.75, -1.95, 1.30), (0.20, 0.05, 0.80), 26, focus=(0.25, -0.4, 0.85))


def rear_pair() -> None:
    """Two rear spars side by side."""
    room.workshop("day")
    for k, y in enumerate((-0.13, 0.16)):
        put(wing.solid_spar(), (-2.1, y, 0.781), (0, 0, 0.8 * k))
    for x in (-1.35, 1.35):
        room.trestle((x, 0, 0), 0.8, 0.78, 90)
    put(clutter.spring_clamp(), (-1.38, -0.13, 0.90), (90, 0, 100))
    room.stool((-0.1, 1.2, 0))
    clutter.mug((-0.1, 1.2, 0.645), (0.14, 0.2, 0.3))
    clutter.tape((1.36, 0.3, 0.785), 60)
    put(rod(0.011, 1.1, wood.ash("z")), (0.9, 1.7, 0), (8, 4, 0))
    camera.aim((-2.75, -1.25, 1.62), (-0.45, 0.10, 0.68), 24, focus=(-1.6, -0.1, 0.85))

"""The wings: bare, wired, skinned, covered and opened again."""

from __future__ import annotations

import math
import random
from typing import Any

import numpy as np

from .. import camera, clutter, metals, room, stores, wood
from ..models import rib, wing
from ..models.rib import FRONT, foil
from ..shapes import box, group, loft, plate, put, rod, tube

HEIGHT = 0.86
"""The chord line above the floor when a wing lies on trestles of 0.80."""


def _support(spots: tuple[float, ...], x: float = 0.0, high: float = 0.80) -> None:
    for y in spots:
        room.trestle((x, y, 0), 1.5, high)


def left_skeleton() -> None:
    """The left wing dry-fitted on three trestles, from the root."""
    room.workshop("day")
    put(wing.skeleton(-1, wires=False), (0.70, -1.0, HEIGHT), (0, 0, 180))
    _support((-0.55, 1.2, 2.7))
    clutter.tape((0.55, -0.57, 0.805), 20)
    room.stool((1.35, 0.1, 0))
    clutter.mug((1.35, 0.12, 0.645), (0.5, 0.3, 0.1))
    for y in (0.6, 2.2):
        put(clutter.f_clamp(0.3, 0.15), (-0.20, y, HEIGHT + 0.07), (0, 90, 0))
    camera.aim((1.10, -2.05, 1.62), (-0.05, 0.35, 0.78), 24, focus=(0.0, -0.4, 0.9))


def drag_wires() -> None:
    """Bay 2 from above: crossed wires and a compression tube."""
    room.workshop("dull")
    put(wing.skeleton(-1), (0.62, -1.65, HEIGHT), (0, 0, 180))
    _support((-0.9, 0.6, 2.2))
    put(clutter.spanner((0.0, 0.0, 0.0)), (0.42, -0.86, 0.812), (0, 0, 70))
    camera.aim((-0.02, -1.06, 2.02), (-0.04, 0.10, HEIGHT - 0.06), 25, focus=(0, -0.1, HEIGHT))


def right_standing() -> None:
    """The right wing parked on its nose against the wall (upright)."""
    room.workshop("dull")
    w = wing.skeleton(1, wires=True)
    # Nose down: the chord points up, leaning a little against the right-hand wall.
    put(w, (4.72, -2.2, 0.10), (0, 0, 0))
    w.rotation_euler = (0, math.radians(-84), 0)
    for y in (-1.75, -0.1, 1.4):
        box((0.26, 0.16, 0.07), wood.cloth((0.20, 0.22, 0.26)), (4.70, y, 0.035), edge=0.02)
        box((0.10, 0.14, 0.05), wood.cloth((0.26, 0.24, 0.2)), (4.95, y, 1.38), edge=0.015)
    room.trestle((2.9, 1.9, 0), 0.9, 0.78, 20)
    stores.bin_box(random.Random(3), (3.8, -1.2, 0))
    camera.aim((3.10, -3.35, 1.55), (4.45, -1.15, 0.68), 24, focus=(4.6, -1.8, 0.8))


def _strap(y: float, colour: tuple[float, float, float]) -> list[Any]:
    ring = [(x, z) for x, z in rib.outline(0.0, 0.36, -0.004, 30)]
    ring = [(0.46, foil(0.3)[0]), *ring, (0.46, foil(0.3)[1])]
    rows = [[(x, y + d, z) for x, z in ring] for d in (-0.0125, 0.0125)]
    parts = [loft(rows, wood.cloth(colour), closed=False)]
    parts.append(
        box((0.07, 0.034, 0.018), metals.steel(0.4), (0.13, y, foil(0.13)[0] + 0.014), (0, -6, 0), edge=0.003)
    )
    parts.append(
        put(
            rod(0.008, 0.05, metals.plastic((0.5, 0.05, 0.03))),
            (0.09, y - 0.025, foil(0.09)[0] + 0.027),
            (-90, 0, 0),
        )
    )
    return parts


def leading_edge() -> None:
    """Plywood round the nose, under straps and battens."""
    room.workshop("day")
    parts = [wing.skeleton(-1), wing.nose_skin(-1)]
    for k in range(8):
        parts += _strap(-0.18 - 0.49 * k, ((0.50, 0.24, 0.02), (0.04, 0.10, 0.30))[k % 2])
    for x in (0.10, 0.205):
        for side in (0, 1):
            z = foil(x)[side] + (0.010 if side == 0 else -0.010)
            parts.append(
                box(
                    (0.03, 4.0, 0.012),
                    wood.pine("y"),
                    (x, -2.02, z),
                    (0, -10 if x < 0.15 and side == 0 else 0, 0),
                )
            )
    group(parts, (-0.75, 2.9, HEIGHT + 0.02))
    _support((-0.6, 1.2, 2.6), 0.05)
    clutter.rag((-1.6, 0.4, 0.0), (0.3, 0.3, 0.32))
    stores.tin(random.Random(2), (-1.35, -0.2, 0))
    camera.aim((-1.85, -1.95, 1.04), (-0.42, 0.15, 0.84), 25, focus=(-0.7, -0.6, 0.9))


def rib_five_notch() -> None:
    """Rib 5 with a notch behind the front spar and the pitot tube through it."""
    room.workshop("day")
    k = 4
    w = wing.skeleton(-1, notch_at=k, wires=False, tubes=False)
    put(w, (0.7, -2.2, HEIGHT), (0, 0, 180))
    _support((-1.6, -0.6, 1.8))
    y, x = -2.2 + wing.STATIONS[k], 0.7 - 0.30
    z = HEIGHT + foil(0.30)[1]
    pipe = metals.aluminium(False, 0.8)
    tube(
        [
            (x + 0.001, y - 1.4, z + 0.0045),
            (x, y - 0.2, z + 0.0040),
            (x, y + 0.3, z + 0.0040),
            (x + 0.01, y + 1.6, z + 0.0045),
        ],
        0.0038,
        pipe,
        curved=True,
    )
    tape = metals.paint((0.08, 0.22, 0.5), 0.6)
    box((0.012, 0.016, 0.0095), tape, (x, y + 0.14, z + 0.0042), edge=0.003)
    dust = metals.paint((0.72, 0.54, 0.33), 0.9)
    chance = np.random.default_rng(5)
    for _ in range(26):
        box(
            (0.0026, 0.0012, 0.0008),
            dust,
            (x + 0.02 * float(chance.standard_normal()), y - 0.0, z + 0.0084),
            (0, 0, float(chance.random() * 180)),
            edge=0,
        )
    camera.aim(
        (x - 0.085, y - 0.165, z + 0.062),
        (x - 0.002, y, z + 0.014),
        26,
        focus=(x, y - 0.01, z + 0.005),
        stop=9,
    )


def left_covered() -> None:
    """The left wing covered, from the tip."""
    room.workshop("day")
    put(wing.covered(-1, "bare"), (-0.70, 2.9, HEIGHT))
    _support((-0.5, 1.0, 2.5))
    iron = metals.plastic((0.5, 0.5, 0.48))
    group(
        [
            box((0.10, 0.16, 0.03), metals.steel(0.6, 0.2), (0, 0, 0.015), edge=0.01),
            box((0.035, 0.13, 0.035), iron, (0, 0.0, 0.065), edge=0.012),
        ],
        (0.15, -0.3, HEIGHT + 0.142),
    )
    camera.aim((-1.05, -3.05, 1.42), (0.05, 0.0, 0.80), 26, focus=(0, -0.8, 0.9))


def right_bottom() -> None:
    """The right wing upside down, its bottom fabric on, open at the root."""
    room.workshop("dull")
    cloth = wood.fabric("bare")
    parts = [
        wing.skeleton(1),
        *wing.skin(1, 0.02, wing.STATIONS[-1], cloth, sides=(1,)),
        *wing.rib_tapes(1, wood.fabric("tape"), 1),
    ]
    parts += wing.skin(1, 0.02, wing.STATIONS[-1], cloth, sides=(0,), x1=0.10, sag=0.001)
    turned_over = group(parts)
    put(turned_over, (0.70, -1.3, HEIGHT + 0.05))
    turned_over.rotation_euler = (math.radians(180), 0, math.radians(180))
    _support((-0.7, 1.1, 2.5), 0.0, 0.755)
    clutter.masking_roll((0.55, -0.72, 0.76), (0.75, 0.6, 0.3))
    room.stool((1.4, 0.0, 0))
    clutter.bottle((1.4, 0.0, 0.645), ("CEMENT",), (0.5, 0.46, 0.40))
    camera.aim((0.98, -2.55, 1.50), (-0.12, 0.25, 0.82), 25, focus=(0.0, -1.0, 0.9))


def right_opened() -> None:
    """A covered wing cut open between two ribs, the fabric folded back."""
    room.workshop("day")
    hand, cloth = 1, wood.fabric("primed")
    y0, y1 = wing.STATIONS[2] + 0.05, wing.STATIONS[4] - 0.05
    a, b = FRONT - 0.09, FRONT + 0.42
    parts = [wing.skeleton(hand), *wing.skin(hand, 0.0, wing.STATIONS[-1], cloth, sides=(1,))]
    parts += wing.skin(hand, 0.0, y0, cloth, sides=(0,)) + wing.skin(
        hand, y1, wing.STATIONS[-1], cloth, sides=(0,)
    )
    parts += wing.skin(hand, y0, y1, cloth, sides=(0,), x1=a) + wing.skin(
        hand, y0, y1, cloth, sides=(0,), x0=b
    )
    parts += [wing.tip_skin(hand, cloth), *wing.rib_tapes(hand, cloth, 0, 2.4)]
    flap = []
    for k in range(15):
        t = k / 14
        curl = 2.6 * t
        x = b - 0.004 + 0.10 * math.sin(curl) + 0.19 * t
        z = foil(b)[0] + 0.003 + 0.06 * (1 - math.cos(curl)) * (1 - 0.45 * t)
        flap.append(
            [
                (
                    x + 0.006 * math.sin(9 * u + 3 * t),
                    y0 + (y1 - y0) * u,
                    z + 0.004 * math.sin(14 * u + 4 * t),
                )
                for u in np.linspace(0, 1, 30)
            ]
        )
    parts.append(loft(flap, wood.fabric("bare"), closed=False))
    z = sum(foil(FRONT)) / 2
    grey = metals.primer("grey")
    mid = (y0 + y1) / 2
    for s in (-1, 1):
        leaf = plate([(-0.08, -0.02), (0.08, -0.02), (0.08, 0.02), (-0.08, 0.02)], 0.004, grey)
        parts.append(put(leaf, (FRONT + s * 0.022, mid, z), (90, 0, 90)))
        for d in (-0.05, 0.05):
            parts.append(
                put(
                    rod(0.007, 0.006, metals.steel(), edge=0.001),
                    (FRONT + s * 0.024, mid + d, z),
                    (0, 90 * s, 0),
                )
            )
    group(parts, (-0.62, -1.9, HEIGHT))
    _support((-1.4, 0.2, 1.6))
    top = HEIGHT + foil(0.95)[0]
    clutter.masking_roll((0.42, -0.75, top - 0.008), (0.1, 0.3, 0.55))
    camera.aim((-0.42, -1.42, 1.78), (-0.22, -0.26, HEIGHT + 0.03), 25, focus=(-0.3, -0.45, HEIGHT))

"""Wing ribs: a spruce truss with plywood gussets, and the section that they follow."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from .. import metals, wood
from ..shapes import Flat, Point, box, group, plate, put, rod

CHORD = 1.40
FRONT, REAR = 0.235, 0.93
"""Where the spars' centre lines cross the chord."""
FRONT_WIDE, REAR_WIDE = 0.040, 0.022
CAP, WIDE = 0.008, 0.010
"""Cap strip: its depth in the rib's plane, and its width."""


def foil(x: float) -> tuple[float, float]:
    """Upper and lower ordinate at ``x`` metres behind the nose (4 % camber, 12 % thick)."""
    t = min(1.0, max(0.0, x / CHORD))
    half = 0.6 * (0.2969 * math.sqrt(t) - 0.126 * t - 0.3516 * t**2 + 0.2843 * t**3 - 0.1036 * t**4)
    camber = 0.04 / 0.16 * (0.8 * t - t * t) if t < 0.4 else 0.04 / 0.36 * (0.2 + 0.8 * t - t * t)
    return CHORD * (camber + half), CHORD * (camber - half)


def outline(start: float = 0.0, end: float = CHORD, inset: float = 0.0, count: int = 40) -> list[Flat]:
    """The section as a ring: upper surface from tail to nose, lower one back; ``inset`` moves it inwards."""
    xs = [start + (end - start) * (1 - math.cos(math.pi * k / count)) / 2 for k in range(count + 1)]
    upper = [(x, max(foil(x)[0] - inset, sum(foil(x)) / 2)) for x in reversed(xs)]
    lower = [(x, min(foil(x)[1] + inset, sum(foil(x)) / 2)) for x in xs[1:]]
    return upper + lower


def band(line: Sequence[Flat], depth: float, width: float, material: Any, z: float = 0.0) -> Any:
    """A strip bent along ``line`` in the xy plane, ``depth`` to the left of it, ``width`` across."""
    pts = np.array(line, dtype=float)
    ahead = np.gradient(pts, axis=0)
    ahead /= np.linalg.norm(ahead, axis=1, keepdims=True)
    inner = pts + depth * np.column_stack((-ahead[:, 1], ahead[:, 0]))
    ring = [tuple(p) for p in pts] + [tuple(p) for p in inner[::-1]]
    return plate(ring, width, material, at=(0, 0, z), edge=0.0006)


def stick(a: Flat, b: Flat, depth: float, width: float, material: Any, z: float = 0.0) -> Any:
    """A straight stick in the xy plane."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    return box(
        (math.hypot(dx, dy), depth, width),
        material,
        ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2, z),
        (0, 0, math.degrees(math.atan2(dy, dx))),
        edge=0.0005,
    )


def _gusset(x: float, upper: bool, reach: float, deep: float) -> list[Flat]:
    def at(v: float) -> float:
        return foil(v)[0 if upper else 1]

    s = -1 if upper else 1
    return [
        (x - reach, at(x - reach) + s * 0.0005),
        (x, at(x) + s * 0.0005),
        (x + reach, at(x + reach) + s * 0.0005),
        (x + reach * 0.45, at(x) + s * deep),
        (x - reach * 0.45, at(x) + s * deep),
    ]


def truss() -> tuple[list[tuple[Flat, Flat]], list[tuple[float, bool]]]:
    """The truss's sticks, and its gusset nodes (x, on the upper cap)."""
    walls = [
        FRONT - FRONT_WIDE / 2 - 0.005,
        FRONT + FRONT_WIDE / 2 + 0.005,
        REAR - REAR_WIDE / 2 - 0.005,
        REAR + REAR_WIDE / 2 + 0.005,
    ]
    sticks = [((x, foil(x)[1] + CAP), (x, foil(x)[0] - CAP)) for x in walls]
    nodes = [(x, side) for x in (FRONT, REAR) for side in (True, False)]
    zig = [
        (walls[1] + 0.006, False),
        (0.375, True),
        (0.50, False),
        (0.625, True),
        (0.75, False),
        (walls[2] - 0.008, True),
    ]
    tail = [(walls[3] + 0.008, True), (1.05, False), (1.14, True), (1.22, False)]
    for chain in (zig, tail):
        for (x0, up0), (x1, up1) in itertools.pairwise(chain):
            sticks.append(
                (
                    (x0, foil(x0)[0] - CAP if up0 else foil(x0)[1] + CAP),
                    (x1, foil(x1)[0] - CAP if up1 else foil(x1)[1] + CAP),
                )
            )
        nodes += [(x, up) for x, up in chain[1:-1] if x > 0.3]
    return sticks, nodes


def rib(
    at: Point = (0, 0, 0),
    turn: Point = (0, 0, 0),
    *,
    glued: bool = True,
    lifted: int | None = None,
    notch: float | None = None,
) -> Any:
    """One rib in its own xy plane, nose at the origin.

    ``glued`` adds the gussets; ``lifted`` is the node whose gusset stands off; ``notch`` cuts the lower cap.
    """
    spruce, ply = wood.spruce(), wood.birch()
    xs = np.linspace(0.012, CHORD - 0.035, 46)
    parts = [band([(x, foil(x)[0]) for x in reversed(xs)], CAP, WIDE, spruce)]
    runs = (
        [(0.012, CHORD - 0.035)]
        if notch is None
        else [(0.012, notch - 0.011), (notch + 0.011, CHORD - 0.035)]
    )
    for low, high in runs:
        parts.append(band([(x, foil(x)[1]) for x in np.linspace(low, high, 40)], CAP, WIDE, spruce))
    if notch is not None:
        y = foil(notch)[1]
        parts.append(box((0.026, CAP * 0.35, WIDE), wood.spruce(), (notch, y + CAP * 0.85, 0), edge=0.0002))
    sticks, nodes = truss()
    parts += [stick(a, b, 0.008, WIDE - 0.002, spruce) for a, b in sticks]
    nose = [(x, y) for x, y in outline(0.004, FRONT - FRONT_WIDE / 2 - 0.008, CAP * 0.6)]
    parts.append(
        plate(
            nose,
            0.002,
            ply,
            holes=[
                [(0.13 + 0.028 * math.cos(a), 0.028 + 0.028 * math.sin(a)) for a in np.linspace(0, 6.02, 24)]
            ],
            at=(0, 0, WIDE / 2 + 0.001),
        )
    )
    tail = [(x, y) for x, y in outline(1.255, CHORD - 0.03, 0.0008, 12)]
    parts += [
        plate(tail, 0.0015, ply, at=(0, 0, s * (WIDE / 2 + 0.00075))) for s in ((-1, 1) if glued else (1,))
    ]
    if glued:
        for number, (x, upper) in enumerate(nodes):
            wide = x in (FRONT, REAR)
            shape = _gusset(x, upper, 0.062 if wide else 0.044, 0.030 if wide else 0.033)
            for s in (-1, 1):
                z = s * (WIDE / 2 + 0.0008)
                leaf = plate(shape, 0.0015, ply, at=(0, 0, z))
                if number == lifted and s > 0:
                    put(leaf, (0, -0.0006, z + 0.0026), (1.6, 0.0, 0))
                    for dx, dy in (
                        (-0.022, 0.006),
                        (0.0, 0.006),
                        (0.022, 0.006),
                        (-0.012, 0.020),
                        (0.012, 0.020),
                    ):
                        head = rod(
                            0.0011, 0.0004, metals.brass(), (x + dx, foil(x)[0 if upper else 1] + dy, 0.0007)
                        )
                        head.parent = leaf
                parts.append(leaf)
    parts.append(
        stick(
            (CHORD - 0.04, sum(foil(CHORD - 0.04)) / 2),
            (CHORD - 0.004, sum(foil(CHORD - 0.004)) / 2),
            0.010,
            WIDE,
            wood.spruce(),
        )
    )
    return group(parts, at, turn, "rib")


def root_rib(at: Point = (0, 0, 0), turn: Point = (0, 0, 0)) -> Any:
    """The ply-webbed rib at the root, with lightening holes."""
    holes = [
        [(x + r * math.cos(a), sum(foil(x)) / 2 + r * math.sin(a)) for a in np.linspace(0, 6.02, 24)]
        for x, r in ((0.13, 0.03), (0.36, 0.05), (0.52, 0.052), (0.68, 0.048), (0.82, 0.04), (1.04, 0.028))
    ]
    parts = [plate(outline(0.005, CHORD - 0.01, 0.002), 0.003, wood.birch(), holes=holes)]
    xs = np.linspace(0.012, CHORD - 0.02, 40)
    for s in (-1, 1):
        parts.append(band([(x, foil(x)[0]) for x in reversed(xs)], 0.012, 0.008, wood.spruce(), s * 0.0055))
        parts.append(band([(x, foil(x)[1]) for x in xs], 0.012, 0.008, wood.spruce(), s * 0.0055))
    return group(parts, at, turn, "root rib")


def jig(at: Point = (0, 0, 0)) -> Any:
    """The baseboard with blocks either side of the caps and sticks, a pencilled outline on it."""
    base = metals.paint((0.50, 0.42, 0.31), 0.7)
    parts = [box((1.62, 0.40, 0.019), base, (0.70, 0.035, -0.0095), edge=0.001)]
    block, pin = wood.ash(), metals.steel()
    for x in (0.05, 0.12, 0.19, 0.31, 0.44, 0.56, 0.69, 0.81, 0.87, 0.99, 1.10, 1.20, 1.30):
        for upper in (True, False):
            y = foil(x)[0 if upper else 1]
            slope = math.degrees(math.atan2(foil(x + 0.01)[0 if upper else 1] - y, 0.01))
            s = 1 if upper else -1
            for side, size in ((s * 0.0135, 0.026), (-s * (CAP + 0.0085), 0.016)):
                if abs(side) < 0.0137 or x < 1.15:
                    parts.append(
                        box(
                            (0.034, size if size > 0.02 else 0.016, 0.018),
                            block,
                            (x, y + side, 0.009),
                            (0, 0, slope),
                        )
                    )
            parts.append(put(rod(0.0022, 0.003, pin), (x, y + s * 0.0135, 0.018)))
    return group(parts, at, name="jig")

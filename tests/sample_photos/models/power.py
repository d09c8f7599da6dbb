"""The engine on its mount, the stand-in plank, the lift struts, and the surfaces of the whole aeroplane."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from .. import metals, wood
from ..nodes import Colour
from ..shapes import Point, beam, box, circle, group, loft, plate, put, rod, tube, turned
from . import fitting, frame, wing
from .rib import FRONT, foil

FEET: tuple[Point, ...] = ((0.0, -0.27, 0.06), (0.0, 0.27, 0.06), (0.0, -0.27, 0.54), (0.0, 0.27, 0.54))
RING_X, RING_Z, RING_R = -0.34, 0.34, 0.155


def mount(material: Any | None = None) -> list[Any]:
    """A ring with four lugs, eight struts, four feet; feet on x = 0, the ring ahead of them."""
    steel = material or metals.raw_tube()
    parts: list[Any] = [
        tube(
            [
                (RING_X, RING_R * math.cos(a), RING_Z + RING_R * math.sin(a))
                for a in np.linspace(0, 2 * math.pi, 48, endpoint=False)
            ],
            0.0110,
            steel,
            closed=True,
            sides=8,
        )
    ]
    ends = []
    for k in range(4):
        a = math.pi / 4 + k * math.pi / 2
        node = (RING_X, RING_R * math.cos(a), RING_Z + RING_R * math.sin(a))
        ends.append(node)
        lug = turned(
            [(0.007, -0.016), (0.016, -0.016), (0.016, 0.016), (0.007, 0.016), (0.007, -0.016)],
            steel,
            at=(RING_X - 0.004, RING_R * 1.08 * math.cos(a), RING_Z + RING_R * 1.08 * math.sin(a)),
            turn=(0, 90, 0),
        )
        parts += [lug, frame.weld_at((RING_X + 0.006, node[1], node[2]), 0.0135, k)]
    for foot in FEET:
        near = sorted(ends, key=lambda e: math.dist(e, foot))[:2]
        for end in near:
            parts.append(tube([(end[0] + 0.004, end[1], end[2]), foot], 0.0090, steel, sides=8))
        parts.append(
            turned(
                [(0.006, 0), (0.020, 0), (0.020, 0.012), (0.006, 0.012), (0.006, 0)],
                steel,
                at=(foot[0] + 0.006, foot[1], foot[2]),
                turn=(0, 90, 0),
            )
        )
        parts.append(frame.weld_at((foot[0] - 0.004, foot[1], foot[2]), 0.0125))
    return parts


def engine(at: Point = (0.0, 0.0, 0.0)) -> Any:
    """A small air-cooled flat four, its flange ahead (towards -x) of the mount's ring."""
    cast, fin, dark = (
        metals.aluminium(False, 0.5),
        metals.aluminium(False, 0.42),
        metals.paint((0.05, 0.05, 0.055), 0.4),
    )
    z, x0 = RING_Z + 0.01, RING_X - 0.03
    parts: list[Any] = [
        box((0.40, 0.20, 0.22), cast, (x0 - 0.20, 0, z), edge=0.02),
        box((0.34, 0.14, 0.10), dark, (x0 - 0.19, 0, z - 0.15), edge=0.02),
    ]
    parts.append(
        put(
            turned([(0.10, 0), (0.10, 0.03), (0.055, 0.07), (0.05, 0.11), (0, 0.11)], cast),
            (x0 - 0.40, 0, z),
            (0, -90, 0),
        )
    )
    parts.append(put(rod(0.065, 0.014, metals.steel(0.45)), (x0 - 0.505, 0, z), (0, -90, 0)))
    for s in (-1, 1):
        for k, x in enumerate((x0 - 0.30, x0 - 0.11)):
            profile = []
            for j in range(13):
                y = 0.09 + j * 0.0105
                profile += [
                    (0.052, y),
                    (0.052, y + 0.0055),
                    (0.070, y + 0.0060),
                    (0.070, y + 0.0085),
                    (0.052, y + 0.0095),
                ]
            parts.append(
                put(
                    turned(
                        [*profile, (0.066, 0.235), (0.066, 0.285), (0.05, 0.30), (0, 0.30)], fin, sides=40
                    ),
                    (x, 0, z + 0.01),
                    (-90 * s, 0, 0),
                )
            )
            parts.append(box((0.115, 0.06, 0.12), cast, (x, s * 0.275, z + 0.012), edge=0.012))
            parts.append(box((0.09, 0.018, 0.09), dark, (x, s * 0.312, z + 0.012), edge=0.008))
            parts.append(
                tube(
                    [
                        (x + 0.02, s * 0.27, z - 0.04),
                        (x + 0.03, s * 0.26, z - 0.14),
                        (x0 - 0.06 - 0.05 * k, s * 0.14, z - 0.22),
                    ],
                    0.018,
                    metals.raw_tube(),
                    curved=True,
                )
            )
            parts.append(
                tube(
                    [
                        (x - 0.02, s * 0.26, z + 0.06),
                        (x - 0.01, s * 0.20, z + 0.13),
                        (x0 - 0.20, s * 0.05, z + 0.13),
                    ],
                    0.016,
                    cast,
                    curved=True,
                )
            )
            parts.append(
                tube(
                    [
                        (x + 0.03, s * 0.29, z + 0.07),
                        (x + 0.02, s * 0.16, z + 0.16),
                        (x0 - 0.02, s * 0.05, z + 0.12),
                    ],
                    0.0045,
                    metals.plastic((0.35, 0.05, 0.03)),
                    curved=True,
                )
            )
    parts.append(put(rod(0.05, 0.10, cast, edge=0.01), (x0 - 0.20, 0, z + 0.10)))
    parts.append(put(rod(0.055, 0.02, dark), (x0 - 0.20, 0, z + 0.20)))
    parts += [
        put(rod(0.038, 0.09, dark, edge=0.006), (x0 - 0.03, y, z + 0.08), (0, 90, 0)) for y in (-0.05, 0.05)
    ]
    parts.append(
        put(rod(0.035, 0.10, metals.paint((0.55, 0.30, 0.03))), (x0 - 0.02, 0.0, z - 0.16), (90, 0, 90))
    )
    return group(parts, at, name="engine")


def plank() -> list[Any]:
    """The stand-in for the propeller: a painted beam with red ends, bolted to the flange."""
    pale, red = metals.paint((0.66, 0.63, 0.55), 0.4), metals.paint((0.62, 0.03, 0.02), 0.3)
    x, z, a = RING_X - 0.575, RING_Z + 0.01, math.radians(8)

    def along(d: float) -> Point:
        return (x, d * math.cos(a), z + d * math.sin(a))

    parts: list[Any] = [beam(along(-0.58), along(0.58), 0.05, 0.12, pale, 0.004)]
    for s in (-1, 1):
        lo, hi = sorted((s * 0.58, s * 0.86))
        parts.append(beam(along(lo), along(hi), 0.0502, 0.1202, red, 0.004))
    for k in range(6):
        b = k * math.pi / 3
        parts.append(
            put(
                fitting.bolt(0.005, 0.03),
                (x - 0.0255, 0.046 * math.cos(b), z + 0.046 * math.sin(b)),
                (0, 90, 0),
            )
        )
    parts.append(put(plate(circle(0.062), 0.004, metals.steel(0.5)), (x - 0.027, 0, z), (0, 90, 0)))
    return parts


def faired(a: Point, b: Point, chord: float, thick: float, material: Any) -> Any:
    """A streamlined strut; its section's long axis lies along x."""
    p, q = np.array(a), np.array(b)
    way = (q - p) / np.linalg.norm(q - p)
    fore = np.array([1.0, 0, 0]) - way[0] * way
    fore /= np.linalg.norm(fore)
    side = np.cross(way, fore)
    ring = []
    for t in np.linspace(0, 2 * math.pi, 28, endpoint=False):
        u = (1 - math.cos(t)) / 2
        w = thick / 2 * 2.6 * (math.sqrt(u) * (1 - u)) * (1 if t < math.pi else -1)
        ring.append(fore * chord * (u - 0.35) + side * w)
    rows = [[tuple(c + r) for r in ring] for c in (p, q)]
    return loft(rows, material, caps=True)


LOWER = (0.79, 0.37, -0.03)
"""Where the right-hand struts leave the lower longeron."""


def struts(side: int, material: Any) -> list[Any]:
    """Front and rear lift strut of one side, in a V."""
    x, y, z = LOWER
    low = (x, side * y, z)
    wx, wz = frame.FRONT_SPAR
    parts = [
        faired(low, (wx, side * 2.55, wz + 0.0), 0.085, 0.036, material),
        faired((x + 0.10, side * y, z), (wx + 0.70, side * 2.55, wz - 0.01), 0.065, 0.030, material),
    ]
    steel = metals.steel(0.4)
    parts += [
        put(rod(0.012, 0.05, steel), (p[0], p[1] - 0.025, p[2]), (-90, 0, 0))
        for p in (low, (x + 0.10, side * y, z))
    ]
    return parts


def placed_wing(side: int, state: str, colour: Colour, cover: bool = True) -> Any:
    """A covered wing on its cabin fittings."""
    cloth = wood.fabric(state, colour)
    parts = wing.skin(side, 0.0, wing.STATIONS[-1], cloth, sag=0.006)
    parts += [wing.tip_skin(side, cloth), *wing.root_plates(side)]
    parts += wing.rib_tapes(side, cloth, 0) + wing.rib_tapes(side, cloth, 1) if cover else []
    x, z = frame.FRONT_SPAR
    return group(
        parts, (x - FRONT, side * (frame.TOP_HALF + 0.06), z - sum(foil(FRONT)) / 2), (side * 1.0, 0, 0)
    )


def tail_surfaces(material: Any) -> list[Any]:
    """Covered fin, rudder, tailplane and elevators."""
    fin = [(3.72, 0.52), (3.95, 0.70), (4.20, 1.02), (4.36, 1.16), (4.44, 1.18), (4.44, 0.50)]
    rudder = [
        (4.47, 0.24),
        (4.47, 1.22),
        (4.62, 1.24),
        (4.80, 1.10),
        (4.92, 0.86),
        (4.96, 0.60),
        (4.86, 0.36),
        (4.66, 0.25),
    ]
    parts = [put(plate(ring, 0.030, material, edge=0.009), (0, 0, 0), (90, 0, 0)) for ring in (fin, rudder)]
    for s in (-1, 1):
        plane = [
            (3.95, s * 0.10),
            (3.98, s * 0.6),
            (4.08, s * 1.05),
            (4.22, s * 1.28),
            (4.40, s * 1.32),
            (4.40, s * 0.05),
        ]
        lift = [
            (4.43, s * 0.06),
            (4.43, s * 1.32),
            (4.58, s * 1.26),
            (4.72, s * 1.0),
            (4.80, s * 0.5),
            (4.76, s * 0.22),
            (4.60, s * 0.08),
        ]
        parts += [
            plate(ring if s > 0 else ring[::-1], 0.030, material, at=(0, 0, 0.50), edge=0.009)
            for ring in (plane, lift)
        ]
        parts.append(tube([(4.2, s * 0.95, 0.49), (4.35, s * 0.05, 0.22)], 0.008, metals.steel(0.5)))
        parts.append(tube([(4.2, s * 0.95, 0.51), (4.30, s * 0.02, 1.0)], 0.004, metals.steel(0.5)))
    return parts


def cabin_glass() -> list[Any]:
    """Windscreen and door windows."""
    glass = metals.glass((0.94, 0.97, 0.96))
    (fx, fz), (rx, rz) = frame.FRONT_SPAR, frame.REAR_SPAR
    low = [(0.10, y, 0.60 + 0.06 * (1 - (y / 0.33) ** 2)) for y in np.linspace(-0.32, 0.32, 13)]
    top = [(fx - 0.05, y, fz + 0.05) for y in np.linspace(-0.35, 0.35, 13)]
    parts = [loft([low, top], glass, closed=False)]
    for s in (-1, 1):
        ring = [(0.14, 0.58), (frame.STATIONS[2], 0.63), (rx, rz - 0.02), (fx, fz - 0.02)]
        parts.append(put(plate(ring, 0.002, glass), (0, s * 0.362, 0), (90, 0, 0)))
        for p, q in zip(ring, [*ring[1:], ring[0]], strict=True):
            parts.append(
                tube(
                    [(p[0], s * 0.366, p[1]), (q[0], s * 0.366, q[1])],
                    0.010,
                    metals.paint((0.12, 0.13, 0.14)),
                )
            )
    return parts


def cowling(material: Any) -> Any:
    """A rounded nose from the firewall forward."""
    rows = []
    for x, w, low, high in (
        (0.0, 0.325, 0.0, 0.66),
        (-0.20, 0.33, 0.0, 0.63),
        (-0.45, 0.32, 0.04, 0.58),
        (-0.68, 0.26, 0.10, 0.52),
        (-0.82, 0.17, 0.18, 0.47),
        (-0.86, 0.09, 0.26, 0.43),
    ):
        cz, h = (low + high) / 2, (high - low) / 2
        rows.append(
            [
                (
                    x,
                    w * math.copysign(abs(math.cos(a)) ** 0.72, math.cos(a)),
                    cz + h * math.copysign(abs(math.sin(a)) ** 0.72, math.sin(a)),
                )
                for a in np.linspace(0, 2 * math.pi, 40, endpoint=False)
            ]
        )
    return loft(rows, material, caps=True)

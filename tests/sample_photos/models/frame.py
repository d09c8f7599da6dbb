"""The welded fuselage frame and what stands on it: x aft from the firewall, y to the right, z up, metres."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from typing import Any

import numpy as np

from .. import metals, wood
from ..shapes import Point, body, box, group, loft, plate, put, rod, tube, turned

STATIONS = (0.0, 0.72, 1.42, 2.05, 2.65, 3.25, 3.85, 4.45)
HALF = (0.30, 0.36, 0.36, 0.31, 0.245, 0.18, 0.115, 0.03)
LOW = (0.02, -0.04, -0.04, 0.01, 0.07, 0.13, 0.19, 0.25)
HIGH = (0.56, 0.62, 0.62, 0.60, 0.575, 0.55, 0.525, 0.50)
FRONT_SPAR, REAR_SPAR = (0.86, 1.16), (1.555, 1.13)
"""Where the wing's spars meet the cabin: x, z; half the cabin top's width is 0.34."""
TOP_HALF = 0.34


def _node(k: int, side: int, up: bool) -> Point:
    return (STATIONS[k], side * HALF[k], HIGH[k] if up else LOW[k])


def side_tubes(side: int) -> list[tuple[Point, Point, float]]:
    """One side of the box: longerons, verticals and diagonals."""
    tubes = []
    for k in range(7):
        tubes += [(_node(k, side, up), _node(k + 1, side, up), 0.0115) for up in (True, False)]
        tubes.append((_node(k, side, k % 2 == 0), _node(k + 1, side, k % 2 == 1), 0.0085))
    tubes += [(_node(k, side, True), _node(k, side, False), 0.0095) for k in range(8)]
    return tubes


def cabin_tubes() -> list[tuple[Point, Point, float]]:
    """The pylon that carries the wing."""
    tubes: list[tuple[Point, Point, float]] = []
    (fx, fz), (rx, rz) = FRONT_SPAR, REAR_SPAR
    for s in (-1, 1):
        front, rear = (fx, s * TOP_HALF, fz), (rx, s * TOP_HALF, rz)
        tubes += [
            (_node(1, s, True), front, 0.011),
            (_node(2, s, True), rear, 0.011),
            (front, rear, 0.011),
            (_node(0, s, True), front, 0.0095),
            (rear, _node(3, s, True), 0.0095),
        ]
    for x, z in (FRONT_SPAR, REAR_SPAR):
        tubes.append(((x, -TOP_HALF, z), (x, TOP_HALF, z), 0.013))
    tubes.append(((fx, -TOP_HALF, fz), (rx, TOP_HALF, rz), 0.008))
    tubes.append(((fx, TOP_HALF, fz), (rx, -TOP_HALF, rz), 0.008))
    return tubes


def cross_tubes() -> list[tuple[Point, Point, float]]:
    """Between the two sides, at the top and the bottom."""
    tubes = []
    for k in range(8):
        tubes += [(_node(k, -1, up), _node(k, 1, up), 0.0085) for up in (True, False) if not (up and k == 2)]
    for k in range(7):
        tubes.append((_node(k, -1 if k % 2 else 1, False), _node(k + 1, 1 if k % 2 else -1, False), 0.0075))
        if k > 2:
            tubes.append((_node(k, 1 if k % 2 else -1, True), _node(k + 1, -1 if k % 2 else 1, True), 0.0075))
    return tubes


def weld_at(place: Point, size: float, seed: int = 0) -> Any:
    """A lumpy bead round a node."""
    chance = np.random.default_rng(seed + int(abs(place[0]) * 1000))
    profile = []
    for k in range(9):
        a = -math.pi / 2 + math.pi * k / 8
        profile.append(
            (
                max(0.0, size * math.cos(a)) * float(1 + 0.08 * chance.standard_normal())
                if 0 < k < 8
                else 0.0,
                size * math.sin(a),
            )
        )
    return turned(profile, metals.weld(), at=place, turn=(20, 30, 0), sides=20)


def weldment(tubes: Iterable[tuple[Point, Point, float]], material: Any, beads: bool = True) -> list[Any]:
    """Tubes with a bead at every distinct end."""
    parts: list[Any] = []
    seen: dict[Point, float] = {}
    for a, b, radius in tubes:
        parts.append(tube([a, b], radius, material, sides=8))
        for end in (a, b):
            place = (round(end[0], 3), round(end[1], 3), round(end[2], 3))
            seen[place] = max(radius, seen.get(place, 0.0))
    if beads:
        parts += [weld_at(p, r * 1.28) for p, r in seen.items()]
    return parts


def frame(material: Any | None = None, beads: bool = True) -> list[Any]:
    """The complete frame."""
    steel = material or metals.raw_tube()
    parts = weldment([*side_tubes(-1), *side_tubes(1), *cross_tubes(), *cabin_tubes()], steel, beads)
    for s in (-1, 1):
        for x, z in (FRONT_SPAR, REAR_SPAR):
            ear = plate(
                [(-0.03, -0.02), (0.03, -0.02), (0.03, 0.03), (0.0, 0.045), (-0.03, 0.03)],
                0.005,
                steel,
                holes=[[(0.008 * math.cos(a), 0.02 + 0.008 * math.sin(a)) for a in np.linspace(0, 6, 14)]],
            )
            parts.append(put(ear, (x, s * (TOP_HALF + 0.012), z), (90, 0, 90)))
    return parts


AXLE = (0.80, 0.86, -0.50)
"""The right-hand axle's inner end."""


def leg_tubes(side: int) -> list[tuple[Point, Point, float]]:
    """One undercarriage V with its bracing strut."""
    ax, ay, az = AXLE
    hub = (ax, side * ay, az)
    front, rear = (0.72, side * 0.36, -0.04), (1.42, side * 0.36, -0.04)
    middle = (0.72, 0.0, -0.20)
    return [
        (front, hub, 0.016),
        (rear, hub, 0.0135),
        (middle, (ax, side * (ay - 0.08), az + 0.05), 0.0095),
        (middle, front, 0.0095),
    ]


def wheel(
    at: Point, radius: float = 0.215, wide: float = 0.15, turn: Point = (90, 0, 0), disc: float = 1.0
) -> Any:
    """A tyre on an aluminium hub, its axle along local z; the disc is on the +z side when ``disc`` is 1."""
    t = wide / 2
    tyre = [
        (radius * 0.46, -t * 0.55),
        (radius * 0.60, -t * 0.92),
        (radius * 0.80, -t),
        (radius * 0.93, -t * 0.82),
        (radius * 0.985, -t * 0.5),
        (radius, -t * 0.16),
        (radius, t * 0.16),
        (radius * 0.985, t * 0.5),
        (radius * 0.93, t * 0.82),
        (radius * 0.80, t),
        (radius * 0.60, t * 0.92),
        (radius * 0.46, t * 0.55),
    ]
    hub = [
        (0.022, -t * 0.62),
        (0.036, -t * 0.62),
        (0.040, -t * 0.34),
        (radius * 0.36, -t * 0.30),
        (radius * 0.41, -t * 0.60),
        (radius * 0.49, -t * 0.66),
        (radius * 0.49, t * 0.66),
        (radius * 0.41, t * 0.60),
        (radius * 0.36, t * 0.30),
        (0.040, t * 0.34),
        (0.036, t * 0.62),
        (0.022, t * 0.62),
    ]
    alloy = metals.aluminium(False, 0.66)
    parts = [
        turned(tyre, metals.rubber(), sides=64),
        turned(hub, alloy, sides=48),
        rod(0.0215, wide * 0.64, metals.steel(0.3), (0, 0, -wide * 0.32)),
    ]
    for s in (-1, 1):
        for k in range(6):
            a = k * math.pi / 3
            bolt = rod(
                0.0055,
                0.008,
                metals.steel(0.45),
                (radius * 0.27 * math.cos(a), radius * 0.27 * math.sin(a), s * t * 0.33),
            )
            parts.append(put(bolt, tuple(bolt.location), (0 if s > 0 else 180, 0, 0)))
    for r in (0.955, 0.975):
        parts += [
            turned(
                [
                    (radius * r + 0.0045, s * (t * 0.42) - 0.003),
                    (radius * r + 0.0046, s * (t * 0.42) + 0.003),
                ],
                metals.rubber(0.006),
                sides=64,
            )
            for s in (-1, 1)
        ]
    if disc:
        z = disc * t * 0.80
        ring = [
            (0.070, z - 0.003),
            (radius * 0.47, z - 0.003),
            (radius * 0.47, z + 0.003),
            (0.070, z + 0.003),
            (0.070, z - 0.003),
        ]
        parts.append(turned(ring, metals.steel(0.5, 0.25)))
        parts.append(turned([(0.045, z - disc * 0.02), (0.071, z - 0.001)], metals.steel(0.3, 0.4)))
    valve = tube([(radius * 0.40, 0.02, t * 0.35), (radius * 0.43, 0.02, t * 0.8)], 0.004, metals.rubber())
    return group([*parts, valve], at, turn, "wheel")


def undercarriage(material: Any, wheels: bool = True) -> list[Any]:
    """Both legs, main wheels, tail spring and tail wheel."""
    parts = weldment([*leg_tubes(-1), *leg_tubes(1)], material)
    ax, ay, az = AXLE
    for s in (-1, 1):
        parts.append(
            put(rod(0.018, 0.26, metals.steel(0.4), edge=0.003), (ax, s * (ay - 0.02), az), (-90 * s, 0, 0))
        )
        if wheels:
            parts.append(wheel((ax, s * (ay + 0.13), az), turn=(90 * s, 0, 0), disc=1.0))
    spring = metals.paint((0.05, 0.05, 0.055), 0.4)
    points = [(4.16, 0.24), (4.45, 0.215), (4.70, 0.13), (4.78, 0.08)]
    parts += [
        box(
            (math.dist(p, q) + 0.01, 0.04, 0.008),
            spring,
            ((p[0] + q[0]) / 2, 0, (p[1] + q[1]) / 2),
            (0, math.degrees(math.atan2(p[1] - q[1], q[0] - p[0])), 0),
        )
        for p, q in itertools.pairwise(points)
    ]
    parts.append(wheel((4.83, 0, 0.02), 0.075, 0.05, disc=0))
    for s in (-1, 1):
        parts.append(
            plate(
                [(-0.07, 0.065), (-0.01, 0.075), (0.02, 0.0), (0.0, -0.02), (-0.02, 0.0)],
                0.005,
                metals.steel(0.35),
                at=(4.83, s * 0.032, 0.02),
                turn=(90, 0, 0),
            )
        )
    return parts


def _section(k: float) -> tuple[float, float, float]:
    return (
        float(np.interp(k, STATIONS, HALF)),
        float(np.interp(k, STATIONS, LOW)),
        float(np.interp(k, STATIONS, HIGH)),
    )


def fabric(material: Any, start: float = 2.05) -> list[Any]:
    """Fabric over the rear fuselage: flat sides, a low turtle deck on top; ``start`` is its front edge."""
    xs = np.unique(np.concatenate([np.linspace(start, 4.45, 49), [s for s in STATIONS if s >= start]]))
    rings = []
    for x in xs:
        half, low, high = _section(float(x))
        near = min(abs(float(x) - s) for s in STATIONS)
        sag = 0.006 * min(1.0, near / 0.12)
        half, low, high = half + 0.014, low - 0.014, high + 0.012
        crown = (
            max(0.03, 0.50 * max(0.0, 1 - (float(x) - 1.62) / 2.2))
            if start < 2.0
            else max(0.035, 0.28 * max(0.0, 1 - (float(x) - 2.05) / 1.6))
        )
        ring: list[Point] = []
        ring += [
            (float(x), half - sag * 4 * t * (1 - t), low + (high - low) * float(t))
            for t in np.linspace(0, 1, 9)
        ]
        ring += [
            (float(x), half * math.cos(a), high + crown * math.sin(a))
            for a in np.linspace(0.12, math.pi - 0.12, 17)
        ]
        ring += [
            (float(x), -(half - sag * 4 * t * (1 - t)), low + (high - low) * float(t))
            for t in np.linspace(1, 0, 9)
        ]
        ring += [(float(x), -half + 2 * half * float(t), low + sag * 0.6) for t in np.linspace(0.15, 0.85, 5)]
        rings.append(ring)
    return [loft(rings, material)]


def front_sides(material: Any) -> list[Any]:
    """Fabric over the lower cabin sides."""
    parts = []
    for s in (-1, 1):
        pts, faces = [], []
        for k in range(4):
            pts += [
                (STATIONS[k], s * (HALF[k] + 0.013), LOW[k] - 0.012),
                (STATIONS[k], s * (HALF[k] + 0.013), HIGH[k] + 0.01),
            ]
        faces = [[2 * k, 2 * k + 2, 2 * k + 3, 2 * k + 1] for k in range(3)]
        parts.append(body(pts, faces, material))
    belly = [(STATIONS[k], y, LOW[k] - 0.012) for k in range(4) for y in (-HALF[k] - 0.012, HALF[k] + 0.012)]
    parts.append(body(belly, [[2 * k, 2 * k + 1, 2 * k + 3, 2 * k + 2] for k in range(3)], material))
    return parts


def firewall(material: Any | None = None) -> list[Any]:
    """The stainless sheet on the front of the frame, flanged."""
    steel = material or metals.aluminium(True, 0.56)
    w, low, high = HALF[0] + 0.025, LOW[0] - 0.02, HIGH[0] + 0.10
    ring = [
        (-w, low),
        (w, low),
        (w, high - 0.16),
        (w - 0.06, high - 0.06),
        (w - 0.18, high),
        (-w + 0.18, high),
        (-w + 0.06, high - 0.06),
        (-w, high - 0.16),
    ]
    parts = [put(plate(ring, 0.0015, steel), (-0.016, 0, 0), (90, 0, 90))]
    for p, q in zip(ring, [*ring[1:], ring[0]], strict=True):
        long = math.dist(p, q)
        parts.append(
            box(
                (0.022, long, 0.0015),
                steel,
                (-0.006, (p[0] + q[0]) / 2, (p[1] + q[1]) / 2),
                (math.degrees(math.atan2(q[1] - p[1], q[0] - p[0])), 0, 0),
            )
        )
    for p, q in zip(ring, [*ring[1:], ring[0]], strict=True):
        count = max(2, int(math.dist(p, q) / 0.055))
        for k in range(count):
            t = (k + 0.5) / count
            y, z = p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t
            head = rod(0.0045, 0.002, metals.aluminium(False))
            parts.append(put(head, (-0.0168, y * 0.955, (z - 0.3) * 0.955 + 0.3), (0, -90, 0)))
    return parts


def varnished_floor() -> Any:
    """The cabin floorboard."""
    ring = [(0.06, -0.29), (1.40, -0.345), (1.40, 0.345), (0.06, 0.29)]
    return plate(ring, 0.006, wood.birch("x", varnished=True), at=(0, 0, -0.012))

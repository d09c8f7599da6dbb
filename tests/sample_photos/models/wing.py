"""Spars and the whole wing: bare, half dressed and covered.

A wing lies with its nose at x = 0, chord along +x, its root at y = 0 and its span along +y, upper side up.
That is a right-hand wing; ``hand`` -1 builds the left one, its span along -y.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from .. import metals, wood
from ..shapes import Flat, Point, box, circle, group, loft, plate, put, rod, tube
from . import rib
from .rib import CHORD, FRONT, FRONT_WIDE, REAR, REAR_WIDE, foil

SPAN = 4.5
PITCH = 0.53
FIRST = 0.34
STATIONS = tuple(FIRST + PITCH * k for k in range(8))


def _depth(x: float, inset: float = rib.CAP) -> tuple[float, float]:
    upper, lower = foil(x)
    return upper - inset, lower + inset


def box_spar(length: float = SPAN, high: float = 0.148, wide: float = 0.060, step: float = 0.0) -> Any:
    """A box spar along local y, its foot at z = 0: spruce caps, webs that stop ``step`` short of them."""
    spruce, ply = wood.spruce("y"), wood.birch("x", ply=0.0008)
    cap = 0.030
    inner = wide - 0.005
    parts = [
        box((inner, length, cap), spruce, (0, length / 2, z), edge=0.001) for z in (cap / 2, high - cap / 2)
    ]
    for s in (-1, 1):
        web = plate([(0, step), (length, step), (length, high - step), (0, high - step)], 0.0025, ply)
        parts.append(put(web, (s * (wide / 2 - 0.00125), 0, 0), (90, 0, 90)))
    parts += [
        box((inner - 0.001, 0.016, high - 2 * cap), wood.spruce("z"), (0, float(y), high / 2))
        for y in np.arange(0.30, length, 0.42)
    ]
    parts.append(box((inner, 0.34, high - 2 * cap), wood.mahogany("z", False), (0, length - 0.17, high / 2)))
    return group(parts, name="box spar")


def solid_spar(length: float = 4.4, high: float = 0.105, wide: float = 0.024) -> Any:
    """A plain rear spar along local x, standing on edge, its last quarter tapered, with plywood pads."""
    shape: list[Flat] = [(0, 0), (length, 0.018), (length, 0.062), (length * 0.72, high), (0, high)]
    parts = [put(plate(shape, wide, wood.spruce()), (0, 0, 0), (90, 0, 0))]
    for x in (0.06, 1.9):
        for s in (-1, 1):
            pad = [
                (x - 0.05, 0.012),
                (x + 0.16, 0.012),
                (x + 0.20, high / 2),
                (x + 0.16, high - 0.012),
                (x - 0.05, high - 0.012),
            ]
            parts.append(put(plate(pad, 0.003, wood.birch("y")), (0, s * (wide / 2 + 0.0015), 0), (90, 0, 0)))
            for dx, dz in ((0.0, 0.032), (0.0, 0.072), (0.10, 0.052)):
                hole = rod(0.0048, 0.0004, metals.plastic((0.02, 0.016, 0.012), 0.8))
                parts.append(put(hole, (x + dx, s * (wide / 2 + 0.0031), dz), (90 if s > 0 else -90, 0, 0)))
    return group(parts, name="rear spar")


def _spar_in_wing(hand: int, front: bool, length: float) -> list[Any]:
    x, wide = (FRONT, FRONT_WIDE) if front else (REAR, REAR_WIDE)
    top, low = _depth(x)
    if not front:
        return [
            box(
                (wide, length, top - low),
                wood.spruce("y"),
                (x, hand * length / 2, (top + low) / 2),
                edge=0.001,
            )
        ]
    top, low = _depth(x, 0.018)
    parts = []
    parts += [
        box((wide - 0.004, length, 0.026), wood.spruce("y"), (x, hand * length / 2, z), edge=0.001)
        for z in (top - 0.013, low + 0.013)
    ]
    for s in (-1, 1):
        y0, y1 = sorted((0.0, hand * length))
        web = plate([(y0, low), (y1, low), (y1, top), (y0, top)], 0.002, wood.birch("x"))
        parts.append(put(web, (x + s * (wide / 2 - 0.001), 0, 0), (90, 0, 90)))
    return parts


def tip_bow(hand: int) -> Any:
    """The laminated bow round the wing tip."""
    y_last = STATIONS[-1]
    points = []
    for k in range(25):
        a = math.pi * k / 24
        x = CHORD / 2 - CHORD / 2 * math.cos(a) * 0.985
        y = y_last + 0.46 * math.sin(a) ** 0.8
        t = 1 - (y - y_last) / 0.46
        mid = sum(foil(x)) / 2
        points.append((x, hand * y, mid * t + 0.035 * (1 - t)))
    bow = tube(points, 0.011, wood.spruce("y"))
    bow.data.bevel_mode = "ROUND"
    return bow


def drag_bay(hand: int, y0: float, y1: float) -> list[Any]:
    """Two crossed wires between the spars, with their end fittings."""
    wire, lug = metals.steel(0.5, 0.25), metals.brass()
    z = sum(foil(FRONT)) / 2
    parts = []
    for k, (a, b) in enumerate(
        (((FRONT + 0.02, y0), (REAR - 0.011, y1)), ((FRONT + 0.02, y1), (REAR - 0.011, y0)))
    ):
        dz = 0.006 if k else -0.006
        p, q = (a[0], hand * a[1], z + dz), (b[0], hand * b[1], z * 0.9 + dz)
        parts.append(tube([p, q], 0.0021, wire))
        for one, two in ((p, q), (q, p)):
            along = [u + (v - u) * 0.09 for u, v in zip(one, two, strict=True)]
            end = (along[0], along[1], along[2])
            parts.append(tube([one, end], 0.0048, lug))
    return parts


def compression(hand: int, y: float) -> list[Any]:
    """A steel compression tube between the spars."""
    z = sum(foil(FRONT)) / 2
    grey = metals.primer("grey")
    parts = [tube([(FRONT + 0.02, hand * y, z), (REAR - 0.011, hand * y, z * 0.9)], 0.0095, grey)]
    for x, s in ((FRONT + 0.022, 1), (REAR - 0.013, -1)):
        parts.append(box((0.004, 0.075, 0.05), grey, (x, hand * y, z)))
        parts += [
            put(rod(0.0055, 0.006, metals.steel(), edge=0.001), (x, hand * y + dy, z), (0, 90 * s, 0))
            for dy in (-0.025, 0.025)
        ]
    return parts


def skeleton(
    hand: int = 1, *, wires: bool = True, notch_at: int | None = None, tubes: bool = True, bow: bool = True
) -> Any:
    """The bare wing."""
    parts = _spar_in_wing(hand, True, STATIONS[-1] + 0.02) + _spar_in_wing(hand, False, STATIONS[-1] + 0.02)
    for k, y in enumerate(STATIONS):
        parts.append(rib.rib((0, hand * y, 0), (90, 0, 0), notch=0.30 if notch_at == k else None))
    parts.append(rib.root_rib((0, hand * 0.012, 0), (90, 0, 0)))
    last = STATIONS[-1]
    parts.append(box((0.014, last, 0.022), wood.spruce("y"), (0.008, hand * last / 2, 0.004), edge=0.005))
    parts.append(
        box(
            (0.03, last, 0.008),
            wood.spruce("y"),
            (CHORD - 0.008, hand * last / 2, sum(foil(CHORD - 0.01)) / 2),
            edge=0.002,
        )
    )
    if bow:
        parts.append(tip_bow(hand))
    bays = [(0.02, 1.13), (1.13, 2.20), (2.20, 3.25), (3.25, 4.03)]
    if tubes:
        for y in (1.135, 2.195, 3.255):
            parts += compression(hand, y)
    if wires:
        for y0, y1 in bays:
            parts += drag_bay(hand, y0 + 0.05, y1 - 0.05)
    parts += root_plates(hand)
    return group(parts, name="wing")


def root_plates(hand: int) -> list[Any]:
    """Attachment plates on both spars at the root."""
    grey = metals.primer("grey")
    parts = []
    for x, wide in ((FRONT, FRONT_WIDE), (REAR, REAR_WIDE)):
        z = sum(foil(x)) / 2
        for s in (-1, 1):
            shape = [
                (-0.07, -0.018),
                (-0.05, -0.026),
                (0.16, -0.02),
                (0.16, 0.02),
                (-0.05, 0.026),
                (-0.07, 0.018),
            ]
            leaf = plate(
                [(hand * a, b) for a, b in shape], 0.004, grey, holes=[circle(0.008, (hand * -0.048, 0))]
            )
            parts.append(put(leaf, (x + s * (wide / 2 + 0.002), 0, z), (90, 0, 90)))
    return parts


def _station(y: float, x0: float, x1: float, side: int, sag: float) -> list[Point]:
    rows = []
    for k in range(31):
        x = x0 + (x1 - x0) * (1 - math.cos(math.pi * k / 30)) / 2
        ease = min(1.0, x / 0.12, (CHORD - x) / 0.05)
        rows.append((x, y, foil(x)[side] + (1 if side == 0 else -1) * (0.0012 - sag * max(0.0, ease))))
    return rows


def skin(
    hand: int,
    y0: float,
    y1: float,
    material: Any,
    *,
    sides: tuple[int, ...] = (0, 1),
    x0: float = 0.0,
    x1: float = CHORD,
    sag: float = 0.009,
) -> list[Any]:
    """Fabric from span ``y0`` to ``y1``, drawn in between the ribs; side 0 is the upper face."""
    ys = sorted(
        {y0, y1, *(y0 + (y1 - y0) * k / 60 for k in range(61)), *(y for y in STATIONS if y0 <= y <= y1)}
    )
    supports = [0.0, *STATIONS]
    parts = []
    for side in sides:
        rings = []
        for y in ys:
            below = max((s for s in supports if s <= y + 1e-9), default=0.0)
            above = min((s for s in supports if s >= y - 1e-9), default=STATIONS[-1])
            t = 0.0 if above <= below else (y - below) / (above - below)
            rings.append(
                _station(hand * y, x0, x1, side, sag * math.sin(math.pi * t) ** 0.55 if 0 < t < 1 else 0.0)
            )
        parts.append(loft(rings, material, closed=False))
    return parts


def tip_skin(hand: int, material: Any) -> Any:
    """Fabric from the last rib to the bow."""
    last, rings = STATIONS[-1], []
    for k in range(13):
        s = math.sin(math.pi / 2 * k / 12)
        half = math.sqrt(max(0.0, 1 - s**2.2))
        ring: list[Point] = []
        for side in (0, 1):
            order = range(25) if side == 0 else range(23, 0, -1)
            for j in order:
                x = CHORD / 2 - CHORD / 2 * math.cos(math.pi * j / 24)
                q = CHORD / 2 + (x - CHORD / 2) * max(half, 0.02)
                z = foil(x)[side] * (1 - s**2) + 0.035 * s**2 + (0.004 if side == 0 else -0.004) * s
                ring.append((q, hand * (last + 0.47 * s), z))
        rings.append(ring)
    return loft(rings, material)


def rib_tapes(hand: int, material: Any, side: int = 0, start: float = 0.0) -> list[Any]:
    """Finishing tapes over the ribs, with a faint row of lacing knots."""
    parts = []
    for y in STATIONS:
        if y < start:
            continue
        rows = [_station(hand * (y + d), 0.0, CHORD, side, -0.0006) for d in (-0.024, 0.024)]
        parts.append(loft(rows, material, closed=False))
        for x in np.arange(0.10, CHORD - 0.08, 0.065):
            z = foil(float(x))[side] + (0.002 if side == 0 else -0.002)
            parts.append(box((0.006, 0.010, 0.0018), material, (float(x), hand * y, z), edge=0.0006))
    return parts


def covered(hand: int = 1, state: str = "bare", *, tapes: bool = True) -> Any:
    """The closed wing with fabric on both faces."""
    cloth = wood.fabric(state)
    tape = wood.fabric("tape" if state == "bare" else state)
    parts = skin(hand, 0.0, STATIONS[-1], cloth)
    parts.append(tip_skin(hand, cloth))
    if tapes:
        parts += rib_tapes(hand, tape, 0) + rib_tapes(hand, tape, 1)
    parts.append(rib.root_rib((0, hand * 0.006, 0), (90, 0, 0)))
    parts += root_plates(hand)
    return group(parts, name="covered wing")


def nose_skin(hand: int = 1, y1: float = STATIONS[-1]) -> Any:
    """Plywood bent round the leading edge, from the front spar above to the front spar below."""
    ring = [(x, z) for x, z in rib.outline(0.0, FRONT + 0.015, -0.0016, 36)]
    rows = [[(x, hand * y, z) for x, z in ring] for y in np.linspace(0.0, y1, 12)]
    return loft(rows, wood.birch("y", bent=True), closed=False)


def flat_spar_ends(length: float, slope: float, wide: float, high: float, mirrored: bool) -> Any:
    """A stick along local x with a long scarf at its far end; ``mirrored``, the mate at its near end."""
    shape: list[Flat] = [(0, 0), (length, 0), (length - slope, high), (0, high)]
    if mirrored:
        shape = [(0, high), (slope, 0.0), (length, 0), (length, high)]
    return put(plate(shape, wide, wood.spruce(), edge=0.0003), (0, 0, 0), (90, 0, 0))

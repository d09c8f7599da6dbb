"""Small steel and brass: plates, bent brackets, bolts, nuts, seams of weld, cables and turnbuckles."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import Any

import numpy as np
from mathutils import Vector

from .. import metals
from ..shapes import Flat, Point, circle, group, loft, plate, put, rod, soften, tube, turned


def drilled(thing: Any, cutters: Sequence[Any]) -> Any:
    """Cut ``cutters`` (not seen themselves) out of ``thing``; both must share a parent, or have none."""
    for cutter in cutters:
        cut = thing.modifiers.new("hole", "BOOLEAN")
        cut.operation = "DIFFERENCE"
        cut.object = cutter
        cutter.hide_render = True
    return thing


def seam(path: Sequence[Point], radius: float = 0.0022, closed: bool = False, step: float = 0.0016) -> Any:
    """A weld bead along ``path``, rippled like laid coins."""
    points = [Vector(p) for p in (*path, path[0])] if closed else [Vector(p) for p in path]
    lengths = np.cumsum([0.0, *((b - a).length for a, b in itertools.pairwise(points))])
    count = max(8, int(lengths[-1] / step * 3))
    chance = np.random.default_rng(count)
    thing = tube([tuple(p) for p in points], radius, metals.weld(), sides=4)
    spline = thing.data.splines[0]
    spline.points.add(max(0, count - len(spline.points)))
    for k, point in enumerate(spline.points):
        s = lengths[-1] * k / (len(spline.points) - 1)
        j = min(int(np.searchsorted(lengths, s, side="right")) - 1, len(points) - 2)
        t = (s - lengths[j]) / max(1e-9, lengths[j + 1] - lengths[j])
        place = points[j].lerp(points[j + 1], float(t))
        point.co = (*place, 1)
        point.radius = 1.0 + (0.16, 0.0, -0.14)[k % 3] + 0.07 * float(chance.standard_normal())
    return thing


def saddle(node: Point, main: Point, branch: Point, big: float, small: float) -> list[Point]:
    """Where a branch tube leaves a main tube: the closed line of their joint. Directions need not be unit."""
    m, d = Vector(main).normalized(), Vector(branch).normalized()
    u = d.cross(Vector((0.13, 0.71, 0.69))).normalized()
    v = d.cross(u)
    line = []
    for k in range(40):
        a = 2 * math.pi * k / 40
        off = small * (math.cos(a) * u + math.sin(a) * v)
        dp, op = d - d.dot(m) * m, off - off.dot(m) * m
        qa, qb, qc = dp.dot(dp), 2 * dp.dot(op), op.dot(op) - big * big
        root = max(0.0, qb * qb - 4 * qa * qc)
        t = (-qb + math.sqrt(root)) / (2 * qa)
        line.append(tuple(Vector(node) + t * d + off))
    return line


def bolt(radius: float, shank: float, material: Any | None = None) -> Any:
    """A hexagon-headed bolt, head below z = 0, shank up along local z with thread at its end."""
    steel = material or metals.steel(0.5, 0.28)
    head = plate(
        [
            (1.75 * radius * math.cos(k * math.pi / 3), 1.75 * radius * math.sin(k * math.pi / 3))
            for k in range(6)
        ],
        radius * 1.1,
        steel,
        at=(0, 0, -radius * 0.55),
        edge=radius * 0.12,
    )
    thread = [(radius * (0.93 if k % 2 else 1.0), shank - radius * 1.8 + k * radius * 0.1) for k in range(18)]
    return group(
        [head, rod(radius, shank - radius * 1.8, steel), turned([*thread, (0, shank)], steel, sides=24)]
    )


def nut(
    radius: float, at: Point, castle: bool = False, turn: Point = (0, 0, 0), material: Any | None = None
) -> Any:
    """A hexagon nut along local z from its foot, with a washer under it."""
    steel = material or metals.brass((0.50, 0.42, 0.24))
    washer = turned(
        [(radius, 0), (radius * 2.1, 0), (radius * 2.1, radius * 0.28), (radius, radius * 0.28)],
        metals.steel(0.55, 0.3),
    )
    ring = [
        (1.72 * radius * math.cos(k * math.pi / 3), 1.72 * radius * math.sin(k * math.pi / 3))
        for k in range(6)
    ]
    tall = radius * (1.05 if castle else 1.4)
    parts = [
        washer,
        plate(
            ring,
            tall,
            steel,
            holes=[circle(radius * 0.98)],
            at=(0, 0, radius * 0.28 + tall / 2),
            edge=radius * 0.12,
        ),
    ]
    if castle:
        for k in range(6):
            a = (k + 0.5) * math.pi / 3
            wedge = [
                (r * math.cos(a + s * w), r * math.sin(a + s * w))
                for r, w, s in (
                    (radius * 1.0, 0.36, -1),
                    (radius * 1.45, 0.40, -1),
                    (radius * 1.45, 0.40, 1),
                    (radius * 1.0, 0.36, 1),
                )
            ]
            parts.append(
                plate(
                    wedge, radius * 0.7, steel, at=(0, 0, radius * 0.28 + tall + radius * 0.34), edge=0.0001
                )
            )
    return group(parts, at, turn, "nut")


def angle_bracket(
    long: float = 0.058,
    short: float = 0.046,
    wide: float = 0.034,
    thick: float = 0.0035,
    material: Any | None = None,
    at: Point = (0, 0, 0),
    turn: Point = (0, 0, 0),
) -> Any:
    """An L-bent bracket: one leg flat along +x, one upright along +z, a hole in each; local y across."""
    steel = material or metals.steel(0.34, 0.42)
    outer, inner, bend = 0.007, 0.0035, 7
    arc = [math.pi + math.pi / 2 * k / bend for k in range(bend + 1)]
    ring: list[Flat] = [(0, long)]
    ring += [(outer + outer * math.cos(a), outer + outer * math.sin(a)) for a in arc]
    ring += [(short, 0), (short, thick)]
    ring += [
        (thick + inner + inner * math.cos(a), thick + inner + inner * math.sin(a)) for a in reversed(arc)
    ]
    ring += [(thick, long)]
    rows = [[(x, y, z) for x, z in ring] for y in (-wide / 2, wide / 2)]
    blank = loft(rows, steel, caps=True, smooth=False)
    up = put(rod(0.0051, 0.02, steel), (-0.008, 0, long * 0.66), (0, 90, 0))
    flat = put(rod(0.0051, 0.02, steel), (short * 0.64, 0, -0.008))
    drilled(blank, (up, flat))
    soften(blank, 0.0005)
    return group([blank, up, flat], at, turn, "bracket")


def cable(path: Sequence[Point], radius: float = 0.0016, lay: float = 0.016) -> list[Any]:
    """A stranded steel cable along ``path``: six strands laid round a core."""
    steel = metals.steel(0.45, 0.35)
    points = [Vector(p) for p in path]
    lengths = np.cumsum([0.0, *((b - a).length for a, b in itertools.pairwise(points))])
    count = max(12, int(lengths[-1] / lay * 14))
    strands: list[list[Point]] = [[] for _ in range(6)]
    side = Vector((0, 0, 1))
    for k in range(count + 1):
        s = lengths[-1] * k / count
        j = min(max(int(np.searchsorted(lengths, s, side="right")) - 1, 0), len(points) - 2)
        t = (s - lengths[j]) / max(1e-9, lengths[j + 1] - lengths[j])
        ahead = (points[j + 1] - points[j]).normalized()
        u = (
            (side - side.dot(ahead) * ahead).normalized()
            if abs(side.dot(ahead)) < 0.95
            else ahead.cross(Vector((1, 0, 0))).normalized()
        )
        v = ahead.cross(u)
        for n in range(6):
            a = 2 * math.pi * (s / lay + n / 6)
            strands[n].append(
                tuple(
                    points[j].lerp(points[j + 1], float(t))
                    + 0.62 * radius * (math.cos(a) * u + math.sin(a) * v)
                )
            )
    return [tube(strand, radius * 0.44, steel, sides=3) for strand in strands]


def loop_end(reach: float, radius: float = 0.0016) -> list[Any]:
    """A cable end round a thimble at the origin, out along +x to ``reach`` through two crimped sleeves."""
    steel, copper = metals.steel(0.5, 0.3), metals.brass((0.55, 0.24, 0.12))
    eye = [
        (0.0085 * math.cos(a) - 0.001, 0.0085 * math.sin(a), 0.0)
        for a in np.linspace(0.75, 2 * math.pi - 0.75, 22)
    ]
    drop = [(0.024, 0.0013, 0.0), *eye, (0.024, -0.0013, 0.0)]
    parts = cable(
        [(0.026, 0.0018, 0.0), *[(x, y * 1.12, z) for x, y, z in drop[1:-1]], (0.026, -0.0018, 0.0)]
    )
    parts.append(tube([(x * 0.86, y * 0.86, z) for x, y, z in drop], 0.0016, steel, sides=3))
    ring = [
        (0.0046 * math.cos(a) * 0.62, 0.0046 * math.sin(a))
        for a in np.linspace(0, 2 * math.pi, 20, endpoint=False)
    ]
    for x0 in (0.026, 0.045):
        rows = []
        for k in range(15):
            q = 0.90 + 0.13 * (abs((k % 5) - 2) / 2)
            rows.append([(x0 + 0.015 * k / 14, b * q, a * q * 1.15) for a, b in ring])
        parts.append(loft(rows, copper, caps=True))
    parts += cable([(0.026, 0.0016, 0), (0.066, 0.0016, 0), (0.08, 0.0, 0), (reach, 0, 0)], radius)
    parts += cable([(0.026, -0.0018, 0), (0.064, -0.0018, 0)], radius)
    return parts


def turnbuckle(reach: float = 0.35) -> Any:
    """A brass barrel between two eye ends and two cables, locked by a double wrap of wire; along local x."""
    gold, steel, wire = metals.brass((0.66, 0.47, 0.19)), metals.steel(0.42, 0.3), metals.steel(0.6, 0.25)
    half, shank = 0.029, 0.056
    profile = [
        (0, -half),
        (0.0036, -half),
        (0.0046, -half + 0.001),
        (0.0048, -0.012),
        (0.0062, -0.008),
        (0.0062, 0.008),
        (0.0048, 0.012),
        (0.0046, half - 0.001),
        (0.0036, half),
        (0, half),
    ]
    parts = [turned(profile, gold, turn=(0, 90, 0), sides=36)]
    hole = rod(0.0015, 0.0128, metals.plastic((0.01, 0.01, 0.01)), (0, 0, -0.0064))
    parts.append(hole)
    for s in (-1, 1):
        parts.append(put(rod(0.0026, shank - half, steel), (s * (half - 0.002), 0, 0), (0, 90 * s, 0)))
        parts.append(
            turned(
                [
                    (0.0064 + 0.0024 * math.cos(a), 0.0022 * math.sin(a))
                    for a in np.linspace(0, 2 * math.pi, 13)
                ],
                steel,
                at=(s * (shank + 0.006), 0, 0),
                turn=(0, 0, 0),
            )
        )
        end = group(loop_end(reach, 0.0016), (s * (shank + 0.013), 0, 0), (90, 0, 0 if s > 0 else 180))
        parts.append(end)
    for phase in (0.0, math.pi):
        for s in (-1, 1):
            lay = []
            for k in range(30):
                t = k / 29
                x = s * (0.001 + (shank - 0.004) * t)
                r = float(
                    np.interp(
                        abs(x),
                        (0, 0.008, 0.012, half, half + 0.001),
                        (0.0066, 0.0066, 0.0053, 0.0051, 0.0042),
                    )
                )
                a = phase + math.pi / 2 + s * 2.4 * math.pi * t * 0.55
                lay.append((x, r * math.cos(a), r * math.sin(a)))
            parts.append(tube(lay, 0.0006, wire, sides=3))
    for s in (-1, 1):
        coil = [
            (
                s * (half + 0.007 + 0.0011 * k / 12),
                0.0031 * math.cos(k * math.pi / 6),
                0.0031 * math.sin(k * math.pi / 6),
            )
            for k in range(62)
        ]
        parts.append(tube(coil, 0.0006, wire, sides=3))
    return group(parts, name="turnbuckle")

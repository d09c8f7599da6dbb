"""Frames of the tail surfaces."""

from __future__ import annotations

import itertools
import math
import random
from typing import Any

from .. import camera, clutter, metals, room, stores, wood
from ..models import frame
from ..shapes import Flat, Point, box, group, put, rod, tube

RUDDER: list[Flat] = [
    (0.0, 0.0),
    (0.22, 0.015),
    (0.46, 0.10),
    (0.62, 0.30),
    (0.66, 0.55),
    (0.60, 0.82),
    (0.45, 1.06),
    (0.22, 1.22),
    (0.0, 1.26),
]
FIN: list[Flat] = [(0.0, 0.0), (0.10, 0.22), (0.24, 0.52), (0.40, 0.74), (0.56, 0.86), (0.70, 0.90)]
TAILPLANE: list[Flat] = [(0.02, 0.0), (0.03, 0.40), (0.08, 0.85), (0.18, 1.12), (0.36, 1.25), (0.50, 1.27)]
ELEVATOR: list[Flat] = [
    (0.0, 1.27),
    (0.14, 1.26),
    (0.30, 1.12),
    (0.38, 0.85),
    (0.42, 0.40),
    (0.36, 0.10),
    (0.20, 0.02),
    (0.0, 0.02),
]


def _edge_at(line: list[Flat], y: float) -> float:
    best = 0.0
    for (x0, y0), (x1, y1) in itertools.pairwise(line):
        if min(y0, y1) <= y <= max(y0, y1) and y0 != y1:
            best = max(best, x0 + (x1 - x0) * (y - y0) / (y1 - y0))
    return best


def surface(
    line: list[Flat], post: float, ribs: list[float], steel: Any, *, lead: bool = False, braces: bool = True
) -> Any:
    """A tube frame in the local xy plane: a straight post at x = ``post``, a bent edge, ribs across."""
    ys = [y for _, y in line]
    parts = [
        tube([(post, min(ys), 0), (post, max(ys), 0)], 0.0125, steel, sides=10),
        tube([(x, y, 0) for x, y in line], 0.0080, steel, curved=True),
    ]
    beads: list[Point] = [(post, min(ys), 0), (post, max(ys), 0)]
    for y in ribs:
        edge = _edge_at(line, y) if not lead else _lead_at(line, y)
        parts += [tube([(post, y, z), (edge, y, z * 0.35)], 0.0050, steel) for z in (-0.0085, 0.0085)]
        beads += [
            (edge, y, 0),
            (post + (0.012 if edge > post else -0.012), y, 0.008),
            (post + (0.012 if edge > post else -0.012), y, -0.008),
        ]
    if braces:
        for a, b in itertools.pairwise(ribs):
            edge = _edge_at(line, b) if not lead else _lead_at(line, b)
            parts.append(tube([(post, a, 0), (post + (edge - post) * 0.85, b, 0)], 0.0048, steel))
    parts += [frame.weld_at(p, 0.0095) for p in beads]
    return group(parts, name="surface")


def _lead_at(line: list[Flat], y: float) -> float:
    for (x0, y0), (x1, y1) in itertools.pairwise(line):
        if min(y0, y1) <= y <= max(y0, y1) and y0 != y1:
            return x0 + (x1 - x0) * (y - y0) / (y1 - y0)
    return line[0][0]


def _hinges(post: float, ys: list[float], side: float) -> list[Any]:
    steel = metals.steel(0.4)
    return [
        box((0.05, 0.014, 0.004), steel, (post + side * 0.028, y + d, 0)) for y in ys for d in (-0.012, 0.012)
    ]


def rudder_frame() -> None:
    """The rudder frame hung on a plain wall (upright)."""
    room.workshop("dull")
    steel = metals.raw_tube()
    parts = [surface(RUDDER, 0.0, [0.16, 0.46, 0.76, 1.04], steel), *_hinges(0.0, [0.12, 0.62, 1.12], -1)]
    parts.append(box((0.16, 0.09, 0.004), steel, (0.0, 0.06, 0.0), (90, 0, 0)))
    r = group(parts)
    r.rotation_euler = (math.radians(90), 0, math.radians(-90))
    r.location = (4.955, 2.95, 0.72)
    nail = metals.steel()
    for y in (2.945, 2.49):
        top = 0.72 + (1.262 if y > 2.9 else 1.055)
        put(rod(0.004, 0.09, nail), (5.0, y, top + 0.012), (0, -90, 0))
    wire = metals.steel(0.55)
    tube([(4.95, 2.95, 1.72), (4.945, 2.95, 2.02)], 0.0012, wire)
    box((0.5, 1.2, 0.04), wood.pine("y"), (4.72, 2.65, 0.56))
    for y in (2.15, 3.15):
        box((0.45, 0.06, 0.54), wood.pine("z"), (4.72, y, 0.27))
    stores.tin(random.Random(5), (4.72, 2.95, 0.58))
    clutter.mug((4.62, 2.35, 0.58), (0.12, 0.18, 0.28))
    clutter.rag((4.68, 2.62, 0.58))
    camera.aim((3.02, 2.42, 1.50), (4.95, 2.66, 1.26), 26, focus=(4.95, 2.7, 1.3))


def laid_out() -> None:
    """Fin, tailplane and elevators on the floor in their places; from above."""
    room.workshop("day")
    steel = metals.raw_tube()
    z = 0.014
    for s in (-1, 1):
        plane = surface(TAILPLANE, 0.50, [0.10, 0.42, 0.74, 1.02], steel, lead=True)
        lift = surface(ELEVATOR, 0.0, [0.14, 0.42, 0.74, 1.02], steel)
        for thing, x in ((plane, -0.28), (lift, 0.30)):
            # Mirrored by turning it over: a frame is the same on both faces.
            put(thing, (x, s * 0.16, z))
            if s < 0:
                thing.rotation_euler = (math.pi, 0, 0)
    fin = surface(FIN, 0.70, [0.20, 0.45, 0.68], steel, lead=True)
    root = tube([(0.0, 0.0, 0.0), (0.70, 0.0, 0.0)], 0.0085, steel)
    tilt = group([fin, root])
    put(tilt, (-1.32, -0.42, z), (0, 0, 8))
    room.stool((1.6, 1.3, 0))
    chalk = metals.paint((0.72, 0.71, 0.68), 0.95)
    tube([(-0.6, 0.0, 0.0008), (1.0, 0.0, 0.0008)], 0.0022, chalk, sides=2)
    clutter.tape((0.98, 0.25, 0), 20)
    put(clutter.steel_rule(500), (0.45, -1.62, 0), (0, 0, 8))
    clutter.rag((-0.9, 1.15, 0), (0.13, 0.16, 0.2))
    camera.aim((-0.42, -1.72, 2.30), (-0.22, -0.10, 0.0), 25, focus=(0, 0, 0))

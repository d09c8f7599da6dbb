"""The aeroplane coming together: firewall, plank, struts, scales."""

from __future__ import annotations

import math
import random
from typing import Any

from .. import camera, clutter, metals, room, stores, wood
from ..models import fitting, frame, power, wing
from ..models.rib import FRONT, foil
from ..shapes import box, group, loft, plate, put, rod, rounded, tube
from .fuselage import standing

CREAM = (0.74, 0.69, 0.55)


def _stand_in() -> list[Any]:
    red = metals.paint((0.62, 0.03, 0.02), 0.28)
    parts: list[Any] = [
        put(plate(rounded(0.34, 0.30, 0.012), 0.012, red, edge=0.002), (-0.0235, 0.0, 0.34), (90, 0, 90))
    ]
    for y, z in [(s * 0.15, 0.34 + t * 0.13) for s in (-1, 0, 1) for t in (-1, 1)] + [
        (s * 0.15, 0.34) for s in (-1, 1)
    ]:
        parts.append(put(fitting.bolt(0.004, 0.012), (-0.0300, y, z), (0, 90, 0)))
    return parts


def firewall() -> None:
    """The firewall on the bare frame, a red plate over its opening."""
    room.workshop("day")
    grey = metals.primer("grey")
    parts = [*frame.frame(grey), *frame.undercarriage(grey), *frame.firewall(), *_stand_in()]
    standing(parts, 0.05, -1.05, 76)
    room.stool((-1.5, 0.3, 0))
    put(clutter.spanner((0, 0, 0)), (-1.5, 0.3, 0.649), (0, 0, 40))
    stores.tin(random.Random(4), (1.3, 1.2, 0))
    camera.aim((-0.72, -2.72, 1.42), (0.05, -0.75, 1.06), 26, focus=(0, -1.1, 1.1))


def _finished(glass: bool = True, nose: bool = True) -> list[Any]:
    cloth, grey = wood.fabric("painted", CREAM), metals.primer("grey")
    parts = [
        *frame.frame(grey, False),
        *frame.undercarriage(metals.paint((0.08, 0.11, 0.20), 0.3)),
        *frame.fabric(cloth, 1.60),
        *frame.front_sides(cloth),
        *power.tail_surfaces(cloth),
    ]
    if glass:
        parts += power.cabin_glass()
    parts += [power.cowling(metals.paint(CREAM, 0.25))] if nose else [*frame.firewall()]
    half = frame.TOP_HALF + 0.055
    centre = wing.skin(1, 0.0, 2 * half, cloth, sag=0.0)
    x, z = frame.FRONT_SPAR
    parts.append(group(centre, (x - FRONT, -half, z - sum(foil(FRONT)) / 2)))
    return parts


def struts() -> None:
    """The left wing on, both lift struts in, a trestle under the tip."""
    room.hall("day")
    parts = [
        *_finished(glass=False, nose=False),
        *power.mount(metals.primer("grey")),
        power.placed_wing(-1, "painted", CREAM),
    ]
    strut = metals.paint((0.08, 0.11, 0.20), 0.3)
    parts += power.struts(-1, strut)
    standing(parts, 0.9, 0.6, 58)
    a = math.radians(58)
    tip = (0.9 + 0.95 * math.cos(a) + 4.15 * math.sin(a), 0.6 + 0.95 * math.sin(a) - 4.15 * math.cos(a))
    high = 1.63
    room.trestle((tip[0], tip[1], 0), 0.9, high, 58)
    put(
        box((0.5, 0.12, 0.05), wood.cloth((0.22, 0.2, 0.2)), edge=0.02),
        (tip[0], tip[1], high + 0.02),
        (0, 0, 58),
    )
    room.stool((3.4, -1.3, 0))
    clutter.tape((3.4, -1.3, 0.645), 30)
    camera.aim((-0.75, -3.05, 1.02), (2.05, -0.45, 1.16), 24, focus=(1.6, -0.9, 1.2))


def plank() -> None:
    """The engine on its mount, and the plank where the propeller will be."""
    room.hall("day")
    grey = metals.primer("grey")
    parts = [
        *_finished(glass=True, nose=False),
        *power.mount(metals.paint((0.08, 0.11, 0.20), 0.3)),
        power.engine(),
        *power.plank(),
    ]
    parts += (
        [power.placed_wing(s, "painted", CREAM, False) for s in (-1, 1)]
        + power.struts(-1, grey)
        + power.struts(1, grey)
    )
    standing(parts, 0.4, 0.4, 62)
    for s in (-1, 1):
        box((0.11, 0.22, 0.09), wood.pine(), (0.621 + s * 0.874, 0.816 - s * 0.464, 0.045), (0, 0, 62))
    room.stool((-1.3, 0.6, 0))
    clutter.rag((-1.3, 0.6, 0.645))
    camera.aim((-1.62, -2.22, 1.45), (0.22, 0.0, 1.16), 26, focus=(0.0, -0.4, 1.2))


def _scale(x: float, y: float, z: float, turn: float = 0.0) -> None:
    pad, dark = metals.paint((0.42, 0.44, 0.45), 0.35), metals.rubber()
    put(plate(rounded(0.42, 0.42, 0.02), 0.035, pad, edge=0.004), (x, y, z + 0.03), (0, 0, turn))
    put(plate(rounded(0.38, 0.38, 0.015), 0.004, dark), (x, y, z + 0.049), (0, 0, turn))
    put(plate(rounded(0.40, 0.40, 0.02), 0.012, dark), (x, y, z + 0.006), (0, 0, turn))


def weighing() -> None:
    """The whole aeroplane on three scales, tail up, doors shut; from the side."""
    room.hall("day")
    parts = _finished()
    strut = metals.paint((0.08, 0.11, 0.20), 0.3)
    for s in (-1, 1):
        parts += [power.placed_wing(s, "painted", CREAM), *power.struts(s, strut)]
    blade = wood.laminate("y")
    for s in (-1, 1):
        rows = []
        for t in range(12):
            d = 0.02 + 0.86 * t / 11
            c = 0.075 + 0.05 * math.sin(math.pi * min(1, t / 9)) - 0.05 * max(0, t - 8) / 3
            tw = math.radians(62 - 44 * t / 11)
            rows.append(
                [
                    (
                        -0.905 - 0.02 * math.cos(k) - c * 0.45 * math.sin(k) * math.cos(tw),
                        c * 0.5 * math.sin(k) * math.sin(tw),
                        0.345 + s * d,
                    )
                    for k in [2 * math.pi * j / 16 for j in range(16)]
                ]
            )
        parts.append(loft(rows, blade, caps=True))
    parts.append(put(rod(0.09, 0.13, metals.aluminium(), edge=0.06), (-0.86, 0, 0.345), (0, -90, 0)))
    rotation, x0, y0 = -6.0, -2.3, 0.4
    inner = group(parts)
    height = 0.715 + 0.051
    inner.location = (0, 0, height)
    group([inner], (x0, y0, 0), (0, 0, rotation))
    a = math.radians(rotation)

    def world(x: float, y: float) -> tuple[float, float]:
        return x0 + x * math.cos(a) - y * math.sin(a), y0 + x * math.sin(a) + y * math.cos(a)

    for y in (-0.99, 0.99):
        _scale(*world(frame.AXLE[0], y), 0.0, rotation)
    tx, ty = world(4.83, 0.0)
    tail_low = height + 0.02 - 0.075
    room.trestle((tx, ty, 0), 0.8, tail_low - 0.056 - 0.02, rotation + 90)
    box((0.46, 0.46, 0.02), wood.birch(), (tx, ty, tail_low - 0.066), (0, 0, rotation))
    _scale(tx, ty, tail_low - 0.053, rotation)
    end = (-0.6, -2.6)
    for wheel in (-0.99, 0.99):
        p = world(frame.AXLE[0], wheel)
        tube(
            [
                (p[0], p[1], 0.012),
                ((p[0] + end[0]) / 2 + 0.3, (p[1] + end[1]) / 2, 0.006),
                (end[0], end[1], 0.006),
            ],
            0.004,
            metals.rubber(),
            curved=True,
        )
    box((0.20, 0.14, 0.06), metals.plastic((0.05, 0.05, 0.06)), (-0.55, -2.62, 0.03), (0, 0, 10))
    camera.aim((-2.6, -6.6, 1.75), (-0.15, 0.3, 0.98), 24, focus=(-1.0, -0.8, 1.1), stop=10)

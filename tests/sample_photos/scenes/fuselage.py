"""The fuselage: its side on the table, the frame, on its wheels, covered."""

from __future__ import annotations

import math
import random
from typing import Any

from .. import camera, clutter, metals, room, stores, wood
from ..models import frame
from ..shapes import box, group, put, rod

STANCE = math.degrees(math.atan2(0.715 - 0.055, 4.83 - frame.AXLE[0]))
"""How far the tail hangs below the line of flight when all three wheels stand on the floor."""


def standing(parts: list[Any], x: float, y: float, turn: float) -> Any:
    """Stand the aeroplane's parts on three wheels, the firewall near (x, y), turned by ``turn`` degrees."""
    inner = group(parts)
    a = math.radians(STANCE)
    ax, _, az = frame.AXLE
    inner.rotation_euler = (0, a, 0)
    # The main wheels' lowest point after the rotation decides the height.
    low = -ax * math.sin(a) + az * math.cos(a) - 0.215
    inner.location = (0, 0, -low)
    return group([inner], (x, y, 0), (0, 0, turn))


def side_on_table() -> None:
    """One side truss tacked on the big table between its blocks."""
    room.workshop("day")
    top = 0.80
    box((5.3, 1.3, 0.03), metals.paint((0.38, 0.31, 0.22), 0.7), (0.0, 0.1, top - 0.015), edge=0.002)
    steel_leg = metals.paint((0.10, 0.14, 0.17), 0.4)
    for x in (-2.4, -0.8, 0.8, 2.4):
        for y in (-0.42, 0.62):
            box((0.06, 0.06, top - 0.03), steel_leg, (x, y, (top - 0.03) / 2))
        box((0.05, 1.06, 0.05), steel_leg, (x, 0.1, 0.2))
    for y in (-0.42, 0.62):
        box((4.9, 0.05, 0.05), steel_leg, (0, y, top - 0.06))
    flat = []
    for a, b, r in frame.side_tubes(1):
        flat.append(((a[0], a[2], 0.0), (b[0], b[2], 0.0), r))
    group(frame.weldment(flat, metals.raw_tube()), (-2.25, -0.2, top + 0.013))
    block, screw = wood.ash(), metals.steel()
    for k, x in enumerate(frame.STATIONS):
        for z, s in ((frame.LOW[k], -1), (frame.HIGH[k], 1)):
            for d in (-0.09, 0.09):
                for side in (1, -1):
                    px, py = -2.25 + x + d, -0.2 + z + side * 0.030
                    slope = (
                        0.0
                        if k == 0
                        else math.degrees(
                            math.atan2(
                                (frame.LOW[k] - frame.LOW[k - 1])
                                if s < 0
                                else (frame.HIGH[k] - frame.HIGH[k - 1]),
                                x - frame.STATIONS[k - 1],
                            )
                        )
                    )
                    if side * s < 0 and k % 2 == 0 and d > 0:
                        continue
                    box(
                        (0.05, 0.032, 0.024),
                        block,
                        (px, py + d * math.tan(math.radians(slope)), top + 0.012),
                        (0, 0, slope),
                    )
                    put(rod(0.004, 0.003, screw), (px, py + d * math.tan(math.radians(slope)), top + 0.024))
    put(clutter.steel_rule(500), (-0.2, -0.40, top), (0, 0, 3))
    clutter.file((-0.95, -0.40, top), 170)
    clutter.rag((1.0, -0.40, top), (0.16, 0.17, 0.2))
    clutter.tape((0.55, 0.66, top), 100)
    clutter.drawing_sheet("TN-53-1001", "FUSELAGE SIDE", (1.6, 0.58, top), -8, 0.5)
    room.stool((-0.6, 1.7, 0))
    camera.aim((-2.15, -1.75, 1.95), (-0.35, 0.05, 0.72), 24, focus=(-1.2, -0.1, top))


def _garage_things() -> None:
    chance = random.Random(12)
    stores.bin_box(chance, (-2.6, 2.6, 0))
    room.stool((2.6, 1.6, 0))


def welded_frame() -> None:
    """The complete frame on two trestles, seen from the front."""
    room.workshop("dull")
    _garage_things()
    group(frame.frame(), (-1.75, 0.15, 0.90), (0, 0, -4))
    room.trestle((-0.95, 0.10, 0), 1.1, 0.845, 86)
    room.trestle((1.72, -0.10, 0), 0.9, 1.0, 86)
    put(clutter.f_clamp(0.3, 0.1), (-0.95, 0.48, 0.845), (0, -90, 20))
    camera.aim((-2.85, -2.05, 1.72), (-0.05, 0.15, 1.08), 24, focus=(-1.2, -0.2, 1.1))


def on_wheels() -> None:
    """The bare frame on its own wheels for the first time."""
    room.workshop("dull")
    _garage_things()
    grey = metals.primer("grey")
    standing([*frame.frame(grey), *frame.undercarriage(grey)], -1.85, -0.1, 6)
    chock = wood.pine()
    box((0.10, 0.22, 0.08), chock, (-1.285, -1.035, 0.04), (0, 0, 6))
    camera.aim((-3.15, -2.55, 1.50), (-0.15, 0.0, 0.76), 24, focus=(-1.2, -0.5, 0.9))


def covered() -> None:
    """Covered from the cockpit aft, the front still bare tubes; from behind."""
    room.workshop("evening")
    grey = metals.primer("grey")
    cloth = wood.fabric("bare")
    parts = [
        *frame.frame(grey, False),
        *frame.undercarriage(grey),
        *frame.fabric(cloth),
        frame.varnished_floor(),
    ]
    standing(parts, 0.55, 2.9, 246)
    room.stool((1.9, 0.2, 0))
    clutter.bottle((1.85, 0.2, 0.645), ("CEMENT",), (0.5, 0.46, 0.40))
    clutter.rag((2.0, 0.1, 0.645), (0.5, 0.48, 0.44), 0.15)
    camera.aim((0.62, -2.75, 1.62), (-0.32, 0.60, 0.68), 24, focus=(-0.5, -0.5, 0.8))

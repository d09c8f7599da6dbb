"""Ribs: in the jig, in stacks, and one gusset close up."""

from __future__ import annotations

import random

from .. import camera, clutter, room, stores, wood
from ..models import rib
from ..room import BENCH
from ..shapes import box, put, rod


def in_jig() -> None:
    """Rib 1 in the jig."""
    room.workshop("day")
    room.bench(2.4)
    top = BENCH + 0.019
    rib.jig((-0.70, -0.10, top))
    rib.rib((-0.70, -0.10, top + rib.WIDE / 2 + 0.003))
    clutter.mug((0.62, 0.30, BENCH), (0.10, 0.16, 0.22))
    clutter.glue_pot((0.30, 0.29, BENCH))
    clutter.bottle((0.14, 0.34, BENCH), ("EPOXY", "A  5 kg"))
    clutter.bottle((0.02, 0.35, BENCH), ("EPOXY", "B"), (0.25, 0.24, 0.22))
    put(clutter.steel_rule(500), (-0.30, 0.26, BENCH), (0, 0, 4))
    clutter.pencil((-0.62, 0.29, BENCH), -25)
    clutter.plane((0.98, -0.05, BENCH), 70)
    clutter.shavings((0.95, -0.2, BENCH), 9, 0.06)
    for k in range(4):
        clutter.offcut((-0.95 + 0.05 * k, -0.32 + 0.02 * k, BENCH), (0.14 - 0.02 * k, 0.02, 0.01), 20 * k)
    clutter.drawing_sheet("TN-57-1310", "WING RIB", (-0.80, 0.27, BENCH), 6, 0.40)
    camera.aim((-0.55, -0.88, BENCH + 0.74), (0.0, 0.0, BENCH - 0.02), 25)


def stack_of_eight() -> None:
    """Eight ribs on edge, leaning like books."""
    room.workshop("dull")
    room.bench(2.2)
    chance = random.Random(4)
    lean = 13
    for k in range(8):
        tip = chance.uniform(-0.012, 0.012)
        rib.rib(
            (-0.66 + tip, -0.15 + 0.034 * k, BENCH + 0.019),
            (90 - lean - 0.7 * k, 0, chance.uniform(-0.5, 0.5)),
        )
    box((0.24, 0.10, 0.14), wood.pine(), (0.0, 0.185, BENCH + 0.07), edge=0.002)
    box((0.10, 0.08, 0.09), wood.ash(), (0.50, 0.19, BENCH + 0.045), edge=0.002)
    clutter.tape((0.83, -0.24, BENCH), 30)
    put(clutter.spring_clamp(), (-0.62, -0.30, BENCH + 0.01), (0, 0, 25))
    put(clutter.spring_clamp((0.05, 0.05, 0.06)), (-0.80, -0.26, BENCH + 0.01), (0, 0, 140))
    clutter.mug((0.92, 0.20, BENCH), (0.50, 0.16, 0.10))
    clutter.offcut((0.35, -0.32, BENCH), (0.2, 0.012, 0.012), 8)
    camera.aim(
        (-1.02, -0.64, BENCH + 0.52), (-0.08, 0.05, BENCH + 0.03), 27, focus=(-0.5, -0.1, BENCH + 0.05)
    )


def stack_of_sixteen() -> None:
    """Sixteen ribs on two broomsticks from the wall."""
    room.workshop("evening")
    chance = random.Random(6)
    wall_x, y0, z = 5.0, 3.4, 1.45
    for x in (rib.FRONT, rib.REAR):
        high = rib.foil(x)[0] - rib.CAP - 0.012
        put(rod(0.0115, 1.30, wood.ash("z")), (wall_x, y0 - x, z + high), (0, -90, 0))
        box((0.03, 0.10, 0.14), wood.pine(), (wall_x - 0.015, y0 - x, z + high), edge=0.003)
    for k in range(16):
        sway = chance.uniform(-0.9, 0.9)
        rib.rib((wall_x - 0.14 - 0.058 * k, y0, z), (90, sway, -90 + chance.uniform(-1.2, 1.2)))
    box((0.5, 1.5, 0.04), wood.pine("y"), (4.72, 2.7, 0.86))
    for y in (2.05, 3.35):
        box((0.45, 0.06, 0.84), wood.pine("z"), (4.72, y, 0.42))
    stores.tin(chance, (4.75, 3.2, 0.88))
    stores.tin(chance, (4.8, 2.95, 0.88))
    stores.bin_box(chance, (4.72, 2.35, 0.88))
    clutter.mug((4.6, 2.75, 0.88))
    camera.aim((2.85, 1.72, 1.66), (4.35, 2.74, 1.40), 28, focus=(4.0, 2.6, z))


def gusset() -> None:
    """Rib 11: a gusset that stands off its stick."""
    room.workshop("day")
    room.bench()
    _, nodes = rib.truss()
    index = next(i for i, (x, up) in enumerate(nodes) if abs(x - 0.50) < 1e-6 and not up)
    x0 = -0.50
    rib.rib((x0, 0.0, BENCH + rib.WIDE / 2 + 0.0017), lifted=index)
    y = rib.foil(0.50)[1]
    put(clutter.steel_rule(150), (x0 + 0.62, y - 0.030, BENCH), (0, 0, 4))
    clutter.pencil((x0 + 0.36, y - 0.05, BENCH), 168)
    camera.aim(
        (x0 + 0.455, y - 0.105, BENCH + 0.050),
        (x0 + 0.502, y + 0.012, BENCH + 0.009),
        26,
        focus=(x0 + 0.50, y, BENCH + 0.012),
        stop=9,
    )

"""Controls, the tank, the instrument panel and the seats, on the bench or the floor."""

from __future__ import annotations

import math
import random
from typing import Any

import numpy as np

from .. import camera, clutter, metals, prints, room, stores, wood
from ..models import fitting, frame
from ..room import BENCH
from ..shapes import Point, box, circle, group, loft, plate, put, rod, rounded, sheet, thicken, tube, turned


def sticks() -> None:
    """Both sticks on the torque tube."""
    room.workshop("day")
    room.bench(2.2)
    grey, _steel = metals.primer("grey"), metals.steel(0.45)
    z = BENCH + 0.075
    parts: list[Any] = [tube([(-0.62, 0, z), (0.62, 0, z)], 0.016, grey, sides=12)]
    for x in (-0.56, 0.56):
        parts.append(box((0.05, 0.11, 0.022), metals.aluminium(), (x, 0, BENCH + 0.011), edge=0.002))
        parts.append(
            put(
                plate(
                    [
                        (-0.038, 0.0),
                        (0.038, 0.0),
                        *[
                            (0.032 * math.cos(a), 0.055 + 0.032 * math.sin(a))
                            for a in np.linspace(0, math.pi, 15)
                        ],
                    ],
                    0.03,
                    metals.aluminium(),
                ),
                (x, 0, BENCH + 0.02),
                (90, 0, 90),
            )
        )
        parts.append(
            put(
                turned(
                    [(0.0165, -0.019), (0.026, -0.019), (0.026, 0.019), (0.0165, 0.019)],
                    metals.brass(),
                    sides=32,
                ),
                (x, 0, z),
                (0, 90, 0),
            )
        )
        parts += [
            put(fitting.bolt(0.004, 0.01), (x, y, BENCH + 0.0265), (180, 0, 0)) for y in (-0.043, 0.043)
        ]
    for x in (-0.34, 0.34):
        yoke = metals.primer("grey")
        for s in (-1, 1):
            cheek = [(-0.016, -0.018), (0.016, -0.018), (0.014, 0.07), (-0.014, 0.07)]
            parts.append(put(plate(cheek, 0.004, yoke), (x + s * 0.0165, 0, z), (90, 0, 90)))
        parts.append(
            fitting.seam(
                [
                    (x + 0.0195, 0.0165 * math.cos(a), z + 0.0165 * math.sin(a))
                    for a in np.linspace(0, 6.28, 24)
                ],
                0.002,
                True,
            )
        )
        stick = [(x, 0.0, z + 0.035), (x, -0.004, z + 0.24), (x, 0.03, z + 0.36), (x, 0.045, z + 0.47)]
        parts.append(tube(stick, 0.0125, grey, curved=True, sides=10))
        grip = [
            (0.0128, 0),
            (0.0185, 0.002),
            (0.0195, 0.02),
            (0.0170, 0.05),
            (0.0190, 0.08),
            (0.0185, 0.115),
            (0.012, 0.124),
            (0, 0.125),
        ]
        parts.append(put(turned(grip, metals.rubber(), sides=36), (x, 0.034, z + 0.395), (-8, 0, 0)))
        parts.append(put(fitting.bolt(0.004, 0.046), (x - 0.021, 0, z + 0.052), (0, 90, 0)))
        parts.append(fitting.nut(0.004, (x + 0.0185, 0, z + 0.052), True, (0, 90, 0)))
    horn = plate(
        [(-0.018, 0), (0.018, 0), (0.010, 0.11), (-0.010, 0.11)],
        0.004,
        grey,
        holes=[circle(0.0033, (0, 0.098))],
    )
    parts.append(put(horn, (0.06, 0, z - 0.01), (90, 0, 90)))
    parts.append(put(rod(0.0095, 0.62, metals.aluminium()), (-0.30, -0.002, z + 0.062), (0, 90, 0)))
    group(parts, (0, -0.05, 0), (0, 0, 3))
    clutter.drawing_sheet("TN-27-1000", "CONTROL STICK", (0.76, 0.22, BENCH), -12, 0.42)
    clutter.mug((-0.86, 0.20, BENCH), (0.5, 0.30, 0.08))
    put(clutter.spanner((0.15, -0.30, BENCH)), (0.2, -0.32, BENCH + 0.004), (0, 0, 12))
    stores.tin(random.Random(7), (-0.70, 0.30, BENCH))
    camera.aim((-0.78, -1.02, BENCH + 0.56), (0.0, -0.03, BENCH + 0.20), 26, focus=(-0.2, -0.1, BENCH + 0.2))


def tank() -> None:
    """The tank under a column of water (upright)."""
    room.workshop("day")
    room.bench(2.0)
    skin, bead = metals.aluminium(), metals.aluminium(False, 0.5)
    wide, deep, high = 0.62, 0.36, 0.24
    ring = rounded(deep, high, 0.05, (0, high / 2))
    parts: list[Any] = [put(plate(ring, wide, skin, edge=0.004), (0, 0, 0), (90, 0, 90))]
    for x in (-wide / 2 + 0.004, wide / 2 - 0.004):
        line = [(x, y * 1.004, (z - high / 2) * 1.004 + high / 2) for y, z in ring]
        parts.append(fitting.seam(line, 0.0028, True, 0.004))
        parts[-1].data.materials[0] = bead
    for x in (-0.15, 0.15):
        parts.append(box((0.018, deep * 0.9, 0.006), skin, (x, 0, high), edge=0.0028))
        parts.append(box((0.018, 0.006, high * 0.5), skin, (x, -deep / 2, high / 2), edge=0.0028))
    neck = (0.20, 0.02, high)
    parts.append(
        turned(
            [
                (0.034, 0),
                (0.034, 0.004),
                (0.028, 0.006),
                (0.028, 0.035),
                (0.030, 0.036),
                (0.030, 0.042),
                (0, 0.042),
            ],
            skin,
            at=neck,
            sides=40,
        )
    )
    parts.append(
        turned(
            [(0.030, 0), (0.031, 0.002), (0.031, 0.012), (0, 0.013)],
            metals.plastic((0.05, 0.05, 0.05)),
            at=(neck[0], neck[1], high + 0.043),
            sides=40,
        )
    )
    parts.append(put(rod(0.010, 0.05, metals.brass()), (-0.22, -deep / 2 + 0.004, 0.035), (90, 0, 0)))
    parts.append(
        put(
            plate(
                [(0.017 * math.cos(k * math.pi / 3), 0.017 * math.sin(k * math.pi / 3)) for k in range(6)],
                0.014,
                metals.brass(),
            ),
            (-0.22, -deep / 2 - 0.022, 0.035),
            (90, 0, 0),
        )
    )
    group(parts, (0.0, 0.02, BENCH + 0.03), (0, 0, -14), "tank")
    for x in (-0.2, 0.2):
        box((0.05, 0.44, 0.03), wood.pine("y"), (x, 0.02 - x * 0.25, BENCH + 0.015), (0, 0, -14))
    a = math.radians(-14)
    px, py = 0.20 * math.cos(a) - 0.02 * math.sin(a), 0.02 + 0.20 * math.sin(a) + 0.02 * math.cos(a)
    base = BENCH + 0.03 + high + 0.055
    post = (px + 0.11, py + 0.10)
    box((0.03, 0.018, 0.86), wood.pine("z"), (post[0], post[1], BENCH + 0.43))
    box((0.16, 0.16, 0.022), wood.birch(), (post[0], post[1], BENCH + 0.011))
    strip = sheet(0.55, 0.026, metals.printed(prints.rule(500), 0.6), (0, 0, 0))
    put(strip, (post[0], post[1] - 0.0096, BENCH + 0.56), (0, -90, -90))
    hose = metals.glass((0.86, 0.90, 0.90))
    run: list[Point] = [
        (px, py, base),
        (px + 0.002, py, base + 0.05),
        (px + 0.06, py + 0.035, base + 0.10),
        (post[0] - 0.004, post[1] - 0.022, base + 0.10),
        (post[0] - 0.003, post[1] - 0.022, base + 0.32),
        (post[0] - 0.002, post[1] - 0.022, base + 0.46),
    ]
    tube(run, 0.0065, hose, curved=True)
    water = metals.plastic((0.03, 0.22, 0.45), 0.1)
    tube([*run[:4], (post[0] - 0.0035, post[1] - 0.022, base + 0.24)], 0.0046, water, curved=True)
    for z in (BENCH + 0.50, BENCH + 0.72):
        box(
            (0.036, 0.036, 0.006),
            metals.plastic((0.03, 0.03, 0.03)),
            (post[0], post[1] - 0.012, z),
            edge=0.002,
        )
    clutter.bottle((-0.42, -0.24, BENCH), ("SOAP", "WATER"), (0.62, 0.64, 0.66))
    clutter.rag((0.20, -0.28, BENCH), (0.14, 0.16, 0.22))
    clutter.mug((0.52, -0.18, BENCH))
    camera.aim((-0.30, -1.12, BENCH + 0.62), (0.08, 0.02, BENCH + 0.31), 26, focus=(0.0, -0.15, BENCH + 0.25))


def _dial(parts: list[Any], x: float, y: float, radius: float, image: Any) -> None:
    black = metals.plastic((0.012, 0.012, 0.013), 0.45)
    bezel = turned(
        [
            (radius * 1.0, 0.0),
            (radius * 1.16, 0.0),
            (radius * 1.16, 0.006),
            (radius * 1.04, 0.009),
            (radius * 0.98, 0.004),
        ],
        black,
        at=(x, y, 0.002),
    )
    face = sheet(radius * 2, radius * 2, metals.printed(image, 0.6), (x, y, 0.0045))
    glass = turned([(radius, 0), (0, 0)], metals.glass(), at=(x, y, 0.0075))
    parts += [bezel, face, glass, rod(radius * 0.98, 0.07, black, (x, y, -0.07))]
    for k in range(4):
        a = math.pi / 4 + k * math.pi / 2
        parts.append(
            rod(
                0.0032,
                0.0016,
                metals.steel(0.3),
                (x + radius * 1.30 * math.cos(a), y + radius * 1.30 * math.sin(a), 0.002),
            )
        )


def panel() -> None:
    """The panel with two instruments in and three holes to go."""
    room.workshop("evening")
    room.bench()
    ring = [
        (-0.36, -0.02),
        (-0.33, -0.02),
        (-0.30, -0.10),
        (0.30, -0.10),
        (0.33, -0.02),
        (0.36, -0.02),
        (0.36, 0.06),
        (0.30, 0.13),
        (0.16, 0.165),
        (-0.16, 0.165),
        (-0.30, 0.13),
        (-0.36, 0.06),
    ]
    spots = [
        (-0.22, 0.045, 0.040),
        (-0.075, 0.065, 0.040),
        (0.075, 0.065, 0.040),
        (0.215, 0.045, 0.040),
        (0.0, -0.045, 0.029),
    ]
    small = [circle(0.0065, (x, -0.06)) for x in (-0.22, -0.17, 0.16, 0.20, 0.24)]
    parts: list[Any] = [
        plate(
            ring,
            0.004,
            wood.birch("x", varnished=True),
            holes=[*[circle(r, (x, y), 48) for x, y, r in spots], *small],
            edge=0.0006,
        )
    ]
    _dial(parts, *spots[0], prints.dial("airspeed", 120, 20, "KNOTS", (90, -230), 0.0))
    _dial(parts, *spots[1], prints.dial("altimeter", 10, 1, "100 FT", (90, -270), 0.13))
    for x, y, r in spots[2:]:
        for k in range(4):
            a = math.pi / 4 + k * math.pi / 2
            parts.append(
                rod(
                    0.0021,
                    0.0003,
                    metals.plastic((0.03, 0.02, 0.01), 0.9),
                    (x + r * 1.28 * math.cos(a), y + r * 1.28 * math.sin(a), 0.0021),
                )
            )
    group(parts, (0.0, 0.0, BENCH + 0.097), (72, 0, -4), "panel")
    box((0.10, 0.10, 0.12), wood.pine(), (0.20, 0.075, BENCH + 0.06))
    box((0.10, 0.10, 0.12), wood.pine(), (-0.22, 0.145, BENCH + 0.06))
    card = metals.paint((0.44, 0.30, 0.17), 0.9)
    box((0.13, 0.12, 0.10), card, (0.42, 0.16, BENCH + 0.05), (0, 0, 20), edge=0.003)
    put(rod(0.004, 0.11, metals.steel(0.5)), (0.20, -0.16, BENCH + 0.012), (0, 90, 15))
    put(
        rod(0.013, 0.09, metals.plastic((0.5, 0.28, 0.02)), edge=0.004),
        (0.115, -0.183, BENCH + 0.013),
        (0, 90, 15),
    )
    chance = random.Random(3)
    for _ in range(9):
        rod(
            0.0032,
            0.003,
            metals.steel(0.3),
            (chance.uniform(-0.25, -0.08), chance.uniform(-0.20, -0.13), BENCH),
        )
    clutter.mug((-0.46, 0.08, BENCH), (0.12, 0.18, 0.28))
    clutter.rag((-0.30, -0.19, BENCH))
    camera.aim((-0.08, -0.68, BENCH + 0.34), (0.0, 0.0, BENCH + 0.10), 27, focus=(0, 0, BENCH + 0.1), stop=8)


def _seat(at: Point, turn: float, crooked: float) -> None:
    grey = metals.primer("grey")
    rows = []
    profile = [
        (0.24, 0.36),
        (0.225, 0.375),
        (0.10, 0.355),
        (-0.06, 0.335),
        (-0.155, 0.345),
        (-0.205, 0.40),
        (-0.225, 0.50),
        (-0.255, 0.66),
        (-0.285, 0.80),
        (-0.29, 0.82),
    ]
    dense = np.linspace(0, len(profile) - 1, 40)
    ys = np.interp(dense, range(len(profile)), [p[0] for p in profile])
    zs = np.interp(dense, range(len(profile)), [p[1] for p in profile])
    for k, (y, z) in enumerate(zip(ys, zs, strict=True)):
        t = k / 39
        half = 0.215 - 0.045 * max(0.0, (t - 0.55) / 0.45) ** 2 - 0.02 * max(0.0, (0.12 - t) / 0.12)
        dish = 0.022
        row = []
        for u in np.linspace(-1, 1, 15):
            lift = dish * (u * u)
            row.append(
                (
                    half * float(u),
                    float(y) + (lift if t > 0.5 else 0.0),
                    float(z) + (lift if t <= 0.5 else 0.0),
                )
            )
        rows.append(row)
    shell = thicken(loft(rows, wood.birch("x", varnished=True, bent=True), closed=False), 0.005)
    shell.rotation_euler = (0, math.radians(crooked), math.radians(crooked * 1.4))
    parts: list[Any] = [shell]
    for s in (-1, 1):
        x = s * 0.18
        parts.append(
            tube(
                [(x, 0.23, 0.008), (x, 0.22, 0.34), (x, -0.165, 0.318), (x, -0.20, 0.008)],
                0.0085,
                grey,
                sides=8,
            )
        )
        parts.append(tube([(x, -0.165, 0.318), (x, -0.255, 0.60)], 0.0085, grey, sides=8))
        parts.append(tube([(x, 0.222, 0.30), (x, -0.20, 0.05)], 0.0065, grey, sides=8))
        parts.append(tube([(x, 0.25, 0.0085), (x, -0.24, 0.0085)], 0.0085, grey, sides=8))
        parts += [
            frame.weld_at(p, 0.0105)
            for p in ((x, 0.22, 0.34), (x, -0.165, 0.318), (x, -0.20, 0.012), (x, 0.23, 0.012))
        ]
    for y, z in ((0.22, 0.34), (-0.165, 0.318), (-0.255, 0.60), (-0.20, 0.03)):
        parts.append(tube([(-0.18, y, z), (0.18, y, z)], 0.0085, grey, sides=8))
    group(parts, at, (0, 0, turn), "seat")


def seats() -> None:
    """Both seats on the floor, one a little crooked."""
    room.workshop("day")
    _seat((-0.34, 0.05, 0.0), 168, 0.0)
    _seat((0.36, 0.10, 0.0), 163, 4.5)
    clutter.tape((-0.05, -0.55, 0.0), 40)
    put(clutter.steel_rule(500), (0.55, -0.45, 0.0), (0, 0, -22))
    room.stool((1.45, 0.9, 0))
    clutter.rag((-1.0, 0.3, 0.0), (0.2, 0.08, 0.06))
    camera.aim((-0.55, -1.32, 1.05), (0.02, 0.05, 0.40), 26, focus=(0, -0.2, 0.4))

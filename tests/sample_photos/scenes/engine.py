"""The engine mount in its jig and the fuel strainer on the firewall."""

from __future__ import annotations

import math

from .. import camera, clutter, metals, room
from ..models import fitting, frame, power
from ..room import BENCH
from ..shapes import box, circle, group, plate, put, rod, rounded, tube, turned


def mount() -> None:
    """The mount standing on its jig plate, ring up."""
    room.workshop("dull")
    room.bench(2.0)
    steel = metals.paint((0.16, 0.17, 0.18), 0.45)
    put(plate(rounded(0.78, 0.74, 0.02), 0.012, steel, edge=0.001), (0, 0, BENCH + 0.006))
    stand = group(power.mount())
    # Feet down on the plate: the mount's x axis points down.
    stand.rotation_euler = (0, math.radians(90), 0)
    stand.location = (-0.30, 0.0, BENCH + 0.012 + 0.019)
    for _, y, z in power.FEET:
        put(fitting.bolt(0.006, 0.02), (-0.30 + z, y, BENCH + 0.030), (0, 0, 0))
        box((0.05, 0.05, 0.007), metals.steel(0.4), (-0.30 + z, y, BENCH + 0.0155))
    post = metals.paint((0.20, 0.08, 0.05), 0.5)
    box((0.05, 0.05, 0.33), post, (0.04, 0.0, BENCH + 0.177), edge=0.003)
    put(plate(circle(0.13), 0.008, metals.steel(0.36)), (0.04, 0, BENCH + 0.345))
    for k in range(4):
        a = math.pi / 4 + k * math.pi / 2
        put(
            fitting.bolt(0.006, 0.03),
            (0.04 + 0.115 * math.cos(a), 0.115 * math.sin(a), BENCH + 0.356),
            (180, 0, 0),
        )
        box(
            (0.10, 0.018, 0.008),
            metals.steel(0.4),
            (0.04 + 0.135 * math.cos(a), 0.135 * math.sin(a), BENCH + 0.3525),
            (0, 0, math.degrees(a)),
        )
    clutter.file((0.62, -0.26, BENCH), 30)
    clutter.rag((-0.66, -0.22, BENCH), (0.18, 0.19, 0.2))
    clutter.mug((-0.62, 0.24, BENCH))
    put(clutter.spanner((0.5, 0.2, BENCH)), (0.66, 0.05, BENCH + 0.004), (0, 0, 70))
    clutter.masking_roll((0.55, 0.25, BENCH))
    camera.aim((-0.52, -0.98, BENCH + 0.62), (0.03, 0.0, BENCH + 0.17), 26, focus=(0, -0.2, BENCH + 0.2))


def strainer() -> None:
    """The strainer bowl low on the firewall, one blue drop hanging from it."""
    room.workshop("day")
    grey = metals.primer("grey")
    group([*frame.frame(grey, False), *frame.firewall()], (0.0, 0.12, 0.90), (0, 0, 90))
    # The firewall now faces the camera (-y); its surface is at y = 0.104.
    y = 0.103
    room.lamp("hand lamp", (-0.5, -0.9, 1.7), (48, 0, -25), (0.35, 0.35), 7, (1.0, 0.95, 0.88))
    alloy, brass, pipe = metals.aluminium(False, 0.6), metals.brass(), metals.aluminium(False, 0.72)
    x, z = 0.05, 1.045
    cy = y - 0.055
    box((0.075, 0.004, 0.07), grey, (x, y - 0.002, z + 0.01))
    box((0.03, 0.05, 0.018), alloy, (x, y - 0.027, z + 0.012), edge=0.003)
    turned(
        [(0, 0.030), (0.014, 0.030), (0.018, 0.024), (0.030, 0.022), (0.031, 0.004), (0.0, 0.004)][::-1],
        alloy,
        at=(x, cy, z),
        sides=40,
    )
    turned(
        [
            (0.0, -0.062),
            (0.007, -0.062),
            (0.012, -0.056),
            (0.022, -0.048),
            (0.026, -0.036),
            (0.0265, 0.0),
            (0.0285, 0.001),
            (0.0285, 0.004),
        ],
        alloy,
        at=(x, cy, z),
        sides=40,
    )
    turned([(0.0262, -0.016), (0.0276, -0.014), (0.0262, -0.012)], metals.steel(0.4), at=(x, cy, z), sides=40)
    bail = [
        (x - 0.0330, cy, z + 0.010),
        (x - 0.0330, cy, z - 0.035),
        (x - 0.018, cy, z - 0.058),
        (x, cy, z - 0.066),
        (x + 0.018, cy, z - 0.058),
        (x + 0.0330, cy, z - 0.035),
        (x + 0.0330, cy, z + 0.010),
    ]
    tube(bail, 0.0014, metals.steel(0.55))
    drain = [
        (0.0, -0.078),
        (0.0035, -0.078),
        (0.0035, -0.070),
        (0.006, -0.068),
        (0.006, -0.061),
        (0.0, -0.061),
    ]
    turned(drain, brass, at=(x, cy, z), sides=24)
    blue = metals.plastic((0.02, 0.16, 0.55), 0.05)
    drop = [
        (0.0, -0.0885),
        (0.0016, -0.0880),
        (0.0027, -0.0862),
        (0.0028, -0.0845),
        (0.0020, -0.0818),
        (0.0011, -0.0795),
        (0.0009, -0.0778),
    ]
    turned(drop, blue, at=(x, cy, z), sides=24)
    turned([(0.0, -0.0), (0.0036, 0.0003), (0.0037, 0.0016)], blue, at=(x, cy, z - 0.0790))
    for s in (-1, 1):
        put(
            plate(
                [(0.0085 * math.cos(k * math.pi / 3), 0.0085 * math.sin(k * math.pi / 3)) for k in range(6)],
                0.012,
                brass,
            ),
            (x + s * 0.038, cy, z + 0.013),
            (0, 90, 0),
        )
        put(
            turned(
                [(0.0050, 0), (0.0072, 0.002), (0.0072, 0.012), (0.0050, 0.014)],
                metals.paint((0.04, 0.10, 0.35), 0.3),
            ),
            (x + s * 0.045, cy, z + 0.013),
            (0, 90 * s, 0),
        )
    tube(
        [
            (x + 0.052, cy, z + 0.013),
            (x + 0.10, cy, z + 0.013),
            (x + 0.14, cy + 0.005, z + 0.04),
            (x + 0.145, cy + 0.012, z + 0.16),
            (x + 0.13, y + 0.02, z + 0.22),
        ],
        0.0048,
        pipe,
        curved=True,
    )
    tube(
        [
            (x - 0.052, cy, z + 0.013),
            (x - 0.11, cy, z + 0.013),
            (x - 0.16, cy - 0.01, z + 0.0),
            (x - 0.19, cy - 0.06, z - 0.02),
            (x - 0.20, cy - 0.20, z + 0.02),
        ],
        0.0048,
        pipe,
        curved=True,
    )
    for px, pz in ((x + 0.145, z + 0.13), (x - 0.13, z + 0.011)):
        box((0.018, 0.012, 0.014), metals.rubber(), (px, cy + 0.006, pz), edge=0.004)
        put(rod(0.004, 0.006, metals.steel(0.5)), (px + 0.012, y - 0.002, pz), (90, 0, 0))
    streak = metals.plastic((0.03, 0.15, 0.42), 0.15)
    tube(
        [
            (x + 0.010, cy - 0.0235, z - 0.040),
            (x + 0.006, cy - 0.0185, z - 0.050),
            (x + 0.002, cy - 0.0085, z - 0.0605),
        ],
        0.0008,
        streak,
        sides=3,
    )
    camera.aim(
        (x - 0.135, cy - 0.205, z + 0.012),
        (x + 0.008, cy, z - 0.020),
        27,
        focus=(x, cy - 0.02, z - 0.04),
        stop=9,
    )

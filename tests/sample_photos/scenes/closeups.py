"""Joints seen from a hand's breadth: welds, cables, hinges, bolts, a crack in the windscreen."""

from __future__ import annotations

import math

import numpy as np
from mathutils import Vector

from .. import camera, clutter, metals, room, wood
from ..models import fitting, frame
from ..room import BENCH
from ..shapes import Point, beam, body, box, circle, group, loft, plate, put, rod, rounded, tube, turned


def joint(
    node: Point,
    main: tuple[Point, Point],
    branches: list[tuple[Point, float]],
    big: float,
    material: object,
    tint: bool = True,
) -> None:
    """A main tube with branches welded to it: tubes, seams, the bluish band that the heat left."""
    tube(list(main), big, material, sides=12)
    axis = tuple(Vector(main[1]) - Vector(main[0]))
    for end, small in branches:
        tube([node, end], small, material, sides=12)
        way = Vector(end) - Vector(node)
        group([fitting.seam(fitting.saddle(node, axis, tuple(way), big, small), small * 0.24, closed=True)])
        if tint:
            d = way.normalized()
            start = Vector(node) + d * (
                big / max(0.35, math.sqrt(max(0.05, 1 - (d.dot(Vector(axis).normalized())) ** 2)))
            )
            tube([tuple(start), tuple(start + d * small * 1.6)], small * 1.004, metals.weld(), sides=12)


def cluster() -> None:
    """Six tubes at station 2, left, from slightly below."""
    room.workshop("day")
    steel = metals.raw_tube()
    group(frame.frame(steel), (-1.2, 1.75, 1.05), (0, 0, 8))
    n: Point = (0.0, 0.0, 1.75)
    room.lamp("hand lamp", (0.35, -0.7, 1.25), (125, 0, 25), (0.3, 0.3), 9, (1.0, 0.93, 0.82))
    joint(
        n,
        ((-0.7, 0.0, 1.75), (0.63, 0.05, 1.73)),
        [
            ((0.0, 0.0, 1.09), 0.0115),
            ((-0.52, 0.0, 1.16), 0.0095),
            ((0.44, 0.03, 1.14), 0.0095),
            ((0.08, 0.62, 1.78), 0.0105),
        ],
        0.014,
        steel,
    )
    ring = [(0.010, -0.013), (0.085, -0.013), (0.070, -0.030), (0.013, -0.088), (0.010, -0.088)]
    leaf = plate(ring, 0.0025, steel)
    put(leaf, (0.0, -0.001, 1.75), (90, 0, 0))
    fitting.seam([(0.018, -0.002, 1.75 - 0.0145), (0.084, -0.002, 1.75 - 0.0150)], 0.0019)
    fitting.seam([(0.0125, -0.002, 1.75 - 0.020), (0.0125, -0.002, 1.75 - 0.088)], 0.0019)
    camera.aim((0.085, -0.205, 1.672), (0.010, 0.0, 1.728), 26, focus=(0.0, -0.012, 1.74), stop=8)


def undercut() -> None:
    """A T-joint whose bead has a groove beside it."""
    room.workshop("day")
    room.bench()
    steel = metals.raw_tube()
    z = BENCH + 0.035
    joint((0, 0, z), ((-0.45, 0.0, z), (0.5, 0.0, z)), [((0.0, -0.62, z), 0.0080)], 0.0110, steel)
    for x in (-0.3, 0.36):
        box((0.05, 0.12, 0.024), wood.ash(), (x, 0.0, BENCH + 0.012))
    box((0.14, 0.05, 0.027), wood.pine(), (0.0, -0.40, BENCH + 0.0135))
    line = fitting.saddle((0, 0, z), (1, 0, 0), (0, -1, 0), 0.0110, 0.0080)
    dark = metals.plastic((0.006, 0.005, 0.005), 0.7)
    part = [p for p in line if p[2] > z - 0.001]
    part.sort(key=lambda p: p[0])
    groove = tube(
        [(p[0] * 1.0, p[1] - 0.0026, z + (p[2] - z) * 1.0) for p in part[2:]], 0.0011, dark, sides=4
    )
    for k, point in enumerate(groove.data.splines[0].points):
        point.radius = 0.35 + 0.75 * math.sin(math.pi * min(1.0, (k + 1) / (len(part) - 2)) ** 0.8)
    beam(
        (0.06, 0.06, BENCH + 0.004), (0.20, 0.10, BENCH + 0.004), 0.012, 0.006, metals.paint((0.75, 0.7, 0.1))
    )
    put(clutter.steel_rule(150), (-0.10, 0.06, BENCH), (0, 0, 3))
    camera.aim(
        (0.058, -0.074, z + 0.066), (0.0, -0.008, z + 0.001), 28, focus=(0.004, -0.012, z + 0.006), stop=15
    )


def turnbuckle() -> None:
    """Turnbuckle 1 with its safety wire, against a board."""
    room.workshop("evening")
    put(plate(rounded(1.2, 0.8, 0.01), 0.018, wood.birch()), (0, 0.035, 1.35), (90, 0, 0))
    group([fitting.turnbuckle(0.45)], (0.0, 0.0, 1.36), (0, 3, 0))
    for s in (-1, 1):
        put(rod(0.003, 0.05, metals.steel()), (s * 0.52, 0.03, 1.36 - s * 0.027), (90, 0, 0))
    room.lamp("hand lamp", (-0.25, -0.45, 1.75), (48, -18, 0), (0.25, 0.25), 5.5, (1.0, 0.86, 0.66))
    ink = metals.paint((0.05, 0.05, 0.08), 0.9)
    tube([(-0.115, 0.0255, 1.312), (-0.105, 0.0255, 1.326), (-0.105, 0.0255, 1.296)], 0.0009, ink)
    camera.aim((0.030, -0.150, 1.385), (0.003, 0.01, 1.357), 28, focus=(0.0, -0.004, 1.36), stop=11)


def pulley() -> None:
    """The aileron cable over its first pulley, seen along the cable (upright)."""
    room.workshop("dull")
    grey = metals.primer("grey")
    group(frame.frame(grey, False), (-1.1, 0.2, 0.72), (0, 0, 0))
    o: Point = (0.0, 0.0, 1.52)
    tube([(-0.5, 0.0, 1.43), (0.55, 0.0, 1.43)], 0.011, grey, sides=10)
    tube([(0.16, -0.5, 1.37), (0.12, 0.9, 1.46)], 0.0095, grey, sides=10)
    brown = metals.plastic((0.12, 0.05, 0.02), 0.3)
    wheel = [
        (0.006, -0.006),
        (0.030, -0.0065),
        (0.0335, -0.0050),
        (0.0338, -0.0042),
        (0.0292, -0.0012),
        (0.0288, 0.0),
        (0.0292, 0.0012),
        (0.0338, 0.0042),
        (0.0335, 0.0050),
        (0.030, 0.0065),
        (0.006, 0.006),
    ]
    put(turned(wheel, brown, sides=64), o, (0, 90, 0))
    for s in (-1, 1):
        cheek = [
            (-0.024, -0.085),
            (0.024, -0.085),
            (0.020, -0.02),
            (0.013, 0.012),
            (0.0, 0.017),
            (-0.013, 0.012),
            (-0.020, -0.02),
        ]
        put(
            plate(cheek, 0.0022, grey, holes=[circle(0.0045, (0, -0.055))]),
            (s * 0.0095, 0, o[2]),
            (90, 0, 90),
        )
    put(rod(0.0042, 0.034, metals.steel(0.5)), (-0.017, 0, o[2]), (0, 90, 0))
    fitting.nut(0.0042, (0.011, 0, o[2]), True, (0, 90, 0))
    put(fitting.bolt(0.0042, 0.03), (-0.0145, 0, o[2]), (0, 90, 0))
    top = o[2] + 0.0300
    wrap = [(0.0, 0.0300 * math.sin(a), o[2] + 0.0300 * math.cos(a)) for a in np.linspace(-0.10, 0.22, 10)]
    near = (0.0, -0.50, o[2] + 0.0300 - 0.050)
    slope = math.tan(0.22)
    far_start = wrap[-1]
    join = (0.0, far_start[1] + 0.13, far_start[2] - 0.13 * slope)
    fitting.cable([near, *wrap, join])
    t = fitting.turnbuckle(0.30)
    put(t, (0.0, join[1] + 0.105, join[2] - 0.105 * slope), (-math.degrees(0.22), 0, 90))
    t.rotation_euler = (0, math.radians(12.6), math.radians(90))
    guard = put(rod(0.002, 0.03, metals.steel()), (-0.015, 0.0, top + 0.008), (0, 90, 0))
    del guard
    camera.aim(
        (0.088, -0.200, o[2] + 0.112),
        (-0.002, 0.055, o[2] + 0.004),
        26,
        focus=(0.0, -0.01, o[2] + 0.03),
        stop=8,
    )


def hinge() -> None:
    """The middle rudder hinge, pinned."""
    room.workshop("day")
    cloth, tape, grey = (
        wood.fabric("painted", (0.72, 0.66, 0.50)),
        wood.fabric("painted", (0.76, 0.70, 0.55)),
        metals.primer("grey"),
    )
    room.lamp("hand lamp", (0.4, -0.9, 1.9), (50, 0, 20), (0.4, 0.4), 9, (1.0, 0.95, 0.88))
    z = 1.30
    gap = 0.021
    for s, far in ((-1, -0.55), (1, 0.62)):
        spar = 0.0135
        rows = []
        for x, half in (
            (s * gap - s * spar, 0.0),
            (s * gap - s * spar * 0.7, spar * 0.75),
            (s * gap, spar),
            (s * 0.12, 0.022),
            (s * 0.30, 0.022),
            (far, 0.008),
        ):
            rows.append([(x, -half - 0.0006, zz) for zz in np.linspace(z - 0.5, z + 0.5, 24)])
        loft(rows, cloth, closed=False)
        loft([[(x, -y, zz) for x, y, zz in row] for row in rows], cloth, closed=False)
        band = [
            [(x, -0.0232 if abs(x) > 0.1 else -spar - 0.0018, zz) for zz in np.linspace(z - 0.5, z + 0.5, 6)]
            for x in (s * 0.055, s * 0.056)
        ]
        loft(band, tape, closed=False)
    lug = metals.steel(0.40, 0.34)
    for dz, s, long in ((0.0105, -1, 0.046), (-0.0105, -1, 0.046), (0.0, 1, 0.046)):
        ring = [
            (0.0115 * math.cos(a), 0.0115 * math.sin(a)) for a in np.linspace(-math.pi / 2, math.pi / 2, 15)
        ]
        ring = [*ring, (-long + 0.008, 0.0145), (-long + 0.008, -0.0145)]
        leaf = plate(
            [(x * -s * -1 if s > 0 else x, y) for x, y in ring]
            if s < 0
            else [(-x, y) for x, y in ring][::-1],
            0.0048,
            lug,
            holes=[circle(0.0034)],
            edge=0.0005,
        )
        put(leaf, (0, -0.012, z + dz), (0, 0, 0))
        put(leaf, (0.0, -0.014, z + dz))
    for s in (-1, 1):
        root = plate(rounded(0.030, 0.062 if s < 0 else 0.046, 0.005), 0.0035, grey)
        put(root, (s * 0.036, -0.0165, z), (90, 0, 0))
        for dz in (-0.021, 0.021) if s < 0 else (-0.015, 0.015):
            head = rod(0.0036, 0.003, metals.steel(0.55), edge=0.001)
            put(head, (s * 0.040, -0.0180, z + dz), (90, 0, 0))
    pin = metals.steel(0.55, 0.25)
    head = turned(
        [(0, 0), (0.0058, 0), (0.0062, 0.0006), (0.0062, 0.0026), (0.0055, 0.0032), (0, 0.0032)],
        pin,
        sides=32,
    )
    put(head, (0, -0.014, z + 0.0130))
    rod(0.0032, 0.046, pin, (0, -0.014, z - 0.030))
    fitting.nut(0.0036, (0, -0.014, z - 0.0130), True, (180, 0, 0))
    wire = metals.steel(0.6, 0.25)
    low = z - 0.0205
    for d in (-0.0006, 0.0006):
        tube(
            [
                (-0.0105, -0.014 + d, low),
                (0.006, -0.014 + d, low),
                (0.0085, -0.014 + d * 4, low - 0.0016 if d < 0 else low + 0.0012),
                (0.0100, -0.014 + d * 9, low - 0.0048 if d < 0 else low + 0.0040),
            ],
            0.00055,
            wire,
            sides=3,
        )
    put(
        turned(
            [(0.0013 + 0.0006 * math.cos(a), 0.0006 * math.sin(a)) for a in np.linspace(0, 2 * math.pi, 9)],
            wire,
            sides=16,
        ),
        (-0.0118, -0.014, low),
        (90, 0, 0),
    )
    camera.aim((0.030, -0.135, z + 0.030), (0.0, -0.008, z - 0.004), 30, focus=(0.0, -0.02, z), stop=13)


def root_bolt() -> None:
    """The front root bolt under the torque wrench."""
    room.workshop("day")
    grey, steel = metals.primer("grey"), metals.steel(0.5, 0.22)
    z = 1.45
    # Aeroplane side: the cabin tube and its ear; wing side: the spar and its plates.
    tube([(-0.5, 0.16, z + 0.01), (0.6, 0.16, z + 0.01)], 0.016, grey, sides=12)
    tube([(0.0, 0.16, z + 0.01), (0.08, 0.9, z - 0.5)], 0.012, grey, sides=12)
    ear = [
        (-0.03, 0.155),
        (0.03, 0.155),
        (0.022, -0.006),
        (0.012, -0.022),
        (-0.012, -0.022),
        (-0.022, -0.006),
    ]
    put(plate(ear, 0.006, grey, holes=[circle(0.0048)]), (0, 0, z), (0, 0, 0))
    ear2 = [(0.024 * math.cos(a), 0.024 * math.sin(a)) for a in np.linspace(0, math.pi, 16)] + [
        (-0.026, -0.20),
        (0.026, -0.20),
    ]
    for dz in (0.0052,):
        put(plate(ear2, 0.0040, grey, holes=[circle(0.0048)]), (0, 0, z + dz), (0, 0, 0))
    box((0.075, 0.5, 0.10), wood.spruce("y", varnished=True), (0, -0.34, z - 0.0470), edge=0.002)
    for y in (-0.13, -0.165):
        fitting.nut(0.0045, (0, y, z + 0.0072), False)
        put(rod(0.0044, 0.012, steel), (0, y, z + 0.0072))
    fitting.nut(0.0048, (0, 0, z + 0.0072), False)
    put(fitting.bolt(0.0048, 0.026), (0, 0, z - 0.0072))
    up = z + 0.0095
    socket = [
        (0.0088, 0),
        (0.0094, 0.001),
        (0.0094, 0.012),
        (0.0084, 0.0135),
        (0.0084, 0.030),
        (0.0076, 0.031),
        (0, 0.031),
    ]
    turned(socket, metals.steel(0.62, 0.14), at=(0, 0, up))
    turned([(0.0095, 0.006), (0.00955, 0.0065), (0.0095, 0.007)], metals.steel(0.2, 0.5), at=(0, 0, up))
    head = up + 0.040
    chrome = metals.steel(0.62, 0.16)
    parts = [
        turned(
            [(0, -0.009), (0.0155, -0.009), (0.017, -0.0075), (0.017, 0.0075), (0.0155, 0.009), (0, 0.009)],
            chrome,
        ),
        turned([(0, 0.009), (0.008, 0.009), (0.007, 0.012), (0, 0.012)], metals.steel(0.3)),
        box((0.05, 0.016, 0.013), chrome, (0.038, 0, 0), edge=0.003),
        put(rod(0.0085, 0.16, chrome), (0.06, 0, 0), (0, 90, 0)),
        put(rod(0.0108, 0.10, metals.steel(0.40, 0.4)), (0.21, 0, 0), (0, 90, 0)),
        put(rod(0.0118, 0.012, metals.brass()), (0.205, 0, 0), (0, 90, 0)),
        put(rod(0.0125, 0.11, metals.rubber()), (0.31, 0, 0), (0, 90, 0)),
    ]
    group(parts, (0, 0, head), (0, -4, -12))
    camera.aim(
        (0.105, -0.175, z + 0.085), (0.030, 0.002, z + 0.012), 26, focus=(0.005, -0.010, z + 0.02), stop=9
    )


def windscreen() -> None:
    """A crack from a screw hole, ended by a stop hole, against the light."""
    room.workshop("day")
    clear = metals.glass((0.90, 0.95, 0.93))
    y, z = 3.4, 1.62
    centre_x = 1.45
    holes = [circle(0.0026, (0.035 * k, 0.016)) for k in range(-6, 7)]
    stop_hole = (0.0062, 0.0245)
    holes.append(circle(0.0012, stop_hole, 20))
    ring = [(-0.34, 0.0), (0.34, 0.0), (0.34, 0.36), (-0.34, 0.42)]
    put(plate(ring, 0.003, clear, holes=holes, edge=0.0003), (centre_x, y, z), (84, 0, 4))
    rim, edge = metals.plastic((0.62, 0.70, 0.68), 0.25), metals.plastic((0.45, 0.60, 0.56), 0.2)
    spot = group([box((0.68, 0.0016, 0.0034), edge, (0, 0.0, 0), edge=0.0003)])
    for k in range(-6, 7):
        ring_k = turned(
            [(0.0026, -0.0016), (0.0026, 0.0016), (0.0031, 0.0017), (0.0031, -0.0017), (0.0026, -0.0016)],
            rim,
            at=(0.035 * k, 0.016, 0),
            sides=28,
        )
        ring_k.parent = spot
    small = turned(
        [(0.0012, -0.0016), (0.0012, 0.0016), (0.0016, 0.0017), (0.0016, -0.0017), (0.0012, -0.0016)],
        rim,
        at=(*stop_hole, 0),
        sides=20,
    )
    small.parent = spot
    white = metals.plastic((0.86, 0.88, 0.88), 0.2)
    line = [
        (0.0021, 0.0178),
        (0.0030, 0.0192),
        (0.0035, 0.0204),
        (0.0046, 0.0217),
        (0.0052, 0.0232),
        (0.0059, 0.0240),
    ]
    pts = [p for x, yy in line for p in ((x - 0.0003, yy, -0.0014), (x + 0.0007, yy, 0.0016))]
    crack = body(pts, [[2 * k, 2 * k + 1, 2 * k + 3, 2 * k + 2] for k in range(len(line) - 1)], white)
    crack.parent = spot
    shadow = tube(
        [(x + 0.0001, yy, 0.00155) for x, yy in line], 0.00022, metals.plastic((0.05, 0.06, 0.06)), sides=2
    )
    shadow.parent = spot
    pen = metals.paint((0.45, 0.02, 0.03), 0.7)
    mark = tube(
        [
            (0.0035 + 0.0125 * math.cos(a), 0.0215 + 0.0115 * math.sin(a), 0.00165)
            for a in np.linspace(0.4, 5.9, 40)
        ],
        0.00032,
        pen,
        sides=2,
    )
    mark.parent = spot
    film = plate(
        [(-0.34, 0.045), (-0.03, 0.052), (-0.06, 0.42), (-0.34, 0.42)],
        0.0002,
        metals.plastic((0.10, 0.28, 0.55), 0.5),
        at=(0, 0, 0.0018),
    )
    film.parent = spot
    put(spot, (centre_x, y, z), (84, 0, 4))
    box((0.72, 0.05, 0.05), wood.pine(), (centre_x, y + 0.004, z - 0.027), (0, 0, 4))
    camera.aim(
        (centre_x + 0.022, y - 0.060, z + 0.040),
        (centre_x + 0.005, y, z + 0.0195),
        30,
        focus=(centre_x + 0.004, y - 0.002, z + 0.021),
        stop=11,
    )

"""The workshop around the parts: floor, walls, windows, lamps, benches, trestles and a lived-in back wall."""

from __future__ import annotations

import math
import random
from typing import Any

import bpy

from . import clutter, metals, prints, stores, wood
from .nodes import Surface
from .shapes import ORIGIN, Point, beam, box, group, link, plate, put, sheet, tube, turned

BENCH = 0.90


def lamp(kind: str, at: Point, turn: Point, size: tuple[float, float], power: float, colour: Point) -> Any:
    """A soft rectangular light."""
    data = bpy.data.lights.new(kind, "AREA")
    data.shape = "RECTANGLE"
    data.size, data.size_y = size
    data.energy = power
    data.color = colour
    thing = put(link(data, kind), at, turn)
    thing.visible_camera = False
    return thing


def lights(mood: str) -> None:
    """``day``: windows; ``dull``: weak windows and tubes; ``evening``: tubes and a bench lamp, dark panes."""
    window, tubes, warm, air = {
        "day": (420, 45, 0.0, 0.30),
        "dull": (130, 130, 0.0, 0.30),
        "evening": (2, 230, 1.0, 0.16),
    }[mood]
    cold = (0.80, 0.90, 1.0) if mood != "evening" else (0.25, 0.35, 0.6)
    lamp("window", (-4.85, 0.9, 1.75), (0, -90, 0), (1.5, 3.0), window, cold)
    lamp("back window", (1.5, 4.9, 1.85), (-90, 0, 0), (1.9, 1.1), window * 0.22, cold)
    glow = (1.0, 0.86, 0.68) if warm else (1.0, 0.95, 0.88)
    for x, y in ((-1.2, 0.4), (1.3, 0.4), (-1.2, 3.0), (1.6, 3.0)):
        lamp("tube", (x, y, 3.02), (0, 0, 0), (1.5, 0.16), tubes / 4, glow)
        box((1.55, 0.13, 0.05), metals.paint((0.7, 0.7, 0.68)), (x, y, 3.10))
        tube([(x - 0.72, y, 3.05), (x + 0.72, y, 3.05)], 0.013, metals.glow(glow, 9.0))
    if warm:
        lamp("bench lamp", (0.9, -0.5, 2.1), (18, 28, 0), (0.35, 0.35), 34, (1.0, 0.80, 0.56))
    world = bpy.data.worlds.new("air")
    world.use_nodes = True
    world.node_tree.nodes["Background"].inputs["Color"].default_value = (
        (0.62, 0.60, 0.56, 1) if warm else (0.55, 0.62, 0.7, 1)
    )
    world.node_tree.nodes["Background"].inputs["Strength"].default_value = air
    world.light_settings.distance = 1.2
    bpy.context.scene.world = world


def _window(at: Point, turn: Point, size: tuple[float, float], mood: str) -> Any:
    w, h = size
    bright = {"day": 3.4, "dull": 1.7, "evening": 0.012}[mood]
    pane_face = Surface()
    image = pane_face.picture(prints.sky(), pane_face.face())
    pane_face.finish(
        Base_Color=(0.0, 0.0, 0.0), Emission_Color=image, Emission_Strength=bright, Roughness=0.1
    )
    frame = metals.paint((0.62, 0.63, 0.60), 0.4)
    parts = [sheet(w, h, pane_face.material)]
    parts += [box((0.05, h + 0.06, 0.06), frame, (x, 0, 0.02)) for x in (-w / 2, -w / 6, w / 6, w / 2)]
    parts += [box((w + 0.06, 0.045, 0.06), frame, (0, y, 0.021)) for y in (-h / 2, 0.06, h / 2)]
    parts.append(box((w + 0.2, 0.05, 0.16), frame, (0, -h / 2 - 0.05, 0.07)))
    return group(parts, at, turn, "window")


def shell(mood: str) -> None:
    """Floor, four walls, ceiling with purlins, windows."""
    box((12, 12, 0.2), metals.concrete(), (0, 0, -0.1), edge=0)
    lime = metals.wall()
    box((12, 0.2, 3.6), lime, (0, 5.1, 1.7), edge=0)
    box((12, 0.2, 3.6), metals.wall((0.60, 0.60, 0.57)), (-5.1, 0, 1.7), (0, 0, 90), edge=0)
    box((12, 0.2, 3.6), lime, (5.1, 0, 1.7), (0, 0, 90), edge=0)
    box((12, 0.2, 3.6), lime, (0, -5.6, 1.7), edge=0)
    box((12, 12, 0.1), metals.wall((0.70, 0.69, 0.66)), (0, 0, 3.5), edge=0)
    for y in range(-5, 6, 2):
        box((10.2, 0.07, 0.2), wood.pine(), (0, y, 3.32))
    _window((-4.98, 0.9, 1.75), (90, 0, 90), (3.0, 1.5), mood)
    _window((1.5, 4.97, 1.85), (90, 0, 0), (1.9, 1.1), mood)


def _pegboard(at: Point) -> None:
    board = wood.birch()
    parts = [box((2.2, 0.02, 1.0), board)]
    chance = random.Random(11)
    for k in range(9):
        x = -0.95 + k * 0.235
        parts.append(put(stores.hand_tool(k, chance), (x, -0.03, 0.34)))
    parts += [
        put(clutter.f_clamp(0.30 + 0.04 * (k % 3)), (-0.9 + k * 0.3, -0.05, -0.05), (90, 90, 0))
        for k in range(7)
    ]
    group(parts, at)


def back_wall() -> None:
    """Shelves, pegboard, timber rack, drawings, a tall bench: what is behind every picture."""
    chance = random.Random(5)
    pine = wood.pine()
    box((3.2, 0.6, 0.05), pine, (-2.4, 4.6, 0.9))
    for x in (-3.9, -2.4, -0.9):
        box((0.08, 0.5, 0.88), pine, (x, 4.6, 0.44))
    box((3.0, 0.5, 0.03), pine, (-2.4, 4.6, 0.3))
    for k in range(6):
        stores.bin_box(chance, (-3.6 + k * 0.5, 4.6, 0.315))
    _pegboard((-2.5, 4.97, 1.75))
    stores.vice((-1.25, 4.35, 0.925))
    for k in range(5):
        stores.tin(chance, (-3.7 + k * 0.21 + chance.uniform(-0.03, 0.03), 4.65, 0.925))
    for level in (0.25, 0.85, 1.45, 2.05):
        box((1.7, 0.42, 0.03), pine, (4.0, 4.72, level))
        x = 3.25
        while x < 4.7:
            x += stores.shelf_thing(chance, (x, 4.70, level + 0.015)) + 0.03
    for x in (3.16, 4.84):
        box((0.05, 0.42, 2.3), pine, (x, 4.72, 1.15))
    for k in range(14):
        lean = chance.uniform(0.05, 0.12)
        x = -4.75 + k * 0.06
        beam(
            (x, 4.75 - lean, 0.0),
            (x + chance.uniform(-0.05, 0.05), 4.95, chance.uniform(1.9, 2.9)),
            0.03,
            0.045,
            wood.spruce(),
        )
    box((1.6, 0.5, 0.05), pine, (1.5, 4.66, 0.86))
    for x in (0.8, 2.2):
        box((0.07, 0.45, 0.85), pine, (x, 4.66, 0.42))
    stores.compressor((2.7, 4.4, 0))
    stores.radio((1.15, 4.66, 0.885))
    clutter.mug((1.75, 4.55, 0.885), (0.16, 0.22, 0.34))
    sheet(
        1.0, 0.7, metals.printed(prints.drawing("TN-00-0001", "TANSY  G.A.")), (0.15, 4.985, 1.75), (90, 0, 0)
    )
    sheet(
        0.42,
        0.59,
        metals.printed(prints.form("Rota", ("Tue  Marit, Bram", "Thu  all", "Sat  covering"), False)),
        (2.85, 4.985, 1.6),
        (90, 0, 1),
    )
    drum = metals.paint((0.08, 0.17, 0.30))
    turned(
        [
            (0, 0),
            (0.28, 0),
            (0.28, 0.29),
            (0.29, 0.3),
            (0.28, 0.31),
            (0.28, 0.58),
            (0.29, 0.59),
            (0.28, 0.6),
            (0.28, 0.88),
            (0.26, 0.87),
            (0, 0.87),
        ],
        drum,
        at=(0.1, 4.5, 0),
    )


def left_wall() -> None:
    """Below and beside the long window."""
    chance = random.Random(8)
    pine = wood.pine()
    box((0.55, 3.4, 0.05), pine, (-4.68, 0.6, 0.86))
    for y in (-1.0, 0.6, 2.2):
        box((0.45, 0.07, 0.85), pine, (-4.68, y, 0.42))
    for k in range(7):
        stores.shelf_thing(chance, (-4.75, -0.9 + k * 0.48, 0.885))
    box((0.03, 1.2, 0.9), wood.birch(), (-4.985, -2.7, 1.7))
    for k in range(5):
        put(clutter.f_clamp(0.4), (-4.93, -3.2 + 0.22 * k, 1.7), (0, 0, 90))


def right_wall() -> None:
    """A coat rail, an extinguisher, a cable reel and plywood sheets leaning, on an otherwise plain wall."""
    for k in range(3):
        box(
            (0.012, 1.2 - 0.1 * k, 2.0 - 0.25 * k),
            wood.birch(),
            (4.90 - 0.035 * k, -2.9 + 0.05 * k, 1.0 - 0.12 * k),
            (0, 4, 0),
        )
    red = metals.paint((0.50, 0.03, 0.02), 0.25)
    turned(
        [(0, 0), (0.07, 0), (0.075, 0.02), (0.075, 0.42), (0.05, 0.48), (0.02, 0.5), (0.02, 0.56), (0, 0.56)],
        red,
        at=(4.9, -0.6, 0.55),
    )
    tube([(4.9, -0.6, 1.08), (4.86, -0.52, 1.0), (4.87, -0.5, 0.7)], 0.011, metals.rubber(), curved=True)
    box((0.02, 0.9, 0.12), wood.pine("y"), (4.985, 0.5, 1.75))
    for k, colour in enumerate(((0.06, 0.09, 0.16), (0.30, 0.16, 0.06), (0.10, 0.12, 0.10))):
        y = 0.2 + 0.3 * k
        coat = [(0.02, 1.74), (0.10, 1.66), (0.14, 1.4), (0.17, 0.95), (0.15, 0.93), (0, 0.93)]
        cloak = turned(
            [(max(r, 0.001), z) for r, z in coat[::-1]], wood.cloth(colour), at=(4.9, y, 0), sides=14
        )
        cloak.rotation_euler = (0, 0, k)
    for k in range(6):
        ring = [
            (
                4.93 - 0.012 * (k % 2),
                1.6 + (0.17 - 0.01 * k) * math.cos(a),
                1.5 + (0.2 - 0.01 * k) * math.sin(a),
            )
            for a in [j * math.pi / 14 for j in range(28)]
        ]
        tube(ring, 0.009, metals.rubber() if k % 2 else metals.plastic((0.55, 0.20, 0.02)), closed=True)
    sheet(
        0.84, 0.6, metals.printed(prints.drawing("TN-53-0001", "FUSELAGE")), (4.985, -1.6, 1.65), (90, 0, -90)
    )


def bench(width: float = 2.2, depth: float = 0.85, at: Point = ORIGIN) -> Any:
    """A free-standing bench, its top at :data:`BENCH`."""
    pine = wood.pine("z")
    parts = [box((width, depth, 0.06), wood.worn_bench(), (0, 0, BENCH - 0.03), edge=0.003)]
    for x in (-width / 2 + 0.09, width / 2 - 0.09):
        parts += [
            box((0.09, 0.09, BENCH - 0.06), pine, (x, y, (BENCH - 0.06) / 2), edge=0.002)
            for y in (-depth / 2 + 0.08, depth / 2 - 0.08)
        ]
        parts.append(box((0.04, depth - 0.2, 0.09), wood.pine("y"), (x, 0, 0.25)))
    parts.append(box((width - 0.2, depth - 0.15, 0.025), wood.birch(), (0, 0, 0.31)))
    parts.append(box((width - 0.1, 0.03, 0.1), wood.pine(), (0, -depth / 2 + 0.02, BENCH - 0.11)))
    chance = random.Random(3)
    x = -width / 2 + 0.25
    while x < width / 2 - 0.4:
        spot = put(link(None, "spot"), (x, 0.05, 0.323))
        for thing in stores.loose(chance):
            thing.parent = spot
        spot.parent = None
        parts.append(spot)
        x += 0.33
    return group(parts, at, name="bench")


def trestle(at: Point, length: float = 0.9, height: float = 0.78, turn: float = 0.0, pad: bool = True) -> Any:
    """A sawhorse whose beam runs along local x, its top at ``height``."""
    pine = wood.pine()
    parts = [box((length, 0.09, 0.07), pine, (0, 0, height - (0.05 if pad else 0.035)), edge=0.002)]
    if pad:
        parts.append(
            box(
                (length - 0.04, 0.1, 0.018),
                metals.paint((0.35, 0.33, 0.30), 0.9),
                (0, 0, height - 0.008),
                edge=0.006,
            )
        )
    low = height - 0.08
    for sx in (-1, 1):
        x = sx * (length / 2 - 0.1)
        parts += [
            beam((x + sx * 0.05, sy * 0.27, 0.0), (x, sy * 0.045, low), 0.035, 0.07, pine) for sy in (-1, 1)
        ]
        parts.append(
            plate(
                [(-0.21, 0.22), (0.21, 0.22), (0.13, 0.42), (-0.13, 0.42)],
                0.012,
                wood.birch(),
                at=(x + sx * 0.058, 0, 0.0),
                turn=(90, 0, 90),
            )
        )
    return group(parts, at, (0, 0, turn), "trestle")


def stool(at: Point) -> Any:
    """A round workshop stool."""
    legs = metals.paint((0.10, 0.10, 0.11))
    parts = [
        turned([(0, 0.6), (0.16, 0.6), (0.17, 0.61), (0.17, 0.635), (0.16, 0.645), (0, 0.645)], wood.ash())
    ]
    for k in range(4):
        c, s = math.cos(k * math.pi / 2 + 0.6), math.sin(k * math.pi / 2 + 0.6)
        parts.append(tube([(0.2 * c, 0.2 * s, 0.0), (0.1 * c, 0.1 * s, 0.6)], 0.011, legs))
    parts.append(
        tube(
            [(0.17 * math.cos(a), 0.17 * math.sin(a), 0.2) for a in [k * math.pi / 12 for k in range(24)]],
            0.007,
            legs,
            closed=True,
        )
    )
    return group(parts, at)


def workshop(mood: str = "day") -> None:
    """Everything that does not change from picture to picture."""
    lights(mood)
    shell(mood)
    back_wall()
    left_wall()
    right_wall()


def hall(mood: str = "day") -> None:
    """The club's hangar with its doors shut: room for the whole aeroplane."""
    box((26, 22, 0.2), metals.concrete(), (0, 1, -0.1), edge=0)
    tin_sheet = metals.wall((0.52, 0.55, 0.54))
    box((26, 0.2, 5.2), tin_sheet, (0, 6.6, 2.6), edge=0)
    box((22, 0.2, 5.2), tin_sheet, (-10.5, 1, 2.6), (0, 0, 90), edge=0)
    box((22, 0.2, 5.2), tin_sheet, (10.5, 1, 2.6), (0, 0, 90), edge=0)
    box((26, 0.2, 5.2), tin_sheet, (0, -9.0, 2.6), edge=0)
    box((26, 22, 0.1), metals.wall((0.60, 0.61, 0.60)), (0, 1, 5.2), edge=0)
    green = metals.paint((0.10, 0.20, 0.15), 0.5)
    for k in range(4):
        x = -5.7 + 2.2 * k
        box((2.16, 0.07, 3.9), green, (x, 6.42 - 0.05 * (k % 2), 1.97), edge=0.006)
        for z in (0.5, 2.0, 3.6):
            box((2.0, 0.03, 0.10), green, (x, 6.36 - 0.05 * (k % 2), z), edge=0.004)
        box((0.9, 0.02, 0.5), metals.glow((0.85, 0.93, 1.0), 2.2), (x, 6.375 - 0.05 * (k % 2), 2.85))
        box((0.06, 0.08, 0.3), metals.steel(0.3), (x + 0.95, 6.33, 1.2))
    box((9.4, 0.12, 0.16), metals.steel(0.3), (-2.4, 6.40, 4.0))
    for x in (-8.5, -4.5, -0.5, 3.5, 7.5):
        box((0.18, 0.22, 5.1), metals.paint((0.30, 0.31, 0.32)), (x, 6.48, 2.55), edge=0.004)
        box((0.14, 15.0, 0.30), metals.paint((0.30, 0.31, 0.32)), (x, 1, 5.0), edge=0.004)
    chance = random.Random(21)
    pine = wood.pine()
    for level in (0.25, 0.9, 1.55, 2.2):
        box((3.0, 0.5, 0.04), pine, (5.6, 6.1, level))
        x = 4.2
        while x < 6.8:
            x += stores.shelf_thing(chance, (x, 6.1, level + 0.02)) + 0.04
    for x in (4.1, 5.6, 7.1):
        box((0.06, 0.5, 2.4), pine, (x, 6.1, 1.2))
    stores.compressor((3.2, 5.9, 0))
    turned(
        [
            (0, 0),
            (0.28, 0),
            (0.28, 0.29),
            (0.29, 0.3),
            (0.28, 0.31),
            (0.28, 0.58),
            (0.29, 0.59),
            (0.28, 0.6),
            (0.28, 0.88),
            (0.26, 0.87),
            (0, 0.87),
        ],
        metals.paint((0.08, 0.17, 0.30)),
        at=(8.0, 5.6, 0),
    )
    trestle((-7.4, 5.2, 0), 1.0, 0.8, 15)
    for k in range(6):
        beam(
            (-8.6 + 0.08 * k, 6.25, 0.0),
            (-8.7 + 0.07 * k, 6.42, chance.uniform(2.2, 3.2)),
            0.03,
            0.05,
            wood.spruce(),
        )
    power, glow = {"day": (330, (1.0, 0.97, 0.92)), "evening": (420, (1.0, 0.90, 0.76))}[mood]
    lamp("roof lights", (-2.5, -1.0, 5.05), (0, 0, 0), (9, 1.2), power, (0.92, 0.96, 1.0))
    lamp("tubes", (2.5, 3.2, 5.05), (0, 0, 0), (7, 0.5), power * 0.5, glow)
    lamp("side", (-9.8, -2.0, 2.6), (0, -80, 0), (2.5, 5.0), power * 0.9, (0.80, 0.90, 1.0))
    for y in (-1.0, 3.2):
        for x in (-3.5, 0.0, 3.5):
            box((1.6, 0.14, 0.05), metals.glow(glow, 5.0), (x, y, 5.02))
    world = bpy.data.worlds.new("air")
    world.use_nodes = True
    world.node_tree.nodes["Background"].inputs["Color"].default_value = (0.58, 0.62, 0.66, 1)
    world.node_tree.nodes["Background"].inputs["Strength"].default_value = 0.30
    world.light_settings.distance = 1.6
    bpy.context.scene.world = world

"""What stands on shelves, floors and walls behind the parts: tins, boxes, a vice, a compressor, a radio."""

from __future__ import annotations

import random
from typing import Any

from . import metals, wood
from .clutter import TINTS, bottle
from .shapes import ORIGIN, Point, beam, box, circle, group, plate, put, rod, rounded, tube, turned


def tin(chance: random.Random, at: Point) -> Any:
    """A paint or screw tin."""
    r, h = chance.uniform(0.045, 0.085), chance.uniform(0.10, 0.19)
    lid = [(0, h), (r * 0.8, h), (r * 0.85, h - 0.004), (r * 0.92, h), (r, h), (r, h - 0.006)]
    side = metals.paint(chance.choice(TINTS), 0.3)
    return group(
        [turned([(r, h - 0.006), (r, 0.004), (0, 0.004)], side), turned(lid[::-1], metals.steel(0.5))], at
    )


def bin_box(chance: random.Random, at: Point) -> Any:
    """An open storage box."""
    w, d, h = chance.uniform(0.22, 0.36), 0.3, chance.uniform(0.14, 0.24)
    skin = (
        metals.plastic(chance.choice(TINTS), 0.5)
        if chance.random() < 0.6
        else metals.paint((0.42, 0.30, 0.18), 0.9)
    )
    return box((w, d, h), skin, (at[0], at[1], at[2] + h / 2), (0, 0, chance.uniform(-6, 6)), edge=0.006)


def shelf_thing(chance: random.Random, at: Point) -> float:
    """Something on a shelf; returns the room it takes."""
    kind = chance.randrange(4)
    if kind == 0:
        w = chance.uniform(0.16, 0.34)
        skin = metals.paint(chance.choice(((0.42, 0.30, 0.18), (0.38, 0.26, 0.15), (0.25, 0.27, 0.3))), 0.9)
        h = chance.uniform(0.12, 0.32)
        box(
            (w, 0.3, h),
            skin,
            (at[0] + w / 2, at[1], at[2] + h / 2),
            (0, 0, chance.uniform(-4, 4)),
            edge=0.004,
        )
        return w
    if kind == 1:
        tin(chance, (at[0] + 0.085, at[1], at[2]))
        return 0.18
    if kind == 2:
        bottle(
            (at[0] + 0.05, at[1] - 0.05, at[2]),
            ("RESIN", "A"),
            chance.choice(TINTS),
            chance.uniform(0.2, 0.3),
        )
        return 0.11
    turned(
        [(0, 0), (0.07, 0), (0.07, 0.26), (0, 0.26)],
        wood.cloth(chance.choice(TINTS)),
        at=(at[0] + 0.08, at[1] + 0.13, at[2] + 0.07),
        turn=(90, 0, 0),
    )
    return 0.17


def loose(chance: random.Random) -> list[Any]:
    """What a bench's lower shelf carries, round the origin."""
    kind = chance.randrange(3)
    if kind == 0:
        return [tin(chance, (-0.08, 0, 0)), tin(chance, (0.1, 0.05, 0))]
    if kind == 1:
        return [bin_box(chance, ORIGIN)]
    return [
        beam(
            (-0.15, y, 0.03 + 0.03 * (k % 2)),
            (0.16, y + 0.03, 0.03 + 0.03 * (k % 2)),
            0.04,
            0.03,
            wood.spruce(),
        )
        for k, y in enumerate((-0.12, -0.06, 0.02, 0.1))
    ]


def vice(at: Point, turn: float = 0) -> Any:
    """A bench vice; its jaws close on local x = 0, their top 0.14 above the bench."""
    iron = metals.paint((0.05, 0.10, 0.16), 0.4)
    bare = metals.steel(0.35, 0.4)
    parts = [
        plate(rounded(0.16, 0.15, 0.03), 0.02, iron, at=(0.08, 0, 0.01), edge=0.003),
        box((0.13, 0.07, 0.08), iron, (0.09, 0, 0.055), edge=0.012),
        box((0.05, 0.13, 0.06), iron, (0.035, 0, 0.105), edge=0.006),
        box((0.05, 0.13, 0.06), iron, (-0.06, 0, 0.105), edge=0.006),
        box((0.012, 0.125, 0.03), bare, (0.004, 0, 0.125)),
        box((0.012, 0.125, 0.03), bare, (-0.029, 0, 0.125)),
        box((0.2, 0.05, 0.045), iron, (-0.02, 0, 0.07), edge=0.004),
        put(rod(0.013, 0.07, bare), (-0.19, 0, 0.07), (0, 90, 0)),
        put(rod(0.006, 0.22, bare), (-0.18, -0.11, 0.07), (-90, 0, 0)),
    ]
    return group(parts, at, (0, 0, turn), "vice")


def hand_tool(kind: int, chance: random.Random) -> Any:
    """A tool hanging on the board, its top at the origin, lying in the local xz plane."""
    steel, grip = metals.steel(0.45), metals.plastic(TINTS[kind % len(TINTS)])
    if kind % 3 == 0:
        return group(
            [
                put(rod(0.013, 0.26, wood.ash("z")), (0, 0, -0.30)),
                box((0.11, 0.03, 0.03), steel, (0, 0, -0.03), edge=0.004),
            ]
        )
    if kind % 3 == 1:
        return group(
            [
                put(rod(0.004, 0.16, steel), (0, 0, -0.26)),
                put(rod(0.014, 0.1, grip, edge=0.005), (0, 0, -0.11)),
            ]
        )
    long = chance.uniform(0.18, 0.3)
    return group(
        [
            box((0.02, 0.008, long), steel, (0, 0, -long / 2)),
            box((0.035, 0.02, 0.11), grip, (0, 0, -long - 0.05), edge=0.008),
        ]
    )


def compressor(at: Point) -> Any:
    """A small workshop compressor."""
    skin = metals.paint((0.42, 0.05, 0.03), 0.3)
    tank = [(0, 0), (0.1, 0.01), (0.14, 0.05), (0.14, 0.5), (0.1, 0.54), (0, 0.55)]
    parts = [
        turned(tank, skin, at=(-0.27, 0, 0.24), turn=(0, 90, 0)),
        box((0.2, 0.16, 0.16), metals.aluminium(), (-0.06, 0, 0.46), edge=0.01),
        put(rod(0.075, 0.18, metals.paint((0.08, 0.08, 0.09))), (0.06, 0, 0.46), (0, 90, 0)),
    ]
    parts += [put(rod(0.09, 0.04, metals.rubber()), (-0.15, s * 0.17, 0.09), (s * 90, 0, 0)) for s in (-1, 1)]
    parts.append(box((0.06, 0.2, 0.1), skin, (0.2, 0, 0.06)))
    return group(parts, at)


def radio(at: Point) -> Any:
    """A workshop radio."""
    parts = [
        box((0.26, 0.1, 0.15), metals.plastic((0.05, 0.05, 0.06)), (0, 0, 0.075), edge=0.012),
        plate(circle(0.05), 0.004, metals.steel(0.3), at=(-0.06, -0.052, 0.075), turn=(90, 0, 0)),
        box((0.09, 0.004, 0.03), metals.glow((0.6, 0.8, 0.7), 0.4), (0.065, -0.052, 0.1)),
        tube([(0.11, 0.03, 0.14), (0.2, 0.03, 0.42)], 0.002, metals.steel()),
    ]
    return group(parts, at)

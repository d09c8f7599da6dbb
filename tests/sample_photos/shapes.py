"""Solid shapes in metres: boxes, plates, tubes, turned and lofted bodies, and groups of them.

Every shape is made at its own origin with real dimensions (never scaled), so that a material that reads
object coordinates sees metres. ``at`` is a place in metres, ``turn`` a rotation in degrees about x, y, z.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from typing import Any

import bpy
import numpy as np
from mathutils import Matrix, Vector

Point = tuple[float, float, float]
Flat = tuple[float, float]
ORIGIN: Point = (0.0, 0.0, 0.0)


def put(thing: Any, at: Point = ORIGIN, turn: Point = ORIGIN) -> Any:
    """Place ``thing`` and return it."""
    thing.location = at
    thing.rotation_euler = tuple(math.radians(a) for a in turn)
    return thing


def link(data: Any, name: str) -> Any:
    """An object of the current scene that shows ``data``."""
    thing = bpy.data.objects.new(name, data)
    bpy.context.scene.collection.objects.link(thing)
    return thing


def group(parts: Iterable[Any], at: Point = ORIGIN, turn: Point = ORIGIN, name: str = "group") -> Any:
    """Bind ``parts`` (nested groups allowed) to one handle that moves them together."""
    handle = link(None, name)
    for part in parts:
        part.parent = handle
    return put(handle, at, turn)


def soften(thing: Any, width: float, segments: int = 2) -> Any:
    """Round the sharp edges of ``thing`` by ``width``: nothing in a workshop is mathematically sharp."""
    if width > 0:
        rounding = thing.modifiers.new("edge", "BEVEL")
        rounding.width = width
        rounding.segments = segments
        rounding.limit_method = "ANGLE"
        rounding.angle_limit = math.radians(40)
        rounding.harden_normals = False
    return thing


def body(
    points: Any, faces: Sequence[Sequence[int]], material: Any, *, smooth: bool = False, name: str = "body"
) -> Any:
    """A mesh of ``points`` (N × 3) and ``faces`` (index rings)."""
    data = bpy.data.meshes.new(name)
    data.from_pydata([tuple(map(float, p)) for p in points], [], [list(f) for f in faces])
    data.validate()
    data.materials.append(material)
    if smooth:
        data.shade_smooth()
    return link(data, name)


def box(size: Point, material: Any, at: Point = ORIGIN, turn: Point = ORIGIN, edge: float = 0.0008) -> Any:
    """A box of ``size`` centred on ``at``."""
    x, y, z = (s / 2 for s in size)
    points = [(i, j, k) for i in (-x, x) for j in (-y, y) for k in (-z, z)]
    faces = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    return put(soften(body(points, faces, material, name="box"), min(edge, min(size) / 3)), at, turn)


def beam(start: Point, end: Point, width: float, height: float, material: Any, edge: float = 0.0008) -> Any:
    """A straight stick from ``start`` to ``end``; its local x runs along it, ``height`` stays upright."""
    a, b = Vector(start), Vector(end)
    stick = box(((b - a).length, width, height), material, edge=edge)
    along = (b - a).normalized()
    side = Vector((0, 0, 1)).cross(along)
    side = side.normalized() if side.length > 1e-6 else Vector((0, 1, 0))
    stick.matrix_local = (
        Matrix.Translation((a + b) / 2) @ Matrix((along, side, along.cross(side))).transposed().to_4x4()
    )
    return stick


def plate(
    outline: Sequence[Flat],
    thickness: float,
    material: Any,
    *,
    holes: Iterable[Sequence[Flat]] = (),
    at: Point = ORIGIN,
    turn: Point = ORIGIN,
    edge: float = 0.0003,
) -> Any:
    """A flat sheet cut to ``outline`` with ``holes``, in the local xy plane, centred on its thickness."""
    data = bpy.data.curves.new("plate", "CURVE")
    data.dimensions = "2D"
    data.fill_mode = "BOTH"
    edge = min(edge, thickness / 4)
    data.extrude = thickness / 2 - edge
    data.bevel_depth = edge
    data.bevel_resolution = 1
    data.offset = -edge
    for ring in (outline, *holes):
        spline = data.splines.new("POLY")
        spline.points.add(len(ring) - 1)
        for point, (x, y) in zip(spline.points, ring, strict=True):
            point.co = (x, y, 0, 1)
        spline.use_cyclic_u = True
    data.materials.append(material)
    return put(link(data, "plate"), at, turn)


def tube(
    path: Sequence[Point],
    radius: float,
    material: Any,
    *,
    curved: bool = False,
    closed: bool = False,
    sides: int = 6,
) -> Any:
    """A round bar, tube, wire or hose along ``path``; ``curved`` draws a smooth line through the points."""
    data = bpy.data.curves.new("tube", "CURVE")
    data.dimensions = "3D"
    data.bevel_depth = radius
    data.bevel_resolution = sides
    data.use_fill_caps = True
    spline = data.splines.new("BEZIER" if curved else "POLY")
    if curved:
        data.resolution_u = 14
        spline.bezier_points.add(len(path) - 1)
        for knot, place in zip(spline.bezier_points, path, strict=True):
            knot.co = place
            knot.handle_left_type = knot.handle_right_type = "AUTO"
    else:
        spline.points.add(len(path) - 1)
        for point, place in zip(spline.points, path, strict=True):
            point.co = (*place, 1)
    spline.use_cyclic_u = closed
    spline.use_smooth = True
    data.materials.append(material)
    return link(data, "tube")


def turned(
    profile: Sequence[Flat],
    material: Any,
    *,
    at: Point = ORIGIN,
    turn: Point = ORIGIN,
    sides: int = 48,
    edge: float = 0.0,
    smooth: bool = True,
) -> Any:
    """A body turned about the local z axis from ``profile`` pairs (radius, height); radius 0 closes it."""
    angles = np.linspace(0, 2 * math.pi, sides, endpoint=False)
    points: list[Point] = []
    rings: list[list[int]] = []
    for radius, height in profile:
        if radius <= 0:
            rings.append([len(points)] * sides)
            points.append((0, 0, height))
        else:
            rings.append(list(range(len(points), len(points) + sides)))
            points.extend((radius * math.cos(a), radius * math.sin(a), height) for a in angles)
    faces = []
    for lower, upper in itertools.pairwise(rings):
        for i in range(sides):
            j = (i + 1) % sides
            ring = [lower[i], lower[j], upper[j], upper[i]]
            faces.append(list(dict.fromkeys(ring)))
    thing = body(points, faces, material, smooth=smooth, name="turned")
    if smooth:
        split = thing.modifiers.new("split", "EDGE_SPLIT")
        split.split_angle = math.radians(35)
    return put(soften(thing, edge), at, turn)


def rod(
    radius: float,
    length: float,
    material: Any,
    at: Point = ORIGIN,
    turn: Point = ORIGIN,
    edge: float = 0.0005,
) -> Any:
    """A round bar along the local z axis, its foot at ``at``, with a small chamfer."""
    e = min(edge, radius / 3, length / 3)
    profile = [(0, 0), (radius - e, 0), (radius, e), (radius, length - e), (radius - e, length), (0, length)]
    return turned(profile, material, at=at, turn=turn, sides=32)


def loft(
    rings: Sequence[Sequence[Point]],
    material: Any,
    *,
    closed: bool = True,
    caps: bool = False,
    smooth: bool = True,
) -> Any:
    """A skin through ``rings`` of equally many points; ``closed`` joins each one's last to its first."""
    count = len(rings[0])
    points = [p for ring in rings for p in ring]
    last = count if closed else count - 1
    faces = [
        [r * count + i, r * count + (i + 1) % count, (r + 1) * count + (i + 1) % count, (r + 1) * count + i]
        for r in range(len(rings) - 1)
        for i in range(last)
    ]
    if caps:
        faces.append(list(range(count)))
        faces.append(list(range(len(points) - count, len(points))))
    thing = body(points, faces, material, smooth=smooth, name="loft")
    if smooth:
        split = thing.modifiers.new("split", "EDGE_SPLIT")
        split.split_angle = math.radians(40)
    return thing


def thicken(thing: Any, thickness: float) -> Any:
    """Give a skin a wall, inwards."""
    wall = thing.modifiers.new("wall", "SOLIDIFY")
    wall.thickness = thickness
    return thing


def circle(radius: float, centre: Flat = (0, 0), sides: int = 32) -> list[Flat]:
    """The corner points of a near-circle."""
    return [
        (
            centre[0] + radius * math.cos(2 * math.pi * i / sides),
            centre[1] + radius * math.sin(2 * math.pi * i / sides),
        )
        for i in range(sides)
    ]


def rounded(width: float, height: float, radius: float, centre: Flat = (0, 0), steps: int = 6) -> list[Flat]:
    """A rectangle with round corners."""
    ring: list[Flat] = []
    for quarter, (sx, sy) in enumerate(((1, 1), (-1, 1), (-1, -1), (1, -1))):
        cx = centre[0] + sx * (width / 2 - radius)
        cy = centre[1] + sy * (height / 2 - radius)
        for step in range(steps + 1):
            angle = math.pi / 2 * (quarter + step / steps)
            ring.append((cx + radius * math.cos(angle), cy + radius * math.sin(angle)))
    return ring


def sheet(
    width: float, depth: float, material: Any, at: Point = ORIGIN, turn: Point = ORIGIN, curl: float = 0.0
) -> Any:
    """Paper or cloth with texture coordinates 0…1 over its face, its far edges lifted by ``curl``."""
    n = 12
    points, faces = [], []
    for j in range(n + 1):
        for i in range(n + 1):
            u, v = i / n, j / n
            lift = curl * (max(0.0, u - 0.7) / 0.3) ** 2 + 0.6 * curl * (max(0.0, 0.2 - v) / 0.2) ** 2
            points.append(((u - 0.5) * width, (v - 0.5) * depth, lift))
    for j in range(n):
        for i in range(n):
            a = j * (n + 1) + i
            faces.append([a, a + 1, a + n + 2, a + n + 1])
    thing = body(points, faces, material, smooth=True, name="sheet")
    layer = thing.data.uv_layers.new(name="face")
    for loop in thing.data.loops:
        k = loop.vertex_index
        layer.data[loop.index].uv = ((k % (n + 1)) / n, (k // (n + 1)) / n)
    return put(thing, at, turn)

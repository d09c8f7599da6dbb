"""A digest of all in the scene that a picture depends on, so that only what changed is rendered again."""

from __future__ import annotations

import hashlib
from typing import Any

import bpy
import numpy as np

TOLD = {"INT", "FLOAT", "ENUM", "BOOLEAN"}
"""Kinds of properties whose values decide a picture; text and pointers are told by what they point to."""


def _plain(value: Any) -> Any:
    if isinstance(value, float):
        return round(value, 6)
    if isinstance(value, set):
        return sorted(value)
    if hasattr(value, "__len__") and not isinstance(value, str):
        return [_plain(part) for part in value]
    return value


def _values(owner: Any) -> str:
    # What every data block carries, such as its number in this session, says nothing about the picture.
    common = set(bpy.types.ID.bl_rna.properties.keys())
    names = sorted(
        p.identifier for p in owner.bl_rna.properties if p.type in TOLD and p.identifier not in common
    )
    return ";".join(f"{name}={_plain(getattr(owner, name))}" for name in names)


def _tree(tree: Any) -> str:
    text = []
    for node in tree.nodes:
        inputs = [_plain(s.default_value) for s in node.inputs if hasattr(s, "default_value")]
        ramp = getattr(node, "color_ramp", None)
        stops = [(_plain(e.position), _plain(e.color)) for e in ramp.elements] if ramp else []
        image = getattr(node, "image", None)
        text.append(f"{node.bl_idname} {_values(node)} {inputs} {stops} {image.name if image else ''}")
    for wire in tree.links:
        ends = (
            wire.from_node.name,
            wire.from_socket.identifier,
            wire.to_node.name,
            wire.to_socket.identifier,
        )
        text.append(" > ".join(ends))
    return "\n".join(text)


def _shape(told: Any, thing: Any) -> None:
    data = thing.data
    if thing.type == "MESH":
        flat = np.empty(len(data.vertices) * 3, dtype=np.float32)
        data.vertices.foreach_get("co", flat)
        told.update(np.round(flat, 6).tobytes())
    elif thing.type == "CURVE":
        told.update(_values(data).encode())
        for spline in data.splines:
            points = [(_plain(p.co), _plain(p.radius)) for p in (*spline.points, *spline.bezier_points)]
            told.update(str(points).encode())
    elif data is not None:
        told.update(_values(data).encode())
    for modifier in thing.modifiers:
        told.update(_values(modifier).encode())
    told.update(" ".join(slot.material.name for slot in thing.material_slots if slot.material).encode())


def scene_digest() -> str:
    """The digest of the present scene: shapes, places, surfaces, lights, camera, settings."""
    scene = bpy.context.scene
    bpy.context.view_layer.update()
    told = hashlib.sha256()
    for thing in scene.objects:
        told.update(f"{thing.name} {thing.hide_render} {_plain(thing.matrix_world)}".encode())
        _shape(told, thing)
    for material in bpy.data.materials:
        told.update((material.name + _tree(material.node_tree)).encode())
    told.update(_tree(scene.world.node_tree).encode())
    for image in bpy.data.images:
        if image.size[0] and image.source == "GENERATED":
            pixels = np.empty(len(image.pixels), dtype=np.float32)
            image.pixels.foreach_get(pixels)
            told.update(image.name.encode() + np.round(pixels * 255).astype(np.uint8).tobytes())
    render = scene.render
    size = f"{render.resolution_x} x {render.resolution_y}"
    parts = (size, *map(_values, (scene.cycles, scene.view_settings, scene.camera.data.dof)))
    told.update(" ".join(parts).encode())
    return told.hexdigest()[:20]

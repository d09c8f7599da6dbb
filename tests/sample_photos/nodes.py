"""A short way to write procedural materials as node graphs."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from functools import wraps
from typing import Any

import bpy

Colour = tuple[float, float, float]


def named(make: Callable[..., Any]) -> Callable[..., Any]:
    """Make each material once per scene: the same function with the same words gives the same material."""

    @wraps(make)
    def once(*args: Any, **kwargs: Any) -> Any:
        words = [
            getattr(word, "name", str(word)) for word in (*args, *(kwargs[key] for key in sorted(kwargs)))
        ]
        name = ":".join([make.__name__, *sorted(kwargs), *words])
        if len(name) > 60:
            name = name[:36] + hashlib.sha256(name.encode()).hexdigest()[:20]
        found = bpy.data.materials.get(name)
        if found is None:
            found = make(*args, **kwargs)
            found.name = name
        return found

    return once


def grey(value: float) -> Colour:
    """A neutral colour."""
    return (value, value, value)


def shaded(colour: Colour, share: float, lift: float = 0.0) -> Colour:
    """``colour`` darkened to ``share`` of itself, ``lift`` added."""
    red, green, blue = colour
    return (red * share + lift, green * share + lift, blue * share + lift)


class Surface:
    """One material under construction. Sockets are passed as values; numbers may stand in their place."""

    def __init__(self) -> None:
        self.material = bpy.data.materials.new("surface")
        self.material.use_nodes = True
        self.tree = self.material.node_tree
        self.shader = self.tree.nodes["Principled BSDF"]
        self.output = self.tree.nodes["Material Output"]

    def _node(self, kind: str, **settings: Any) -> Any:
        node = self.tree.nodes.new(kind)
        for key, value in settings.items():
            setattr(node, key, value)
        return node

    def _feed(self, socket: Any, value: Any) -> None:
        if hasattr(value, "is_output"):
            self.tree.links.new(value, socket)
        elif isinstance(value, tuple) and len(value) == 3 and socket.type == "RGBA":
            socket.default_value = (*value, 1.0)
        else:
            socket.default_value = value

    def place(self, stretch: Colour = (1, 1, 1), loose: float = 3.0) -> Any:
        """Object coordinates in metres, each object shifted at random by up to ``loose``, then stretched."""
        coordinates = self._node("ShaderNodeTexCoord").outputs["Object"]
        chance = self._node("ShaderNodeObjectInfo").outputs["Random"]
        shift = self._node("ShaderNodeVectorMath", operation="SCALE")
        shift.inputs[0].default_value = (1.0, 0.73, 0.41)
        scaled = self.number("MULTIPLY", chance, loose)
        self._feed(shift.inputs["Scale"], scaled)
        moved = self._node("ShaderNodeVectorMath", operation="ADD")
        self._feed(moved.inputs[0], coordinates)
        self._feed(moved.inputs[1], shift.outputs[0])
        mapping = self._node("ShaderNodeVectorMath", operation="MULTIPLY")
        self._feed(mapping.inputs[0], moved.outputs[0])
        mapping.inputs[1].default_value = stretch
        return mapping.outputs[0]

    def face(self) -> Any:
        """The texture coordinates of a sheet."""
        return self._node("ShaderNodeTexCoord").outputs["UV"]

    def across(self) -> Any:
        """How far the surface looks along the local z axis: 1 on the face of a plate, 0 on its edge."""
        normal = self._node("ShaderNodeTexCoord").outputs["Normal"]
        parts = self._node("ShaderNodeSeparateXYZ")
        self._feed(parts.inputs[0], normal)
        return self.number("ABSOLUTE", parts.outputs["Z"], 0)

    def noise(
        self, at: Any, scale: float, detail: float = 4, rough: float = 0.55, distort: float = 0.0
    ) -> Any:
        """Fractal noise, 0…1."""
        node = self._node("ShaderNodeTexNoise")
        for key, value in (
            ("Scale", scale),
            ("Detail", detail),
            ("Roughness", rough),
            ("Distortion", distort),
        ):
            node.inputs[key].default_value = value
        self._feed(node.inputs["Vector"], at)
        return node.outputs[0]

    def cells(self, at: Any, scale: float, feature: str = "F1") -> Any:
        """Distance to scattered points (Voronoi)."""
        node = self._node("ShaderNodeTexVoronoi", feature=feature)
        node.inputs["Scale"].default_value = scale
        self._feed(node.inputs["Vector"], at)
        return node.outputs["Distance"]

    def waves(
        self,
        at: Any,
        scale: float,
        *,
        rings: bool = False,
        axis: str = "X",
        distort: float = 0.0,
        detail: float = 2,
    ) -> Any:
        """Bands across ``axis``, or rings about it."""
        node = self._node("ShaderNodeTexWave", wave_type="RINGS" if rings else "BANDS")
        if rings:
            node.rings_direction = axis
        else:
            node.bands_direction = axis
        for key, value in (
            ("Scale", scale),
            ("Distortion", distort),
            ("Detail", detail),
            ("Detail Scale", 1.2),
        ):
            node.inputs[key].default_value = value
        self._feed(node.inputs["Vector"], at)
        return node.outputs["Fac"]

    def ramp(self, fac: Any, *stops: tuple[float, Colour]) -> Any:
        """Colours by ``fac``."""
        node = self._node("ShaderNodeValToRGB")
        elements = node.color_ramp.elements
        while len(elements) < len(stops):
            elements.new(0.5)
        for element, (where, colour) in zip(elements, stops, strict=False):
            element.position = where
            element.color = (*colour, 1)
        self._feed(node.inputs["Fac"], fac)
        return node.outputs["Color"]

    def mix(self, fac: Any, first: Any, second: Any, how: str = "MIX") -> Any:
        """Two colours blended."""
        node = self._node("ShaderNodeMix", data_type="RGBA", blend_type=how)
        self._feed(node.inputs[0], fac)
        self._feed(node.inputs[6], first)
        self._feed(node.inputs[7], second)
        return node.outputs[2]

    def number(self, how: str, first: Any, second: Any, clamp: bool = False) -> Any:
        """Arithmetic on numbers."""
        node = self._node("ShaderNodeMath", operation=how, use_clamp=clamp)
        self._feed(node.inputs[0], first)
        self._feed(node.inputs[1], second)
        return node.outputs[0]

    def between(self, fac: Any, low: float, high: float, to_low: float = 0.0, to_high: float = 1.0) -> Any:
        """Map ``low``…``high`` to ``to_low``…``to_high``, clamped."""
        node = self._node("ShaderNodeMapRange")
        for index, value in enumerate((fac, low, high, to_low, to_high)):
            self._feed(node.inputs[index], value)
        return node.outputs[0]

    def picture(self, image: Any, at: Any) -> Any:
        """An image as colour."""
        node = self._node("ShaderNodeTexImage", extension="EXTEND")
        node.image = image
        self._feed(node.inputs["Vector"], at)
        return node.outputs["Color"]

    def bump(self, height: Any, distance: float, strength: float = 1.0) -> Any:
        """Relief of ``distance`` metres."""
        node = self._node("ShaderNodeBump")
        node.inputs["Strength"].default_value = strength
        node.inputs["Distance"].default_value = distance
        self._feed(node.inputs["Height"], height)
        return node.outputs["Normal"]

    def finish(self, **inputs: Any) -> Any:
        """Feed the shader (``Base_Color=…``, ``Roughness=…``) and return the material.

        Only what the camera sees needs the grain: light that has already bounced off something rough meets a
        plain surface of the same average colour, which spares most of the work.
        """
        for key, value in inputs.items():
            self._feed(self.shader.inputs[key.replace("_", " ")], value)
        if inputs.get("Emission_Strength"):
            return self.material
        plain = self._node("ShaderNodeBsdfDiffuse")
        plain.inputs["Color"].default_value = (*self._average(inputs.get("Base_Color", grey(0.5))), 1)
        path = self._node("ShaderNodeLightPath")
        choice = self._node("ShaderNodeMixShader")
        self._feed(choice.inputs[0], path.outputs["Is Diffuse Ray"])
        self._feed(choice.inputs[1], self.shader.outputs[0])
        self._feed(choice.inputs[2], plain.outputs[0])
        self._feed(self.output.inputs["Surface"], choice.outputs[0])
        return self.material

    def _average(self, colour: Any) -> Any:
        if not hasattr(colour, "is_output"):
            return colour
        node = colour.node
        if hasattr(node, "color_ramp"):
            shades = [tuple(e.color)[:3] for e in node.color_ramp.elements]
            return tuple(sum(c) / len(shades) for c in zip(*shades, strict=True))
        feed = node.inputs[6] if node.bl_idname == "ShaderNodeMix" else None
        if feed is not None and feed.is_linked:
            return self._average(feed.links[0].from_socket)
        return tuple(feed.default_value)[:3] if feed is not None else grey(0.5)

"""Metals, paints, rubber, plastics, glass and the building's own surfaces."""

from __future__ import annotations

from typing import Any

from .nodes import Colour, Surface, grey, named, shaded


@named
def aluminium(brushed: bool = True, tone: float = 0.72) -> Any:
    """Bare aluminium sheet or bar with handling marks."""
    s = Surface()
    lines = s.noise(s.place((1.0, 60, 60)), 12, 3)
    smudge = s.noise(s.place(), 16, 5, 0.65, 0.5)
    return s.finish(
        Base_Color=s.ramp(smudge, (0.3, grey(tone * 0.86)), (0.7, grey(tone))),
        Metallic=1.0,
        Roughness=s.between(smudge, 0.35, 0.7, 0.26, 0.44),
        Normal=s.bump(lines, 0.0001, 0.35 if brushed else 0.0),
    )


@named
def steel(tone: float = 0.42, rough: float = 0.32) -> Any:
    """Plain or plated steel: bolts, clamps, rules, files."""
    s = Surface()
    smudge = s.noise(s.place(), 30, 5, 0.65)
    return s.finish(
        Base_Color=s.ramp(smudge, (0.3, grey(tone * 0.8)), (0.7, grey(tone))),
        Metallic=1.0,
        Roughness=s.between(smudge, 0.3, 0.7, rough - 0.08, rough + 0.12),
    )


@named
def raw_tube() -> Any:
    """Chromium-molybdenum tube as welded: dark mill scale, rubbed brighter here and there."""
    s = Surface()
    scale = s.noise(s.place(), 18, 6, 0.65, 0.3)
    fine = s.noise(s.place(), 260, 3)
    base = s.ramp(
        scale, (0.30, (0.085, 0.085, 0.09)), (0.55, (0.16, 0.155, 0.15)), (0.75, (0.27, 0.25, 0.235))
    )
    return s.finish(
        Base_Color=base,
        Metallic=0.85,
        Roughness=s.between(fine, 0.3, 0.7, 0.36, 0.55),
        Normal=s.bump(fine, 0.00015, 0.4),
    )


@named
def weld() -> Any:
    """A gas weld: ripples, straw and blue tempering colours."""
    s = Surface()
    hue = s.noise(s.place(), 45, 3)
    base = s.ramp(
        hue,
        (0.3, (0.10, 0.095, 0.09)),
        (0.45, (0.165, 0.135, 0.105)),
        (0.55, (0.105, 0.105, 0.135)),
        (0.7, (0.15, 0.14, 0.14)),
    )
    ripple = s.waves(s.place(), 150, axis="DIAGONAL", distort=4)
    return s.finish(Base_Color=base, Metallic=0.8, Roughness=0.4, Normal=s.bump(ripple, 0.0012, 0.8))


@named
def brass(tone: Colour = (0.62, 0.43, 0.17)) -> Any:
    """Brass and cadmium-yellow fittings."""
    s = Surface()
    smudge = s.noise(s.place(), 40, 4)
    return s.finish(
        Base_Color=s.ramp(smudge, (0.3, shaded(tone, 0.75)), (0.7, tone)),
        Metallic=1.0,
        Roughness=0.33,
    )


@named
def paint(colour: Colour, rough: float = 0.35, wear: float = 0.25) -> Any:
    """Brushed or sprayed paint with a little dust and rubbing."""
    s = Surface()
    cloud = s.noise(s.place(), 9, 5, 0.6)
    peel = s.noise(s.place(), 240, 2)
    dull = shaded(colour, 0.78, 0.02)
    return s.finish(
        Base_Color=s.ramp(cloud, (0.3, dull), (0.7, colour)),
        Roughness=s.between(cloud, 0.3, 0.7, rough + wear * 0.4, rough),
        Normal=s.bump(peel, 0.0001, 0.25),
    )


def primer(tint: str = "grey") -> Any:
    """Two-pack primer, matt: grey for tube, green for aluminium, red for odd brackets."""
    colour = {"grey": (0.36, 0.38, 0.38), "green": (0.30, 0.36, 0.13), "red": (0.27, 0.07, 0.045)}[tint]
    return paint(colour, 0.55, 0.2)


@named
def rubber(tone: float = 0.018) -> Any:
    """Tyres, hoses, feet."""
    s = Surface()
    dust = s.noise(s.place(), 24, 5)
    return s.finish(
        Base_Color=s.ramp(dust, (0.35, grey(tone)), (0.75, grey(tone * 2.4 + 0.01))),
        Roughness=s.between(dust, 0.3, 0.7, 0.55, 0.8),
        Normal=s.bump(s.noise(s.place(), 400), 0.0002, 0.4),
    )


@named
def plastic(colour: Colour, rough: float = 0.35) -> Any:
    """Moulded plastic."""
    s = Surface()
    scuff = s.noise(s.place(), 60, 4)
    return s.finish(Base_Color=colour, Roughness=s.between(scuff, 0.3, 0.7, rough - 0.06, rough + 0.12))


@named
def glass(tint: Colour = (0.98, 0.99, 0.99)) -> Any:
    """Thin clear glass or acrylic; lets light straight through, mirrors at a glance."""
    s = Surface()
    clear = s._node("ShaderNodeBsdfTransparent")
    clear.inputs["Color"].default_value = (*tint, 1)
    mirror = s._node("ShaderNodeBsdfGlossy")
    mirror.inputs["Roughness"].default_value = 0.03
    fresnel = s._node("ShaderNodeFresnel")
    fresnel.inputs["IOR"].default_value = 1.48
    blend = s._node("ShaderNodeMixShader")
    s._feed(blend.inputs[0], fresnel.outputs[0])
    s._feed(blend.inputs[1], clear.outputs[0])
    s._feed(blend.inputs[2], mirror.outputs[0])
    s._feed(s.output.inputs["Surface"], blend.outputs[0])
    return s.material


@named
def glow(colour: Colour, strength: float) -> Any:
    """A lamp tube or the sky outside a window."""
    s = Surface()
    return s.finish(Base_Color=grey(0.0), Emission_Color=colour, Emission_Strength=strength)


@named
def resin(colour: Colour = (0.55, 0.30, 0.08)) -> Any:
    """Cured or wet epoxy: squeeze-out, runs, pots."""
    s = Surface()
    return s.finish(
        Base_Color=colour,
        Roughness=0.12,
        Coat_Weight=0.6,
        Subsurface_Weight=0.25,
        Subsurface_Radius=(0.004, 0.002, 0.001),
    )


@named
def concrete() -> Any:
    """A trowelled, stained floor."""
    s = Surface()
    at = s.place(loose=0.0)
    cloud = s.noise(at, 0.9, 7, 0.62, 0.3)
    fine = s.noise(at, 60, 6, 0.7)
    spots = s.cells(at, 2.6)
    crack = s.cells(s.place((0.25, 0.25, 1), loose=0.0), 1.0, "DISTANCE_TO_EDGE")
    base = s.ramp(
        cloud, (0.28, (0.125, 0.12, 0.112)), (0.5, (0.20, 0.193, 0.182)), (0.75, (0.28, 0.27, 0.25))
    )
    base = s.mix(s.between(fine, 0.35, 0.7, 0.0, 0.3), base, (0.16, 0.155, 0.15))
    base = s.mix(s.between(spots, 0.02, 0.16, 0.7, 0.0), base, (0.09, 0.085, 0.08))
    base = s.mix(s.between(crack, 0.0, 0.0016, 0.18, 0.0), base, (0.09, 0.085, 0.08))
    return s.finish(
        Base_Color=base, Roughness=s.between(cloud, 0.3, 0.75, 0.42, 0.68), Normal=s.bump(fine, 0.0012, 0.35)
    )


@named
def wall(colour: Colour = (0.66, 0.65, 0.60)) -> Any:
    """Limewashed boards, upright, with dirt rising from the floor."""
    s = Surface()
    board = s.waves(s.place(loose=0.0), 0.314 / 0.145, axis="X")
    stain = s.noise(s.place((1, 1, 0.35), loose=0.0), 2.2, 6, 0.6)
    base = s.ramp(stain, (0.3, shaded(colour, 0.78)), (0.65, colour))
    base = s.mix(s.between(board, 0.0, 0.02, 0.75, 0.0), base, grey(0.12))
    return s.finish(Base_Color=base, Roughness=0.75, Normal=s.bump(board, 0.004, 0.3))


@named
def printed(image: Any, rough: float = 0.75) -> Any:
    """Print on paper, a dial face, a label: the image over the sheet's own coordinates."""
    s = Surface()
    return s.finish(Base_Color=s.picture(image, s.face()), Roughness=rough)

"""Woods and other grown or spun surfaces of the workshop."""

from __future__ import annotations

from typing import Any

from .nodes import Colour, Surface, named, shaded


def _stretch(axis: str, along: float, across: float = 1.0) -> Colour:
    return (
        along if axis == "x" else across,
        along if axis == "y" else across,
        along if axis == "z" else across,
    )


def _timber(light: Colour, dark: Colour, axis: str, ring: float, rough: float, sheen: float = 0.0) -> Any:
    s = Surface()
    at = s.place(_stretch(axis, 0.06))
    rings = s.waves(at, 0.314 / ring, rings=True, axis=axis.upper(), distort=5.0, detail=3)
    fibre = s.noise(s.place(_stretch(axis, 0.02)), 900, 3)
    patch = s.noise(s.place(_stretch(axis, 0.25)), 9, 3)
    colour = s.ramp(rings, (0.0, light), (0.55, light), (0.9, dark), (1.0, light))
    colour = s.mix(s.between(fibre, 0.35, 0.7, 0.0, 0.35), colour, dark)
    colour = s.mix(s.between(patch, 0.3, 0.75, 0.0, 0.30), colour, shaded(dark, 0.72))
    return s.finish(
        Base_Color=colour,
        Roughness=s.between(fibre, 0.3, 0.7, rough - 0.08, rough + 0.08),
        Coat_Weight=sheen,
        Coat_Roughness=0.18,
        Normal=s.bump(fibre, 0.00025, 0.5),
    )


@named
def spruce(axis: str = "x", varnished: bool = False) -> Any:
    """Straight-grained spruce along ``axis``."""
    if varnished:
        return _timber((0.62, 0.37, 0.15), (0.40, 0.20, 0.065), axis, 0.0022, 0.4, 0.8)
    return _timber((0.80, 0.61, 0.39), (0.64, 0.43, 0.23), axis, 0.0022, 0.62)


@named
def pine(axis: str = "x") -> Any:
    """Sawn construction pine: trestles, jigs, shelves."""
    return _timber((0.60, 0.42, 0.23), (0.38, 0.22, 0.10), axis, 0.006, 0.7)


@named
def ash(axis: str = "x") -> Any:
    """Ash and beech: tool handles, skids, blocks."""
    return _timber((0.50, 0.34, 0.18), (0.34, 0.20, 0.09), axis, 0.004, 0.5)


@named
def mahogany(axis: str = "x", varnished: bool = True) -> Any:
    """Reddish hardwood of propellers and packing blocks."""
    return _timber((0.26, 0.095, 0.040), (0.12, 0.036, 0.015), axis, 0.010, 0.45, 0.9 if varnished else 0.0)


@named
def laminate(axis: str = "x", layer: float = 0.012) -> Any:
    """Glued layers of alternating tone across local z, varnished: a laminated propeller blade."""
    s = Surface()
    bands = s.waves(s.place(loose=0.0), 0.314 / (2 * layer), axis="Z")
    fibre = s.noise(s.place(_stretch(axis, 0.03)), 500, 3)
    colour = s.ramp(bands, (0.46, (0.33, 0.135, 0.052)), (0.54, (0.54, 0.29, 0.115)))
    colour = s.mix(s.between(fibre, 0.3, 0.7, 0.0, 0.45), colour, (0.20, 0.08, 0.03))
    return s.finish(Base_Color=colour, Roughness=0.35, Coat_Weight=1.0, Coat_Roughness=0.06)


@named
def birch(axis: str = "x", varnished: bool = False, ply: float = 0.0012, bent: bool = False) -> Any:
    """Birch plywood in the local xy plane: a pale face, layers on its edge (none where it is ``bent``)."""
    s = Surface()
    flow = s.noise(s.place(_stretch(axis, 0.10)), 14, 5, 0.6, 0.6)
    fibre = s.noise(s.place(_stretch(axis, 0.03)), 700, 2)
    light, dark = (
        ((0.66, 0.42, 0.19), (0.47, 0.25, 0.085))
        if varnished
        else (
            (0.76, 0.60, 0.42),
            (0.62, 0.44, 0.27),
        )
    )
    figure = s.ramp(flow, (0.30, light), (0.44, dark), (0.50, light), (0.58, dark), (0.68, light))
    face = s.mix(0.55, figure, s.ramp(s.noise(s.place(_stretch(axis, 0.3)), 5), (0.3, light), (0.7, dark)))
    face = s.mix(s.between(fibre, 0.4, 0.75, 0.0, 0.4), face, dark)
    layers = s.waves(s.place(loose=0.0), 0.314 / (2 * ply), axis="Z")
    edge = s.ramp(layers, (0.40, (0.58, 0.41, 0.24)), (0.6, (0.30, 0.17, 0.075)))
    across = 1.0 if bent else s.between(s.across(), 0.45, 0.6)
    return s.finish(
        Base_Color=s.mix(across, edge, face),
        Roughness=0.55,
        Coat_Weight=0.7 if varnished else 0.0,
        Coat_Roughness=0.15,
        Normal=s.bump(fibre, 0.0002, 0.5),
    )


@named
def worn_bench() -> Any:
    """A bench top of glued pine boards: stains, dents, old glue and ink."""
    s = Surface()
    at = s.place((0.06, 1, 1), loose=0.0)
    boards = s.waves(s.place(loose=0.0), 0.314 / 0.11, axis="Y")
    rings = s.waves(at, 60, rings=True, axis="X", distort=7, detail=3)
    fibre = s.noise(s.place((0.03, 1, 1), loose=0.0), 500, 3)
    stain = s.noise(s.place(loose=0.0), 4.5, 6, 0.65, 0.4)
    spots = s.cells(s.place(loose=0.0), 11)
    scratch = s.noise(s.place((0.5, 12, 1), loose=0.0), 22, 2, 0.4, 3.0)
    wood = s.ramp(rings, (0.2, (0.47, 0.33, 0.19)), (0.9, (0.34, 0.215, 0.11)))
    wood = s.mix(s.between(fibre, 0.35, 0.7, 0.0, 0.5), wood, (0.25, 0.15, 0.075))
    wood = s.mix(s.between(stain, 0.48, 0.72, 0.0, 0.75), wood, (0.16, 0.10, 0.06))
    wood = s.mix(s.between(spots, 0.05, 0.14, 0.5, 0.0), wood, (0.10, 0.065, 0.045))
    wood = s.mix(s.between(scratch, 0.66, 0.72, 0.0, 0.35), wood, (0.60, 0.46, 0.30))
    wood = s.mix(s.between(boards, 0.0, 0.012, 0.8, 0.0), wood, (0.06, 0.04, 0.025))
    return s.finish(
        Base_Color=wood, Roughness=s.between(stain, 0.3, 0.7, 0.66, 0.42), Normal=s.bump(fibre, 0.0006, 0.6)
    )


@named
def fabric(state: str = "bare", colour: Colour = (0.80, 0.78, 0.71)) -> Any:
    """Covering: ``bare`` polyester, ``primed`` (sealed, pinkish brush marks), ``silver`` or ``painted``."""
    s = Surface()
    warp = s.waves(s.place(loose=0.0), 0.314 / 0.0011, axis="X")
    weft = s.waves(s.place(loose=0.0), 0.314 / 0.0011, axis="Y")
    weave = s.number("MAXIMUM", warp, weft)
    uneven = s.noise(s.place(), 7, 4)
    tone = {
        "bare": (0.66, 0.63, 0.55),
        "tape": (0.74, 0.71, 0.63),
        "primed": (0.74, 0.57, 0.50),
        "silver": (0.52, 0.53, 0.55),
    }.get(state, colour)
    dark = shaded(tone, 0.86 if state != "primed" else 0.74)
    base = s.ramp(uneven, (0.35, dark), (0.65, tone))
    relief = s.bump(weave, 0.00012, {"bare": 0.5, "tape": 0.5, "primed": 0.35}.get(state, 0.06))
    return s.finish(
        Base_Color=base,
        Metallic=0.55 if state == "silver" else 0.0,
        Roughness={"bare": 0.75, "tape": 0.7, "primed": 0.45, "silver": 0.42}.get(state, 0.22),
        Coat_Weight=0.6 if state == "painted" else 0.0,
        Transmission_Weight=0.0,
        Sheen_Weight=0.2 if state == "bare" else 0.0,
        Normal=relief,
    )


@named
def cloth(colour: Colour = (0.30, 0.08, 0.06)) -> Any:
    """Rags, webbing and upholstery."""
    s = Surface()
    weave = s.number("MAXIMUM", s.waves(s.place(), 260, axis="X"), s.waves(s.place(), 260, axis="Y"))
    fade = s.noise(s.place(), 14, 5)
    base = s.ramp(fade, (0.35, shaded(colour, 0.65)), (0.7, colour))
    return s.finish(Base_Color=base, Roughness=0.9, Sheen_Weight=0.3, Normal=s.bump(weave, 0.0004, 0.6))

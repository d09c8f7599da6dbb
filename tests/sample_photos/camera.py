"""The phone's camera and the path tracer behind it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import bpy
from mathutils import Vector

from .shapes import Point, link

LONG, SHORT = 1152, 864
SAMPLES = 7


def aim(
    eye: Point,
    target: Point,
    lens: float = 26.0,
    *,
    focus: Point | None = None,
    stop: float = 6.0,
    tilt: float = 0.0,
) -> Any:
    """Hold the camera at ``eye``, pointing at ``target``; ``lens`` is the 35 mm equivalent focal length."""
    data = bpy.data.cameras.new("phone")
    data.lens = lens
    data.sensor_width = 36
    data.sensor_fit = "AUTO"
    data.clip_start = 0.005
    data.dof.use_dof = True
    data.dof.focus_distance = (Vector(focus or target) - Vector(eye)).length
    data.dof.aperture_fstop = stop
    thing = link(data, "phone")
    thing.location = eye
    look = (Vector(target) - Vector(eye)).to_track_quat("-Z", "Y")
    thing.rotation_euler = look.to_euler()
    thing.rotation_euler.rotate_axis("Z", tilt * 3.14159265 / 180)
    bpy.context.scene.camera = thing
    return thing


def clear() -> None:
    """An empty scene."""
    bpy.ops.wm.read_factory_settings(use_empty=True)


def expose(portrait: bool, share: float = 1.0, samples: int = SAMPLES, stops: float = 0.55) -> None:
    """Settings of the renderer: size, samples, denoiser, tone."""
    scene = bpy.context.scene
    scene.render.engine = "CYCLES"
    cycles = scene.cycles
    cycles.device = "CPU"
    cycles.samples = samples
    cycles.use_adaptive_sampling = True
    cycles.adaptive_threshold = 0.05
    cycles.seed = 7
    cycles.use_denoising = True
    cycles.denoiser = "OPENIMAGEDENOISE"
    cycles.denoising_prefilter = "FAST"
    cycles.denoising_input_passes = "RGB_ALBEDO_NORMAL"
    cycles.denoising_quality = "BALANCED"
    cycles.max_bounces = 4
    cycles.diffuse_bounces = 2
    cycles.glossy_bounces = 2
    cycles.transparent_max_bounces = 12
    cycles.caustics_reflective = cycles.caustics_refractive = False
    cycles.use_light_tree = False
    cycles.use_fast_gi = True
    cycles.fast_gi_method = "REPLACE"
    cycles.ao_bounces_render = 1
    cycles.sample_clamp_indirect = 6.0
    cycles.blur_glossy = 0.5
    scene.render.threads_mode = "FIXED"
    scene.render.threads = 2
    width, height = (SHORT, LONG) if portrait else (LONG, SHORT)
    scene.render.resolution_x, scene.render.resolution_y = int(width * share), int(height * share)
    scene.render.resolution_percentage = 100
    scene.view_settings.view_transform = "AgX"
    scene.view_settings.look = "AgX - Medium High Contrast"
    scene.view_settings.exposure = stops
    scene.render.image_settings.file_format = "PNG"


def shoot(path: Path) -> None:
    """Render the scene into ``path`` (PNG)."""
    bpy.context.scene.render.filepath = str(path)
    bpy.ops.render.render(write_still=True)

"""From a clean render to a phone's JPEG: lens shading, sharpening, sensor noise, compression."""

from __future__ import annotations

import io
from datetime import datetime
from typing import Any

import numpy as np
from PIL import Image, ImageFilter

from . import exif

TARGET = (160_000, 340_000)
"""Bytes that a picture should take."""


def _grain(picture: Any, seed: int) -> Any:
    pixels = np.asarray(picture, dtype=np.float32)
    height, width, _ = pixels.shape
    chance = np.random.default_rng(seed)
    y, x = np.mgrid[-1 : 1 : height * 1j, -1 : 1 : width * 1j]
    shade = 1 - 0.10 * ((x**2 + y**2) / 2) ** 1.3
    bright = pixels.mean(axis=2, keepdims=True) / 255
    strength = 2.6 * (1.25 - 0.8 * bright)
    luma = chance.normal(0, 1, (height, width, 1)).astype(np.float32)
    coarse = chance.normal(0, 1, (height // 2 + 1, width // 2 + 1, 3)).astype(np.float32)
    chroma = coarse.repeat(2, axis=0).repeat(2, axis=1)[:height, :width]
    noisy = pixels * shade[..., None] + strength * (0.9 * luma + 0.55 * chroma)
    return Image.fromarray(np.clip(noisy, 0, 255).astype(np.uint8))


def _grade(picture: Any) -> Any:
    """What a phone does by itself: half-way to a neutral balance, brighter, more contrast and colour."""
    pixels = np.asarray(picture, dtype=np.float32) / 255
    means = pixels.reshape(-1, 3).mean(axis=0)
    balanced = pixels * (means.mean() / np.maximum(means, 0.05)) ** 0.55
    grey = balanced.mean(axis=2, keepdims=True)
    vivid = grey + 1.16 * (balanced - grey)
    middle = float(np.median(vivid))
    gamma = float(np.clip(np.log(0.50) / np.log(max(0.05, middle)), 0.72, 1.15))
    lifted = np.clip(vivid, 0, 1) ** gamma
    curve = lifted + 0.10 * np.sin(2 * np.pi * (lifted - 0.5)) / np.pi
    return Image.fromarray(np.clip(curve * 255, 0, 255).astype(np.uint8))


def _bytes(picture: Any, quality: int) -> bytes:
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=quality, subsampling=2, optimize=True)
    return out.getvalue()


def develop(render: Any, name: str, taken: datetime, owner: str, orientation: int) -> bytes:
    """The finished file for an upright ``render``."""
    seed = sum(ord(c) * (k + 1) for k, c in enumerate(name))
    upright = _grade(render.convert("RGB")).filter(ImageFilter.UnsharpMask(1.1, 55, 2))
    picture = exif.stored(_grain(upright, seed), orientation)
    best = b""
    for quality in (92, 90, 88, 86, 84, 82, 80, 77, 74, 70):
        best = _bytes(picture, quality)
        if len(best) <= TARGET[1]:
            break
    return exif.written(best, taken, exif.PHONES[owner], orientation, name)

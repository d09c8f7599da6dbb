"""Flat pictures drawn with Pillow: drawings, forms, rules, dial faces, labels, tags."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import bpy
import numpy as np
from PIL import Image, ImageDraw, ImageFont

Draw = Any


def font(size: float) -> Any:
    """Pillow's own font, so that no machine's fonts are asked for."""
    return ImageFont.load_default(size)


def as_image(name: str, picture: Any) -> Any:
    """A Pillow picture as an image of the scene, bottom row first."""
    pixels = np.asarray(picture.convert("RGBA"), dtype=np.float32)[::-1] / 255
    image = bpy.data.images.new(name, picture.width, picture.height)
    image.pixels.foreach_set(pixels.ravel())
    image.pack()
    return image


def card(name: str, size: tuple[int, int], back: Any, draw: Callable[[Draw, int, int], None]) -> Any:
    """A printed face of ``size`` pixels."""
    found = bpy.data.images.get(name)
    if found is not None:
        return found
    picture = Image.new("RGB", size, back)
    draw(ImageDraw.Draw(picture), *size)
    return as_image(name, picture)


def _dimension(d: Draw, x0: float, x1: float, y: float, text: str) -> None:
    d.line((x0, y, x1, y), fill=(60, 60, 70), width=2)
    for x in (x0, x1):
        d.line((x - 5, y + 8, x + 5, y - 8), fill=(60, 60, 70), width=2)
    d.text(((x0 + x1) / 2 - 30, y - 26), text, fill=(60, 60, 70), font=font(22))


def drawing(number: str, title: str) -> Any:
    """A drawing sheet with a border, a rib-like outline, dimensions and a title block."""

    def draw(d: Draw, w: int, h: int) -> None:
        ink = (50, 52, 64)
        d.rectangle((30, 30, w - 30, h - 30), outline=ink, width=4)
        top = [(140 + 900 * t, 420 - 190 * math.sqrt(t) * (1 - t) * 2.2 - 14) for t in np.linspace(0, 1, 60)]
        low = [(140 + 900 * t, 420 + 60 * math.sqrt(t) * (1 - t) * 2.0) for t in np.linspace(1, 0, 60)]
        d.polygon(top + low, outline=ink, width=4)
        for x in (320, 720):
            d.rectangle((x, 320, x + 34, 440), outline=ink, width=3)
        for k in range(7):
            x = 380 + k * 46
            d.line((x, 330, x + 26, 440), fill=ink, width=2)
        _dimension(d, 140, 1040, 520, "1400")
        _dimension(d, 320, 720, 580, "610")
        d.ellipse((200, 640, 380, 820), outline=ink, width=3)
        d.rectangle((470, 650, 760, 810), outline=ink, width=3)
        d.line((470, 730, 760, 730), fill=ink, width=1)
        for k in range(9):
            d.text((830, 640 + k * 24), "·  " + "─" * (8 + k * 5 % 9), fill=ink, font=font(18))
        d.rectangle((w - 520, h - 190, w - 30, h - 30), outline=ink, width=4)
        d.line((w - 520, h - 110, w - 30, h - 110), fill=ink, width=2)
        d.text((w - 500, h - 178), title, fill=ink, font=font(34))
        d.text((w - 500, h - 92), number, fill=ink, font=font(40))

    return card("drawing " + number, (1200, 900), (236, 235, 226), draw)


def form(heading: str, lines: tuple[str, ...], signed: bool = True) -> Any:
    """A filled-in sheet: heading, ruled lines, a scrawl for a signature."""

    def draw(d: Draw, w: int, h: int) -> None:
        ink, pen = (45, 45, 50), (28, 40, 120)
        d.text((70, 60), heading, fill=ink, font=font(52))
        d.line((70, 130, w - 70, 130), fill=ink, width=4)
        y = 170
        for line in lines:
            d.text((76, y), line, fill=pen, font=font(36))
            d.line((70, y + 48, w - 70, y + 48), fill=(150, 150, 155), width=2)
            y += 78
        if signed:
            x0 = w - 430
            points = [
                (x0 + t * 320, h - 130 - 46 * math.sin(t * 21) * (1 - 0.6 * t) - 12 * math.sin(t * 53))
                for t in np.linspace(0, 1, 160)
            ]
            d.line(points, fill=pen, width=5, joint="curve")
        d.line((w - 460, h - 80, w - 70, h - 80), fill=ink, width=2)

    return card("form " + heading + "".join(lines)[:40], (900, 1200), (240, 239, 232), draw)


def rule(length_mm: int) -> Any:
    """The face of a steel rule graduated in millimetres."""

    def draw(d: Draw, w: int, h: int) -> None:
        for mm in range(length_mm + 1):
            x = mm * w / length_mm
            tall = 0.55 if mm % 10 == 0 else 0.4 if mm % 5 == 0 else 0.25
            d.line((x, 0, x, h * tall), fill=(30, 30, 32), width=2)
            if mm % 10 == 0 and mm:
                d.text((x - 34, h * 0.55), str(mm // 10), fill=(30, 30, 32), font=font(h * 0.36))

    return card(f"rule {length_mm}", (length_mm * 9, 190), (176, 178, 180), draw)


def dial(
    name: str, top: int, step: int, legend: str, sweep: tuple[float, float] = (225, -45), needle: float = 0.0
) -> Any:
    """A round instrument's face: figures ``step`` apart up to ``top``, and its needle at share ``needle``."""

    def draw(d: Draw, w: int, h: int) -> None:
        c, white = w / 2, (232, 232, 222)

        def at(angle: float, r: float) -> tuple[float, float]:
            return c + r * c * math.cos(math.radians(angle)), c - r * c * math.sin(math.radians(angle))

        count = top // step
        for k in range(count * 5 + 1):
            angle = sweep[0] + (sweep[1] - sweep[0]) * k / (count * 5)
            d.line(
                (*at(angle, 0.92), *at(angle, 0.78 if k % 5 == 0 else 0.85)),
                fill=white,
                width=7 if k % 5 == 0 else 3,
            )
            if k % 5 == 0:
                x, y = at(angle, 0.62)
                d.text((x, y), str(k // 5 * step), fill=white, font=font(46), anchor="mm")
        d.text((c, c * 1.32), legend, fill=white, font=font(32), anchor="mm")
        angle = sweep[0] + (sweep[1] - sweep[0]) * needle
        d.line((*at(angle + 180, 0.18), *at(angle, 0.74)), fill=(245, 240, 225), width=12)
        d.ellipse((c - 22, c - 22, c + 22, c + 22), fill=(40, 40, 42))

    return card(f"dial {name} {needle}", (512, 512), (14, 14, 15), draw)


def label(
    words: tuple[str, ...], back: tuple[int, int, int], ink: tuple[int, int, int], size: tuple[int, int]
) -> Any:
    """A label, lid or tag with centred words."""

    def draw(d: Draw, w: int, h: int) -> None:
        step = h / (len(words) + 1)
        for k, word in enumerate(words):
            big = min(step * 0.8, w / max(4, len(word)) * 1.55)
            d.text((w / 2, step * (k + 1)), word, fill=ink, font=font(big), anchor="mm")
        d.rectangle((8, 8, w - 8, h - 8), outline=ink, width=5)

    return card("label " + "|".join(words) + str(back), size, back, draw)


def sky() -> Any:
    """What a workshop window shows: bright overcast above a dark hedge line."""

    def draw(d: Draw, w: int, h: int) -> None:
        for y in range(h):
            t = y / h
            shade = (int(226 + 20 * t), int(234 + 14 * t), int(244 + 4 * t))
            d.line((0, y, w, y), fill=shade)
        for x in range(w):
            top = h * 0.74 - 14 * math.sin(x * 0.031) - 9 * math.sin(x * 0.113) - 6 * math.sin(x * 0.31)
            d.line((x, top, x, h * 0.86), fill=(92, 104, 86))
            d.line((x, h * 0.86, x, h), fill=(150, 158, 120))

    return card("sky", (512, 384), (230, 236, 244), draw)

"""The pictures of a clip: cut to what is shown, right way up, square, in the colours of an ordinary screen.

Sources: ITU-T H.273 (names of colours), ITU-R BT.709; ISO/IEC 14496-12, 8.3.2 (the matrix of a track).
"""

from __future__ import annotations

import struct
from collections.abc import Mapping
from fractions import Fraction
from typing import cast

import av
from av.buffer import Buffer
from av.filter import Graph

from buildlog.media.refusal import UncleanableError
from buildlog.media.timeline import Aperture

LONGEST_SIDE = 1280
"""Pixels. A larger clip is made smaller, a smaller one never larger."""

MOST_PIXELS = 36_000_000
"""8192 × 4320, and no more."""

BT709 = 1
LIMITED = 1
_UNSAID = 2
_HIGH_DEFINITION = 720
"""Lines. Below, colours of which nothing is said are those of standard definition (common practice)."""

_SCALE = "flags=bicubic+accurate_rnd+full_chroma_int+bitexact"

# What brings stored pixels right way up, by the signs of a, b, c, d in x' = a x + c y, y' = b x + d y.
_TURNS = {
    (1, 0, 0, 1): (),
    (-1, 0, 0, 1): ("hflip",),
    (1, 0, 0, -1): ("vflip",),
    (-1, 0, 0, -1): ("hflip", "vflip"),
    (0, 1, -1, 0): ("transpose=clock",),
    (0, -1, 1, 0): ("transpose=cclock",),
    (0, 1, 1, 0): ("transpose=cclock_flip",),
    (0, -1, -1, 0): ("transpose=clock_flip",),
}


class Lens:
    """Makes every frame of one clip such a picture; the first one says what that takes."""

    def __init__(self, first: av.VideoFrame, shape: Fraction | None, aperture: Aperture | None) -> None:
        """Set it up.

        Args:
            first: the first frame.
            shape: width over height of one stored pixel; None or 0 is square.
            aperture: what is shown of the stored picture, if not all.

        Raises:
            UncleanableError: such pictures are not made anew.
        """
        self._stored = _stored(first)
        _refuse(first)
        cut, wide, high = _cut(first, aperture)
        turns = _TURNS[_signs(first)]
        across, down = wide * Fraction(shape or 1), Fraction(high)
        if any(turn.startswith("transpose") for turn in turns):
            across, down = down, across
        self.width, self.height = _fit(across, down)
        self._graph = Graph()
        self._graph.threads = 1
        self._chain([*cut, *turns, self._scaling(first), "format=yuv420p"])

    def _scaling(self, first: av.VideoFrame) -> str:
        colours = "bt709" if first.height >= _HIGH_DEFINITION else "bt601"
        unsaid = f":in_color_matrix={colours}" if first.colorspace == _UNSAID else ""
        return (
            f"scale=w={self.width}:h={self.height}:{_SCALE}{unsaid}:out_color_matrix=bt709:out_range=tv"
            ":out_primaries=bt709:out_transfer=bt709"
        )

    def _chain(self, steps: list[str]) -> None:
        width, height, kind, matrix, span = self._stored
        last = self._graph.add(
            "buffer",
            f"video_size={width}x{height}:pix_fmt={kind}:time_base=1/90000:pixel_aspect=1/1"
            f":colorspace={matrix}:range={span}",
        )
        for step in steps:
            name, _, options = step.partition("=")
            following = self._graph.add(name, options or None)
            last.link_to(following)
            last = following
        last.link_to(self._graph.add("buffersink"))
        self._graph.configure()

    def through(self, frame: av.VideoFrame) -> av.VideoFrame:
        """The picture of a frame, with nothing that the frame carried beside its pixels.

        Raises:
            UncleanableError: it is not stored as the first one is.
        """
        if _stored(frame) != self._stored:
            raise UncleanableError(
                "the clip changes its size or colours on the way; export it anew from an editor"
            )
        self._graph.push(frame)
        made = self._graph.pull()
        if not isinstance(made, av.VideoFrame):
            raise TypeError(made)
        return _bare(made)


def _stored(frame: av.VideoFrame) -> tuple[int, int, str, int, int]:
    return (frame.width, frame.height, frame.format.name, int(frame.colorspace), int(frame.color_range))


def _refuse(frame: av.VideoFrame) -> None:
    if frame.width * frame.height > MOST_PIXELS:
        raise UncleanableError(
            f"the clip is {frame.width} × {frame.height} pixels, more than the {MOST_PIXELS // 1_000_000} "
            "megapixels that are read; export it smaller"
        )
    if any(each.is_alpha for each in frame.format.components):
        raise UncleanableError("the clip is transparent in places, which hides colours; export it without")


def _cut(frame: av.VideoFrame, aperture: Aperture | None) -> tuple[list[str], int, int]:
    """The step that cuts out what is shown, if any is needed, and how large that is."""
    size = (frame.width, frame.height)
    if aperture is None or (aperture.left, aperture.top, aperture.right, aperture.bottom) == (0, 0, *size):
        return [], *size
    if aperture.stored != size:
        raise UncleanableError("the clip hides the edges of its picture; export it anew from an editor")
    wide, high = aperture.right - aperture.left, aperture.bottom - aperture.top
    return [f"crop={wide}:{high}:{aperture.left}:{aperture.top}"], wide, high


def _signs(frame: av.VideoFrame) -> tuple[int, int, int, int]:
    """The signs of a frame's matrix, those of the nearest right angle."""
    try:
        matrix = cast("Mapping[str, Buffer]", frame.side_data)["DISPLAYMATRIX"]
    except KeyError:
        return (1, 0, 0, 1)
    except ValueError:
        # The frame carries something else that this release of PyAV has no name for; without mirrors, then.
        turned = round(frame.rotation / 90) % 4
        return ((1, 0, 0, 1), (0, -1, 1, 0), (-1, 0, 0, -1), (0, 1, -1, 0))[turned]
    a, b, _, c, d, *_ = struct.unpack("=9i", bytes(matrix))
    if abs(a) + abs(d) >= abs(b) + abs(c):
        return (-1 if a < 0 else 1, 0, 0, -1 if d < 0 else 1)
    return (0, -1 if b < 0 else 1, -1 if c < 0 else 1, 0)


def _fit(across: Fraction, down: Fraction) -> tuple[int, int]:
    """The size to make: even, in proportion, its longer side no longer than allowed."""
    smaller = min(Fraction(1), LONGEST_SIDE / max(across, down))
    return _even(across * smaller), _even(down * smaller)


def _even(length: Fraction) -> int:
    return max(2, 2 * round(length / 2))


def _bare(frame: av.VideoFrame) -> av.VideoFrame:
    bare = av.VideoFrame(frame.width, frame.height, "yuv420p")
    for plane, blank in zip(frame.planes, bare.planes, strict=True):
        stored = bytes(plane)
        if plane.line_size != blank.line_size:
            rows = (stored[at : at + plane.width] for at in range(0, len(stored), plane.line_size))
            stored = b"".join(row.ljust(blank.line_size, b"\0") for row in rows)
        blank.update(stored)
    bare.colorspace = bare.color_primaries = bare.color_trc = BT709
    bare.color_range = LIMITED
    return bare

"""The sound of a clip: the samples that are heard, in one run, with silence where there are none."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import av

from buildlog.media.footage import LONGEST, too_long
from buildlog.media.refusal import UncleanableError
from buildlog.media.timeline import Track

RATES = (8000, 11025, 12000, 16000, 22050, 24000, 32000, 44100, 48000)
"""Samples a second that are kept; ISO/IEC 14496-3, table 1.18. Others become 48,000."""

LEAD_IN = 1024
"""Samples that an AAC decoder gives before the first that was put in."""

_JITTER = Fraction(1, 50)
"""Seconds. Times of sound that are so little off are only rounded."""

_BLOCK = 1024
_SILENCE = 48_000


class Tape:
    """Takes the decoded sound of one track; gives frames of what is heard of it, ready for the encoder."""

    def __init__(self, first: av.AudioFrame, track: Track, begin: Fraction, skip: bool) -> None:
        """Set it up.

        Args:
            first: the first decoded frame.
            track: what is heard of it, and when.
            begin: what time of the track is the beginning.
            skip: leave out what the lead-in takes the place of, so that pictures stay in step.
        """
        self._rate = first.sample_rate
        self._layout = "mono" if first.layout.nb_channels == 1 else "stereo"
        self._width = 4 * (1 if self._layout == "mono" else 2)
        self._track = track
        self._begin = begin
        self.rate = self._rate if self._rate in RATES else RATES[-1]
        self.layout = self._layout
        self._plain = av.AudioResampler("flt", self._layout, self._rate)
        self._even = av.AudioResampler("fltp", self._layout, self.rate, _BLOCK)
        self._to_skip = -(-LEAD_IN * self._rate // self.rate) if skip else 0
        self._at = 0
        self._given = 0
        self._put = 0

    def take(self, frame: av.AudioFrame) -> Iterator[av.AudioFrame]:
        """Frames of what is heard, as far as they are full."""
        if frame.pts is None or frame.time_base is None:
            raise UncleanableError("the sound carries no times; export it anew from an editor")
        time = frame.pts * Fraction(frame.time_base)
        samples = b"".join(self._samples(each) for each in self._plain.resample(frame))
        count = len(samples) // self._width
        for first, last, shown in self._track.pieces(time, self._rate, count):
            yield from self._place(samples[first * self._width : last * self._width], shown - self._begin)

    def rest(self) -> Iterator[av.AudioFrame]:
        """What is left when all was taken."""
        yield from self._numbered(self._even.resample(None))

    @property
    def seconds(self) -> Fraction:
        """How long the sound is that was taken."""
        return Fraction(self._at, self._rate)

    def _place(self, samples: bytes, when: Fraction) -> Iterator[av.AudioFrame]:
        if when > LONGEST:
            raise UncleanableError(too_long(f"longer than {LONGEST // 60} minutes"))
        gap = round(when * self._rate) - self._at
        if gap > _JITTER * self._rate or (gap > 0 and self._at == 0):
            while gap:
                block = min(gap, _SILENCE)
                yield from self._append(bytes(block * self._width))
                gap -= block
        elif gap < -_JITTER * self._rate:
            # It is heard twice; what came first stays.
            samples = samples[-gap * self._width :]
        yield from self._append(samples)

    def _append(self, samples: bytes) -> Iterator[av.AudioFrame]:
        count = len(samples) // self._width
        skipped = min(max(0, self._to_skip - self._at), count)
        self._at += count
        kept = samples[skipped * self._width :]
        if not kept:
            return
        frame = av.AudioFrame("flt", self._layout, count - skipped)
        frame.sample_rate = self._rate
        frame.planes[0].update(kept.ljust(frame.planes[0].buffer_size, b"\0"))
        frame.pts, frame.time_base = self._put, Fraction(1, self._rate)
        self._put += count - skipped
        yield from self._numbered(self._even.resample(frame))

    def _numbered(self, frames: list[av.AudioFrame]) -> Iterator[av.AudioFrame]:
        for frame in frames:
            # Counted from behind the lead-in, whose packet then stands at the very beginning: no edit list.
            frame.pts, frame.time_base = self._given + LEAD_IN, Fraction(1, self.rate)
            self._given += frame.samples
            yield frame

    def _samples(self, frame: av.AudioFrame) -> bytes:
        return bytes(frame.planes[0])[: frame.samples * self._width]

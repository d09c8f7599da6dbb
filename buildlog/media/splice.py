"""A clip or sound put together anew: what is shown of each decoded frame goes into one new file.

An MP4 of one H.264 track and one AAC track, its tables in front, without tags, chapters, subtitles, data,
dates, edit list or anything that the encoders like to write of themselves. All that is in it is shown.

Sources: ISO/IEC 14496-10 (AVC; SEI is NAL type 6), ISO/IEC 14496-3 (AAC), ISO/IEC 14496-12 (MP4).
"""

from __future__ import annotations

import io
from fractions import Fraction
from typing import cast

import av
import msgspec
from av.audio.stream import AudioStream
from av.bitstream import BitStreamFilterContext
from av.codec.context import Flags
from av.container import Flags as ContainerFlags
from av.container import InputContainer, OutputContainer
from av.stream import Stream
from av.video.stream import VideoStream

from buildlog.media.boxes import only_what_plays
from buildlog.media.footage import LONGEST, NOTHING_SHOWN, SHORT, Chosen, decoded_of, spanned, too_long
from buildlog.media.frames import BT709, LIMITED, Lens
from buildlog.media.refusal import UncleanableError
from buildlog.media.sound import Tape

TICKS = 90_000
"""Of the new pictures' clock, a second."""

_CLOSEST = Fraction(12, 1000)
"""Seconds between two pictures; nearer ones are left out. Nothing is published at more than 80 a second."""

_LASTS = Fraction(1, 25)
"""Seconds that a single picture is shown; of several the last stands as long as the one before it."""

_AS_SAID = Fraction(9, 10)


class Reel(msgspec.Struct, frozen=True):
    """A clip or sound made anew: the bytes of its file, pixels (0 for sound) and milliseconds."""

    data: bytes
    width: int
    height: int
    milliseconds: int


class Splice:
    """Takes packets of the source in their order, and makes the new file of them."""

    def __init__(
        self, chosen: tuple[Chosen, ...], firsts: dict[int, av.VideoFrame | av.AudioFrame], begin: Fraction
    ) -> None:
        self._begin = begin
        self._tracks = {each.stream.index: each.track for each in chosen}
        self._seen: dict[int, tuple[Fraction, Fraction]] = {}
        self._last: Fraction | None = None
        self._step = _LASTS
        self._lens: Lens | None = None
        self._tape: Tape | None = None
        self._file = io.BytesIO()
        pictures = any(isinstance(each.stream, VideoStream) for each in chosen)
        options = {"use_editlist": "0", "empty_hdlr_name": "1", "video_track_timescale": str(TICKS)}
        # Empty names of handlers and no edit list: all that is in the file is shown.
        self._out = av.open(self._file, "w", format="mp4" if pictures else "ipod", options=options)
        self._out.flags |= cast("int", ContainerFlags.bitexact.value)
        for each in chosen:
            first = firsts[each.stream.index]
            if isinstance(first, av.VideoFrame):
                self._lens = Lens(
                    first, cast("VideoStream", each.stream).sample_aspect_ratio, each.track.aperture
                )
                self._picture = _picture_track(self._out, self._lens)
            else:
                self._tape = Tape(first, each.track, begin, skip=pictures)
                self._sound = _sound_track(self._out, self._tape)
        self._out.start_encoding()
        if self._lens is not None:
            self._without_sei = BitStreamFilterContext("filter_units=remove_types=6", self._picture)

    def take(self, packet: av.Packet[Stream]) -> None:
        """Decode a packet, and put what is shown of it into the new file."""
        at = packet.stream.index
        for frame in decoded_of(packet):
            if frame.pts is None or frame.time_base is None:
                raise UncleanableError("the clip carries no times; export it anew from an editor")
            time = frame.pts * Fraction(frame.time_base)
            self._seen[at] = spanned(self._seen.get(at), time)
            if isinstance(frame, av.AudioFrame):
                self._seen[at] = spanned(self._seen[at], time + Fraction(frame.samples, frame.sample_rate))
                self._hear(frame)
            else:
                self._see(frame, self._tracks[at].when(time))

    def refuse_short(self, stream: Stream, source: InputContainer) -> None:
        """Stop at a source that ended well before it said it would."""
        if stream.duration is not None and stream.time_base is not None:
            said = stream.duration * Fraction(stream.time_base)
        else:
            said = Fraction(source.duration or 0, 1_000_000)
        begin, end = self._seen.get(stream.index, (Fraction(0), Fraction(0)))
        if end - begin < said * _AS_SAID - 1:
            raise UncleanableError(SHORT)

    def done(self) -> Reel:
        """The new file."""
        if self._lens is not None:
            if self._last is None:
                raise UncleanableError(NOTHING_SHOWN)
            self._mux_pictures(None)
        if self._tape is not None:
            for frame in self._tape.rest():
                self._out.mux(self._sound.encode(frame))
            self._out.mux(self._sound.encode(None))
        self._out.close()
        data = only_what_plays(self._file.getvalue())
        seen = self._last + self._step if self._last is not None else Fraction(0)
        lasts = max(seen, self._tape.seconds if self._tape is not None else seen)
        if not lasts:
            raise UncleanableError(NOTHING_SHOWN)
        return Reel(
            data,
            self._lens.width if self._lens else 0,
            self._lens.height if self._lens else 0,
            round(lasts * 1000),
        )

    def _see(self, frame: av.VideoFrame, shown: Fraction | None) -> None:
        if shown is None or self._lens is None:
            return
        # What is shown first stands from the beginning on.
        when = Fraction(0) if self._last is None else shown - self._begin
        if self._last is not None and when < self._last + _CLOSEST:
            return
        if when > LONGEST:
            raise UncleanableError(too_long(f"longer than {LONGEST // 60} minutes"))
        self._step = _LASTS if self._last is None else when - self._last
        self._last = when
        made = self._lens.through(frame)
        made.pts, made.time_base = round(when * TICKS), Fraction(1, TICKS)
        self._mux_pictures(made)

    def _hear(self, frame: av.AudioFrame) -> None:
        if self._tape is not None:
            for made in self._tape.take(frame):
                self._out.mux(self._sound.encode(made))

    def _mux_pictures(self, frame: av.VideoFrame | None) -> None:
        for packet in self._picture.encode(frame):
            for bare in self._without_sei.filter(packet):
                # Times tell how long each lasts, but for the last one.
                bare.duration = round(self._step * TICKS)
                self._out.mux(bare)


def _picture_track(out: OutputContainer, lens: Lens) -> VideoStream:
    stream = out.add_stream("libx264")
    codec = stream.codec_context
    codec.width, codec.height, codec.pix_fmt = lens.width, lens.height, "yuv420p"
    codec.time_base = Fraction(1, TICKS)
    codec.colorspace = codec.color_primaries = codec.color_trc = BT709
    codec.color_range = LIMITED
    codec.sample_aspect_ratio = Fraction(1)
    codec.flags |= Flags.bitexact.value
    codec.thread_count = 1
    # Without pictures that rest on later ones no edit list is needed to say where the first begins.
    codec.options = {
        "preset": "fast", "crf": "23", "maxrate": "4M", "bufsize": "8M", "bf": "0", "g": "120",
        "a53cc": "0", "x264-params": "threads=1:lookahead-threads=1",
    }  # fmt: skip
    return stream


def _sound_track(out: OutputContainer, tape: Tape) -> AudioStream:
    stream = out.add_stream("aac", rate=tape.rate, layout=tape.layout)
    codec = stream.codec_context
    codec.flags |= Flags.bitexact.value
    codec.thread_count = 1
    codec.bit_rate = 64_000 if tape.layout == "mono" else 128_000
    return stream

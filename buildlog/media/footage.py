"""The original of a clip or sound: opened so that it opens nothing itself, and looked through.

The demuxer is the one that the content calls for, and it reads from an open file, never by a name. Codecs are
those that cameras, phones and recorders write; each works in one thread.
"""

from __future__ import annotations

import io
import struct
from fractions import Fraction
from typing import BinaryIO, NoReturn

import av
import msgspec
from av.container import InputContainer
from av.error import InvalidDataError
from av.stream import Disposition, Stream
from av.video.stream import VideoStream

from buildlog.media.frames import MOST_PIXELS
from buildlog.media.matroska import refuse_hidden
from buildlog.media.refusal import UncleanableError
from buildlog.media.sorts import Content
from buildlog.media.timeline import Track, Tracks, tracks_of

LONGEST = 30 * 60
"""Seconds."""

MOST_STREAMS = 64
MOST_PACKETS = 1_000_000
MOST_DECODED = 300_000_000_000
"""Pixels of all frames together: ten minutes of 3840 × 2160 at 60 a second."""

_DEMUXERS = {Content.ISO_MEDIA: "mov", Content.WEBM: "matroska", Content.MP3: "mp3", Content.WAV: "wav"}
_PICTURE_CODECS = frozenset("h264 hevc mpeg4 h263 vp8 vp9 libdav1d av1 mjpeg prores".split())
_PCM = "alaw mulaw u8 s8 s16le s16be s24le s24be s32le s32be f32le f32be f64le f64be".split()
_SOUND_CODECS = frozenset(
    "aac aac_latm mp1 mp1float mp2 mp2float mp3 mp3float alac opus libopus vorbis flac ac3 eac3 "
    "amrnb amrwb libopencore_amrnb libopencore_amrwb adpcm_ms adpcm_ima_wav adpcm_ima_qt".split()
) | {f"pcm_{each}" for each in _PCM}
_FRAMED = frozenset("mp1 mp1float mp2 mp2float mp3 mp3float".split())
_LOCKED = ("encv", "enca", "drmi", "drms")
_ASIDE = Disposition.attached_pic | Disposition.timed_thumbnails | Disposition.still_image

DAMAGED = "the file is damaged or cut short; copy it again from the camera, phone or recorder"
SHORT = "the file is cut short: it ends before it says it does; copy it again from where it came from"
NOTHING_SHOWN = "the edit list of the clip shows nothing of it; export it anew from an editor"


class Chosen(msgspec.Struct, frozen=True):
    """A stream that goes on, and what of it is shown."""

    stream: Stream
    track: Track


def shown_of(file: BinaryIO, content: Content) -> Tracks:
    """What is shown of each track, by its number; empty where the file has no edit lists.

    Raises:
        UncleanableError: it hides something in a way that cannot be kept.
    """
    if content is Content.ISO_MEDIA:
        return tracks_of(file)
    if content is Content.WEBM:
        refuse_hidden(file)
    if content is Content.WAV:
        _refuse_short(file)
    return {}


def _refuse_short(file: BinaryIO) -> None:
    """Stop at a WAV whose samples end before its table says; the demuxer would believe the file."""
    length = file.seek(0, io.SEEK_END)
    at = 12
    while at + 8 <= length:
        file.seek(at)
        kind, size = struct.unpack("<4sI", file.read(8))
        if kind == b"data":
            # Nought and the greatest number are what recorders leave that were never told how long they ran.
            if size not in (0, 0xFFFFFFFF) and at + 8 + size > length:
                raise UncleanableError(SHORT)
            return
        at += 8 + size + size % 2


def opened(file: BinaryIO, content: Content) -> InputContainer:
    """A file opened by the demuxer for this content, able to open nothing else.

    Raises:
        Exception: whatever the demuxer trips over.
    """
    file.seek(0)
    options = {
        "codec_whitelist": ",".join(sorted(_PICTURE_CODECS | _SOUND_CODECS)),
        "max_pixels": str(MOST_PIXELS),
        "protocol_whitelist": "",
    }
    if content is Content.ISO_MEDIA:
        # What is shown of it is worked out in `timeline`.
        options |= {"ignore_editlist": "1", "advanced_editlist": "0", "ignore_chapters": "1"}
    return av.open(
        file,
        "r",
        format=_DEMUXERS[content],
        options=options,
        metadata_errors="replace",
        buffer_size=1 << 20,
        io_open=open_nothing,
    )


def open_nothing(*_asked: object) -> NoReturn:
    """What a demuxer gets that asks for another file, whatever it asks for.

    Raises:
        UncleanableError: always.
    """
    raise UncleanableError("the file asks for another one to be opened; export it anew from an editor")


def chosen_of(source: InputContainer, tracks: Tracks, sort: str) -> tuple[Chosen, ...]:
    """The one track of pictures, if it is a clip, and the first of sound."""
    if len(source.streams) > MOST_STREAMS:
        raise UncleanableError(
            f"the file holds more than {MOST_STREAMS} streams; export it anew from an editor"
        )
    played = [each for each in (_played(stream, tracks) for stream in source.streams) if each is not None]
    pictures = [each for each in played if each.stream.type == "video"]
    sounds = [each for each in played if each.stream.type == "audio"]
    if sort == "clip" and len(pictures) != 1:
        many = "more than one track of pictures" if pictures else "no moving picture"
        raise UncleanableError(f"the clip holds {many}; export it anew as an MP4 of one")
    if sort == "sound" and not sounds:
        raise UncleanableError("the file holds no sound; record or export it anew")
    sounds.sort(key=lambda each: not each.stream.disposition & Disposition.default)
    chosen = (*(pictures if sort == "clip" else ()), *sounds[:1])
    for each in chosen:
        _prepare(each.stream)
    return chosen


def _played(stream: Stream, tracks: Tracks) -> Chosen | None:
    """A stream of pictures or sound, unless it is switched off or a mere cover."""
    if stream.type not in {"video", "audio"} or stream.disposition & _ASIDE:
        return None
    track = tracks[stream.id] if tracks else Track()
    return Chosen(stream, track) if track.enabled else None


def _prepare(stream: Stream) -> None:
    codec = stream.codec_context
    if codec is None or codec.name not in _PICTURE_CODECS | _SOUND_CODECS or codec.codec_tag in _LOCKED:
        raise UncleanableError("the clip is coded or locked in a way that is not read; export it as an MP4")
    if stream.metadata.get("alpha_mode", "0") != "0":
        raise UncleanableError("the clip is transparent in places, which hides colours; export it without")
    codec.thread_count = 1
    codec.thread_type = "NONE"
    codec.options = {"max_pixels": str(MOST_PIXELS)}


def surveyed(
    source: InputContainer, chosen: tuple[Chosen, ...]
) -> tuple[Fraction, dict[int, av.VideoFrame | av.AudioFrame]]:
    """When anything begins to be shown, and a first frame of each stream; it need not be one that is shown.

    Nothing else is decoded yet: what is too much is found here.
    """
    firsts: dict[int, av.VideoFrame | av.AudioFrame] = {}
    spans: dict[int, tuple[Fraction, Fraction]] = {}
    decoded = 0
    for count, packet in enumerate(source.demux([each.stream for each in chosen])):
        if count > MOST_PACKETS:
            raise UncleanableError("the clip holds far more pictures than a clip does; export a piece of it")
        at = packet.stream.index
        if at not in firsts:
            firsts.update((at, frame) for frame in decoded_of(packet)[:1])
        time = packet.pts if packet.pts is not None else packet.dts
        if time is None:
            continue
        spans[at] = spanned(spans.get(at), time * Fraction(packet.time_base))
        if isinstance(packet.stream, VideoStream):
            decoded += packet.stream.codec_context.width * packet.stream.codec_context.height
        if spans[at][1] - spans[at][0] > LONGEST:
            raise UncleanableError(too_long(f"longer than {LONGEST // 60} minutes"))
        if decoded > MOST_DECODED:
            raise UncleanableError(too_long("more than ten minutes of the largest picture"))
    if len(firsts) != len(chosen) or len(spans) != len(chosen):
        raise UncleanableError(DAMAGED)
    return min(_shown_first(each.track, spans[each.stream.index][0]) for each in chosen), firsts


def _shown_first(track: Track, first: Fraction) -> Fraction:
    if not track.edits:
        raise UncleanableError(NOTHING_SHOWN)
    # Without an edit list all is shown; a track's clock need not begin at nought.
    return track.edits[0].shown if track.edits != Track().edits else first


def decoded_of(packet: av.Packet[Stream]) -> list[av.VideoFrame | av.AudioFrame]:
    """The frames that a packet gives.

    Raises:
        Exception: whatever the decoder trips over.
    """
    try:
        return [each for each in packet.decode() if isinstance(each, av.VideoFrame | av.AudioFrame)]
    except InvalidDataError:
        # Between the frames of an MP3 there may be tags, or what a broken-off transfer left.
        if packet.stream.codec_context.name in _FRAMED:
            return []
        raise


def spanned(span: tuple[Fraction, Fraction] | None, time: Fraction) -> tuple[Fraction, Fraction]:
    """The least and the greatest of times, one more taken in."""
    return (min(span[0], time), max(span[1], time)) if span else (time, time)


def too_long(what: str) -> str:
    """The message for a clip that is too long in some way."""
    return f"the clip is {what}, which is not made anew; cut it shorter or export it smaller"

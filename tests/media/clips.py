"""Clips and sounds that carry all that a camera, a phone or an editor puts into a file, with canaries.

Made with the library that cleans them, and with boxes and chunks put in byte by byte (ISO/IEC 14496-12,
RFC 9559, ID3v2.3, EBU Tech 3285), so that what is planted does not depend on what that library can write.
"""

import io
import math
import struct
from fractions import Fraction
from itertools import count

import av

from tests.media import pictures

CANARY = b"CANARY"
SIZE = (128, 96)
RATE = 25
SOUND_RATE = 48_000
RED, GREEN, BLUE = (200, 30, 30), (30, 160, 30), (30, 30, 200)
LOW, HIGH = 400, 3000
"""Hertz: of sound that is meant to be heard, and of sound that is not."""


def picture(colour, size=SIZE, quadrants=False):
    """A frame of one colour, or of four, no turn of which equals another."""
    width, height = size
    row = bytes(colour) * width
    rows = [row] * height
    if quadrants:
        half = width // 2
        top = bytes((220, 20, 20)) * half + bytes((20, 180, 20)) * (width - half)
        low = bytes((20, 20, 220)) * half + bytes((230, 220, 30)) * (width - half)
        rows = [top] * (height // 2) + [low] * (height - height // 2)
    frame = av.VideoFrame(width, height, "rgb24")
    stride = frame.planes[0].line_size
    frame.planes[0].update(b"".join(each.ljust(stride, b"\0") for each in rows))
    return frame.reformat(format="yuv420p")


def tone(hertz, samples, begin=0, layout="mono"):
    channels = 1 if layout == "mono" else 2
    values = [
        round(12_000 * math.sin(2 * math.pi * hertz * (begin + at) / SOUND_RATE))
        for at in range(samples)
        for _ in range(channels)
    ]
    return struct.pack(f"<{len(values)}h", *values)


def clip(
    kind="mp4",
    colours=((GREEN, 25),),
    tones=((LOW, 48_000),),
    *,
    size=SIZE,
    rotation=None,
    quadrants=False,
    codecs=None,
    tags=None,
    track_tags=None,
    extra=lambda out: (),
    key_every=1000,
    rate=RATE,
    pix_fmt="yuv420p",
    options=None,
    said="",
):
    """The bytes of a clip: so many frames of each colour, so many samples of each tone.

    `extra` is called with the container before anything is written, and returns packets to put in; `said` is
    put into an SEI of the first picture (ISO/IEC 14496-10, D.1.7).
    """
    file = io.BytesIO()
    video_codec, audio_codec = codecs or CODECS[kind]
    with av.open(file, "w", format=kind, options=options or {}) as out:
        out.metadata.update(tags or {})
        video = audio = None
        if colours:
            video = out.add_stream(video_codec, rate=rate, options=QUICK.get(video_codec, {}))
            video.width, video.height, video.pix_fmt = *size, pix_fmt
            video.gop_size = key_every
            video.metadata.update(track_tags or {})
            if rotation is not None:
                video.set_display_matrix(rotation)
        if tones:
            audio = out.add_stream(audio_codec, rate=SOUND_RATE, layout="mono")
            audio.metadata.update(track_tags or {})
        packets = extra(out)
        out.start_encoding()
        for packet in packets:
            out.mux(packet)
        if video:
            shown = [picture(colour, size, quadrants) for colour, frames in colours for _ in range(frames)]
            put_pictures(out, video, [each.reformat(format=pix_fmt) for each in shown], said)
        if audio:
            put_sound(out, audio, b"".join(tone(*each) for each in tones))
    return file.getvalue()


def put_pictures(out, video, shown, said):
    text = f"h264_metadata=sei_user_data=086f3693-b7b3-4f2c-9653-21492feee5b8+{said}" if said else "null"
    put = av.BitStreamFilterContext(text, video)
    for number, frame in enumerate(shown):
        frame.pts, frame.time_base = number, 1 / Fraction(video.average_rate)
        for packet in video.encode(frame):
            out.mux(put.filter(packet))
    for packet in video.encode(None):
        out.mux(put.filter(packet))


def put_sound(out, audio, samples):
    sound = av.AudioFrame("s16", "mono", len(samples) // 2)
    sound.sample_rate, sound.pts, sound.time_base = SOUND_RATE, 0, Fraction(1, SOUND_RATE)
    sound.planes[0].update(samples.ljust(sound.planes[0].buffer_size, b"\0"))
    fifo = av.AudioFifo()
    for frame in av.AudioResampler(audio.format.name, "mono", SOUND_RATE).resample(sound):
        fifo.write(frame)
    while frame := fifo.read(audio.codec_context.frame_size or 1024, partial=True):
        out.mux(audio.encode(frame))
    out.mux(audio.encode(None))


CODECS = {
    "mp4": ("libx264", "aac"),
    "mov": ("libx264", "aac"),
    "webm": ("libvpx-vp9", "libopus"),
    "matroska": ("libvpx-vp9", "libopus"),
}
QUICK = {"libvpx-vp9": {"deadline": "realtime", "cpu-used": "8"}}


def box(kind, content):
    return struct.pack(">I4s", len(content) + 8, kind) + content


def full(kind, content, version=0, flags=0):
    return box(kind, bytes((version,)) + flags.to_bytes(3, "big") + content)


PARENTS = (b"moov", b"trak", b"mdia", b"minf", b"stbl")


def edited(data, change):
    """A file with its boxes changed: `change(path, content)` returns the content anew, or None to leave it.

    For files whose tables lie behind their samples, so that no sample moves.
    """

    def walk(data, path):
        out, at = b"", 0
        while at < len(data):
            size, kind = struct.unpack_from(">I4s", data, at)
            here = (*path, kind)
            content = data[at + 8 : at + size]
            if kind in PARENTS:
                content = walk(content, here)
            changed = change(here, content)
            out += box(kind, content if changed is None else changed)
            at += size
        return out

    return walk(data, ())


def inside(kind, *more, nth=None):
    """A change that puts boxes at the end of each box of this kind, or of the nth alone."""
    seen = count()

    def change(path, content):
        if path[-1] == kind and (nth is None or next(seen) == nth):
            return content + b"".join(more)
        return None

    return change


def movie_scale(data):
    return struct.unpack_from(">I", data, data.index(b"mvhd") + 16)[0]


def track_scales(data):
    found, at = [], -1
    while (at := data.find(b"mdhd", at + 1)) >= 0:
        found.append(struct.unpack_from(">I", data, at + 16)[0])
    return found


def own_leads(data):
    """What the encoder's own edit list skips of each track: what codecs need to get going, in its ticks."""
    found, at = [], -1
    while (at := data.find(b"elst", at + 1)) >= 0:
        found.append(struct.unpack_from(">i", data, at + 16)[0])
    return found


def edit_list(*rows):
    """Rows of duration, media time and, if it is not 1, rate."""
    packed = b"".join(
        struct.pack(">IiI", row[0], row[1], row[2] if len(row) > 2 else 0x10000) for row in rows
    )
    return box(b"edts", full(b"elst", struct.pack(">I", len(rows)) + packed))


def with_edits(data, *lists):
    """A file with its edit lists replaced by these, one a track; None for no list."""
    number = count()

    def change(path, content):
        if path != (b"moov", b"trak"):
            return None
        rows = lists[next(number)]
        at = content.find(b"edts")
        if at >= 0:
            size = struct.unpack_from(">I", content, at - 4)[0]
            content = content[: at - 4] + content[at - 4 + size :]
        return content if rows is None else content + edit_list(*rows)

    return edited(data, change)


def trimmed(begin, end, colours, tones, kind="mp4"):
    """A clip of which an edit list shows only these seconds."""
    whole = clip(kind, colours, tones)
    movie, scales = movie_scale(whole), track_scales(whole)
    leads = own_leads(whole)
    lists = [
        [(round((end - begin) * movie), round(begin * scale) + lead)]
        for scale, lead in zip(scales, leads, strict=True)
    ]
    return with_edits(whole, *lists)


def loaded_mp4(kind="mp4"):
    """With tags, places, handlers, chapters, subtitles, data, text in the bitstream, boxes of all sorts."""

    def extra(out):
        out.set_chapters(
            [
                {
                    "id": 1,
                    "start": 0,
                    "end": 500,
                    "time_base": Fraction(1, 1000),
                    "metadata": {"title": "CANARY one"},
                }
            ]
        )
        streams = [(out.add_mux_stream("mov_text"), text_sample(b"CANARY subtitle"))]
        if kind == "mp4":
            streams.append((out.add_data_stream("bin_data"), b"CANARY data"))
        for stream, content in streams:
            packet = av.Packet(content)
            packet.stream, packet.pts, packet.dts, packet.duration = stream, 0, 0, 10
            packet.time_base = Fraction(1, 1000)
            yield packet

    tags = {
        "title": "CANARY title", "comment": "CANARY comment", "artist": "CANARY artist",
        "location": "+59.9127+010.7461/", "creation_time": "2026-03-14T18:30:00Z", "make": "CANARY make",
        "com.apple.quicktime.location.ISO6709": "+59.9127+010.7461/CANARY",
    }  # fmt: skip
    data = clip(
        kind,
        tags=tags,
        extra=lambda out: list(extra(out)),
        said="CANARY in the bitstream",
        track_tags={
            "handler_name": "CANARY handler",
            "language": "nor",
            "creation_time": "2026-03-14T18:30:00Z",
        },
    )
    data = edited(data, inside(b"trak", box(b"udta", box(b"name", b"CANARY name"))))
    place = box(b"\xa9xyz", struct.pack(">HH", 24, 0x15C7) + b"+59.9127+010.7461CANARY/")
    more = box(
        b"udta", place + box(b"loci", bytes(4) + b"\x15\xc7CANARY place\0" + bytes(13) + b"CANARY body\0\0")
    )
    data = edited(data, inside(b"moov", more, box(b"uuid", XMP_UUID + XMP)))
    return data + box(b"uuid", XMP_UUID + XMP) + box(b"free", b"CANARY free") + box(b"skip", b"CANARY skip")


XMP_UUID = bytes.fromhex("be7acfcb97a942e89c71999491e3afac")
XMP = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'>CANARY xmp</x:xmpmeta>"


def text_sample(words):
    return struct.pack(">H", len(words)) + words


def loaded_webm():
    """With tags, chapters, subtitles and an attachment; in Matroska (RFC 9559), which WebM is a part of."""

    def extra(out):
        out.set_chapters(
            [
                {
                    "id": 1,
                    "start": 0,
                    "end": 500,
                    "time_base": Fraction(1, 1000),
                    "metadata": {"title": "CANARY"},
                }
            ]
        )
        out.add_attachment("CANARY name.txt", "text/plain", b"CANARY attached")
        subtitles = out.add_mux_stream("subrip")
        packet = av.Packet(b"CANARY subtitle")
        packet.stream, packet.pts, packet.dts, packet.duration = subtitles, 0, 0, 400
        packet.time_base = Fraction(1, 1000)
        return [packet]

    tags = {"title": "CANARY title", "comment": "CANARY comment", "location": "+59.9127+010.7461/CANARY"}
    return clip("matroska", tags=tags, extra=extra, track_tags={"title": "CANARY track", "language": "nor"})


def sound(kind, codec, tones=((LOW, 48_000),), tags=None, options=None):
    return clip(kind, (), tones, codecs=("", codec), tags=tags, options=options)


def cover():
    return pictures.picture(comment=b"CANARY cover")


def loaded_m4a():
    """With iTunes' tags, a free-form one, a cover and a place."""
    data = sound("ipod", "aac", tags={"title": "CANARY title", "comment": "CANARY comment"})
    free = b"".join(
        full(kind, content)
        for kind, content in (
            (b"mean", b"com.apple.iTunes"),
            (b"name", b"CANARY"),
            (b"data", bytes(4) + CANARY),
        )
    )
    art = box(b"data", struct.pack(">II", 13, 0) + cover())
    items = box(
        b"ilst", box(b"----", free) + box(b"covr", art) + box(b"\xa9too", full(b"data", bytes(4) + CANARY))
    )
    handler = full(b"hdlr", bytes(4) + b"mdirappl" + bytes(9))
    place = box(b"\xa9xyz", struct.pack(">HH", 24, 0x15C7) + b"+59.9127+010.7461CANARY/")
    return edited(data, inside(b"moov", box(b"udta", full(b"meta", handler + items) + place)))


def loaded_mp3():
    """With ID3v2.3 in front, ID3v1 and an APE tag behind, text between two frames."""

    def frame(name, content):
        return name + struct.pack(">IH", len(content), 0) + content

    frames = (
        frame(b"TIT2", b"\0CANARY title")
        + frame(b"COMM", b"\0eng\0CANARY comment")
        + frame(b"APIC", b"\0image/jpeg\0\3\0" + cover())
        + frame(b"PRIV", b"CANARY\0CANARY private")
        + frame(b"GEOB", b"\0text/plain\0CANARY.txt\0\0CANARY object")
    )
    size = len(frames)
    spread = bytes(size >> 7 * each & 0x7F for each in (3, 2, 1, 0))
    data = sound("mp3", "libmp3lame", options={"write_xing": "1", "id3v2_version": "0"})
    tail = b"TAG" + b"CANARY old title".ljust(30, b"\0") + b"CANARY".ljust(94, b"\0") + b"\xff"
    item = struct.pack("<II", 6, 0) + b"Comment\0CANARY"
    head = struct.pack("<IIII8x", 2000, len(item) + 32, 1, 0x80000000)
    ape = b"APETAGEX" + head + item + b"APETAGEX" + struct.pack("<IIII8x", 2000, len(item) + 32, 1, 0)
    return b"ID3\3\0\0" + spread + frames + data + ape + tail


def wave(tones=((LOW, 48_000),), *chunks, layout="mono", rate=SOUND_RATE):
    """A WAV of 16 bits (RIFF, Microsoft and IBM 1991), with chunks before and after its samples."""
    channels = 1 if layout == "mono" else 2
    samples = b"".join(tone(*each, layout=layout) for each in tones)
    form = struct.pack("<HHIIHH", 1, channels, rate, rate * 2 * channels, 2 * channels, 16)

    def chunk(name, content):
        return name + struct.pack("<I", len(content)) + content + b"\0" * (len(content) % 2)

    more = b"".join(chunk(*each) for each in chunks)
    body = b"WAVE" + chunk(b"fmt ", form) + more + chunk(b"data", samples) + more
    return b"RIFF" + struct.pack("<I", len(body)) + body


def loaded_wav():
    """With LIST/INFO, a broadcast extension (EBU Tech 3285), iXML, XMP, an ID3 chunk and a cue point."""

    def info(name, words):
        return name + struct.pack("<I", len(words)) + words + b"\0" * (len(words) % 2)

    broadcast = b"CANARY description".ljust(256, b"\0") + b"CANARY originator".ljust(32, b"\0")
    broadcast += b"CANARY reference".ljust(32, b"\0") + b"2026-03-1418:30:00" + bytes(8 + 2 + 64 + 10 + 180)
    return wave(
        ((LOW, 48_000),),
        (b"LIST", b"INFO" + info(b"INAM", b"CANARY title") + info(b"ICMT", b"CANARY comment")),
        (b"bext", broadcast + b"CANARY history"),
        (b"iXML", b"<BWFXML><NOTE>CANARY</NOTE></BWFXML>"),
        (b"_PMX", XMP),
        (b"id3 ", b"ID3\3\0\0\0\0\0\x17TIT2" + struct.pack(">IH", 13, 0) + b"\0CANARY title"),
        (b"cue ", struct.pack("<IIIIIII", 1, 1, 0, 0x61746164, 0, 0, 0)),
    )


LOADED = {
    "a.mp4": loaded_mp4,
    "b.mov": lambda: loaded_mp4("mov"),
    "c.webm": loaded_webm,
    "d.m4a": loaded_m4a,
    "e.mp3": loaded_mp3,
    "f.wav": loaded_wav,
}

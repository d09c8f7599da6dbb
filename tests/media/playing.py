"""What tests read off clips and sounds that were made anew."""

import io
import math
import struct

import av

from buildlog.media.reels import remake
from buildlog.media.sorts import HEAD, content_of, sort_by_name
from tests.media.clips import SOUND_RATE


def made(data, name="a.mp4"):
    return remake(io.BytesIO(data), content_of(data[:HEAD]), sort_by_name(name))


def frames(data):
    """Every picture, whatever an edit list says: its time in seconds, and its bytes as rows of RGB."""
    options = {"ignore_editlist": "1", "advanced_editlist": "0"}
    with av.open(io.BytesIO(data), "r", format="mov", options=options) as source:
        return [(float(frame.time), rgb(frame)) for frame in source.decode(video=0)]


def rgb(frame):
    plain = frame.reformat(format="rgb24")
    plane, width = plain.planes[0], plain.width * 3
    stored = bytes(plane)
    return [stored[at : at + width] for at in range(0, plane.line_size * plain.height, plane.line_size)]


def pixel(rows, across, down):
    """The colour at a fraction of the width and of the height."""
    row = rows[int(down * len(rows))]
    at = 3 * int(across * len(row) / 3)
    return tuple(row[at : at + 3])


def like(colour, other, within=40):
    return all(abs(a - b) <= within for a, b in zip(colour, other, strict=True))


def samples(data):
    """The first channel of all sound, as numbers, without regard to any edit list; and its rate."""
    options = {"ignore_editlist": "1", "advanced_editlist": "0"}
    with av.open(io.BytesIO(data), "r", format="mov", options=options) as source:
        plain = av.AudioResampler("flt", "mono")
        found, rate = b"", SOUND_RATE
        for frame in source.decode(audio=0):
            rate = frame.sample_rate
            found += b"".join(bytes(each.planes[0])[: 4 * each.samples] for each in plain.resample(frame))
        return struct.unpack(f"<{len(found) // 4}f", found), rate


def strength(heard, hertz, rate=SOUND_RATE):
    """How loud one pitch is (Goertzel's sum), as an amplitude."""
    if not heard:
        return 0.0
    turn = 2 * math.pi * hertz / rate
    real = sum(value * math.cos(turn * at) for at, value in enumerate(heard))
    imaginary = sum(value * math.sin(turn * at) for at, value in enumerate(heard))
    return 2 * math.hypot(real, imaginary) / len(heard)


def boxes(data, path=()):
    """The path of every box, and its content; an independent walk of ISO/IEC 14496-12."""
    at = 0
    while at < len(data):
        size, kind = struct.unpack_from(">I4s", data, at)
        here = (*path, kind.decode("latin-1"))
        content = data[at + 8 : at + size]
        yield here, content
        if here[-1] in ("moov", "trak", "mdia", "minf", "dinf", "stbl", "udta", "edts"):
            yield from boxes(content, here)
        at += size


def units(data):
    """The NAL unit types in an MP4's H.264 track (ISO/IEC 14496-10, table 7-1; lengths as in 14496-15)."""
    found = set()
    with av.open(io.BytesIO(data), "r", format="mov") as source:
        for packet in source.demux(video=0):
            sample, at = bytes(packet), 0
            while at < len(sample):
                size = struct.unpack_from(">I", sample, at)[0]
                found.add(sample[at + 4] & 0x1F)
                at += 4 + size
    return found


def hidden_in(word, data):
    """Whether a word is anywhere in bytes, in any case, in UTF-8 or UTF-16."""
    lower, text = data.lower(), word.decode().lower()
    return any(text.encode(form) in lower for form in ("utf-8", "utf-16-le", "utf-16-be"))

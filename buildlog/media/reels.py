"""One clip or sound: from its file to one made anew, of pixels and samples, with nothing else in it."""

from __future__ import annotations

import io
from contextlib import nullcontext
from fractions import Fraction
from typing import BinaryIO

import av
from PIL import Image

from buildlog.media.footage import DAMAGED, chosen_of, open_nothing, opened, shown_of, surveyed
from buildlog.media.refusal import UncleanableError
from buildlog.media.sorts import Content
from buildlog.media.splice import TICKS, Reel, Splice
from buildlog.media.stills import Still, prepare


def remake(file: BinaryIO, content: Content, sort: str) -> Reel:
    """Make a clip or sound anew.

    Args:
        file: the original, open for reading.
        content: what its first bytes announce.
        sort: `clip` or `sound`.

    Raises:
        UncleanableError: it is damaged, cut short, too much, or hides something in a way that cannot be kept.
        MemoryError: it takes more memory than there is.
    """
    try:
        return _remade(file, content, sort)
    except (UncleanableError, MemoryError):
        raise
    except Exception as error:  # decoders' errors have no common kind: the file is to blame
        raise UncleanableError(DAMAGED) from error


def _remade(file: BinaryIO, content: Content, sort: str) -> Reel:
    tracks = shown_of(file, content)
    with opened(file, content) as source:
        begin, firsts = surveyed(source, chosen_of(source, tracks, sort))
    with opened(file, content) as source:
        chosen = chosen_of(source, tracks, sort)
        reel = Splice(chosen, firsts, begin)
        for packet in source.demux([each.stream for each in chosen]):
            reel.take(packet)
        # An MP3 says nowhere how long it is; what is told of it is a guess.
        for each in chosen if content is not Content.MP3 else ():
            reel.refuse_short(each.stream, source)
        return reel.done()


def poster(reel: Reel) -> tuple[Still, ...]:
    """The picture that a clip shows a tenth of the way on, in a few widths, small first; of sound, nothing.

    It is taken from the clip made anew, so that it shows nothing that the clip does not.
    """
    if not reel.width:
        return ()
    with av.open(io.BytesIO(reel.data), "r", format="mov", io_open=open_nothing) as source:
        stream = source.streams.video[0]
        stream.codec_context.thread_count = 1
        wanted = Fraction(reel.milliseconds, 10_000)
        source.seek(int(wanted * TICKS), stream=stream)
        for frame in source.decode(stream):
            if frame.pts is None or frame.pts >= wanted * TICKS:
                break
        plain = frame.reformat(format="rgb24")
        size, plane = (plain.width, plain.height), plain.planes[0]
        image = Image.frombytes("RGB", size, bytes(plane), "raw", "RGB", plane.line_size)
        out = io.BytesIO()
        image.save(out, "PNG", compress_level=1)
    return prepare(out.getvalue(), Content.PNG, nullcontext())

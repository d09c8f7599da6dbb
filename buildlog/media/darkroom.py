"""One photo of a log: from its original on disk to renditions on the shelf."""

from __future__ import annotations

from pathlib import Path

from buildlog.media.bench import Outcome
from buildlog.media.crew import turnstile
from buildlog.media.index import KeptRendition, Made, put, rendition_name, stills_folder
from buildlog.media.originals import LostError, Order, read
from buildlog.media.stills import Still, UnreadableError, prepare
from buildlog.media.traces import carried

_NO_MEMORY = "there was not enough memory to read it; close other programs, or save a smaller copy"


BROUGHT_DOWN = Outcome(
    Made(problem="the file brings the decoder down; export it anew as JPEG, or copy it again from the camera")
)
"""What came of an order whose process ended under it."""


def make(order: Order, shelf: Path | None) -> Outcome[Made]:
    """Make the renditions of a photo and put them on the shelf, if there is one.

    Raises:
        OSError: the shelf cannot be written.
    """
    try:
        data = read(order.found, order.seen.digest)
        stills = prepare(data, order.seen.content, turnstile())
    except UnreadableError as error:
        return Outcome(Made(problem=str(error)))
    except LostError as error:
        return Outcome(Made(problem=str(error)), lasting=False)
    except MemoryError:
        return Outcome(Made(problem=_NO_MEMORY), lasting=False)
    return Outcome(Made(tuple(shelved(each, shelf) for each in stills), carried=carried(data)))


def shelved(still: Still, shelf: Path | None) -> KeptRendition:
    """Put a still on the shelf, if there is one.

    Raises:
        OSError: the shelf cannot be written.
    """
    name = rendition_name(still.data)
    mtime_ns = 0
    if shelf is not None:
        path = stills_folder(shelf) / name
        put(path, still.data)
        mtime_ns = path.stat().st_mtime_ns
    return KeptRendition(name, still.width, still.height, len(still.data), mtime_ns)

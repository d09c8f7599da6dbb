"""One clip, sound or document for the public: from its original to a copy made anew, on the shelf."""

from __future__ import annotations

from pathlib import Path

import msgspec

from buildlog.media.bench import Outcome
from buildlog.media.index import Cleaned, cleaned_folder, name_of, put
from buildlog.media.limits import Limits, within
from buildlog.media.originals import LostError, Order, opened, read
from buildlog.media.refusal import UncleanableError

CLIP_LIMITS = Limits(processor=1800, clock=3600, memory=4_000_000_000)
DOCUMENT_LIMITS = Limits(processor=120, clock=300, memory=2_000_000_000)

MOST_CLIP_BYTES = 4_000_000_000
MOST_DOCUMENT_BYTES = 100_000_000

_ENDINGS = {"clip": ".mp4", "sound": ".m4a", "document": ".pdf"}
_NO_MEMORY = "there was not enough memory to make it anew; close other programs, or export it smaller"


BROUGHT_DOWN = Outcome(
    Cleaned(
        problem="the file brings its decoder down, or takes longer than "
        f"{round(CLIP_LIMITS.processor / 60)} minutes; export it anew, shorter or smaller"
    )
)
"""What came of an order whose process ended under it."""


def clean(order: Order, shelf: Path | None) -> Outcome[Cleaned]:
    """Make a file anew, within limits of time and memory, and put it on the shelf, if there is one.

    Raises:
        OSError: the shelf cannot be written.
    """
    document = order.sort == "document"
    try:
        with within(DOCUMENT_LIMITS if document else CLIP_LIMITS):
            return Outcome(_document(order, shelf) if document else _reel(order, shelf))
    except UncleanableError as error:
        return Outcome(Cleaned(problem=str(error)))
    except LostError as error:
        return Outcome(Cleaned(problem=str(error)), lasting=False)
    except MemoryError:
        return Outcome(Cleaned(problem=_NO_MEMORY), lasting=False)


def _reel(order: Order, shelf: Path | None) -> Cleaned:
    from buildlog.media.darkroom import shelved  # noqa: PLC0415 - a document needs no Pillow
    from buildlog.media.reels import poster, remake  # noqa: PLC0415 - a document needs no PyAV

    _refuse_large(order, MOST_CLIP_BYTES)
    with opened(order.found, order.seen.digest) as file:
        reel = remake(file, order.seen.content, order.sort)
    made = _shelved(reel.data, order.sort, shelf)
    return msgspec.structs.replace(
        made,
        width=reel.width,
        height=reel.height,
        milliseconds=reel.milliseconds,
        poster=tuple(shelved(each, shelf) for each in poster(reel)),
    )


def _document(order: Order, shelf: Path | None) -> Cleaned:
    from buildlog.media.documents import remake  # noqa: PLC0415 - a clip needs no pikepdf

    _refuse_large(order, MOST_DOCUMENT_BYTES)
    return _shelved(remake(read(order.found, order.seen.digest)), order.sort, shelf)


def _refuse_large(order: Order, most: int) -> None:
    size = order.seen.size
    if size > most:
        raise UncleanableError(
            f"the file has {size // 1_000_000} MB, over the {most // 1_000_000} that are read of a "
            f"{order.sort}; export it shorter or smaller"
        )


def _shelved(data: bytes, sort: str, shelf: Path | None) -> Cleaned:
    name = name_of(data, _ENDINGS[sort])
    if shelf is None:
        return Cleaned(name, len(data))
    path = cleaned_folder(shelf) / name
    put(path, data)
    return Cleaned(name, len(data), path.stat().st_mtime_ns)

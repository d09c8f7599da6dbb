"""Work that goes over a limit, for processes that have to load it: it loads little itself."""

import io
import time

import msgspec

from buildlog.media import limits
from buildlog.media.limits import Limits, within
from buildlog.media.refusal import UncleanableError

GENEROUS = Limits(processor=60, clock=60, memory=8_000_000_000)


def hangs(thing):
    with within(msgspec.structs.replace(GENEROUS, clock=0.3)):
        time.sleep(60)
    return thing


def toils(thing):
    with within(msgspec.structs.replace(GENEROUS, processor=0.2)):
        while True:
            thing += 1


def devours(thing):
    with within(msgspec.structs.replace(GENEROUS, memory=500_000_000)):
        try:
            return len(bytearray(2_000_000_000))
        except MemoryError:
            return "no memory"


def behaves(thing):
    before = [limits.resource.getrlimit(each) for each in LIMITED] if limits.resource else []
    with within(GENEROUS):
        pass
    return before == ([limits.resource.getrlimit(each) for each in LIMITED] if limits.resource else [])


LIMITED = (limits.resource.RLIMIT_CPU, limits.resource.RLIMIT_AS) if limits.resource else ()


def remade(thing):
    """What comes of a file: made, or why not; anything but that is raised."""
    from buildlog.media.reels import remake  # noqa: PLC0415 - only this one needs PyAV
    from buildlog.media.sorts import HEAD, content_of, sort_by_name  # noqa: PLC0415 - likewise

    name, data = thing
    try:
        with within(GENEROUS):
            remake(io.BytesIO(data), content_of(data[:HEAD]), sort_by_name(name))
    except (UncleanableError, KeyError) as error:
        return str(error)
    except MemoryError:
        return "no memory; more"
    return "made"


def redrawn(data):
    """A document drawn anew, or why not."""
    from buildlog.media.documents import remake  # noqa: PLC0415 - only this one needs pikepdf

    try:
        with within(GENEROUS):
            return remake(data)
    except UncleanableError as error:
        return str(error)

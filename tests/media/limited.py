"""Work that goes over a limit, for processes that have to load it: it loads little itself."""

import time

import msgspec

from buildlog.media import limits
from buildlog.media.limits import Limits, within

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

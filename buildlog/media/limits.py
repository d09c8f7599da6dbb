"""How long and how much: what one file may take of the machine while it is made anew."""

from __future__ import annotations

import contextlib
import math
import os
import threading
import time
from collections.abc import Iterator
from types import ModuleType

import msgspec

resource: ModuleType | None
"""What lowers limits; Windows has none, and the clock is all there is."""
try:
    import resource as _resource
except ImportError:
    resource = None
else:
    resource = _resource


class Limits(msgspec.Struct, frozen=True):
    """Processor seconds, seconds by the clock, and bytes of address space."""

    processor: float
    clock: float
    memory: int


@contextlib.contextmanager
def within(limits: Limits) -> Iterator[None]:
    """Hold this process to limits while something is done in it: one that goes over them ends at once.

    Memory is refused instead, and comes up as MemoryError. Only for a process that nobody else needs. On
    Windows, which knows no other limit, only the clock holds.
    """
    # A decoder may hang inside one call, where no exception could be raised: the process is all that can end.
    clock = threading.Timer(limits.clock, os._exit, (1,))
    clock.daemon = True
    clock.start()
    before = [] if resource is None else list(_lowered(resource, limits))
    try:
        yield
    finally:
        clock.cancel()
        if resource is not None:
            for which, limit in before:
                resource.setrlimit(which, limit)


def _lowered(resource: ModuleType, limits: Limits) -> Iterator[tuple[int, tuple[int, int]]]:
    """Lower the soft limits that are higher; yield what they were."""
    processor = math.ceil(time.process_time() + limits.processor)
    for which, most in ((resource.RLIMIT_CPU, processor), (resource.RLIMIT_AS, limits.memory)):
        soft, hard = resource.getrlimit(which)
        lowest = min(each for each in (most, soft, hard) if each != resource.RLIM_INFINITY)
        # macOS knows a limit of address space, and refuses to set it.
        with contextlib.suppress(ValueError, OSError):
            resource.setrlimit(which, (lowest, hard))
            yield which, (soft, hard)

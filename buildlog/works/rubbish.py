"""The collector of cyclic rubbish, kept from running while a log is worked on.

A run makes hundreds of thousands of small values, none of them cyclic, and the collector would look through
all of them again and again: a third of the time of a large compile.
"""

from __future__ import annotations

import contextlib
import gc
from collections.abc import Iterator


@contextlib.contextmanager
def left_lying() -> Iterator[None]:
    """Collect nothing for the time of a `with`; afterwards, never look at what has stayed until then."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.freeze()
            gc.enable()

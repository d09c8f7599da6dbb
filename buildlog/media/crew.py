"""The same work on many things, several at a time."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from typing import TypeVar

Thing = TypeVar("Thing")
Result = TypeVar("Result")

_MOST = 8


def share_out(
    work: Callable[[Thing], Result], things: Sequence[Thing], workers: int | None = None
) -> Iterator[tuple[Thing, Result]]:
    """Do `work` on each thing; yield each with its result as they come, in no order.

    Threads, because reading, hashing, decoding, scaling and encoding release the interpreter's lock.

    Args:
        work: called in a thread; what it raises is raised here, and what has not begun is dropped.
        things: what to work on.
        workers: how many at a time; by default one for each processor, up to 8.
    """
    pool = ThreadPoolExecutor(workers or min(os.cpu_count() or 1, _MOST))
    try:
        waiting = {pool.submit(work, thing): thing for thing in things}
        for done in as_completed(waiting):
            yield waiting[done], done.result()
    finally:
        pool.shutdown(cancel_futures=True)

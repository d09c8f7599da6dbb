"""Several processes for one long step, where the machine can fork.

The work is dealt out like cards, so that slow pieces spread; results come back in the order of the work,
and how many workers there were never reaches them. A `HeadStart` gives to one more process what will be
needed later, while this one is busy with a step that cannot be dealt out.
"""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Callable, Iterable, Sequence
from types import TracebackType
from typing import TYPE_CHECKING, Generic, TypeVar

import msgspec

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

T = TypeVar("T")

FEW = 16
"""Below so many pieces of work a process of its own costs more than it saves; so many go back at once."""


def workers_here() -> int:
    """How many processes a long step may use here: the processors we may run on, or 1 without fork.

    Forking is safe only while this process has one thread, which rules out the live server.
    """
    if not hasattr(os, "fork") or sys.platform == "darwin":
        return 1
    if threading.active_count() > 1:
        return 1
    return min(len(os.sched_getaffinity(0)), 8)


def spread(
    work: Sequence[T],
    do: Callable[[T], bytes],
    workers: int,
    progress: Callable[[int], None] | None = None,
) -> list[bytes]:
    """Do each piece of work and return the results in the order of the work.

    Args:
        work: the pieces.
        do: makes one result; runs in a forked process where there are several workers.
        workers: how many processes.
        progress: is told how many pieces are done, from time to time.

    Raises:
        RuntimeError: a worker died; its own error is on its standard error.
    """
    if workers < 2 or len(work) < FEW:
        return _alone(work, do, progress)
    # imported here: work that is soon done alone must not pay for it
    import multiprocessing  # noqa: PLC0415 - see above
    from multiprocessing.connection import Connection, wait  # noqa: PLC0415 - see above

    forks = multiprocessing.get_context("fork")
    hands: dict[Connection, int] = {}
    processes = []
    for number in range(workers):
        mine, theirs = forks.Pipe(duplex=False)
        process = forks.Process(target=_labour, args=(theirs, work[number::workers], do), daemon=True)
        process.start()
        theirs.close()
        hands[mine] = number
        processes.append(process)
    results: list[bytes] = [b""] * len(work)
    done = [0] * workers
    while hands:
        for ready in wait(list(hands)):
            connection = ready if isinstance(ready, Connection) else None
            if connection is None:
                continue
            number = hands[connection]
            try:
                batch = msgspec.msgpack.decode(connection.recv_bytes(), type=list[bytes])
            except EOFError:
                del hands[connection]
                continue
            for result in batch:
                results[number + done[number] * workers] = result
                done[number] += 1
            if progress is not None:
                progress(sum(done))
    for process in processes:
        process.join()
    if sum(done) != len(work):
        raise RuntimeError("a worker process died before its work was done")
    return results


def _alone(
    work: Sequence[T], do: Callable[[T], bytes], progress: Callable[[int], None] | None
) -> list[bytes]:
    results = []
    for number, piece in enumerate(work, start=1):
        results.append(do(piece))
        if progress is not None and number % FEW == 0:
            progress(number)
    return results


def _labour(out: Connection, work: Sequence[T], do: Callable[[T], bytes]) -> None:
    batch: list[bytes] = []
    for piece in work:
        batch.append(do(piece))
        if len(batch) == FEW:
            out.send_bytes(msgspec.msgpack.encode(batch))
            batch = []
    out.send_bytes(msgspec.msgpack.encode(batch))
    out.close()


class HeadStart(Generic[T]):
    """Pieces of work that another process does in order, until it is asked for what it has.

    What is asked for too soon is simply not done: whoever takes the results must be able to do without any.
    A context manager; on leaving, the other process is ended whether it was asked or not.
    """

    def __init__(self, work: Iterable[T], do: Callable[[T], bytes]) -> None:
        """Begin.

        Args:
            work: the pieces; drawn up in the other process, so that making them costs nothing here.
            do: makes one result.
        """
        # imported here: work that is soon done alone must not pay for it
        import multiprocessing  # noqa: PLC0415 - see above

        forks = multiprocessing.get_context("fork")
        self._line, theirs = forks.Pipe()
        self._process = forks.Process(target=_ahead, args=(theirs, work, do), daemon=True)
        self._process.start()
        theirs.close()

    def __enter__(self) -> HeadStart[T]:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._line.close()
        self._process.kill()
        self._process.join()

    def take(self) -> list[bytes]:
        """The results of the first pieces, as many as are done; none where the process has died."""
        try:
            self._line.send_bytes(b"")
            return msgspec.msgpack.decode(self._line.recv_bytes(), type=list[bytes])
        except (EOFError, OSError):
            return []


def _ahead(line: Connection, work: Iterable[T], do: Callable[[T], bytes]) -> None:
    done = []
    for piece in work:
        done.append(do(piece))
        if line.poll():
            break
    line.recv_bytes()
    line.send_bytes(msgspec.msgpack.encode(done))

"""Several processes for one long step, where the machine can fork.

Whoever is free takes the next piece of work; results come back in the order of the work, and who did what,
and how many there were, never reaches them. A `HeadStart` gives to one more process what will be needed
later, while this one is busy with a step that cannot be shared.
"""

from __future__ import annotations

import contextlib
import os
import sys
import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from types import TracebackType
from typing import TYPE_CHECKING, Generic, TypeVar

import msgspec

if TYPE_CHECKING:
    from multiprocessing.connection import Connection
    from multiprocessing.context import ForkContext

T = TypeVar("T")

Progress = Callable[[int], None]
Take = Callable[[int, bytes], None]

FEW = 16
"""Below so many pieces of work a process of its own costs more than it saves; so many go back at once."""


_TOKEN = 4
_TOKENS = 4096
"""So many bytes tell where some pieces of work begin, so many times at most: a pipe holds 16 KiB at least."""


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
    progress: Progress | None = None,
) -> list[bytes]:
    """Do each piece of work and return the results in the order of the work.

    Args:
        work: the pieces.
        do: makes one result; runs in forked processes too where there are several workers.
        workers: how many processes, with this one.
        progress: is told how many pieces are done, from time to time.

    Raises:
        RuntimeError: a worker died; its own error is on its standard error.
    """
    if workers < 2 or len(work) < FEW:
        return _alone(work, do, progress)
    return Crowd(work, do, workers - 1).results(progress)


class Crowd(Generic[T]):
    """Processes at one piece of work, begun; this one may do something else before it joins them."""

    def __init__(self, work: Sequence[T], do: Callable[[T], bytes], others: int) -> None:
        """Begin: see `spread`. `others` are the processes beside this one."""
        forks = _forks()
        self._work = work
        self._do = do
        self._queue = _Queue(len(work))
        self._lines: list[Connection] = []
        self._processes = []
        for _ in range(others):
            mine, theirs = forks.Pipe(duplex=False)
            _widen(theirs.fileno())
            self._lines.append(mine)
            given = (self._lines, theirs, self._queue, work, do)
            process = forks.Process(target=_labour, args=given, daemon=True)
            process.start()
            theirs.close()
            self._processes.append(process)

    def results(self, progress: Progress | None = None, take: Take | None = None) -> list[bytes]:
        """Join in, and return all results when all are done: see `spread`.

        Args:
            progress: is told how many pieces are done.
            take: is handed each result with its place as soon as it is there, in no order.
        """
        results: list[bytes] = [b""] * len(self._work)
        done = 0
        for batch in self._batches():
            for place, result in batch.items():
                results[place] = result
                if take is not None:
                    take(place, result)
            done += len(batch)
            if progress is not None:
                progress(done)
        for process in self._processes:
            process.join()
        self._queue.close()
        if done != len(self._work):
            raise RuntimeError("a worker process died before its work was done")
        return results

    def _batches(self) -> Iterator[dict[int, bytes]]:
        """Results by place, from here and from the others, as they come."""
        batch: dict[int, bytes] = {}
        while (place := self._queue.take()) is not None:
            batch[place] = self._do(self._work[place])
            if len(batch) == FEW:
                yield batch
                batch = {}
                yield from self._heard(0)
        yield batch
        while self._lines:
            yield from self._heard(None)

    def _heard(self, patience: float | None) -> Iterator[dict[int, bytes]]:
        """What the others have to say, if anything, within so many seconds; None waits until one does."""
        from multiprocessing.connection import Connection, wait  # noqa: PLC0415 - loaded when it was begun

        for ready in wait(self._lines, patience) if self._lines else ():
            if isinstance(ready, Connection):
                try:
                    yield msgspec.msgpack.decode(ready.recv_bytes(), type=dict[int, bytes])
                except EOFError:
                    self._lines.remove(ready)


def _forks() -> ForkContext:
    import multiprocessing  # noqa: PLC0415 - work that is soon done alone must not pay for it

    return multiprocessing.get_context("fork")


class _Queue:
    """The places of pieces of work, in a pipe from which each process takes the next."""

    def __init__(self, pieces: int) -> None:
        # Many places go together, so that a pipe of the usual size holds all of them.
        self._run = -(-pieces // _TOKENS)
        self._pieces = pieces
        self._begun: list[int] = []
        self._line, end = os.pipe()
        for token in range(-(-pieces // self._run)):
            os.write(end, token.to_bytes(_TOKEN, "little"))
        os.close(end)

    def take(self) -> int | None:
        """The place of the next piece that nobody has taken; None when all are taken."""
        if not self._begun:
            token = os.read(self._line, _TOKEN)
            if not token:
                return None
            first = int.from_bytes(token, "little") * self._run
            self._begun = list(range(min(first + self._run, self._pieces) - 1, first - 1, -1))
        return self._begun.pop()

    def close(self) -> None:
        """Close it here; other processes have it for themselves."""
        os.close(self._line)


def _widen(line: int) -> None:
    """Let a worker go on while nobody listens yet, as far as the system lets a pipe hold what it says."""
    import fcntl  # noqa: PLC0415 - where there is a fork there is this

    size = getattr(fcntl, "F_SETPIPE_SZ", None)
    if size is not None:
        with contextlib.suppress(OSError):
            fcntl.fcntl(line, size, 1 << 20)


def _alone(work: Sequence[T], do: Callable[[T], bytes], progress: Progress | None) -> list[bytes]:
    results = []
    for number, piece in enumerate(work, start=1):
        results.append(do(piece))
        if progress is not None and number % FEW == 0:
            progress(number)
    return results


def _labour(
    not_ours: Sequence[Connection],
    out: Connection,
    queue: _Queue,
    work: Sequence[T],
    do: Callable[[T], bytes],
) -> None:
    with _as_long_as_asked(not_ours):
        batch: dict[int, bytes] = {}
        while (place := queue.take()) is not None:
            batch[place] = do(work[place])
            if len(batch) == FEW:
                out.send_bytes(msgspec.msgpack.encode(batch))
                batch = {}
        out.send_bytes(msgspec.msgpack.encode(batch))
        out.close()


@contextlib.contextmanager
def _as_long_as_asked(not_ours: Sequence[Connection]) -> Iterator[None]:
    """End quietly, and soon, when the process that asked is gone, however it went.

    Until then this one has what it had open, the lock on the log among it. Had it the other ends of the lines
    too, no line would ever tell that nobody is there.
    """
    for line in not_ours:
        line.close()
    with contextlib.suppress(BrokenPipeError, ConnectionError, EOFError):
        yield


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
        forks = _forks()
        self._line, theirs = forks.Pipe()
        self._process = forks.Process(target=_ahead, args=(self._line, theirs, work, do), daemon=True)
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


def _ahead(not_ours: Connection, line: Connection, work: Iterable[T], do: Callable[[T], bytes]) -> None:
    with _as_long_as_asked((not_ours,)):
        done = []
        for piece in work:
            done.append(do(piece))
            if line.poll():
                break
        line.recv_bytes()
        line.send_bytes(msgspec.msgpack.encode(done))

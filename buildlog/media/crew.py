"""The same work on many things, several at a time: in threads, or apart, in processes of their own."""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
import warnings
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor, ThreadPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import AbstractContextManager
from contextvars import ContextVar
from typing import TypeVar

Thing = TypeVar("Thing")
Result = TypeVar("Result")

_MOST = 8

_HERE = threading.Lock()
_TURNSTILE: ContextVar[AbstractContextManager[object]] = ContextVar("turnstile", default=_HERE)


def turnstile() -> AbstractContextManager[object]:
    """What one at a time may hold, of all those that are at work together."""
    return _TURNSTILE.get()


def side_by_side(work: Callable[[Thing], Result], things: Sequence[Thing]) -> Iterator[tuple[Thing, Result]]:
    """Do `work` on each thing in threads; yield each with its result as they come, in no order.

    What the work raises is raised here, and what has not begun is dropped. For reading and hashing, which
    release the interpreter's lock.
    """
    with ThreadPoolExecutor(_workers()) as pool:
        waiting = {pool.submit(work, thing): thing for thing in things}
        try:
            for done in as_completed(waiting):
                yield waiting[done], done.result()
        finally:
            pool.shutdown(cancel_futures=True)


def apart(work: Callable[[Thing], Result], things: Sequence[Thing]) -> Iterator[tuple[Thing, Result | None]]:
    """Do `work` on each thing in other processes; yield each with its result as they come, in no order.

    For decoders: what they print goes nowhere, and a file that brings one down ends that process alone; the
    result is then None.

    Args:
        work: a function that another process can import, or a partial of one. What it raises is raised here,
            and what has not begun is dropped.
        things: what to work on, at least one; each is sent to another process.
    """
    left: list[Thing] = []
    with _processes(min(_workers(), len(things))) as pool:
        waiting: dict[Future[Result], Thing] = {}
        for thing in things:
            try:
                waiting[pool.submit(work, thing)] = thing
            except BrokenProcessPool:
                left.append(thing)
        try:
            for done in as_completed(waiting):
                try:
                    result = done.result()
                except BrokenProcessPool:
                    left.append(waiting[done])
                else:
                    yield waiting[done], result
        finally:
            pool.shutdown(cancel_futures=True)
    # One that goes down takes along whatever else was under way, so those are tried again one by one.
    while left:
        with _processes(1) as pool:
            yield from _until_one_goes_down(pool, work, left)


def _until_one_goes_down(
    pool: ProcessPoolExecutor, work: Callable[[Thing], Result], left: list[Thing]
) -> Iterator[tuple[Thing, Result | None]]:
    while left:
        thing = left.pop()
        try:
            result = pool.submit(work, thing).result()
        except BrokenProcessPool:
            yield thing, None
            return
        yield thing, result


def _workers() -> int:
    return min(os.cpu_count() or 1, _MOST)


def _processes(number: int) -> ProcessPoolExecutor:
    # Spawned, because the caller may have threads, whose locks a fork would take over in any state.
    spawn = multiprocessing.get_context("spawn")
    return ProcessPoolExecutor(number, mp_context=spawn, initializer=settle_in, initargs=(spawn.Lock(),))


def settle_in(shared: AbstractContextManager[object]) -> None:
    """Begin in a new process: silent, and deaf to the keyboard, which is for the process that waits."""
    # A lock can be handed to another process only as that begins; what it does later is in this same context.
    _TURNSTILE.set(shared)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    warnings.simplefilter("ignore")
    os.dup2(os.open(os.devnull, os.O_WRONLY), 2)

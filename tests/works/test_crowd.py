"""Several processes at one piece of work: every result once, in its place, whoever did it, whatever dies."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from buildlog.works import crowd
from buildlog.works.crowd import Crowd, HeadStart, spread

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="this system has no fork")


def told(piece: int) -> bytes:
    return f"{piece} squared is {piece * piece}".encode()


@pytest.mark.parametrize("workers", [1, 2, 3, 5])
@pytest.mark.parametrize("pieces", [0, 1, 15, 16, 17, 333, 5000])
def test_results_come_in_the_order_of_the_work(workers: int, pieces: int) -> None:
    work = list(range(pieces))
    assert spread(work, told, workers) == [told(piece) for piece in work]


def test_the_others_work_too() -> None:
    def who(_: int) -> bytes:
        time.sleep(0.002)
        return str(os.getpid()).encode()

    assert len(set(spread(range(200), who, 3))) == 3


def test_each_result_is_handed_over_once_and_progress_counts_up() -> None:
    taken: dict[int, bytes] = {}
    counts: list[int] = []

    def take(place: int, result: bytes) -> None:
        assert place not in taken
        taken[place] = result

    results = Crowd(range(100), told, 2).results(counts.append, take)
    assert taken == dict(enumerate(results)) == {piece: told(piece) for piece in range(100)}
    assert counts == sorted(counts)
    assert counts[-1] == 100


def test_a_worker_that_dies_is_no_silent_gap() -> None:
    here = os.getpid()

    def fatal(piece: int) -> bytes:
        if os.getpid() != here:
            os._exit(9)
        time.sleep(0.001)
        return told(piece)

    with pytest.raises(RuntimeError, match="died"):
        spread(range(500), fatal, 2)


def test_an_error_here_is_raised_here() -> None:
    here = os.getpid()

    def wrong(_: int) -> bytes:
        time.sleep(0.001)
        if os.getpid() == here:
            raise ValueError("ink is out")
        return b""

    with pytest.raises(ValueError, match="ink is out"):
        spread(range(500), wrong, 2)


def test_a_head_start_gives_what_it_has() -> None:
    def slow(piece: int) -> bytes:
        time.sleep(0.01)
        return told(piece)

    with HeadStart(range(10_000), slow) as ahead:
        time.sleep(0.2)
        done = ahead.take()
    assert 1 <= len(done) < 1000
    assert done == [told(piece) for piece in range(len(done))]


def test_a_head_start_that_is_done_waits_to_be_asked() -> None:
    with HeadStart(range(20), told) as ahead:
        time.sleep(0.1)
        assert ahead.take() == [told(piece) for piece in range(20)]


def test_a_head_start_that_died_has_nothing() -> None:
    with HeadStart(range(20), lambda _: os._exit(3)) as ahead:
        time.sleep(0.1)
        assert ahead.take() == []


def test_a_head_start_nobody_asks_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    def forever(_: int) -> bytes:
        time.sleep(60)
        return b""

    began = time.monotonic()
    with pytest.raises(KeyError), HeadStart(range(3), forever) as ahead:
        raise KeyError("something else went wrong")
    assert time.monotonic() - began < 20
    assert not ahead._process.is_alive()


def test_beside_a_thread_nothing_is_forked() -> None:
    stop = threading.Event()
    thread = threading.Thread(target=stop.wait)
    thread.start()
    try:
        assert crowd.workers_here() == 1
    finally:
        stop.set()
        thread.join()


ORPHANS = """
import os, sys, time
from buildlog.works.crowd import Crowd, HeadStart
def slow(piece):
    time.sleep(0.01)
    return b"x" * 5000
ahead = HeadStart(range(10_000), slow)
crowd = Crowd(range(10_000), slow, 2)
print(os.getpid(), *(each.pid for each in (ahead._process, *crowd._processes)), flush=True)
time.sleep(60)
"""


def test_workers_do_not_outlive_who_asked(tmp_path: Path) -> None:
    """Else they would hold the lock on the log for good."""
    asking = subprocess.Popen([sys.executable, "-c", ORPHANS], stdout=subprocess.PIPE, text=True)
    assert asking.stdout is not None
    _, *workers = map(int, asking.stdout.readline().split())
    assert len(workers) == 3
    time.sleep(0.2)
    asking.kill()
    asking.wait()
    until = time.monotonic() + 20
    while (alive := [each for each in workers if running(each)]) and time.monotonic() < until:
        time.sleep(0.05)
    assert not alive


def running(process: int) -> bool:
    try:
        state = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0]
    except FileNotFoundError:
        return False
    return state != "Z"

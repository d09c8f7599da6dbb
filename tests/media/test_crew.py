"""Work done apart: silent, and what goes down takes nothing along."""

import contextvars
import os
import signal
import threading
import warnings
from concurrent.futures import ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import nullcontext
from pathlib import Path

import pytest

from buildlog.media import crew, stills
from buildlog.media.sorts import Content
from tests.media import pictures


def test_decoders_are_silent(media_log, recwarn, capfd):
    """The TIFF library writes its complaints straight to the terminal, past Python."""
    media_log.add("a.jpg", pictures.picture(exif=b"Exif\0\0II*\0\xff\xff\xff\xff"))
    media_log.add("b.tif", spoilt := spoilt_tiff())
    assert "damaged" in media_log.develop("a.jpg", "b.tif")[1].problem
    assert not recwarn.list
    assert capfd.readouterr() == ("", "")
    with pytest.raises(stills.UnreadableError):
        stills.prepare(spoilt, Content.TIFF, nullcontext())
    assert "ZIPDecode" in capfd.readouterr().err


def spoilt_tiff():
    data = bytearray(pictures.picture("tif", compression="tiff_deflate"))
    data[8:40] = bytes(range(100, 132))
    return bytes(data)


def dies_of_it(thing):
    if thing == 3:
        os.kill(os.getpid(), signal.SIGKILL)
    return thing * 2


def test_a_decoder_brought_down_takes_nothing_else_along():
    assert dict(crew.apart(dies_of_it, range(8))) == {
        each: None if each == 3 else each * 2 for each in range(8)
    }
    assert list(crew.apart(dies_of_it, [3])) == [(3, None)]


def fails(thing):
    raise OSError(28, "No space left on device")


def test_a_full_disk_is_nobodys_photo():
    with pytest.raises(OSError, match="No space left"):
        dict(crew.apart(fails, [1, 2, 3]))


def test_a_pool_that_goes_down_early_leaves_the_rest_to_another(monkeypatch):
    class Down(ThreadPoolExecutor):
        def submit(self, *_args):
            raise BrokenProcessPool

    pools = iter([Down(1)])
    processes = crew._processes
    monkeypatch.setattr(crew, "_processes", lambda number: next(pools, None) or processes(number))
    assert dict(crew.apart(dies_of_it, [1, 2])) == {1: 2, 2: 4}


def test_a_process_apart_begins_silent_and_deaf_to_the_keyboard(monkeypatch):
    done = []
    monkeypatch.setattr(crew.signal, "signal", lambda *what: done.append(what))
    monkeypatch.setattr(
        crew.os, "dup2", lambda source, target: done.append((os.fstat(source).st_rdev, target))
    )

    def begin() -> object:
        with warnings.catch_warnings():
            crew.settle_in(lock)
        return crew.turnstile()

    lock = threading.Lock()
    assert contextvars.copy_context().run(begin) is lock
    assert crew.turnstile() is not lock, "what one process is handed stays in it"
    assert done == [(signal.SIGINT, signal.SIG_IGN), (Path(os.devnull).stat().st_rdev, 2)]

"""The steps on a disk that this system does otherwise, or never needs."""

from __future__ import annotations

import ctypes
import errno
from pathlib import Path
from types import SimpleNamespace

import pytest

from buildlog.works import disk


def test_an_exchange_is_one_step_and_needs_both(tmp_path: Path) -> None:
    for name in "ab":
        (tmp_path / name).mkdir()
        (tmp_path / name / name).write_text(name)
    disk.exchange(tmp_path / "a", tmp_path / "b")
    assert (tmp_path / "a/b").read_text() == "b"
    assert (tmp_path / "b/a").read_text() == "a"
    with pytest.raises(FileNotFoundError):
        disk.exchange(tmp_path / "a", tmp_path / "c")


@pytest.mark.parametrize(
    ("platform", "call"),
    [("darwin", "renamex_np"), ("linux", "renameat2"), ("win32", "none"), ("linux", "none")],
)
@pytest.mark.parametrize("code", [0, errno.ENOTSUP, errno.EXDEV])
def test_each_system_has_its_own_exchange(
    monkeypatch: pytest.MonkeyPatch, platform: str, call: str, code: int
) -> None:
    """`renamex_np` with RENAME_SWAP is in macOS's rename(2); Windows has no such call. Both simulated."""
    calls: list[tuple[object, ...]] = []

    def answer(*args: object) -> int:
        calls.append(args)
        ctypes.set_errno(code)
        return -1 if code else 0

    monkeypatch.setattr(disk.sys, "platform", platform)
    monkeypatch.setattr(disk, "_libc", lambda: SimpleNamespace(**{call: answer}))
    if call == "none" or code == errno.ENOTSUP:
        with pytest.raises(disk.ExchangeError):
            disk.exchange(Path("a"), Path("b"))
    elif code:
        with pytest.raises(OSError, match=r".") as failure:
            disk.exchange(Path("a"), Path("b"))
        assert failure.value.errno == errno.EXDEV
        assert not isinstance(failure.value, disk.ExchangeError)
    else:
        disk.exchange(Path("a"), Path("b"))
        assert len(calls) == 1


def test_emptying_follows_no_link_and_minds_no_absence(tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine/letter").write_text("mine")
    (tmp_path / "a/b").mkdir(parents=True)
    (tmp_path / "a/b/c").write_text("")
    (tmp_path / "a/link").symlink_to("../mine")
    disk.empty(str(tmp_path / "a"))
    assert list((tmp_path / "a").iterdir()) == []
    assert (tmp_path / "mine/letter").read_text() == "mine"
    disk.empty(str(tmp_path / "nowhere"))


def test_a_new_file_never_opens_an_old_one(tmp_path: Path) -> None:
    (tmp_path / "old").write_bytes(b"old")
    with pytest.raises(FileExistsError):
        disk.write(str(tmp_path / "old"), b"new", 0)
    with pytest.raises(FileExistsError):
        disk.copy(str(tmp_path / "old"), str(tmp_path / "old"), 0)
    assert (tmp_path / "old").read_bytes() == b"old"


def test_a_file_larger_than_one_read(tmp_path: Path) -> None:
    data = bytes(range(256)) * 10_000
    disk.write(str(tmp_path / "a"), data, 0)
    disk.copy(str(tmp_path / "a"), str(tmp_path / "b"), 0)
    assert (tmp_path / "b").read_bytes() == data

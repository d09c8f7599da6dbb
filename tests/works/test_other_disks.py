"""Publishing on disks that cannot do everything: no links, no exchange, another file system."""

from __future__ import annotations

import errno
import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from buildlog.works import disk, generations
from buildlog.works.generations import Leaf, leaf_of, publish
from buildlog.works.standing import LIST, Refused, aside_of, beside, stand
from tests.works.published import (
    DAY,
    FIRST,
    NEXT_DAY,
    SECOND,
    clean,
    contents,
    leaves,
    no_exchange,
    no_links,
    put,
    tree,
)


def test_a_disk_without_hard_links_gets_copies(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(generations.os, "link", no_links)
    put(tmp_path / "a", FIRST)
    for number in range(4):
        files = {**FIRST, "index.html": b"%d" % number}
        published = put(tmp_path / "a", files, DAY + number)
        assert published.linked == 0
        assert tree(tmp_path / "a/out") == clean(tmp_path / f"{number}", files, DAY + number)
    assert {path.stat().st_nlink for path in (tmp_path / "a").rglob("*") if path.is_file()} == {1}


def test_a_file_with_too_many_links_is_copied(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    link = os.link

    def crowded(source: str, target: str) -> None:
        if source.endswith("404.html"):
            raise OSError(errno.EMLINK, "too many links")
        link(source, target)

    monkeypatch.setattr(generations.os, "link", crowded)
    put(tmp_path / "a", FIRST)
    files = {**FIRST, "index.html": b"2"}
    assert put(tmp_path / "a", files).linked == len(FIRST) - 2
    assert tree(tmp_path / "a/out") == clean(tmp_path / "b", files)


def test_a_disk_without_exchange_gets_two_renames(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(disk, "exchange", no_exchange)
    for files in (FIRST, SECOND, FIRST):
        put(tmp_path / "a", files)
    assert tree(tmp_path / "a/out") == clean(tmp_path / "b", FIRST)
    assert contents(tmp_path / "a/kept/back").keys() == {*SECOND, LIST}
    assert not aside_of(tmp_path / "a/kept/back").exists()


def test_a_second_rename_that_fails_undoes_the_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    put(tmp_path, FIRST)
    before = tree(tmp_path / "out")
    monkeypatch.setattr(disk, "exchange", no_exchange)
    rename = Path.rename

    def failing(self: Path, target: Path) -> Path:
        if self.name == "back":
            raise OSError(errno.EACCES, "held by another program")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", failing)
    with pytest.raises(Refused, match="what was there still is"):
        put(tmp_path, SECOND)
    assert tree(tmp_path / "out") == before


def test_a_failed_exchange_leaves_the_old_edition_and_the_next_run_mends(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The standing in hand tells that the generation behind it was half built."""
    standing = publish(put(tmp_path / "a", FIRST).standing, leaves(SECOND), stamp=DAY).standing
    before = tree(tmp_path / "a/out")

    def busy(*_: object) -> None:
        raise OSError(errno.EBUSY, "busy")

    with monkeypatch.context() as patch:
        patch.setattr(disk, "exchange", busy)
        with pytest.raises(Refused, match="busy"):
            publish(standing, leaves(FIRST), stamp=DAY)
    assert tree(tmp_path / "a/out") == before
    publish(standing, leaves(FIRST), stamp=DAY)
    assert tree(tmp_path / "a/out") == clean(tmp_path / "b", FIRST)


def test_a_generation_behind_on_another_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Simulated: only folders side by side change places, all else is refused as across file systems."""
    exchange, rename, link = disk.exchange, Path.rename, os.link

    def across(one: str | Path, other: str | Path) -> None:
        if ("kept" in Path(one).parts) != ("kept" in Path(other).parts):
            raise OSError(errno.EXDEV, "across file systems")

    def exchange_here(one: Path, other: Path) -> None:
        across(one, other)
        exchange(one, other)

    def rename_here(self: Path, target: Path) -> Path:
        across(self, target)
        return rename(self, target)

    def link_here(source: str, target: str) -> None:
        across(source, target)
        link(source, target)

    monkeypatch.setattr(disk, "exchange", exchange_here)
    monkeypatch.setattr(Path, "rename", rename_here)
    monkeypatch.setattr(generations.os, "link", link_here)
    standing = put(tmp_path / "a", FIRST).standing
    assert contents(tmp_path / "a/out").keys() == {*FIRST, LIST}
    publish(standing, leaves(SECOND), stamp=NEXT_DAY)
    assert tree(tmp_path / "a/out") == tree(tmp_path / "a/kept/back")
    assert {path.name for path in (tmp_path / "a").iterdir()} == {"kept", "out"}
    monkeypatch.undo()
    assert tree(tmp_path / "a/out") == clean(tmp_path / "b", SECOND, NEXT_DAY)


def test_another_disk_in_truth(tmp_path: Path) -> None:
    shared = Path("/dev/shm")  # noqa: S108 - a file system in memory, where there is one
    if not shared.is_dir() or shared.stat().st_dev == tmp_path.stat().st_dev:
        pytest.skip("no second file system")
    back = shared / f"buildlog-test-{os.getpid()}"
    try:
        for files in (FIRST, SECOND, FIRST, {**FIRST, "index.html": b"2"}):
            publish(stand(tmp_path / "a/out", back), leaves(files), stamp=DAY)
            assert tree(tmp_path / "a/out") == clean(
                tmp_path / f"b{len(files)}{len(files['index.html'])}", files
            )
        staged = back.with_name(f"{back.name}-staged")
        staged.write_bytes(b"page")
        moved = {"a.html": Leaf(leaf_of(b"page").digest, source=staged, move=True)}
        publish(stand(tmp_path / "c/out", tmp_path / "c/back"), moved, stamp=DAY)
        assert not staged.exists()
        assert tree(tmp_path / "c/out") == clean(tmp_path / "d", {"a.html": b"page"})
    finally:
        disk.empty(str(back))
        back.rmdir()


def test_a_move_that_fails_says_so(tmp_path: Path) -> None:
    gone = {"a.html": Leaf("0" * 64, source=tmp_path / "gone", move=True)}
    with pytest.raises(Refused, match="was not published"):
        publish(stand(tmp_path / "out", tmp_path / "back"), gone, stamp=DAY)
    assert not (tmp_path / "out").exists()


def test_an_exchange_cut_short_is_finished_or_undone(tmp_path: Path) -> None:
    for place in (tmp_path / "kept/back", beside(tmp_path / "out")):
        put(tmp_path, FIRST)
        old = tree(tmp_path / "out")
        aside_of(place).parent.mkdir(exist_ok=True)
        (tmp_path / "out").rename(aside_of(place))
        stand(tmp_path / "out", tmp_path / "kept/back")
        assert tree(tmp_path / "out") == old
        (tmp_path / "out").rename(aside_of(place))
        put(tmp_path, SECOND)
        assert contents(tmp_path / "out").keys() == {*SECOND, LIST}
        assert not aside_of(place).exists()
        assert not beside(tmp_path / "out").exists()


def test_after_the_second_rename_the_old_edition_goes_behind(tmp_path: Path) -> None:
    back = tmp_path / "kept/back"
    put(tmp_path, FIRST)
    put(tmp_path, SECOND)
    back.rename(aside_of(back))
    stand(tmp_path / "out", back)
    assert contents(back).keys() == {*FIRST, LIST}
    disk_copy = tmp_path / "kept/back.aside"
    disk_copy.mkdir()
    (disk_copy / "left").write_text("")
    stand(tmp_path / "out", back)
    assert not disk_copy.exists()
    assert contents(tmp_path / "out").keys() == {*SECOND, LIST}


def test_what_lies_in_the_generation_behind_is_never_trusted(tmp_path: Path) -> None:
    back = tmp_path / "a/kept/back"
    put(tmp_path / "a", FIRST)
    put(tmp_path / "a", {**FIRST, "index.html": b"2"})
    for path in back.rglob("*.html"):
        path.unlink()
        path.write_bytes(b"damaged")
    (back / "link").symlink_to(tmp_path)
    (back / "stray/folder").mkdir(parents=True)
    (back / "stray/folder/file").write_text("")
    put(tmp_path / "a", SECOND)
    assert tree(tmp_path / "a/out") == clean(tmp_path / "b", SECOND)


def test_a_disk_that_keeps_no_permissions_is_no_hindrance(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(errno.EPERM, "not on this disk")

    monkeypatch.setattr(disk.os, "chmod", refuse)
    put(tmp_path, FIRST)
    put(tmp_path, SECOND)
    assert contents(tmp_path / "out").keys() == {*SECOND, LIST}


def test_a_failure_after_the_exchange_does_not_claim_the_old_edition(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put(tmp_path, FIRST)

    def refuse(*_: object) -> None:
        raise OSError(errno.EIO, "failing disk")

    monkeypatch.setattr(generations, "_in_place", refuse)
    with pytest.raises(Refused, match="was published, but"):
        put(tmp_path, SECOND)
    assert contents(tmp_path / "out").keys() == {*SECOND, LIST}


def test_a_folder_that_cannot_be_read_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    put(tmp_path, FIRST)
    scandir = os.scandir

    def closed(path: str | Path) -> Iterator[os.DirEntry[str]]:
        if str(path).endswith("TN-57-1100") or str(path) == str(tmp_path / "shut"):
            raise PermissionError(errno.EACCES, "closed", str(path))
        return scandir(path)

    (tmp_path / "shut").mkdir()
    monkeypatch.setattr("buildlog.works.seen.os.scandir", closed)
    with pytest.raises(Refused, match="parts/TN-57-1100"):
        put(tmp_path, SECOND)
    with pytest.raises(Refused, match="could not be read"):
        stand(tmp_path / "shut", tmp_path / "kept/back")

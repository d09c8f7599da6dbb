"""Publishing: what stands afterwards, what is refused, what is mended, what is left alone."""

from __future__ import annotations

import errno
import os
import shutil
import subprocess
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from buildlog.works import disk, generations
from buildlog.works.generations import Leaf, Published, lacking, leaf_of, publish, sweep
from buildlog.works.seen import NOTHING_SEEN, Sightings
from buildlog.works.standing import DROPPINGS, LIST, Refused, aside_of, beside, bin_of, stand, unchanged
from tests.outside import require

DAY, NEXT_DAY = 1_773_446_400, 1_773_532_800

FIRST = {
    "index.html": b"home",
    "404.html": b"home",
    "parts/TN-57-1100/index.html": b"spar",
    "parts/TN-57-1200/index.html": b"rib",
    "tasks/WING-12.html": b"splice",
    "media/a.jpg": b"\xff\xd8",
    "deep/er/and/deeper.txt": b"",
}
SECOND = {
    "index.html": b"home, changed",
    "404.html": b"home",
    "parts/TN-57-1100/index.html": b"spar",
    "parts/TN-57-1300/index.html": b"rib",
    "tasks": b"now a file",
    "media/a.jpg/index.html": b"now in a folder",
}

Tree = dict[str, tuple[bytes | None, int, int]]


def tree(folder: Path) -> Tree:
    """Every file and folder with its bytes, time in nanoseconds and permissions."""
    return {
        path.relative_to(folder).as_posix(): (
            path.read_bytes() if path.is_file() else None,
            path.lstat().st_mtime_ns,
            path.lstat().st_mode & 0o7777,
        )
        for path in (folder, *sorted(folder.rglob("*")))
    }


def contents(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


def leaves(files: Mapping[str, bytes]) -> dict[str, Leaf]:
    return {path: leaf_of(data) for path, data in files.items()}


def put(
    place: Path, files: Mapping[str, bytes], stamp: int = DAY, known: Sightings = NOTHING_SEEN
) -> Published:
    """Publish into `place/out`, with the generation behind it in `place/kept/back`."""
    return publish(stand(place / "out", place / "kept/back", known), leaves(files), stamp=stamp)


def clean(place: Path, files: Mapping[str, bytes], stamp: int = DAY) -> Tree:
    """The tree that publishing into an empty folder gives."""
    put(place, files, stamp)
    return tree(place / "out")


def test_the_first_edition_holds_what_was_asked_and_its_list(tmp_path: Path) -> None:
    published = put(tmp_path, FIRST)
    assert published.written == tuple(sorted(FIRST))
    assert published.exchanged
    found = tree(tmp_path / "out")
    assert {path: data for path, (data, *_) in found.items() if data is not None and path != LIST} == FIRST
    assert {time for _, time, _ in found.values()} == {DAY * 10**9}
    assert {mode for data, _, mode in found.values() if data is None} == {0o755}
    assert {mode for data, _, mode in found.values() if data is not None} == {0o644}


def test_the_next_edition_equals_a_clean_one_and_reports_the_difference(tmp_path: Path) -> None:
    put(tmp_path / "a", FIRST)
    published = put(tmp_path / "a", SECOND, NEXT_DAY)
    assert tree(tmp_path / "a/out") == clean(tmp_path / "b", SECOND, NEXT_DAY)
    assert published.written == (
        "index.html",
        "media/a.jpg/index.html",
        "parts/TN-57-1300/index.html",
        "tasks",
    )
    assert published.removed == tuple(sorted(FIRST.keys() - SECOND.keys()))
    assert published.same == 2


def test_unchanged_files_are_linked_once_and_then_left_alone(tmp_path: Path) -> None:
    """The cost of an edition is that of its change: after the first exchange nothing else is linked."""
    put(tmp_path, FIRST)
    assert put(tmp_path, {**FIRST, "index.html": b"2"}).linked == len(FIRST) - 1
    assert put(tmp_path, {**FIRST, "index.html": b"3"}).linked == 0
    fourth = put(tmp_path, {**FIRST, "404.html": b"4", "index.html": b"3"})
    assert fourth.written == ("404.html",)
    assert fourth.linked == 1


def test_a_run_of_editions_needs_no_second_look(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What `publish` returns stands for what a new look would find: bytes, times, digests."""
    standing = put(tmp_path, FIRST).standing
    for number in range(5):
        files = {**FIRST, "index.html": b"%d" % number, f"new/{number}.html": b"new"}
        published = publish(standing, leaves(files), stamp=DAY + number * 86_400)
        fresh = stand(tmp_path / "out", tmp_path / "kept/back")
        assert published.standing.seen == fresh.seen
        assert published.standing.front is not None
        assert fresh.front is not None
        assert published.standing.front.files == fresh.front.files
        assert published.standing.front.folders == fresh.front.folders
        assert unchanged(published.standing)
        standing = published.standing
    with monkeypatch.context() as patch:
        patch.setattr(generations, "stand", lambda *_: pytest.fail("looked again"))
        patch.setattr(generations, "survey", lambda *_: pytest.fail("looked behind again"))
        files = {**FIRST, "index.html": b"last"}
        publish(standing, leaves(files), stamp=DAY)
    assert tree(tmp_path / "out") == clean(tmp_path / "b", files)


def test_what_was_taken_out_is_swept_away_when_there_is_time(tmp_path: Path) -> None:
    for files in (FIRST, SECOND, FIRST):
        standing = put(tmp_path, files).standing
    assert bin_of(tmp_path / "kept/back").exists()
    standing = publish(standing, leaves(SECOND), stamp=DAY).standing
    sweep(standing)
    sweep(standing)
    assert {path.name for path in (tmp_path / "kept").iterdir()} == {"back"}
    publish(standing, leaves(FIRST), stamp=DAY)
    assert bin_of(tmp_path / "kept/back").exists()
    stand(tmp_path / "out", tmp_path / "kept/back")
    assert {path.name for path in (tmp_path / "kept").iterdir()} == {"back"}


def test_nothing_changed_touches_nothing(tmp_path: Path) -> None:
    known = put(tmp_path, FIRST).standing.sightings
    before = {path: path.lstat() for path in tmp_path.rglob("*")}
    published = put(tmp_path, FIRST, known=known)
    assert not published.exchanged
    assert published.written == published.removed == ()
    assert published.same == len(FIRST)
    after = {path: path.lstat() for path in tmp_path.rglob("*")}
    assert {path: (s.st_ctime_ns, s.st_ino) for path, s in before.items()} == {
        path: (s.st_ctime_ns, s.st_ino) for path, s in after.items()
    }


def test_only_the_day_changed_sets_times_in_place(tmp_path: Path) -> None:
    put(tmp_path / "a", FIRST)
    assert not put(tmp_path / "a", FIRST, NEXT_DAY).exchanged
    assert tree(tmp_path / "a/out") == clean(tmp_path / "b", FIRST, NEXT_DAY)


def test_known_files_are_not_read_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    known = put(tmp_path, FIRST).standing.sightings
    read: list[str] = []
    monkeypatch.setattr("buildlog.works.seen.digest_of", lambda path: read.append(str(path)) or "0" * 64)
    assert stand(tmp_path / "out", tmp_path / "kept/back", known).altered == ()
    assert read == []
    assert len(stand(tmp_path / "out", tmp_path / "kept/back").altered) == len(FIRST)
    assert len(read) == len(FIRST) + 1


def _same_length_and_time(path: Path) -> None:
    before = path.stat()
    path.write_bytes(b"HOME")
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))


ALTERATIONS: dict[str, Callable[[Path], object]] = {
    "longer": lambda path: path.write_bytes(b"home, edited by hand"),
    "same length": lambda path: path.write_bytes(b"HOME"),
    "same length and time": _same_length_and_time,
    "gone": lambda path: path.unlink(),
    "replaced": lambda path: (path.unlink(), path.write_bytes(b"HOME")),
    "touched": lambda path: os.utime(path, (1, 1)),
    "permissions": lambda path: path.chmod(0o600),
}


@pytest.mark.parametrize("alteration", ALTERATIONS)
@pytest.mark.parametrize("editions", [1, 2, 3])
def test_a_file_changed_by_hand_is_restored(tmp_path: Path, alteration: str, editions: int) -> None:
    """With several editions the file is one with that of the generation behind: both are altered at once."""
    for number in range(editions):
        known = put(tmp_path / "a", {**FIRST, "tasks/WING-12.html": b"%d" % number}).standing.sightings
    wanted = {**FIRST, "tasks/WING-12.html": b"%d" % (editions - 1)}
    ALTERATIONS[alteration](tmp_path / "a/out/index.html")
    standing = stand(tmp_path / "a/out", tmp_path / "a/kept/back", known)
    assert standing.altered == (() if alteration in {"touched", "permissions"} else ("index.html",))
    publish(standing, leaves(wanted), stamp=DAY)
    assert tree(tmp_path / "a/out") == clean(tmp_path / "b", wanted)


def test_a_list_changed_by_hand_is_restored(tmp_path: Path) -> None:
    put(tmp_path / "a", FIRST)
    listing = tmp_path / "a/out" / LIST
    lines = listing.read_text().split("\n")
    listing.write_text("\n".join([lines[0], *("0" * 64 + line[64:] for line in lines[1:2]), *lines[2:]]))
    published = put(tmp_path / "a", FIRST)
    assert published.exchanged
    assert published.written == ()
    assert tree(tmp_path / "a/out") == clean(tmp_path / "b", FIRST)


def _foreign_file(out: Path) -> str:
    (out / "parts/notes.txt").write_text("mine")
    return "parts/notes.txt"


def _foreign_folder(out: Path) -> str:
    (out / "empty").mkdir()
    return "empty/"


def _foreign_link(out: Path) -> str:
    (out / "index.html").unlink()
    (out / "index.html").symlink_to("404.html")
    return "index.html"


def _no_list(out: Path) -> str:
    (out / LIST).unlink()
    return "index.html"


def _another_list(out: Path) -> str:
    """A folder of somebody's downloads, all of it on a list: the headline is missing."""
    text = (out / LIST).read_text()
    (out / LIST).write_text(text.partition("\n")[2])
    return LIST


def _bad_line(out: Path) -> str:
    (out / LIST).write_text((out / LIST).read_text() + "mine\n")
    return LIST


def _not_text(out: Path) -> str:
    (out / LIST).write_bytes(b"\xff\xfe")
    return LIST


def _list_is_a_folder(out: Path) -> str:
    (out / LIST).unlink()
    (out / LIST).mkdir()
    return LIST


def _many(out: Path) -> str:
    for number in range(9):
        (out / f"mine-{number}").write_text("")
    return "mine-4 and 4 more"


def _stray_double(out: Path) -> str:
    (out / "._mine").write_text("")
    return "._mine"


@pytest.mark.parametrize(
    "alter",
    [
        _foreign_file,
        _foreign_folder,
        _foreign_link,
        _no_list,
        _another_list,
        _bad_line,
        _not_text,
        _list_is_a_folder,
        _many,
        _stray_double,
    ],
)
def test_a_folder_with_anything_foreign_is_refused_and_untouched(
    tmp_path: Path, alter: Callable[[Path], str]
) -> None:
    put(tmp_path, FIRST)
    offender = alter(tmp_path / "out")
    before = tree(tmp_path / "out")
    with pytest.raises(Refused, match="nothing was changed there") as refusal:
        put(tmp_path, SECOND)
    assert offender in str(refusal.value)
    assert tree(tmp_path / "out") == before


def test_a_folder_of_somebody_elses_is_refused_and_untouched(tmp_path: Path) -> None:
    (tmp_path / "out/photos").mkdir(parents=True)
    (tmp_path / "out/photos/1.jpg").write_bytes(b"mine")
    (tmp_path / "out/letter.txt").write_bytes(b"mine")
    before = tree(tmp_path / "out")
    with pytest.raises(Refused, match=r"letter\.txt, photos/, and no list SHA256SUMS"):
        put(tmp_path, FIRST)
    assert tree(tmp_path / "out") == before


def test_a_file_that_turns_up_between_look_and_exchange_is_refused(tmp_path: Path) -> None:
    standing = put(tmp_path, FIRST).standing
    (tmp_path / "out/parts/mine.txt").write_text("mine")
    with pytest.raises(Refused, match=r"parts/mine\.txt"):
        publish(standing, leaves(SECOND), stamp=DAY)
    assert (tmp_path / "out/parts/mine.txt").read_text() == "mine"
    (tmp_path / "out/parts/mine.txt").unlink()
    shutil.rmtree(tmp_path / "out/parts")
    assert not unchanged(standing)
    assert publish(standing, leaves(FIRST), stamp=DAY).written == tuple(
        path for path in FIRST if "parts" in path
    )
    nothing = stand(tmp_path / "new/out", tmp_path / "new/back")
    (tmp_path / "new/out").mkdir(parents=True)
    (tmp_path / "new/out/mine.txt").write_text("mine")
    with pytest.raises(Refused, match=r"mine\.txt"):
        publish(nothing, leaves(SECOND), stamp=DAY)


def test_what_file_browsers_drop_is_no_reason_to_refuse(tmp_path: Path) -> None:
    put(tmp_path / "a", FIRST)
    for name in (*DROPPINGS, "._index.html", "parts/._TN-57-1100", "parts/.DS_Store"):
        (tmp_path / "a/out" / name).write_bytes(b"view")
    standing = stand(tmp_path / "a/out", tmp_path / "a/kept/back")
    assert len(standing.droppings) == len(DROPPINGS) + 3
    put(tmp_path / "a", SECOND)
    assert tree(tmp_path / "a/out") == clean(tmp_path / "b", SECOND)
    put(tmp_path / "a", FIRST)
    assert tree(tmp_path / "a/out") == clean(tmp_path / "c", FIRST)


def test_a_new_folder_with_a_dropping_counts_as_empty(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    (tmp_path / "out/.DS_Store").write_bytes(b"view")
    put(tmp_path, FIRST)
    assert contents(tmp_path / "out").keys() == {*FIRST, LIST}


def test_places_that_cannot_be(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine")
    with pytest.raises(Refused, match="is not a folder"):
        stand(tmp_path / "file", tmp_path / "back")
    with pytest.raises(Refused, match="is not a folder"):
        stand(tmp_path / "out", tmp_path / "file")
    for out, back in (("a", "a"), ("a", "a/b"), ("a/b", "a")):
        with pytest.raises(Refused, match="in each other's way"):
            stand(tmp_path / out, tmp_path / back)
    assert (tmp_path / "file").read_text() == "mine"


def test_a_link_to_the_folder_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "out").symlink_to("elsewhere")
    put(tmp_path, FIRST)
    put(tmp_path, SECOND)
    assert (tmp_path / "out").is_symlink()
    assert contents(tmp_path / "elsewhere").keys() == {*SECOND, LIST}


@pytest.mark.parametrize(
    "path", ["", "/a", "a/", "../a", "a/../b", "a/./b", "..", ".", "a//b", "a\\b", "a\nb", LIST]
)
def test_a_path_that_leaves_the_folder_is_the_callers_mistake(tmp_path: Path, path: str) -> None:
    with pytest.raises(ValueError, match="not paths"):
        put(tmp_path, {path: b""})
    assert not (tmp_path / "out").exists()


def test_a_path_that_is_file_and_folder_is_the_callers_mistake(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="not paths"):
        put(tmp_path, {"a": b"", "a/b/c": b""})


def test_an_empty_path_is_the_callers_mistake_too(tmp_path: Path) -> None:
    put(tmp_path, FIRST)
    with pytest.raises(ValueError, match="not paths"):
        put(tmp_path, {**FIRST, "": b""})


def test_dots_in_names_are_no_offence(tmp_path: Path) -> None:
    files = {".a/..b/...": b"1", "...c/.d": b"2"}
    put(tmp_path, files)
    assert contents(tmp_path / "out").items() >= files.items()


def test_sources_are_copied_or_moved(tmp_path: Path) -> None:
    kept, staged = tmp_path / "kept.jpg", tmp_path / "staged.html"
    kept.write_bytes(b"photo")
    staged.write_bytes(b"page")
    staged.chmod(0o600)
    wanted = {
        "a.jpg": Leaf(leaf_of(b"photo").digest, source=kept),
        "b.html": Leaf(leaf_of(b"page").digest, source=staged, move=True),
    }
    publish(stand(tmp_path / "a/out", tmp_path / "a/back"), wanted, stamp=DAY)
    assert kept.read_bytes() == b"photo"
    assert kept.stat().st_nlink == 1
    assert not staged.exists()
    assert tree(tmp_path / "a/out") == clean(tmp_path / "b", {"a.jpg": b"photo", "b.html": b"page"})


def test_a_damaged_source_stops_the_edition(tmp_path: Path) -> None:
    put(tmp_path, FIRST)
    before = tree(tmp_path / "out")
    (tmp_path / "kept.jpg").write_bytes(b"damaged")
    wanted = {"a.jpg": Leaf(leaf_of(b"photo").digest, source=tmp_path / "kept.jpg")}
    with pytest.raises(Refused, match="changed or is damaged"):
        publish(stand(tmp_path / "out", tmp_path / "kept/back"), wanted, stamp=DAY)
    assert tree(tmp_path / "out") == before


def test_a_digest_alone_stands_for_a_file_that_is_there(tmp_path: Path) -> None:
    put(tmp_path, FIRST)
    (tmp_path / "out/index.html").write_bytes(b"edited by hand")
    (tmp_path / "out/404.html").write_bytes(b"edited by hand")
    digests = {path: Leaf(leaf.digest) for path, leaf in leaves(FIRST).items()}
    digests["moved.html"] = digests.pop("tasks/WING-12.html")
    standing = stand(tmp_path / "out", tmp_path / "kept/back")
    missing = lacking(standing, digests)
    assert missing == ("index.html", "404.html")
    with pytest.raises(ValueError, match=r"index\.html, 404\.html"):
        publish(standing, digests, stamp=DAY)
    made = {**digests, **{path: leaf_of(FIRST[path]) for path in missing}}
    publish(standing, made, stamp=DAY)
    files = {("moved.html" if path.startswith("tasks") else path): data for path, data in FIRST.items()}
    assert tree(tmp_path / "out") == clean(tmp_path / "b", files)


def test_an_edition_passes_sha256sum(tmp_path: Path) -> None:
    """Outside check: the GNU coreutils read the list and find every file as it says."""
    put(tmp_path, FIRST)
    put(tmp_path, SECOND)
    told = subprocess.run(
        [require("sha256sum"), "--check", "--strict", LIST],
        cwd=tmp_path / "out",
        capture_output=True,
        text=True,
        check=True,
    )
    assert sorted(told.stdout.split("\n")[:-1]) == sorted(f"{path}: OK" for path in SECOND)
    assert told.stderr == ""


def _no_links(*_: object) -> None:
    raise OSError(errno.EPERM, "no hard links here")


def _no_exchange(*_: object) -> None:
    raise disk.ExchangeError(errno.ENOSYS, "no exchange here")


def test_a_disk_without_hard_links_gets_copies(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(generations.os, "link", _no_links)
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
    monkeypatch.setattr(disk, "exchange", _no_exchange)
    for files in (FIRST, SECOND, FIRST):
        put(tmp_path / "a", files)
    assert tree(tmp_path / "a/out") == clean(tmp_path / "b", FIRST)
    assert contents(tmp_path / "a/kept/back").keys() == {*SECOND, LIST}
    assert not aside_of(tmp_path / "a/kept/back").exists()


def test_a_second_rename_that_fails_undoes_the_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    put(tmp_path, FIRST)
    before = tree(tmp_path / "out")
    monkeypatch.setattr(disk, "exchange", _no_exchange)
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


NAMES = st.sampled_from(["a", "b", "a/a", "a/b", "b/a/a", "b/a/b", "c/d/e/f"])
EDITIONS = st.tuples(
    st.dictionaries(NAMES, st.binary(max_size=2), max_size=6).filter(
        lambda files: (
            not any(one != other and other.startswith(one + "/") for one in files for other in files)
        )
    ),
    st.sampled_from([DAY, NEXT_DAY]),
)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(
    runs=st.lists(st.tuples(EDITIONS, st.booleans()), min_size=1, max_size=6),
    links=st.booleans(),
    swaps=st.booleans(),
)
def test_any_run_of_editions_ends_as_the_last_one_alone(
    tmp_path_factory: pytest.TempPathFactory,
    runs: list[tuple[tuple[dict[str, bytes], int], bool]],
    links: bool,
    swaps: bool,
) -> None:
    place = tmp_path_factory.mktemp("editions")
    with pytest.MonkeyPatch.context() as patch:
        if not links:
            patch.setattr(generations.os, "link", _no_links)
        if not swaps:
            patch.setattr(disk, "exchange", _no_exchange)
        standing = stand(place / "a/out", place / "a/kept/back")
        for (files, stamp), look_again in runs:
            if look_again:
                standing = stand(place / "a/out", place / "a/kept/back", standing.sightings)
            standing = publish(standing, leaves(files), stamp=stamp).standing
    assert tree(place / "a/out") == clean(place / "b", *runs[-1][0])

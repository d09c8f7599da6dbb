"""What is kept between runs: found again whole, or not at all."""

from __future__ import annotations

import errno
import multiprocessing
import os
import subprocess
import sys
from multiprocessing.synchronize import Event
from pathlib import Path
from types import SimpleNamespace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from buildlog.works import kept as kept_module
from buildlog.works.holding import LOCK, Held, hold
from buildlog.works.identity import theme_digest, tool_digest
from buildlog.works.kept import Kept, PageRecord
from buildlog.works.seen import NOTHING_SEEN, SECOND, Seen, Sightings, identify, sight, survey

RECORDS = {f"parts/{number}.html": PageRecord(f"a{number}", f"o{number}") for number in range(20)}
BLOBS = {f"entries/{number}.md": bytes([number]) * number for number in range(20)}


def fill(folder: Path, tool: str = "tool", theme: str = "theme") -> Kept:
    kept = Kept(folder, tool, theme)
    kept.write("pages", RECORDS)
    for key, data in BLOBS.items():
        kept.shelf("facts").put(key, f"digest of {key}", data)
    assert kept.save() == ""
    return kept


def facts(kept: Kept) -> dict[str, bytes | None]:
    return {key: kept.shelf("facts").get(key, f"digest of {key}") for key in BLOBS}


def test_what_was_saved_is_found_again(tmp_path: Path) -> None:
    fill(tmp_path / "kept")
    again = Kept(tmp_path / "kept", "tool", "theme")
    assert again.read("pages", dict[str, PageRecord]) == RECORDS
    assert facts(again) == BLOBS
    assert len(again.shelf("facts")) == len(BLOBS)


def test_nothing_kept_is_nothing_found(tmp_path: Path) -> None:
    kept = Kept(tmp_path / "kept", "tool", "theme")
    assert kept.read("pages", dict[str, PageRecord]) is None
    assert kept.shelf("facts").get("entries/1.md", "") is None
    assert kept.save() == ""


@pytest.mark.parametrize(("tool", "theme"), [("other", "theme"), ("tool", "other"), ("tool\ntheme", "")])
def test_another_tool_or_theme_finds_nothing_and_writes_anew(tmp_path: Path, tool: str, theme: str) -> None:
    fill(tmp_path)
    other = Kept(tmp_path, tool, theme)
    assert other.read("pages", dict[str, PageRecord]) is None
    assert len(other.shelf("facts")) == 0
    fill(tmp_path, tool, theme)
    assert facts(Kept(tmp_path, tool, theme)) == BLOBS
    assert facts(Kept(tmp_path, "tool", "theme")) == dict.fromkeys(BLOBS)


def test_a_sheet_or_shelf_under_another_name_is_not_taken(tmp_path: Path) -> None:
    fill(tmp_path)
    (tmp_path / "pages.kept").rename(tmp_path / "sights.kept")
    (tmp_path / "facts.kept").rename(tmp_path / "prose.kept")
    kept = Kept(tmp_path, "tool", "theme")
    assert kept.read("sights", dict[str, PageRecord]) is None
    assert len(kept.shelf("prose")) == 0


def test_a_sheet_of_another_shape_is_not_taken(tmp_path: Path) -> None:
    fill(tmp_path)
    assert Kept(tmp_path, "tool", "theme").read("pages", dict[str, int]) is None


def test_a_blob_goes_by_its_tag(tmp_path: Path) -> None:
    kept = fill(tmp_path)
    shelf = kept.shelf("facts")
    assert shelf.get("entries/3.md", "another digest") is None
    shelf.put("entries/3.md", "another digest", b"new")
    assert shelf.get("entries/3.md", "another digest") == b"new"
    kept.save()
    again = Kept(tmp_path, "tool", "theme").shelf("facts")
    assert again.get("entries/3.md", "another digest") == b"new"
    assert again.get("entries/3.md", "digest of entries/3.md") is None


def test_a_save_appends_and_no_more(tmp_path: Path) -> None:
    kept = fill(tmp_path)
    whole = (tmp_path / "facts.kept").read_bytes()
    kept.save()
    assert (tmp_path / "facts.kept").read_bytes() == whole
    kept.shelf("facts").put("entries/new.md", "digest of entries/new.md", b"new")
    kept.save()
    longer = (tmp_path / "facts.kept").read_bytes()
    assert longer.startswith(whole)
    assert len(longer) - len(whole) < 150
    again = Kept(tmp_path, "tool", "theme")
    assert facts(again) == BLOBS
    assert again.shelf("facts").get("entries/new.md", "digest of entries/new.md") == b"new"


def test_what_is_no_longer_used_goes_in_the_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(kept_module, "_SPARE", 500)
    kept = fill(tmp_path)
    sizes = []
    for number in range(40):
        kept.shelf("facts").put("entries/3.md", "digest of entries/3.md", bytes([number]) * 100)
        kept.save()
        sizes.append((tmp_path / "facts.kept").stat().st_size)
    assert max(sizes) < 4 * sizes[0]
    assert sizes != sorted(sizes)
    kept.shelf("facts").put("fresh", "", b"dropped before it was saved")
    kept.shelf("facts").retain(["entries/3.md"])
    kept.save()
    assert (tmp_path / "facts.kept").stat().st_size < sizes[0]
    again = Kept(tmp_path, "tool", "theme").shelf("facts")
    assert len(again) == 1
    assert again.get("entries/3.md", "digest of entries/3.md") == bytes([39]) * 100


def test_a_save_that_was_cut_short_costs_what_it_held_and_is_written_over(tmp_path: Path) -> None:
    kept = fill(tmp_path)
    whole = len((tmp_path / "facts.kept").read_bytes())
    kept.shelf("facts").put("new", "", b"new" * 50)
    kept.save()
    longer = (tmp_path / "facts.kept").read_bytes()
    for length in range(whole, len(longer)):
        (tmp_path / "facts.kept").write_bytes(longer[:length])
        again = Kept(tmp_path, "tool", "theme")
        assert facts(again) == BLOBS
        assert again.shelf("facts").get("new", "") is None
        again.shelf("facts").put("newer", "", b"newer")
        again.save()
        last = Kept(tmp_path, "tool", "theme")
        assert facts(last) == BLOBS
        assert last.shelf("facts").get("newer", "") == b"newer"


def test_a_shelf_that_another_process_changed_is_written_anew(tmp_path: Path) -> None:
    one, other = fill(tmp_path), Kept(tmp_path, "tool", "theme")
    other.shelf("facts").put("other", "", b"other")
    other.save()
    one.shelf("facts").put("one", "", b"one")
    one.save()
    (tmp_path / "facts.kept").unlink()
    one.shelf("facts").put("two", "", b"two")
    one.save()
    last = Kept(tmp_path, "tool", "theme")
    assert facts(last) == BLOBS
    assert last.shelf("facts").get("one", "") == b"one"
    assert last.shelf("facts").get("two", "") == b"two"


@settings(max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None)
@given(
    at=st.integers(0, 10_000),
    damage=st.one_of(st.binary(min_size=1, max_size=8), st.integers(1, 255)),
    cut=st.booleans(),
)
def test_damaged_bytes_are_never_trusted(
    tmp_path_factory: pytest.TempPathFactory, at: int, damage: bytes | int, cut: bool
) -> None:
    """Wherever bytes are changed, put in, or cut off: each thing is found as it was, or not at all."""
    folder = tmp_path_factory.mktemp("kept")
    kept = fill(folder)
    kept.shelf("facts").put("entries/3.md", "digest of entries/3.md", b"newer")
    kept.save()
    for path in folder.glob("*.kept"):
        data = bytearray(path.read_bytes())
        place = at % len(data)
        if isinstance(damage, int):
            data[place] ^= damage
        else:
            data[place:place] = damage
        path.write_bytes(data[:place] if cut else data)
    again = Kept(folder, "tool", "theme")
    assert again.read("pages", dict[str, PageRecord]) is None
    for key, data in facts(again).items():
        assert data in {None, BLOBS[key], b"newer" if key == "entries/3.md" else None}
    for key, data in BLOBS.items():
        again.shelf("facts").put(key, f"digest of {key}", data)
    again.save()
    assert facts(Kept(folder, "tool", "theme")) == BLOBS


def test_a_damaged_blob_is_left_out_when_the_shelf_is_written_anew(tmp_path: Path) -> None:
    fill(tmp_path)
    path = tmp_path / "facts.kept"
    path.write_bytes(path.read_bytes()[:-1] + b"\xff" + b"torn")
    kept = Kept(tmp_path, "tool", "theme")
    kept.shelf("facts").put("new", "", b"new")
    kept.save()
    again = Kept(tmp_path, "tool", "theme")
    assert facts(again) == {**BLOBS, "entries/9.md": None}
    assert again.shelf("facts").get("new", "") == b"new"


def test_where_nothing_can_be_written_nothing_is_kept_and_all_is_well(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    kept = Kept(tmp_path / "file/kept", "tool", "theme")
    kept.shelf("facts").put("a", "", b"a")
    kept.write("pages", RECORDS)
    assert kept.save().startswith("nothing is kept for the next run (")
    assert kept.shelf("facts").get("a", "") == b"a"
    assert kept.read("pages", dict[str, PageRecord]) is None


def _use(folder: Path, started: Event, done: Event) -> None:
    with hold(folder):
        started.set()
        done.wait(20)


def test_a_second_process_waits_and_is_told_who_has_it(tmp_path: Path) -> None:
    context = multiprocessing.get_context("spawn")
    started, done = context.Event(), context.Event()
    child = context.Process(target=_use, args=(tmp_path / "kept", started, done))
    child.start()
    assert started.wait(20)
    pauses: list[float] = []
    with (
        pytest.raises(Held, match=rf"another buildlog, process {child.pid}, is at work"),
        hold(tmp_path / "kept", 0.5, pauses.append),
    ):
        pass
    assert len(pauses) == 10
    with pytest.raises(Held), hold(tmp_path / "kept", 0, pauses.append):
        pass

    def until_done(_: float) -> None:
        done.set()
        child.join(20)

    with hold(tmp_path / "kept", 0.5, until_done):
        assert (tmp_path / "kept" / LOCK).read_text() == str(os.getpid())


def test_the_lock_of_a_killed_process_is_free(tmp_path: Path) -> None:
    context = multiprocessing.get_context("spawn")
    started, done = context.Event(), context.Event()
    child = context.Process(target=_use, args=(tmp_path, started, done))
    child.start()
    assert started.wait(20)
    child.kill()
    child.join(20)
    with hold(tmp_path, 0) as since:
        assert since == (tmp_path / LOCK).stat().st_mtime_ns


def test_two_holds_in_one_process_exclude_each_other(tmp_path: Path) -> None:
    with hold(tmp_path):
        (tmp_path / LOCK).write_text("")
        with pytest.raises(Held, match=r"^another buildlog is at work"), hold(tmp_path, 0, lambda _: None):
            pass
    with hold(tmp_path, 0):
        pass


def test_where_nothing_can_be_written_there_is_nothing_to_hold(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with hold(tmp_path / "file/kept") as since:
        assert since > SECOND


@pytest.mark.skipif(sys.platform == "win32", reason="stands in for it")
@pytest.mark.parametrize(("code", "free"), [(0, True), (errno.EACCES, False), (errno.ENOTSUP, True)])
def test_windows_locks_a_byte_behind_the_text(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, code: int, free: bool
) -> None:
    """Simulated. `msvcrt.locking` locks from where the file stands, and a locked byte cannot be read."""
    places: list[int] = []

    def locking(handle: int, _mode: int, _count: int) -> None:
        places.append(os.lseek(handle, 0, os.SEEK_CUR))
        if code:
            raise OSError(code, "refused")

    monkeypatch.setitem(sys.modules, "msvcrt", SimpleNamespace(locking=locking, LK_NBLCK=2))
    monkeypatch.setattr(sys, "platform", "win32")
    if free:
        with hold(tmp_path):
            assert (tmp_path / LOCK).read_text() == str(os.getpid())
    else:
        with pytest.raises(Held), hold(tmp_path, 0.1, lambda _: None):
            pass
    assert set(places) == {1 << 30}


def test_the_tool_changes_with_any_source_file_and_library(tmp_path: Path) -> None:
    (tmp_path / "tool/room").mkdir(parents=True)
    (tmp_path / "tool/room/a.py").write_text("a = 1")
    (tmp_path / "tool/notes.txt").write_text("no matter")
    (tmp_path / "lib/jinja2-3.1.6.dist-info").mkdir(parents=True)
    paths = [str(tmp_path / "lib"), str(tmp_path / "lib.zip")]
    seen = [tool_digest(tmp_path / "tool", paths)]
    (tmp_path / "tool/notes.txt").write_text("none")
    assert tool_digest(tmp_path / "tool", paths) == seen[0]
    (tmp_path / "tool/room/a.py").write_text("a = 2")
    seen.append(tool_digest(tmp_path / "tool", paths))
    (tmp_path / "tool/room/a.py").rename(tmp_path / "tool/room/b.py")
    seen.append(tool_digest(tmp_path / "tool", paths))
    (tmp_path / "lib/jinja2-3.1.6.dist-info").rename(tmp_path / "lib/jinja2-3.1.7.dist-info")
    seen.append(tool_digest(tmp_path / "tool", paths))
    assert len(set(seen)) == len(seen)
    assert tool_digest() == tool_digest()


def test_a_theme_changes_with_any_file(tmp_path: Path) -> None:
    (tmp_path / "fonts").mkdir()
    (tmp_path / "sheet.css").write_text("a")
    seen = [theme_digest(tmp_path)]
    (tmp_path / "fonts/plain.woff2").write_bytes(b"\0")
    seen.append(theme_digest(tmp_path))
    (tmp_path / "sheet.css").rename(tmp_path / "page.css")
    seen.append(theme_digest(tmp_path))
    (tmp_path / "page.css").write_text("b")
    seen.append(theme_digest(tmp_path))
    assert len(set(seen)) == len(seen)


def test_a_file_written_as_it_was_seen_is_not_trusted(tmp_path: Path) -> None:
    """Two writes within the disk's resolution of time leave the same times: read it again."""
    (tmp_path / "a.md").write_bytes(b"one")
    now = (tmp_path / "a.md").stat().st_mtime_ns
    first = sight(tmp_path, NOTHING_SEEN, now)
    lie = {
        name: Seen(seen.size, seen.mtime, seen.ctime, seen.inode, "lie") for name, seen in first.files.items()
    }
    assert sight(tmp_path, Sightings(now, lie), now) == first
    late = now + 3 * SECOND
    assert sight(tmp_path, Sightings(late, lie), late).files["a.md"].digest == "lie"
    os.utime(tmp_path / "a.md", ns=(now, now // SECOND * SECOND))
    coarse = sight(tmp_path, NOTHING_SEEN, now).files["a.md"]
    lie = {"a.md": Seen(coarse.size, coarse.mtime, coarse.ctime, coarse.inode, "lie")}
    soon = coarse.mtime + SECOND
    assert sight(tmp_path, Sightings(soon, lie), soon).files["a.md"] == coarse


def test_a_file_with_its_time_set_back_is_read_again(tmp_path: Path) -> None:
    path = tmp_path / "a.md"
    path.write_bytes(b"one")
    status = path.stat()
    late = status.st_mtime_ns + 3 * SECOND
    first = sight(tmp_path, NOTHING_SEEN, late)
    while True:
        path.write_bytes(b"two")
        os.utime(path, ns=(status.st_mtime_ns, status.st_mtime_ns))
        if path.stat().st_ctime_ns != status.st_ctime_ns:
            break
    assert sight(tmp_path, first, late).files != first.files


def test_folders_left_out_and_files_that_vanish(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("a.md", "private/kept/b", "media/private/c.jpg"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text(name)
    found = survey(tmp_path, {"private"})
    assert found.files.keys() == {"a.md", "media/private/c.jpg"}
    (tmp_path / "a.md").unlink()
    assert identify(tmp_path, found.files, NOTHING_SEEN).keys() == {"media/private/c.jpg"}
    lstat = os.lstat

    def vanishing(path: str) -> os.stat_result:
        if path.endswith("c.jpg"):
            raise FileNotFoundError(path)
        return lstat(path)

    monkeypatch.setattr("buildlog.works.seen.os.lstat", vanishing)
    assert survey(tmp_path, {"private"}).files == {}


def test_doing_nothing_imports_nothing_heavy() -> None:
    """SPEED, point 8: neither templates nor Markdown nor YAML nor Pillow, nor what they would drag in."""
    code = (
        "import sys, buildlog.works.kept, buildlog.works.holding, buildlog.works.identity,"
        "buildlog.works.generations, buildlog.works.memo; print(*sys.modules)"
    )
    told = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
    )
    heavy = {
        "jinja2",
        "markdown_it",
        "yaml",
        "PIL",
        "pillow_heif",
        "watchdog",
        "asyncio",
        "importlib.metadata",
    }
    assert not heavy & set(told.stdout.split())

"""Publishing: what stands afterwards, what is mended, what is left alone."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from buildlog.works import disk, generations
from buildlog.works.generations import Leaf, lacking, leaf_of, publish, sweep
from buildlog.works.standing import LIST, Refused, bin_of, stand, unchanged
from tests.outside import require
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
            patch.setattr(generations.os, "link", no_links)
        if not swaps:
            patch.setattr(disk, "exchange", no_exchange)
        standing = stand(place / "a/out", place / "a/kept/back")
        for (files, stamp), look_again in runs:
            if look_again:
                standing = stand(place / "a/out", place / "a/kept/back", standing.sightings)
            standing = publish(standing, leaves(files), stamp=stamp).standing
    assert tree(place / "a/out") == clean(place / "b", *runs[-1][0])

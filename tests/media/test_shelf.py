"""What is kept between compiles: by content, checked before it is trusted, the same bytes either way."""

import hashlib
import os
import signal
import subprocess
import sys
import threading
import warnings
from concurrent.futures import ThreadPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import nullcontext
from pathlib import Path

import pytest

from buildlog.media import crew, darkroom, index, originals, recipe, stills
from buildlog.media import shelf as shelf_module
from buildlog.media.originals import LostError
from buildlog.media.shelf import develop, source_of, sweep
from buildlog.media.sorts import Content
from media import pictures
from media.test_sorts import MP4


@pytest.fixture
def orders(monkeypatch):
    """The photos that were really made, as they are handed out."""
    given = []

    def watched(work, things):
        for thing, outcome in do(work, things):
            given.append(thing.found.file)
            yield thing, outcome

    do = crew.apart
    monkeypatch.setattr(crew, "apart", watched)
    return given


@pytest.fixture
def at_home(monkeypatch):
    """Photos made in this process, where a test can reach in."""
    monkeypatch.setattr(crew, "apart", lambda work, things: ((thing, work(thing)) for thing in things))


def explode(*_args, **_options):
    raise AssertionError("this was not to be done again")


@pytest.fixture
def kept(media_log):
    """A log of three photos, one broken, developed once."""
    media_log.add("b.jpg", pictures.loaded_jpeg())
    media_log.add("a.png", pictures.picture("png", (1000, 600)))
    media_log.add("sub/c.jpg", pictures.picture()[:300])
    media_log.first = media_log.develop("b.jpg", "a.png", "sub/c.jpg")
    media_log.bytes = media_log.stills()
    return media_log


def again(log):
    return log.develop("b.jpg", "a.png", "sub/c.jpg")


def test_one_for_each_name_in_order(kept):
    assert [(each.file, each.sort, len(each.renditions), bool(each.problem)) for each in kept.first] == [
        ("a.png", "photo", 3, False),
        ("b.jpg", "photo", 1, False),
        ("sub/c.jpg", "photo", 0, True),
    ]
    assert [(each.width, each.height) for each in kept.first[0].renditions] == [
        (480, 288),
        (960, 576),
        (1000, 600),
    ]
    assert kept.develop("b.jpg", "b.jpg", "a.png") == kept.first[:2]
    assert kept.develop() == ()


def test_digests_are_those_of_sha256sum(kept):
    # FIPS 180-4, by coreutils.
    for each in kept.first:
        path = kept.root / "media" / each.file
        told = subprocess.run(["sha256sum", path], capture_output=True, check=True, text=True).stdout
        assert told.split()[0] == each.digest
        assert path.stat().st_size == each.size
    for name in kept.bytes:
        told = subprocess.run(
            ["sha256sum", kept.shelf / "stills" / name], capture_output=True, check=True, text=True
        )
        assert name == told.stdout[:20] + ".jpg"


def test_nothing_is_read_or_decoded_twice(kept, monkeypatch):
    monkeypatch.setattr(crew, "apart", explode)
    monkeypatch.setattr(originals, "read", explode)
    monkeypatch.setattr(shelf_module, "look", explode)
    before = (kept.shelf / "index.json").stat()
    assert again(kept) == kept.first
    assert (kept.shelf / "index.json").stat() == before


def test_a_run_that_finds_all_kept_loads_no_pillow(kept):
    program = (
        "import sys; from pathlib import Path; from buildlog.media.shelf import develop; "
        f"m = develop(Path({str(kept.root)!r}), ['a.png', 'b.jpg', 'sub/c.jpg'], Path({str(kept.shelf)!r})); "
        "print(len(m[0].renditions), *({'PIL', 'pillow_heif', 'concurrent.futures'} & set(sys.modules)))"
    )
    told = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True, text=True)
    assert told.stdout.split() == ["3"]


def test_kept_by_content_whatever_the_name_and_time(kept, monkeypatch):
    monkeypatch.setattr(crew, "apart", explode)
    kept.add("moved/d.jpg", (kept.root / "media/b.jpg").read_bytes())
    os.utime(kept.root / "media/a.png", (1, 1))
    moved, same = kept.develop("moved/d.jpg", "a.png")[::-1]
    assert moved.renditions == kept.first[1].renditions
    assert same == kept.first[0]


def test_one_photo_under_two_names_is_made_once(media_log, orders):
    for name in ("a.jpg", "b.jpg"):
        media_log.add(name, pictures.picture())
    first, second = media_log.develop("a.jpg", "b.jpg")
    assert first.renditions == second.renditions
    assert len(orders) == 1


def test_a_changed_photo_is_made_anew(kept):
    kept.add("b.jpg", pictures.picture(size=(80, 60)))
    assert again(kept)[1].renditions != kept.first[1].renditions
    assert kept.develop("b.jpg")[0].renditions[0].width == 80


def test_a_change_in_the_same_tick_shows(media_log):
    """Same size and same time: a coarse clock may do that to a file that is minutes old at most."""
    path = media_log.root / "media/a.txt"
    path.write_bytes(b"one")
    state = path.stat()
    (first,) = media_log.develop("a.txt")
    path.write_bytes(b"two")
    os.utime(path, ns=(state.st_atime_ns, state.st_mtime_ns))
    assert media_log.develop("a.txt")[0].digest != first.digest


def test_another_recipe_is_made_anew(kept, monkeypatch, orders):
    monkeypatch.setattr(shelf_module, "recipe", lambda: "still-another")
    assert again(kept) == kept.first
    assert len(orders) == 3


def test_the_recipe_knows_the_libraries_it_rests_on(monkeypatch, tmp_path):
    recipe.recipe.cache_clear()
    now = recipe.recipe()
    monkeypatch.setattr(recipe, "_LIBRARIES", ("PIL", "no_such_library_here"))
    recipe.recipe.cache_clear()
    other = recipe.recipe()
    recipe.recipe.cache_clear()
    assert now != other


def spoil_rendition(log):
    next(iter((log.shelf / "stills").iterdir())).write_bytes(b"something else")


def spoil_same_size(log):
    for path in (log.shelf / "stills").iterdir():
        path.write_bytes(b"x" * path.stat().st_size)


def swap_renditions(log):
    one, two, *_ = sorted((log.shelf / "stills").iterdir())
    data = one.read_bytes()
    one.write_bytes(two.read_bytes())
    two.write_bytes(data)


def lose_rendition(log):
    next(iter((log.shelf / "stills").iterdir())).unlink()


def cut_index(log):
    path = log.shelf / "index.json"
    path.write_bytes(path.read_bytes()[:-40])


def edit_index(log):
    path = log.shelf / "index.json"
    path.write_bytes(path.read_bytes().replace(b",480,", b",481,"))


def garbage_index(log):
    (log.shelf / "index.json").write_bytes(os.urandom(500))


def foreign_index(log):
    signed(log, b'{"some": "other", "seen": 5}')


def signed(log, body):
    (log.shelf / "index.json").write_bytes(hashlib.sha256(body).hexdigest().encode() + b"\n" + body)


def hostile_index(log):
    body = (log.shelf / "index.json").read_bytes().partition(b"\n")[2]
    signed(log, body.replace(next(iter(log.bytes)).encode(), b"../../../../etc/passwd"))


def index_is_a_folder(log):
    (log.shelf / "index.json").unlink()
    (log.shelf / "index.json" / "x").mkdir(parents=True)


SPOILERS = [
    spoil_rendition, spoil_same_size, swap_renditions, lose_rendition, cut_index, edit_index, garbage_index,
    foreign_index, hostile_index,
]  # fmt: skip


@pytest.mark.parametrize("spoil", SPOILERS)
def test_a_spoilt_shelf_is_made_anew(kept, spoil):
    spoil(kept)
    assert again(kept) == kept.first
    assert kept.stills() == kept.bytes


def test_an_index_that_cannot_be_written_is_said(kept):
    index_is_a_folder(kept)
    with pytest.raises(OSError):  # noqa: PT011 which one is the system's to say
        again(kept)
    assert not list(kept.shelf.glob("*.part"))


def test_only_another_time_is_looked_into_and_believed(kept, monkeypatch):
    """As when an edition's links were given the time of its day."""
    monkeypatch.setattr(crew, "apart", explode)
    for path in (kept.shelf / "stills").iterdir():
        os.utime(path, (5, 5))
    assert again(kept) == kept.first
    monkeypatch.setattr(
        Path, "read_bytes", lambda path, do=Path.read_bytes: do(path) if path.suffix == ".json" else explode()
    )
    assert again(kept) == kept.first


def test_the_number_of_workers_does_not_reach_the_output(media_log, monkeypatch, tmp_path):
    names = [f"{each}.{kind}" for each in range(3) for kind in ("jpg", "png", "heic", "avif")]
    for each, name in enumerate(names):
        media_log.add(name, pictures.picture(name[-4:].lstrip("."), (500 + each, 300)))
    results = []
    for workers in (1, 2, 7):
        monkeypatch.setattr(crew.os, "cpu_count", lambda workers=workers: workers)
        media_log.shelf = tmp_path / f"shelf-{workers}"
        results.append((media_log.develop(*names), media_log.stills()))
    assert results[0] == results[1] == results[2]


def test_progress_counts_what_is_made(kept):
    told = []
    kept.add("new.jpg", pictures.picture(size=(90, 90)))
    kept.add("newer.jpg", pictures.picture(size=(91, 90)))
    kept.develop("a.png", "new.jpg", "newer.jpg", progress=lambda *each: told.append(each))
    assert told == [(0, 2), (1, 2), (2, 2)]
    kept.develop("a.png", "new.jpg", progress=explode)


def test_what_an_interrupted_run_made_is_kept(media_log, orders):
    names = [f"{each}.jpg" for each in range(6)]
    for each, name in enumerate(names):
        media_log.add(name, pictures.picture(size=(40 + each, 40)))

    def stop(done, _of):
        if done == 4:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        media_log.develop(*names, progress=stop)
    orders.clear()
    assert all(each.renditions for each in media_log.develop(*names))
    assert len(orders) <= 2


def test_the_index_is_saved_on_the_way(media_log, monkeypatch):
    monkeypatch.setattr(shelf_module, "_SAVE_AFTER", 2)
    saved = []
    monkeypatch.setattr(
        index, "save", lambda shelf, index, do=index.save: saved.append(len(index.made)) or do(shelf, index)
    )
    for each in range(5):
        media_log.add(f"{each}.jpg", pictures.picture(size=(40 + each, 40)))
    media_log.develop(*(f"{each}.jpg" for each in range(5)))
    assert saved == [2, 4, 5]


def test_without_photos_nothing_is_decoded(media_log, monkeypatch):
    monkeypatch.setattr(crew, "apart", explode)
    media_log.add("a.jpg", pictures.picture())
    media_log.add("b.jpg", b"not a picture at all")
    first, second = media_log.develop("a.jpg", "b.jpg", photos=False)
    assert (first.sort, first.renditions, first.problem) == ("photo", (), "")
    assert first.digest
    assert "no picture" in second.problem


def test_without_a_shelf_names_are_the_same_and_nothing_is_written(kept, tmp_path, at_home):
    before = sorted(tmp_path.rglob("*"))
    assert develop(kept.root, ["a.png", "b.jpg", "sub/c.jpg"], None) == kept.first
    assert sorted(tmp_path.rglob("*")) == before


def test_clips_sounds_and_documents_are_copied_under_their_digest(media_log):
    for name, data in (
        ("Film of us.MP4", MP4),
        ("a.wav", b"RIFF\0\0\0\0WAVE"),
        ("scan.pdf", b"%PDF-1.7"),
        ("x.html", b"<p>"),
    ):
        media_log.add(name, data)
    media = media_log.develop("Film of us.MP4", "a.wav", "scan.pdf", "x.html")
    assert [each.sort for each in media] == ["clip", "sound", "document", "document"]
    assert [each.copy for each in media] == [
        each.digest[:16] + ending
        for each, ending in zip(media, (".mp4", ".wav", ".pdf", ".bin"), strict=True)
    ]
    for each in media:
        ((name, path),) = source_of(media_log.root, media_log.shelf, each).items()
        assert name == each.copy
        assert path == media_log.root / "media" / each.file
    (broken,) = media_log.develop("Film of us.MP4", "playlist.mp4")[1:]
    assert broken.problem == "missing"
    playlist = media_log.one("playlist.mp4", b"#EXTM3U\nfile:///etc/passwd\n")
    assert (playlist.copy, source_of(media_log.root, media_log.shelf, playlist)) == ("", {})


def test_the_bytes_of_a_photo_by_published_name(kept):
    sources = source_of(kept.root, kept.shelf, kept.first[0])
    assert list(sources) == [each.name for each in kept.first[0].renditions]
    assert all(index.rendition_name(path.read_bytes()) == name for name, path in sources.items())
    assert source_of(kept.root, kept.shelf, kept.first[2]) == {}


def test_no_name_of_the_camera_is_published(media_log):
    medium = media_log.one("IMG_2231 our house.jpg", pictures.picture())
    assert all(len(each.name) == 24 and "IMG" not in each.name for each in medium.renditions)


def test_sweeping_leaves_what_is_used_and_what_is_not_ours(kept):
    stills = kept.shelf / "stills"
    (stills / "holiday.jpg").write_bytes(b"somebody's")
    (stills / "0123456789abcdef0123.jpg.77-0123456789ab.part").write_bytes(b"half")
    assert sweep(kept.shelf, kept.first) == 1
    assert sweep(kept.shelf, kept.first[1:]) == 3
    assert {path.name for path in stills.iterdir()} == {"holiday.jpg", kept.first[1].renditions[0].name}
    assert set(index.load(kept.shelf).seen) == {"b.jpg", "sub/c.jpg"}
    assert again(kept) == kept.first
    assert sweep(kept.shelf / "nowhere", ()) == 0


def test_missing_and_what_is_no_file(media_log):
    (media_log.root / "media" / "folder.jpg").mkdir()
    os.mkfifo(media_log.root / "media" / "pipe.jpg")
    media_log.add("a.jpg", pictures.picture())
    names = [
        "gone.jpg",
        "a.jpg/inside.jpg",
        "folder.jpg",
        "pipe.jpg",
        "nul\0.jpg",
        "x" * 300 + ".jpg",
        "gone.pdf",
        "",
    ]
    found = {each.file: each for each in media_log.develop(*names)}
    assert (
        found["gone.jpg"].problem
        == found["a.jpg/inside.jpg"].problem
        == found["gone.pdf"].problem
        == "missing"
    )
    assert (found["gone.jpg"].sort, found["gone.pdf"].sort) == ("photo", "document")
    assert "not a file" in found["folder.jpg"].problem
    assert "not a file" in found["pipe.jpg"].problem
    assert "leads to no file" in found["nul\0.jpg"].problem
    assert "cannot be read (file name too long)" in found["x" * 300 + ".jpg"].problem
    assert found[""].problem
    assert not any(each.renditions or each.digest for each in found.values())


def test_nothing_outside_the_media_folder_is_opened(media_log, tmp_path, monkeypatch):
    secret = tmp_path / "secret.jpg"
    secret.write_bytes(pictures.picture())
    media = media_log.root / "media"
    (media / "link.jpg").symlink_to(secret)
    (media / "relative.jpg").symlink_to("../../secret.jpg")
    (media / "away").symlink_to(tmp_path)
    (media / "ring.jpg").symlink_to("ring.jpg")
    (media / "chain.jpg").symlink_to("link.jpg")
    (media / "hanging.jpg").symlink_to("nothing.jpg")
    names = ["link.jpg", "relative.jpg", "away/secret.jpg", "chain.jpg", "../../secret.jpg"]
    monkeypatch.setattr(shelf_module, "look", explode)
    for each in media_log.develop(*names):
        assert each.problem == "the file lies outside media/; copy it into media/ and name it there"
        assert (each.digest, each.size, each.renditions) == ("", 0, ())
    assert media_log.develop("hanging.jpg")[0].problem == "missing"
    assert media_log.develop(str(secret))[0].problem == "missing"
    assert media_log.develop("ring.jpg")[0].problem


def test_links_inside_the_media_folder_are_followed(media_log, tmp_path):
    media_log.add("sub/a.jpg", pictures.picture())
    (media_log.root / "media/b.jpg").symlink_to("sub/a.jpg")
    (media_log.root / "media/again").symlink_to("sub")
    first, second, third = media_log.develop("b.jpg", "again/a.jpg", "sub/../sub/a.jpg")
    assert first.renditions == second.renditions == third.renditions != ()
    (media_log.root / "media").rename(tmp_path / "elsewhere")
    (media_log.root / "media").symlink_to(tmp_path / "elsewhere")
    assert media_log.develop("b.jpg")[0].renditions == first.renditions


def test_a_copy_that_became_a_link_outside_is_not_handed_out(media_log, tmp_path):
    medium = media_log.one("a.pdf", b"%PDF-1.7")
    (tmp_path / "other").write_bytes(b"secret")
    (media_log.root / "media/a.pdf").unlink()
    (media_log.root / "media/a.pdf").symlink_to(tmp_path / "other")
    with pytest.raises(LostError):
        source_of(media_log.root, media_log.shelf, medium)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read(media_log):
    media_log.add("a.jpg", pictures.picture()).chmod(0)
    assert "permission denied" in media_log.develop("a.jpg")[0].problem


def test_a_file_that_fails_while_it_is_read(media_log, monkeypatch, at_home):
    def fail(*_args, **_options):
        raise OSError(5, "Input/output error")

    media_log.add("a.jpg", pictures.picture())
    with monkeypatch.context() as patched:
        patched.setattr(originals.hashlib, "file_digest", fail)
        assert "cannot be read (input/output error)" in media_log.develop("a.jpg")[0].problem
    with monkeypatch.context() as patched:
        patched.setattr(Path, "read_bytes", fail)
        assert "cannot be read (input/output error)" in media_log.develop("a.jpg")[0].problem
    with monkeypatch.context() as patched:
        patched.setattr(originals.os, "lstat", fail)
        assert "cannot be read (input/output error)" in media_log.develop("a.jpg")[0].problem
    assert media_log.develop("a.jpg")[0].renditions


def test_a_file_that_changes_while_it_is_read_is_asked_for_again(media_log, monkeypatch, at_home):
    path = media_log.add("a.jpg", pictures.picture())
    with monkeypatch.context() as patched:
        patched.setattr(darkroom, "read", lambda found, digest: originals.read(found, "0" * 64))
        assert "changed while it was read" in media_log.develop("a.jpg")[0].problem
    with monkeypatch.context() as patched:

        def growing(file, name, do=originals.hashlib.file_digest):
            path.write_bytes(path.read_bytes() + b"more")
            return do(file, name)

        patched.setattr(originals.hashlib, "file_digest", growing)
        path.touch()
        assert "changed while it was read" in media_log.develop("a.jpg")[0].problem
    assert media_log.develop("a.jpg")[0].renditions


def test_want_of_memory_is_not_held_against_the_file(media_log, monkeypatch, at_home):
    def full(*_args):
        raise MemoryError

    media_log.add("a.jpg", pictures.picture())
    with monkeypatch.context() as patched:
        patched.setattr(darkroom, "prepare", full)
        assert "not enough memory" in media_log.develop("a.jpg")[0].problem
    assert media_log.develop("a.jpg")[0].renditions


def test_a_file_too_long_to_be_a_photo(media_log, monkeypatch):
    monkeypatch.setattr(shelf_module, "MOST_BYTES", 2_000_000)
    monkeypatch.setattr(crew, "apart", explode)
    medium = media_log.one("a.jpg", pictures.picture() + bytes(3_000_000))
    assert medium.problem == "the file has 3 MB, over the 2 that are read of a photo; save a smaller copy"


def test_a_photo_with_a_problem_is_not_copied_either(media_log):
    medium = media_log.one("a.svg", b"<svg onload='alert(1)'/>")
    assert (medium.sort, medium.copy, medium.renditions) == ("photo", "", ())


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


def test_a_photo_that_brings_the_decoder_down_is_a_problem_and_is_not_tried_again(media_log, monkeypatch):
    with monkeypatch.context() as patched:
        patched.setattr(crew, "apart", lambda work, things: ((thing, None) for thing in things))
        assert "brings the decoder down; " in media_log.one("a.jpg", pictures.picture()).problem
    monkeypatch.setattr(crew, "apart", explode)
    assert "brings the decoder down; " in media_log.develop("a.jpg")[0].problem


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
    monkeypatch.setattr(crew, "_turnstile", crew.turnstile())
    monkeypatch.setattr(crew.signal, "signal", lambda *what: done.append(what))
    monkeypatch.setattr(
        crew.os, "dup2", lambda source, target: done.append((os.fstat(source).st_rdev, target))
    )
    with warnings.catch_warnings():
        crew.settle_in(lock := threading.Lock())
    assert crew.turnstile() is lock
    assert done == [(signal.SIGINT, signal.SIG_IGN), (Path(os.devnull).stat().st_rdev, 2)]

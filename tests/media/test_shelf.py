"""What is kept between compiles: by content, checked before it is trusted, the same bytes either way."""

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import msgspec
import pytest

from buildlog.media import bench, crew, index, originals, recipe
from buildlog.media import shelf as shelf_module
from buildlog.media.shelf import develop, source_of, sweep
from buildlog.model.log import MediaFile, Rendition
from tests.media import pictures
from tests.media.readings import explode


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
    monkeypatch.setattr(bench, "_SAVE_AFTER", 2)
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


def test_the_bytes_of_a_photo_by_published_name(kept):
    sources = source_of(kept.root, kept.shelf, kept.first[0])
    assert list(sources) == [each.name for each in kept.first[0].renditions]
    assert all(index.rendition_name(path.read_bytes()) == name for name, path in sources.items())
    assert source_of(kept.root, kept.shelf, kept.first[2]) == {}


def test_who_may_have_the_original_gets_that_and_nobody_gets_both(kept):
    medium = MediaFile(
        file="clip.mp4", sort="clip", copy="11.mp4", cleaned="22.mp4", poster=(Rendition("33.jpg", 4, 3),)
    )
    original = kept.add("clip.mp4", b"clip")
    assert source_of(kept.root, kept.shelf, medium) == {"11.mp4": original}
    assert source_of(kept.root, kept.shelf, msgspec.structs.replace(medium, copy="")) == {
        "22.mp4": kept.shelf / "cleaned/22.mp4",
        "33.jpg": kept.shelf / "stills/33.jpg",
    }


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


def test_a_photo_with_a_problem_is_not_copied_either(media_log):
    medium = media_log.one("a.svg", b"<svg onload='alert(1)'/>")
    assert (medium.sort, medium.copy, medium.renditions) == ("photo", "", ())


def test_a_photo_that_brings_the_decoder_down_is_a_problem_and_is_not_tried_again(media_log, monkeypatch):
    with monkeypatch.context() as patched:
        patched.setattr(crew, "apart", lambda work, things: ((thing, None) for thing in things))
        assert "brings the decoder down; " in media_log.one("a.jpg", pictures.picture()).problem
    monkeypatch.setattr(crew, "apart", explode)
    assert "brings the decoder down; " in media_log.develop("a.jpg")[0].problem

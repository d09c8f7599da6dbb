"""What the public may have of a log's files: made when it is asked for, once, apart, and kept by content."""

import os
import subprocess
import sys
import time
from contextlib import nullcontext
from pathlib import Path

import msgspec
import pytest

from buildlog.edition.view import view
from buildlog.media import cleaning, crew, index, limits, originals
from buildlog.media import shelf as shelf_module
from buildlog.media.limits import within
from buildlog.media.shelf import source_of, sweep
from buildlog.model.entry import Entry, Medium
from buildlog.model.key import Audience
from buildlog.model.log import Log
from buildlog.works.gathering import Gathering
from buildlog.works.kept import Kept
from buildlog.works.lastrun import Inputs
from buildlog.works.outcome import Plan
from tests.edition.test_view import filled
from tests.media import clips, limited, papers, pictures
from tests.media.clips import CANARY
from tests.media.playing import hidden_in
from tests.media.readings import assert_bare, explode

FILES = {
    "clip.mp4": clips.loaded_mp4,
    "sound.wav": clips.loaded_wav,
    "paper.pdf": lambda: papers.paper(change=papers.with_information),
    "photo.jpg": pictures.loaded_jpeg,
    "notes.txt": lambda: b"CANARY notes",
}
NAMED = dict.fromkeys(FILES, True)


@pytest.fixture(scope="module")
def contents():
    return {name: make() for name, make in FILES.items()}


@pytest.fixture
def kept(media_log, contents):
    """A log of one file of each sort, made for the public once."""
    for name, data in contents.items():
        media_log.add(name, data)
    media_log.first = media_log.develop(*FILES, public=NAMED)
    media_log.bytes = shelved(media_log)
    return media_log


def shelved(log):
    return {
        str(path.relative_to(log.shelf)): path.read_bytes()
        for path in sorted(log.shelf.rglob("*"))
        if path.is_file() and path.name != "index.json"
    }


def again(log, **options):
    return log.develop(*FILES, public=NAMED, **options)


def by_name(media):
    return {each.file: each for each in media}


def test_each_sort_gets_what_it_is_meant_to(kept):
    found = by_name(kept.first)
    clip, sound, paper = found["clip.mp4"], found["sound.wav"], found["paper.pdf"]
    assert (clip.width, clip.height) == clips.SIZE
    assert 950 < clip.milliseconds < 1100
    assert [(each.width, each.height) for each in clip.poster] == [clips.SIZE]
    assert (sound.width, sound.height, sound.poster) == (0, 0, ())
    assert 950 < sound.milliseconds < 1100
    assert (paper.milliseconds, paper.poster) == (0, ())
    assert [Path(each.cleaned).suffix for each in (clip, sound, paper)] == [".mp4", ".m4a", ".pdf"]
    assert all(each.copy and not each.uncleaned and not each.problem for each in (clip, sound, paper))
    assert found["photo.jpg"].renditions
    assert not found["photo.jpg"].cleaned
    assert "a file of this kind is not published; save a document as PDF" in found["notes.txt"].uncleaned
    assert not found["notes.txt"].cleaned


def test_what_is_made_is_named_by_its_own_digest_and_says_nothing(kept):
    assert len(kept.bytes) == 5
    for name, data in kept.bytes.items():
        path = Path(name)
        assert index.name_of(data, path.suffix) == path.name
        assert not hidden_in(CANARY, data)
        if path.suffix == ".jpg":
            assert path.parent.name == "stills"
            assert_bare(data)


def test_the_public_gets_what_was_made_and_the_others_the_original(kept):
    log = filled(Log)
    entry = Entry(
        key="a", date=log.entries[0].date, audience=Audience.PUBLIC,
        media=tuple(Medium(file=name) for name in FILES),
    )  # fmt: skip
    log = msgspec.structs.replace(log, entries=(entry,), media=kept.first)
    seen = {audience: by_name(view(log, audience).media) for audience in Audience}
    for name in ("clip.mp4", "sound.wav", "paper.pdf"):
        for audience in (Audience.SHOP, Audience.INSPECTOR):
            medium = seen[audience][name]
            assert source_of(kept.root, kept.shelf, medium) == {medium.copy: kept.root / "media" / name}
        # called there after what was made of it, not after the builder's file
        medium = seen[Audience.PUBLIC][kept_as(kept, name)]
        sources = source_of(kept.root, kept.shelf, medium)
        assert list(sources) == [medium.cleaned, *(each.name for each in medium.poster)]
        assert all(path.is_file() and path.is_relative_to(kept.shelf) for path in sources.values())
    made = [each for each in kept.first if each.cleaned or each.renditions]
    assert "notes.txt" not in {each.file for each in made}
    assert len(seen[Audience.PUBLIC]) == len(made)


def kept_as(kept, name: str) -> str:
    return by_name(kept.first)[name].cleaned


def test_nothing_is_made_twice(kept, monkeypatch):
    monkeypatch.setattr(crew, "apart", explode)
    monkeypatch.setattr(shelf_module, "look", explode)
    before = (kept.shelf / "index.json").stat()
    assert again(kept) == kept.first
    assert (kept.shelf / "index.json").stat() == before


def test_a_run_that_finds_all_kept_loads_neither_pyav_nor_pikepdf_nor_pillow(kept):
    program = (
        "import sys; from pathlib import Path; from buildlog.media.shelf import develop; "
        f"root, shelf, asked = Path({str(kept.root)!r}), Path({str(kept.shelf)!r}), {NAMED!r}; "
        "made = develop(root, list(asked), shelf, public=asked); "
        "heavy = {'PIL', 'av', 'pikepdf', 'concurrent.futures'} & set(sys.modules); "
        "print(sum(bool(each.cleaned) for each in made), *heavy)"
    )
    told = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True, text=True)
    assert told.stdout.split() == ["3"]


def test_only_what_is_asked_for_is_made(media_log, contents, orders):
    for name, data in contents.items():
        media_log.add(name, data)
    found = by_name(media_log.develop(*FILES))
    assert orders == ["photo.jpg"]
    assert not any(each.cleaned or each.uncleaned for each in found.values())
    found = by_name(
        media_log.develop(*FILES, public={"paper.pdf": False, "notes.txt": False, "sound.wav": False})
    )
    assert orders == ["photo.jpg", "sound.wav"]
    assert [name for name, each in found.items() if each.cleaned or each.uncleaned] == ["sound.wav"]
    media_log.develop(*FILES, public={"gone.mp4": False})
    media_log.develop(*FILES, public=NAMED, photos=False)
    assert orders == ["photo.jpg", "sound.wav"]


def test_one_file_under_two_names_is_made_once_and_by_its_sort(media_log, orders):
    data = clips.clip()
    for name in ("a.mp4", "b.mp4", "c.m4a"):
        media_log.add(name, data)
    one, two, sound = media_log.develop(
        "a.mp4", "b.mp4", "c.m4a", public=dict.fromkeys(("a.mp4", "b.mp4", "c.m4a"))
    )
    assert one.cleaned == two.cleaned
    assert Path(sound.cleaned).suffix == ".m4a"
    assert len(orders) == 2


def test_another_recipe_is_made_anew(kept, monkeypatch, orders):
    monkeypatch.setattr(shelf_module, "copy_recipe", lambda sort: f"{sort}-another")
    assert again(kept) == kept.first
    assert sorted(orders) == ["clip.mp4", "paper.pdf", "sound.wav"]


def spoil(log):
    for path in (log.shelf / "cleaned").iterdir():
        path.write_bytes(b"x" * path.stat().st_size)


def lose(log):
    for path in (log.shelf / "cleaned").iterdir():
        path.unlink()


def lose_poster(log):
    name = by_name(log.first)["clip.mp4"].poster[0].name
    (log.shelf / "stills" / name).unlink()


def hostile(log):
    """An index that is whole, and names a file outside the shelf."""
    path = log.shelf / "index.json"
    body = path.read_bytes().partition(b"\n")[2]
    name = by_name(log.first)["clip.mp4"].cleaned.encode()
    body = body.replace(name, b"../../../../etc/passwd")
    path.write_bytes(index.hashlib.sha256(body).hexdigest().encode() + b"\n" + body)


@pytest.mark.parametrize("damage", [spoil, lose, lose_poster, hostile])
def test_a_spoilt_shelf_is_made_anew(kept, damage):
    damage(kept)
    assert again(kept) == kept.first
    assert shelved(kept) == kept.bytes


def test_only_another_time_is_looked_into_and_believed(kept, monkeypatch):
    monkeypatch.setattr(crew, "apart", explode)
    for path in (kept.shelf / "cleaned").iterdir():
        os.utime(path, (5, 5))
    assert again(kept) == kept.first


def test_sweeping_keeps_what_the_log_still_holds_even_where_no_edition_asks(kept, monkeypatch):
    (kept.shelf / "cleaned/holiday.mp4").write_bytes(b"somebody's")
    (kept.shelf / "cleaned/0123456789abcdef0123.mp4.77-0123456789ab.part").write_bytes(b"half")
    for_the_shop = kept.develop(*FILES)
    assert sweep(kept.shelf, for_the_shop) == 1
    (kept.shelf / "cleaned/holiday.mp4").unlink()
    assert shelved(kept) == kept.bytes
    monkeypatch.setattr(crew, "apart", explode)
    assert again(kept) == kept.first
    assert sweep(kept.shelf, [each for each in for_the_shop if each.file != "clip.mp4"]) == 2
    assert len(shelved(kept)) == 3


def test_progress_counts_what_is_made_anew_by_itself(media_log, contents):
    told, photos = [], []
    for name, data in contents.items():
        media_log.add(name, data)
    again(media_log, copying=lambda *each: told.append(each), progress=lambda *each: photos.append(each))
    assert told == [(0, 3), (1, 3), (2, 3), (3, 3)]
    assert photos == [(0, 1), (1, 1)]
    again(media_log, copying=explode, progress=explode)


def test_what_cannot_be_cleaned_says_so_and_is_not_tried_again(media_log, monkeypatch):
    media_log.add("a.mp4", clips.clip(tones=())[:400])
    media_log.add("b.pdf", b"%PDF-1.7 CANARY")
    media_log.add("c.mp4", b"#EXTM3U\nfile:///etc/passwd\n")
    public = {"a.mp4": False, "b.pdf": True, "c.mp4": False}
    first = media_log.develop(*public, public=public)
    clip, paper, playlist = first
    assert "cut short; copy it again" in clip.uncleaned
    assert "print it to a new PDF file" in paper.uncleaned
    assert (clip.cleaned, paper.cleaned) == ("", "")
    assert clip.copy, "the shop and the inspector have the original"
    assert playlist.problem == "the name ends in .mp4, but the file is no clip; copy it again"
    assert not list((media_log.shelf / "cleaned").glob("*"))
    monkeypatch.setattr(crew, "apart", explode)
    assert media_log.develop(*public, public=public) == first


def test_a_file_that_brings_its_decoder_down_is_not_tried_again(media_log, monkeypatch):
    media_log.add("a.mp4", clips.clip())
    with monkeypatch.context() as patched:
        patched.setattr(crew, "apart", lambda work, things: ((thing, None) for thing in things))
        (medium,) = media_log.develop("a.mp4", public={"a.mp4": False})
    assert "brings its decoder down, or takes longer than 30 minutes; " in medium.uncleaned
    monkeypatch.setattr(crew, "apart", explode)
    assert media_log.develop("a.mp4", public={"a.mp4": False}) == (medium,)


@pytest.mark.parametrize("error", [MemoryError, originals.LostError("it is gone; copy it again")])
def test_what_may_come_out_otherwise_is_tried_again(media_log, monkeypatch, at_home, error):
    media_log.add("a.mp4", clips.clip())

    def fails(*_args):
        raise error

    monkeypatch.setattr(cleaning, "within", lambda _limits: nullcontext())
    with monkeypatch.context() as patched:
        patched.setattr(cleaning, "_reel", fails)
        (medium,) = media_log.develop("a.mp4", public={"a.mp4": False})
    assert "; " in medium.uncleaned
    (medium,) = media_log.develop("a.mp4", public={"a.mp4": False})
    assert medium.cleaned


def test_too_large_a_file_is_not_read(media_log, monkeypatch, at_home):
    monkeypatch.setattr(cleaning, "MOST_CLIP_BYTES", 1000)
    monkeypatch.setattr(cleaning, "within", lambda _limits: nullcontext())
    monkeypatch.setattr(cleaning, "opened", explode)
    media_log.add("a.mp4", clips.clip())
    (medium,) = media_log.develop("a.mp4", public={"a.mp4": False})
    assert "MB, over the" in medium.uncleaned
    assert "export it shorter or smaller" in medium.uncleaned


def test_a_clip_that_changes_while_it_is_read_is_told(tmp_path):
    path = tmp_path / "log/media/a.mp4"
    path.parent.mkdir(parents=True)
    path.write_bytes(b"one")
    found = originals.MediaFolder(tmp_path / "log").find("a.mp4")
    seen = originals.look(found)
    with originals.opened(found, seen.digest) as file:
        assert file.read() == b"one"
    with pytest.raises(originals.LostError, match="changed while"), originals.opened(found, seen.digest):
        path.write_bytes(b"other")
    with pytest.raises(originals.LostError, match="changed while"), originals.opened(found, seen.digest):
        pytest.fail("it was opened")
    path.unlink()
    with pytest.raises(originals.LostError, match="cannot be read"), originals.opened(found, seen.digest):
        pytest.fail("it was opened")


def test_what_hangs_or_toils_is_ended_and_what_devours_is_refused_more():
    assert list(crew.apart(limited.hangs, [1])) == [(1, None)]
    assert list(crew.apart(limited.toils, [1])) == [(1, None)]
    assert list(crew.apart(limited.devours, [1])) == [(1, "no memory")]
    assert list(crew.apart(limited.behaves, [1])) == [(1, True)], "and the limits are lifted again"


def test_where_the_system_knows_no_limits_the_clock_still_holds(monkeypatch):
    monkeypatch.setattr(limits, "resource", None)
    with within(limited.GENEROUS):
        assert True


def test_every_file_is_made_within_limits(media_log, monkeypatch, at_home, contents):
    held = []
    monkeypatch.setattr(cleaning, "within", lambda each: held.append(each) or nullcontext())
    for name in ("clip.mp4", "paper.pdf"):
        media_log.add(name, contents[name])
    media_log.develop("clip.mp4", "paper.pdf", public=NAMED)
    assert held == [cleaning.CLIP_LIMITS, cleaning.DOCUMENT_LIMITS]


def test_without_a_shelf_names_are_the_same_and_nothing_is_written(kept, tmp_path, at_home, monkeypatch):
    monkeypatch.setattr(cleaning, "within", lambda _limits: nullcontext())
    before = sorted(tmp_path.rglob("*"))
    assert shelf_module.develop(kept.root, list(FILES), None, public=NAMED) == kept.first
    assert sorted(tmp_path.rglob("*")) == before


SETTINGS = 'format = 1\n[project]\ntitle = "Tansy"\n[people.marit]\nname = "Marit"\nroles = ["builder"]\n'
ENTRY = "---\n{head}\nmedia:\n{media}---\nProse.\n"


def gathered(root, entries, editions, **plan):
    """The media of a log of these entries, each its header's lines and those of its media."""
    (root / "entries").mkdir(exist_ok=True)
    (root / "buildlog.toml").write_text(SETTINGS)
    for number, (head, media) in enumerate(entries, start=1):
        lines = "".join(f"  - {line}\n" for line in media)
        (root / f"entries/2026-03-{number:02}-work.md").write_text(ENTRY.format(head=head, media=lines))
    folder = root.parent / "kept"
    gathering = Gathering(root, Plan(editions=editions, **plan), Kept(folder, "", ""), folder, Inputs())
    log, problems = gathering.gather(time.time_ns(), lambda *_told: None)
    assert not problems
    return by_name(log.media)


PUBLIC, HERE = "audience: public", "title: Here"


@pytest.mark.parametrize(
    ("entries", "cleaned"),
    [
        ([(PUBLIC, ["file: clip.mp4", "file: paper.pdf"])], ["clip.mp4"]),
        ([(PUBLIC, ["file: clip.mp4", "{file: paper.pdf, audience: public}"])], ["clip.mp4", "paper.pdf"]),
        ([(HERE, ["file: clip.mp4", "{file: paper.pdf, audience: public}"])], []),
        ([(PUBLIC, ["{file: clip.mp4, audience: inspector}", "{file: paper.pdf, audience: shop}"])], []),
        ([(PUBLIC, ["file: clip.mp4"]), (HERE, ["file: clip.mp4"])], []),
        ([(PUBLIC, ["file: clip.mp4"]), ("draft: true", ["file: clip.mp4"])], ["clip.mp4"]),
        ([("audience: public\ndraft: true", ["file: clip.mp4"])], None),
        ([(PUBLIC, ["{file: paper.pdf, audience: public}"]), (PUBLIC, ["file: paper.pdf"])], []),
    ],
)
def test_only_what_nothing_keeps_from_the_public_is_made(media_log, contents, entries, cleaned, orders):
    for name in ("clip.mp4", "paper.pdf"):
        media_log.add(name, contents[name])
    found = gathered(media_log.root, entries, ("shop", "public"))
    assert [name for name, each in found.items() if each.cleaned] == (cleaned or [])
    assert sorted(orders) == (cleaned or [])


def test_a_document_of_a_record_is_kept_from_the_public(media_log, contents, orders):
    media_log.add("paper.pdf", contents["paper.pdf"])
    records = (
        "records:\n  - {inspected: TN-1, stage: to-drawing, by: marit, result: accepted, document: paper.pdf}"
    )
    found = gathered(
        media_log.root, [(f"{PUBLIC}\n{records}", ["{file: paper.pdf, audience: public}"])], ("public",)
    )
    assert found["paper.pdf"].copy
    assert orders == []


@pytest.mark.parametrize(
    ("editions", "plan"), [(("shop", "inspector"), {}), (("public",), {"photos": False})]
)
def test_whoever_makes_no_public_edition_never_pays(media_log, contents, editions, plan, monkeypatch):
    monkeypatch.setattr(crew, "apart", explode)
    media_log.add("clip.mp4", contents["clip.mp4"])
    found = gathered(media_log.root, [(PUBLIC, ["file: clip.mp4"])], editions, **plan)
    assert found["clip.mp4"].copy
    assert not found["clip.mp4"].cleaned

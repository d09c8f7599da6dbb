"""Originals: found without leaving the media folder, asked for again when they could not be read."""

import os
from pathlib import Path

import pytest

from buildlog.media import crew, darkroom, originals
from buildlog.media import shelf as shelf_module
from buildlog.media.originals import LostError
from buildlog.media.shelf import source_of
from tests.media import pictures
from tests.media.readings import explode
from tests.media.test_sorts import MP4


def test_a_change_in_the_same_tick_shows(media_log):
    """Same size and same time: a coarse clock may do that to a file that is minutes old at most."""
    path = media_log.root / "media/a.txt"
    path.write_bytes(b"one")
    state = path.stat()
    (first,) = media_log.develop("a.txt")
    path.write_bytes(b"two")
    os.utime(path, ns=(state.st_atime_ns, state.st_mtime_ns))
    assert media_log.develop("a.txt")[0].digest != first.digest


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

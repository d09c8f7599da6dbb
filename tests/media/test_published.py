"""The public edition of a log whose files carry everything: none of that is in any published file."""

import json
import os
import subprocess
from pathlib import Path

import pytest

from buildlog.works.compile import compile_log
from buildlog.works.outcome import Plan
from tests.media import clips, papers, pictures
from tests.media.clips import CANARY
from tests.media.playing import hidden_in
from tests.media.test_documents import INLINE, unpacked
from tests.outside import REEL_STRUCTURE, STRUCTURE, exiftool, require

SETTINGS = 'format = 1\n[project]\ntitle = "Tansy"\n[people.marit]\nname = "Marit"\nroles = ["builder"]\n'


def everything(pdf, page):
    for plant in papers.PLANTED.values():
        plant(pdf, page)


DOCUMENTS = {"sheet.pdf": lambda: papers.paper(change=everything), "updated.pdf": papers.updated}
PHOTOS = {f"photo.{kind}": lambda kind=kind: pictures.loaded(kind) for kind in pictures.FORMATS}
KEPT_BACK = {
    "scan.pdf": lambda: papers.paper(INLINE),
    "notes.txt": lambda: CANARY,
    "list.mp4": lambda: b"#EXTM3U\n#EXTINF:1,\nclip-a.mp4\n",
    "drawing.svg": lambda: b"<svg><!-- CANARY --></svg>",
    "half.mp4": lambda: clips.loaded_mp4()[:2000],
}
CLIPS = {f"clip-{name}": make for name, make in clips.LOADED.items()}


@pytest.fixture(scope="module")
def published(tmp_path_factory):
    """The folder of the edition, and what the run tells."""
    root = tmp_path_factory.mktemp("log")
    (root / "media").mkdir()
    (root / "entries").mkdir()
    (root / "buildlog.toml").write_text(SETTINGS)
    lines = []
    for name, make in {**CLIPS, **DOCUMENTS, **PHOTOS, **KEPT_BACK}.items():
        path = root / "media" / name
        path.write_bytes(make())
        os.utime(path, (1_600_000_000, 1_600_000_000))
        lines.append(f"  - {{file: {name}, caption: The spar, audience: public}}\n")
    entry = "---\naudience: public\nmedia:\n" + "".join(lines) + "---\nProse.\n"
    (root / "entries/2026-03-14-work.md").write_text(entry)
    outcome = compile_log(root, Plan(editions=("public",)), lambda *_told: None)
    assert not outcome.problems
    (edition,) = outcome.editions
    assert not edition.refused
    return Path(edition.folder)


def media(published, *endings):
    return sorted(path for path in (published / "media").iterdir() if path.suffix in endings)


def test_all_is_there_that_can_be_and_nothing_else(published):
    # The MP4 and the MOV hold the same pictures and the same sound, and so become the same file.
    assert len(media(published, ".mp4")) == 2
    assert len(media(published, ".m4a")) == 3
    assert len(media(published, ".pdf")) == len(DOCUMENTS)
    # Seven photos and three posters, all too small for more than one size; some may be the same picture.
    assert 4 <= len(media(published, ".jpg")) <= 10
    assert not [path for path in (published / "media").iterdir() if path.suffix not in KNOWN]
    for name in (*CLIPS, *DOCUMENTS, *PHOTOS, *KEPT_BACK):
        assert not [path for path in published.rglob("*") if name in path.name], "a name of the builder's"


KNOWN = {".mp4", ".m4a", ".pdf", ".jpg"}


def test_no_planted_word_is_in_any_file(published):
    for path in published.rglob("*"):
        if path.is_file():
            data = path.read_bytes()
            assert not hidden_in(CANARY, unpacked(data) if path.suffix == ".pdf" else data), path.name
            assert not hidden_in(b"59.91", data), path.name


@pytest.mark.outside
def test_exiftool_finds_nothing_in_any_of_them_but_the_structure(published):
    """Judge: exiftool."""
    found = exiftool(published / "media")
    assert len(found) == len(media(published, *KNOWN))
    for name, tags in found.items():
        if name.endswith(".jpg"):
            assert tags <= STRUCTURE, tags - STRUCTURE
        elif name.endswith(".pdf"):
            assert {each for each in tags if each.startswith("PDF:")} <= {
                "PDF:PDFVersion", "PDF:Linearized", "PDF:PageCount",
            }  # fmt: skip
        else:
            assert {each.rpartition(":")[2] for each in tags} <= REEL_STRUCTURE, tags


@pytest.mark.outside
def test_ffprobe_finds_a_picture_and_a_sound_in_each_clip(published):
    """Judge: ffprobe."""
    for path in media(published, ".mp4", ".m4a"):
        command = [require("ffprobe"), "-v", "error", "-of", "json", "-show_streams", "-show_chapters", path]
        told = json.loads(subprocess.run(command, capture_output=True, check=True, text=True).stdout)
        kinds = [each["codec_type"] for each in told["streams"]]
        assert kinds == (["video", "audio"] if path.suffix == ".mp4" else ["audio"])
        assert told["chapters"] == []

"""More than one edition of a log: each complete, each refused by itself, nothing private below the shop."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from PIL import Image

from buildlog.works.compile import compile_log
from buildlog.works.outcome import EditionOutcome, Plan
from tests import logs

LOG = """
part TN-1 name=Spar class=assembly items=L,R supplier="Kleivdal Coatings" cost=8812 note="third shelf"
part TN-2 name=Rib parent=TN-1
part TN-9 name="The surprise" audience=shop
task W-1 title=Wing milestone=taxi
task W-9 title=Hush audience=shop
milestone taxi title="First taxi"
lot EPX-1 material=Epoxy supplier="Ruvika Resins" expires=2026-12-01 note="paid in cash"
tool TQ-1 name=Wrench due=2026-12-31 note=borrowed
2026-03-01 18:00 key=2026-03-01-one
    work TN-1/L hours=2 kind=bonding task=W-1
    made TN-1/L lots=EPX-1 serial=17
    media one.jpg shows=TN-1/L
2026-03-02 key=2026-03-02-two audience=shop
    work hours=1 task=W-9
    media bill.jpg
2026-03-03 key=2026-03-03-three
    accepted TN-1/L to-drawing okafor
    media both.jpg
"""
BOTH = Plan(editions=("shop", "inspector"))
PRIVATE = (
    "Kleivdal",
    "8812",
    "third shelf",
    "TN-9",
    "surprise",
    "W-9",
    "Hush",
    "Ruvika",
    "paid in cash",
    "borrowed",
    "2026-03-02",
    "bill.jpg",
    "parts.csv:",
    "entries/2026-03-01-one.md",
    "Where the tin is",
)


def laid(tmp_path: Path) -> Path:
    root = logs.write(tmp_path / "log", LOG)
    for shade, name in enumerate(("one.jpg", "bill.jpg", "both.jpg")):
        path = root / "media" / name
        path.parent.mkdir(exist_ok=True)
        Image.new("RGB", (64, 48), (shade * 90, 60, 90)).save(path)
    one = root / "entries" / "2026-03-01-one.md"
    one.write_text(one.read_text("utf-8") + "Glued.\n\n~~~ shop only\nWhere the tin is.\n~~~\n", "utf-8")
    two = root / "entries" / "2026-03-02-two.md"
    two.write_text(two.read_text("utf-8").replace("media:\n", "media:\n  - file: both.jpg\n"), "utf-8")
    return root


def test_what_photographs_carried_is_counted(tmp_path: Path) -> None:
    root = laid(tmp_path)
    for name in ("one.jpg", "both.jpg"):
        exif = Image.Exif()
        exif[0x010F] = "Maker"
        if name == "one.jpg":
            exif.get_ifd(0x8825)[1] = "N"
        Image.new("RGB", (64, 48), (len(name) * 9, 60, 90)).save(root / "media" / name, exif=exif)
    # both.jpg is the shop's too, so that the inspector does not get it
    assert run(root)["inspector"].stripped == ("EXIF from 1 file", "a position (GPS) from 1 file")
    assert run(root)["shop"].stripped == ("EXIF from 2 files", "a position (GPS) from 1 file")


def run(root: Path, plan: Plan = BOTH) -> dict[str, EditionOutcome]:
    outcome = compile_log(root, plan, lambda *_: None)
    assert not outcome.problems, outcome.problems
    return {each.edition: each for each in outcome.editions}


def text_of(folder: Path) -> str:
    """All that an edition says, file names included, the reference of the format apart."""
    found = []
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        if path.is_file() and not name.startswith("format/"):
            found += [name, path.read_text("utf-8", errors="ignore")]
    return "\n".join(found)


def files_of(folder: Path) -> dict[str, tuple[bytes, int]]:
    return {
        path.relative_to(folder).as_posix(): (path.read_bytes(), int(path.stat().st_mtime))
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def test_the_inspector_gets_the_records_and_nothing_of_the_shop(tmp_path: Path) -> None:
    root = laid(tmp_path)
    assert not any(each.refused for each in run(root).values())
    shop, inspector = (text_of(root / "private" / name) for name in ("shop", "inspector"))
    assert [word for word in PRIVATE if word in inspector] == []
    assert [word for word in PRIVATE if word not in shop] == []
    for word in ("Marit Solheim", "EPX-1", "TQ-1", "Made to drawing", "Wing", "17", "Glued."):
        assert word in inspector, word
    told = json.loads((root / "private" / "inspector" / "data" / "log.json").read_text("utf-8"))
    assert len(told["entries"]) == 2


def test_a_photo_that_the_shop_alone_refers_to_anywhere_stays_there(tmp_path: Path) -> None:
    """A medium takes the narrowest audience of all that refers to it."""
    root = laid(tmp_path)
    run(root)
    pictures = {
        name: {path.name for path in (root / "private" / name / "media").iterdir()}
        for name in ("shop", "inspector")
    }
    assert len(pictures["shop"]) == 3 * len(pictures["inspector"])
    assert "both.jpg" not in text_of(root / "private" / "inspector")


def test_what_the_shop_alone_changes_changes_no_byte_for_the_inspector(tmp_path: Path) -> None:
    root = laid(tmp_path)
    run(root)
    inspector = root / "private" / "inspector"
    before = files_of(inspector)
    (root / "entries" / "2026-03-04-quiet.md").write_text(
        "---\naudience: shop\n---\nNobody else: TN-1/L and TN-9.\n", "utf-8"
    )
    parts = root / "parts.csv"
    parts.write_text(parts.read_text("utf-8").replace("8812", "12").replace("third", "fourth"), "utf-8")
    told = run(root)
    assert told["shop"].written
    assert told["inspector"].written == ()
    assert files_of(inspector) == before


def test_a_clean_compile_gives_the_same_bytes(tmp_path: Path) -> None:
    root = laid(tmp_path)
    run(root)
    one = root / "entries" / "2026-03-01-one.md"
    one.write_text(one.read_text("utf-8").replace("Glued.", "Glued twice."), "utf-8")
    run(root)
    for name in ("shop", "inspector"):
        clean = tmp_path / f"clean-{name}"
        run(root, Plan(editions=(name,), out=str(clean)))
        assert files_of(clean / name) == files_of(root / "private" / name)


def test_an_edition_that_holds_a_forbidden_word_is_refused_and_the_other_made(tmp_path: Path) -> None:
    root = laid(tmp_path)
    run(root)
    inspector = root / "private" / "inspector"
    before = files_of(inspector)
    entry = root / "entries" / "2026-03-05-slip.md"
    entry.write_text("---\ntitle: More\n---\n\nBought at *Kleivdal*\nCoatings again.\n", "utf-8")
    told = run(root)
    assert told["shop"].written
    assert not told["shop"].refused
    assert "entries/2026-03-05-slip.md:5:1: “Kleivdal Coatings”, a supplier" in told["inspector"].refused
    assert files_of(inspector) == before
    entry.write_text("---\ntitle: More\n---\n\nBought at Kleivdal\nCoatings again.\n", "utf-8")
    refused = run(root)["inspector"].refused
    assert "entries/2026-03-05-slip.md:5:1: “Kleivdal Coatings”, a supplier" in refused
    assert "`allow`" in refused
    assert "2026-03-05-slip.html" not in refused
    assert files_of(inspector) == before
    entry.write_text(
        "---\ntitle: More\nallow: Kleivdal Coatings\n---\n\nBought at Kleivdal\nCoatings.\n", "utf-8"
    )
    told = run(root)
    assert told["inspector"].refused == ""
    assert told["inspector"].allowed == ("entries/2026-03-05-slip.md:6:1: “Kleivdal Coatings”, a supplier",)
    assert "Kleivdal" in (inspector / "entries" / "2026-03-05-slip.html").read_text("utf-8")


def test_a_new_secret_stops_what_passed_before(tmp_path: Path) -> None:
    """And is not quoted."""
    root = laid(tmp_path)
    run(root)
    before = files_of(root / "private" / "inspector")
    (root / "secrets.txt").write_text("\nGLUED\n", "utf-8")
    refused = run(root)["inspector"].refused
    assert "entries/2026-03-01-one.md" in refused
    assert "the word on line 2 of secrets.txt" in refused
    assert "glued" not in refused.casefold()
    assert files_of(root / "private" / "inspector") == before
    again = run(root)
    assert again["inspector"].refused == refused
    (root / "secrets.txt").unlink()
    assert run(root)["inspector"].refused == ""


def test_a_word_that_stands_on_every_sheet_stops_no_edition(tmp_path: Path) -> None:
    """A supplier called “Records” is not told by the heading of that name; in prose it still is."""
    root = laid(tmp_path)
    parts = root / "parts.csv"
    parts.write_text(parts.read_text("utf-8").replace("Kleivdal Coatings", "Records"), "utf-8")
    assert run(root)["inspector"].refused == ""
    (root / "entries" / "2026-03-05-slip.md").write_text("Asked at Records.\n", "utf-8")
    assert "entries/2026-03-05-slip.md:1:1: “Records”, a supplier" in run(root)["inspector"].refused


def test_what_is_made_private_again_is_gone(tmp_path: Path) -> None:
    root = laid(tmp_path)
    three = root / "entries" / "2026-03-06-open.md"
    three.write_text("---\nmedia:\n  - file: one.jpg\n---\nOpen for now.\n", "utf-8")
    run(root)
    three.write_text("---\naudience: shop\nmedia:\n  - file: one.jpg\n---\nOpen for now.\n", "utf-8")
    told = run(root)["inspector"]
    assert "entries/2026-03-06-open.html" in told.withdrawn
    inspector = root / "private" / "inspector"
    assert not list((inspector / "media").glob("*")) if (inspector / "media").exists() else True
    assert "Open for now" not in text_of(inspector)
    clean = tmp_path / "clean"
    run(root, Plan(editions=("inspector",), out=str(clean)))
    assert files_of(clean / "inspector") == files_of(inspector)


def test_nothing_changed_is_known_for_both(tmp_path: Path) -> None:
    root = laid(tmp_path)
    run(root)
    # files written in the very moment of the first look are looked at once more before they are trusted
    run(root)
    assert compile_log(root, BOTH, lambda *_: None).unchanged


@pytest.mark.parametrize("word", ["x", " é "])
def test_a_secret_of_one_letter_is_an_error(tmp_path: Path, word: str) -> None:
    root = laid(tmp_path)
    (root / "secrets.txt").write_text(f"long enough\n{word}\n", "utf-8")
    problems = compile_log(root, BOTH, lambda *_: None).problems
    assert [str(each).partition(";")[0] for each in problems] == [
        "secrets.txt:2:1: a word of one letter would stop every edition"
    ]

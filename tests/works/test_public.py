"""The public edition made from real folders: what leaves the shop, what is taken back, what is refused."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image

from buildlog.cli.start import main
from buildlog.works.compile import compile_log
from buildlog.works.outcome import EditionOutcome, Plan
from tests import logs
from tests.media.pictures import exif
from tests.works.published import tree

LOG = """
part TN-1 name=Spar items=L,R audience=public supplier=Kleivdal
part TN-2 name=Rib parent=TN-1 audience=public
part TN-3 name=Bracket parent=TN-1
part TN-9 name=Surprise audience=shop
task W-1 title="Build the wing" discipline=wood milestone=taxi audience=public
task W-2 title="Paint" milestone=taxi
milestone taxi title="First taxi"
tool TQ-1 name=Wrench
2026-03-01 18:00 key=2026-03-01-one people=marit,bram audience=public
    work TN-1/L TN-3 hours=2 kind=bonding task=W-1
    made TN-1/L serial=SER-17
    media IMG_0001.jpg shows=TN-1/L,TN-3 caption="The spar in its clamps"
    media IMG_0002.jpg shows=TN-2
2026-03-02 key=2026-03-02-two
    accepted TN-1/L to-drawing okafor
    media IMG_0003.jpg
2026-03-03 key=2026-03-03-three audience=public
    work TN-2 hours=1 task=W-1
    media IMG_0004.jpg caption="Ribs"
"""
PUBLIC = Plan(editions=("public",))
ALL = Plan(editions=("shop", "inspector", "public"))
ONE = "entries/2026-03-01-one.md"
THREE = "entries/2026-03-03-three.md"


def laid(tmp_path: Path) -> Path:
    root = logs.write(tmp_path / "log", LOG)
    for shade in range(1, 5):
        path = root / "media" / f"IMG_000{shade}.jpg"
        path.parent.mkdir(exist_ok=True)
        Image.new("RGB", (64, 48), (shade * 50, 60, 90)).save(path, exif=exif())
    for name in (ONE, THREE):
        # a page is called after its title, and so, here, as its file is
        day, _, word = name.removeprefix("entries/").removesuffix(".md").rpartition("-")
        change(root, name, f"title: {day}-{word}", f"title: {word}")
    append(root, ONE, "Glued TN-1/L and TN-3.\n\n~~~ shop only\nWhere the tin is.\n~~~\n")
    return root


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return laid(tmp_path)


def append(root: Path, name: str, text: str) -> None:
    path = root / name
    path.write_text(path.read_text("utf-8") + text, "utf-8")


def change(root: Path, name: str, old: str, new: str) -> None:
    path = root / name
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")


def run(root: Path, plan: Plan = PUBLIC) -> dict[str, EditionOutcome]:
    outcome = compile_log(root, plan, lambda *_: None)
    assert not outcome.problems, outcome.problems
    return {each.edition: each for each in outcome.editions}


def made(root: Path) -> EditionOutcome:
    """The public edition, made and not refused."""
    told = run(root)["public"]
    assert not told.refused, told.refused
    return told


def refused(root: Path) -> str:
    """Why the public edition is refused; what stood still stands."""
    before = tree(root / "site") if (root / "site").exists() else {}
    told = run(root)["public"].refused
    assert told
    assert (tree(root / "site") if (root / "site").exists() else {}) == before
    return told


def everything(folder: Path) -> Iterator[tuple[str, bytes]]:
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            yield path.relative_to(folder).as_posix(), path.read_bytes()


def holds(folder: Path, word: str) -> list[str]:
    """The files of a folder that hold a word, in their name or their bytes, in any case."""
    low = word.lower()
    return [
        name
        for name, data in everything(folder)
        if low in name.lower() or (low.encode() in data.lower() and name not in ("sheet.css", "sheet.js"))
    ]


def names(folder: Path) -> set[str]:
    return {name for name, _ in everything(folder)}


def equals_a_clean_compile(root: Path, tmp_path: Path) -> None:
    """Bytes, times and permissions, folders too."""
    clean = tmp_path / "clean"
    shutil.rmtree(clean, ignore_errors=True)
    told = run(root, Plan(editions=("public",), out=str(clean)))["public"]
    assert not told.refused
    assert tree(root / "site") == tree(clean / "public")


# What the public gets


def test_the_public_gets_the_story_and_nothing_else(root: Path) -> None:
    made(root)
    site = root / "site"
    for word in ("Glued", "The spar in its clamps", "Build the wing", "First taxi", "Marit", "a builder"):
        assert holds(site, word), word
    for word in (
        *(
            "Solheim",
            "Bram",
            "Okafor",
            "okafor",
            "Kleivdal",
            "SER-17",
            "TN-9",
            "Surprise",
            "Where the tin is",
        ),
        *(
            "W-2",
            "Paint",
            "Bracket",
            "TQ-1",
            "Wrench",
            "bonding",
            "18:00",
            "2026-03-02",
            "entries/2026-03-01-one.md",
        ),
        *("IMG_", "to-drawing", "parts.csv:", str(root)),
    ):
        assert holds(site, word) == [], word
    # nobody said for whom TN-3 is: its number stays as the author wrote it, and leads nowhere
    told = {f"entries/{each}.html" for each in ("2026-03-01-one", "2026-03")}
    assert set(holds(site, "TN-3")) == {*told, "data/log.json", "feed.xml", "feed.json", "index.html"}
    assert "TN-3.html" not in "".join(names(site))


def test_the_report_lists_what_an_unmarked_name_stayed(root: Path) -> None:
    told = made(root)
    assert any("“TN-3”, a part without an `audience`" in each for each in told.unlinked)
    assert all(each.startswith(f"{ONE}:") for each in told.unlinked)


def test_the_title_of_something_hidden_is_warned_of(root: Path) -> None:
    """An ordinary word may be a title: the edition is made, and its builder told where it stands."""
    append(root, THREE, "It was a surprise.\n")
    told = made(root)
    assert any("“Surprise”, the title of the part TN-9" in each and THREE in each for each in told.warned)


def test_a_surname_refuses_unless_it_is_a_word_of_the_log(root: Path) -> None:
    append(root, THREE, "It was news to Solheim.\n")
    refused = run(root)["public"].refused
    assert f"{THREE}:" in refused
    assert "“Solheim”, part of the name of a person" in refused
    # somebody may be called Birch, and the log write of birch
    change(root, THREE, "news to Solheim", "a solheim of birch")
    told = made(root)
    assert any("“Solheim”, part of the name of a person" in each for each in told.warned)


def test_a_caption_is_cut_at_its_fences(root: Path) -> None:
    fenced = "|\n      Ribs\n\n      ~~~ shop only\n      Borrowed from Nimbus.\n      ~~~"
    made(root)
    before = tree(root / "site")
    change(root, THREE, "caption: Ribs", f"caption: {fenced}")
    assert made(root).written == ()
    assert tree(root / "site") == before
    run(root, ALL)
    assert holds(root / "private" / "shop", "Nimbus")
    assert holds(root / "private" / "inspector", "Nimbus") == []


def test_no_file_is_named_by_the_camera_nor_named_in_prose(root: Path) -> None:
    """In prose, too, pictures are named: by the file in media/."""
    append(
        root,
        ONE,
        "\n![the clamps](../media/IMG_0001.jpg)\n\n[a rib][there]\n\n[there]: ../media/IMG_0002.jpg\n",
    )
    made(root)
    assert holds(root / "site", "IMG_") == []
    page = (root / "site" / "entries" / "2026-03-01-one.html").read_text("utf-8")
    assert page.count("the-spar-in-its-clamps-") >= 3


def test_a_medium_takes_the_narrowest_audience_of_all_that_refer_to_it(root: Path) -> None:
    made(root)
    before = {name for name in names(root / "site") if name.startswith("media/")}
    for who, header in (
        ("an entry for the inspector", "media:\n  - file: IMG_0004.jpg\n"),
        ("a record's document", "records:\n  - received: TN-2\n    document: IMG_0004.jpg\n"),
        ("a shop's entry", "audience: shop\nmedia:\n  - file: IMG_0004.jpg\n"),
        ("a mark of its own", "audience: public\nmedia:\n  - file: IMG_0004.jpg\n    audience: inspector\n"),
    ):
        path = root / "entries" / "2026-03-05-again.md"
        path.write_text(f"---\n{header}---\n", "utf-8")
        told = made(root)
        gone = before - names(root / "site")
        assert gone, who
        assert all(name.startswith("media/ribs-") for name in gone), who
        assert told.photos == 2, who
        if path.read_text("utf-8").count("audience") < 2:
            reasons = [each for each in told.withheld if each.startswith("IMG_0004.jpg: it is also")]
            assert len(reasons) == 1, who
            assert "entries/2026-03-05-again.md:" in reasons[0], "the builder is told what keeps it back"
        path.unlink()
        made(root)
        assert before <= names(root / "site")


def test_without_photos_the_pages_stand_without_them(root: Path) -> None:
    told = run(root, Plan(editions=("public",), photos=False))["public"]
    assert not told.refused
    assert not [name for name in names(root / "site") if name.startswith("media/")]
    assert holds(root / "site", "IMG_") == []
    assert len(told.withheld) == 3
    assert "Glued" in (root / "site" / "entries" / "2026-03-01-one.html").read_text("utf-8")


# Taking back


@pytest.mark.parametrize("how", ["entry", "removed", "part", "photo", "task", "person"])
def test_what_is_made_private_again_is_gone(root: Path, tmp_path: Path, how: str) -> None:
    made(root)
    gone = {
        "entry": ("entries/2026-03-03-three.html", "ribs-"),
        "removed": ("entries/2026-03-03-three.html", "ribs-"),
        "part": ("parts/TN-2.html", "TN-2.html"),
        "photo": ("media/ribs-", "ribs-"),
        "task": ("tasks/W-1.html", "Build the wing"),
        "person": ("", "Marit"),
    }[how]
    if how == "entry":
        change(root, THREE, "audience: public", "audience: inspector")
    elif how == "removed":
        (root / THREE).unlink()
    elif how == "part":
        change(root, "parts.csv", "Rib,,public", "Rib,,")
    elif how == "task":
        change(root, "tasks.csv", "taxi,public", "taxi,")
    elif how == "photo":
        change(root, THREE, "file: IMG_0004.jpg", "file: IMG_0004.jpg\n    audience: inspector")
    else:
        change(root, "buildlog.toml", 'public = "Marit"', "")
    address, word = gone
    assert holds(root / "site", word)
    told = made(root)
    assert not address or any(each.startswith(address) for each in told.withdrawn)
    assert holds(root / "site", word) == []
    assert not [each for each in told.withdrawn if (root / "site" / each).exists()]
    equals_a_clean_compile(root, tmp_path)


def test_all_times_are_noon_of_the_edition_s_day(root: Path) -> None:
    """The day that the public sees: 3 March, whatever the shop did since."""
    (root / "entries" / "2026-03-09-quiet.md").write_text("---\naudience: shop\n---\nQuiet.\n", "utf-8")
    made(root)
    noon = 1_772_539_200  # 2026-03-03T12:00:00Z, by `date -u -d 2026-03-03T12:00Z +%s`
    assert {path.stat().st_mtime for path in (root / "site").rglob("*") if path.is_file()} == {noon}


def test_a_second_run_changes_nothing(root: Path) -> None:
    made(root)
    before = {path: (path.stat().st_ino, path.stat().st_mtime_ns) for path in (root / "site").rglob("*")}
    told = made(root)
    assert (told.written, told.withdrawn) == ((), ())
    assert before == {
        path: (path.stat().st_ino, path.stat().st_mtime_ns) for path in (root / "site").rglob("*")
    }


def test_what_is_kept_between_runs_lies_outside_every_edition(root: Path) -> None:
    made(root)
    listed = {line[66:] for line in (root / "site" / "SHA256SUMS").read_text("utf-8").split("\n")[1:] if line}
    assert names(root / "site") == {*listed, "SHA256SUMS"}
    assert (root / "private" / "kept").is_dir()
    assert {path.name for path in root.iterdir()} == {
        *("buildlog.toml", "parts.csv", "tasks.csv", "tools.csv", "entries", "media", "site", "private")
    }


def test_the_shop_s_changes_change_no_byte_of_the_public(root: Path) -> None:
    made(root)
    before = tree(root / "site")
    (root / "entries" / "2026-03-01-a-quiet.md").write_text(
        "---\nrecords:\n  - modified: TN-1/L\nmedia:\n  - file: IMG_0003.jpg\n---\nTN-2, TN-9.\n", "utf-8"
    )
    change(root, "parts.csv", "Kleivdal", "Somebody else")
    change(root, "tasks.csv", "Paint", "Paint twice")
    assert made(root).written == ()
    assert tree(root / "site") == before


# Refusing


def test_a_refused_edition_stands_as_it_was_and_the_others_are_made(root: Path, capsys) -> None:
    assert main(["compile", str(root)]) == 0
    before = tree(root / "site")
    append(root, THREE, "With Bram Lie, who bought at Kleivdal.\n")
    capsys.readouterr()
    assert main(["compile", str(root)]) == 1
    told = capsys.readouterr()
    assert tree(root / "site") == before
    assert "Bram Lie" in (root / "private" / "shop" / "entries" / "2026-03-03-three.html").read_text("utf-8")
    assert "Kleivdal" not in before
    line = 1 + (root / THREE).read_text("utf-8").split("\n").index("With Bram Lie, who bought at Kleivdal.")
    assert f"{THREE}:{line}:1: “Bram Lie”, the name of a person" in told.err
    assert f"{THREE}:{line}:1: “Kleivdal”, a supplier" in told.err
    assert "fence" in told.err
    assert "`allow`" in told.err


def test_an_entry_may_allow_a_word_and_the_report_says_so(root: Path) -> None:
    append(root, THREE, "Bought at Kleivdal.\n")
    assert "Kleivdal" in refused(root)
    change(root, THREE, "audience: public", "audience: public\nallow: Kleivdal")
    told = made(root)
    assert len(told.allowed) == 1
    assert told.allowed[0].startswith(f"{THREE}:")
    assert told.allowed[0].endswith("“Kleivdal”, a supplier")
    append(root, ONE, "\nKleivdal again.\n")
    assert ONE in refused(root)


def test_a_hidden_part_s_number_in_prose_stops_the_edition(root: Path) -> None:
    append(root, THREE, "Not for *TN-\n9*.\n")
    assert "TN-9" in refused(root)


def test_a_secret_is_not_quoted(root: Path) -> None:
    (root / "secrets.txt").write_text("Hangar seven\n", "utf-8")
    append(root, THREE, "In **hangar**\nseven.\n")
    told = refused(root)
    assert "the word on line 1 of secrets.txt" in told
    assert "hangar" not in told.casefold()


# The report


def test_the_report_has_all_that_left_the_shop(root: Path, tmp_path: Path) -> None:
    (root / "static").mkdir()
    (root / "static" / "robots.txt").write_text("User-agent: *\n", "utf-8")
    append(root, "buildlog.toml", '\n[editions.public]\ndeclassify = ["readiness"]\n')
    change(root, "tasks.csv", "audience", "audience,estimate")
    change(root, "tasks.csv", "taxi,public", "taxi,public,8")
    append(root, "tasks.csv", "".join(f"W-{number},Quiet,,taxi,,8\n" for number in range(3, 7)))
    (root / "media" / "IMG_0004.jpg").write_bytes(b"\xff\xd8 no photo")
    file = tmp_path / "report.json"
    assert main(["compile", str(root), "--report", str(file)]) == 0
    told = json.loads(file.read_text("utf-8"))
    assert [each["edition"] for each in told["editions"]] == ["shop", "inspector", "public"]
    public = told["editions"][2]
    assert set(public) == set(EditionOutcome.__struct_fields__)
    assert public["folder"] == str(root / "site")
    assert public["pages"] == len([name for name in names(root / "site") if name.endswith(".html")])
    assert public["files"] == len(names(root / "site")) - 1, "all but the list of digests"
    assert sorted(public["written"]) == sorted(names(root / "site") - {"SHA256SUMS"})
    assert (public["photos"], public["clips"], public["originals"]) == (2, 0, [])
    assert public["added"] == ["robots.txt"]
    assert [each.partition(":")[0] for each in public["withheld"]] == ["IMG_0004.jpg"]
    assert public["unlooked"] == ["IMG_0001.jpg", "IMG_0002.jpg"]
    assert public["grants"] == ["readiness: First taxi, 0 per cent"]
    assert public["unlinked"]
    assert public["refused"] == ""
    (root / THREE).unlink()
    assert main(["compile", str(root), "--report", str(file)]) == 0
    public = json.loads(file.read_text("utf-8"))["editions"][2]
    assert "entries/2026-03-03-three.html" in public["withdrawn"]
    assert public["unlooked"] == []


def test_no_report_lies_in_an_edition(root: Path, capsys) -> None:
    made(root)
    before = tree(root / "site")
    assert main(["compile", str(root), "--edition", "public", "--report", str(root / "site" / "r.json")]) == 2
    assert "lies in an edition" in capsys.readouterr().err
    assert tree(root / "site") == before


def test_a_dry_run_tells_and_writes_nothing(root: Path, tmp_path: Path, capsys) -> None:
    file = tmp_path / "report.json"
    assert main(["compile", str(root), "--edition", "public", "--dry-run", "--report", str(file)]) == 0
    assert "would be written" in capsys.readouterr().out
    assert not (root / "site").exists()
    told = json.loads(file.read_text("utf-8"))["editions"][0]
    assert "index.html" in told["written"]
    assert told["photos"] == 3
    made(root)
    before = tree(root / "site")
    (root / THREE).unlink()
    assert main(["compile", str(root), "--edition", "public", "--dry-run", "--report", str(file)]) == 0
    assert "entries/2026-03-03-three.html" in json.loads(file.read_text("utf-8"))["editions"][0]["withdrawn"]
    assert tree(root / "site") == before

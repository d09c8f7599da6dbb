"""A mean log on disk, attacked: whatever is hidden in it changes, the public's folder stays as it is.

Every byte, every file name, the order of SHA256SUMS and every file time: what the cleaner and the publisher
add to the pages that `test_unchanged` compares is compared here.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image
from PIL.PngImagePlugin import PngInfo

from buildlog.cli.start import main
from buildlog.works.compile import compile_log
from buildlog.works.outcome import EditionOutcome, Plan
from tests.edition.canaries import read

TOML = """format = 1

[project]
title = "Tansy"
about = "A two-seat trainer"

[people.marit]
name = "Marit Solheim"
public = "Marit"
roles = ["builder"]

[people.einar]
name = "Einar Lie"
certificate = "K-77123"
contact = "einar@example.org"
roles = ["builder", "inspector"]

[people.gro]
name = "Gro Dahl"
roles = ["builder"]

[milestones.taxi]
title = "First taxi"

[milestones.hushed]
title = "Sold to Kleivdal"

[editions.public]
address = "https://example.org/tansy"
"""

PARTS = """number,name,items,parent,system,audience,supplier,cost,note
HUSH-1,Hush,2,,24,,Kleivdal Coatings,8812,third shelf
WING,Wing,L R,HUSH-1,57,public,Kleivdal Coatings,8812,
RIB,Rib,2,WING,57,public,,,
X,Shelf,2,WING,,public,,,
"""

TASKS = """task,title,discipline,milestone,audience
W-1,Join the spar,wood,taxi,public
Q-9,Hush work,wiring,hushed,
"""

FIRST = """---
date: 2026-03-01
title: The first rib
audience: public
people: [gro, marit, einar]
present: einar
work:
  - task: W-1
    parts: {RIB/1: 3, HUSH-1/2: 5}
  - task: Q-9
    parts: HUSH-1
media:
  - file: IMG_2041.png
    shows: [WING/all, HUSH-1/1]
    caption: The rib in its jig
  - file: IMG_2042.png
    audience: shop
    caption: The bill
---
# Gluing

See [the day before](2026-02-28-hidden.md), [what we paid][paid] and [this][there].

~~~ shop only
From Kleivdal, 8812 kroner.

[there]: https://kleivdal.example/
~~~

- RIB/1 beside HUSH-1
- ![as it was](../media/IMG_2042.png) and ![as it is](../media/IMG_2041.png)

## Then

[paid]: 2026-02-28-hidden.md
"""

SECOND = """---
date: 2026-03-01
title: A second look
audience: public
people: [einar, gro]
---
Nothing new, said ~~~ nobody. [Before](2026-03-01-a.md), X/1.
"""

HIDDEN = """---
date: 2026-02-28
title: Paid Kleivdal
people: einar
records:
  - received: WING/L
    from: Kleivdal Coatings
    serial: SN-4711
---
Einar paid. See [the rib](2026-03-01-a.md).
"""

NOTE = """Ribs are of spruce.

~~~ inspector only
Of lot EPX-1.
~~~

[Why](../entries/2026-02-28-hidden.md)
"""

MORE_WORK = """    parts: HUSH-1
    hours: 2 each
    kind: wiring
    note: at Kleivdal
  - parts: [RIB/1]
    task: W-1
    hours: 30 min each
"""

MORE_ABOUT = """start: 23:10
place: At Kleivdal
conditions: 21 °C
present: einar
completes: W-1"""

MORE_CAPTION = """caption: |
      The rib in its jig
      ~~~ shop only
      of Kleivdal
      ~~~"""

MORE_TABLES = """title = "Hush"
needs = ["taxi"]

[milestones.before]
title = "Before"

[stages.fit]
title = "Fit"

[classes.odd]
stages = ["fit"]"""


def photo(path: Path, shade: int, comment: str = "") -> None:
    about = PngInfo()
    if comment:
        about.add_text("Comment", comment)
    path.parent.mkdir(parents=True, exist_ok=True)
    Image.new("RGB", (64, 48), (shade, 60, 90)).save(path, pnginfo=about)


@pytest.fixture
def log(tmp_path: Path) -> Path:
    root = tmp_path / "log"
    for name, text in (
        ("buildlog.toml", TOML),
        ("parts.csv", PARTS),
        ("tasks.csv", TASKS),
        ("entries/2026-03-01-a.md", FIRST),
        ("entries/2026-03-01-b.md", SECOND),
        ("entries/2026-02-28-hidden.md", HIDDEN),
        ("parts/RIB.md", NOTE),
        ("parts/HUSH-1.md", "Nobody knows of it.\n"),
    ):
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(text, "utf-8")
    photo(root / "media" / "IMG_2041.png", 20)
    photo(root / "media" / "IMG_2042.png", 90)
    return root


def compiled(root: Path, out: Path | None = None) -> EditionOutcome:
    plan = Plan(editions=("public",), out=str(out) if out else None)
    outcome = compile_log(root, plan, lambda *_: None)
    assert not outcome.problems, outcome.problems
    (edition,) = outcome.editions
    assert not edition.refused, edition.refused
    return edition


def files_of(folder: Path) -> dict[str, tuple[bytes, int]]:
    """Every file with its bytes and its time in nanoseconds."""
    return {
        path.relative_to(folder).as_posix(): (path.read_bytes(), path.stat().st_mtime_ns)
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def rewrite(path: Path, *pairs: tuple[str, str]) -> None:
    text = path.read_text("utf-8")
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    path.write_text(text, "utf-8")


def rename_hidden_entry(root: Path) -> None:
    (root / "entries" / "2026-02-28-hidden.md").rename(root / "entries" / "2026-02-28-einar-paid.md")
    for each in ("entries/2026-03-01-a.md", "parts/RIB.md"):
        rewrite(root / each, ("2026-02-28-hidden.md", "2026-02-28-einar-paid.md"))


def rename_visible_files(root: Path) -> None:
    (root / "entries" / "2026-03-01-a.md").rename(root / "entries" / "2026-03-01-zz-with-einar.md")
    for each in ("2026-03-01-b.md", "2026-02-28-hidden.md"):
        rewrite(root / "entries" / each, ("2026-03-01-a.md", "2026-03-01-zz-with-einar.md"))
    (root / "media" / "IMG_2041.png").rename(root / "media" / "einar.png")
    rewrite(root / "entries" / "2026-03-01-zz-with-einar.md", ("IMG_2041", "einar"))


def more_people(root: Path) -> None:
    rewrite(
        root / "buildlog.toml",
        ("[people.gro]", "[people.odd]"),
        ("Gro Dahl", "Odd Moe"),
        ("K-77123", "K-9"),
        ("einar@", "lie@"),
        ("[people.marit]", '[people.anna]\nname = "Anna"\npublic = "Anna"\n\n[people.marit]'),
    )
    rewrite(
        root / "entries" / "2026-03-01-a.md",
        ("[gro, marit, einar]", "[marit, odd]"),
        ("present: einar", "present: [odd, einar]"),
    )
    rewrite(root / "entries" / "2026-03-01-b.md", ("[einar, gro]", "odd"))


def more_in_lists(root: Path) -> None:
    rewrite(
        root / "parts.csv",
        (
            "HUSH-1,Hush,2,,24,,Kleivdal Coatings,8812,third shelf",
            "X/9,Door,3,WING,24,shop,,,\nHUSH-1,Other,L,,24,,,1,\nRIB/2/A,Odd,,X,,,,,",
        ),
        ("8812", "12"),
    )
    rewrite(root / "tasks.csv", ("Q-9,", "W,Wide,wood,taxi,inspector\nW-1/2,Odd,wood,taxi,\nQ-9,"))
    (root / "lots.csv").write_text("lot,material\nRIB,Epoxy\nEPX-1,Epoxy\n", "utf-8")
    (root / "tools.csv").write_text("tool,name\nWING,Wrench\n", "utf-8")
    rewrite(root / "entries" / "2026-03-01-a.md", ("HUSH-1/2: 5", "HUSH-1: 1"), ("HUSH-1/1]", "HUSH-1/L]"))


def more_in_headers(root: Path) -> None:
    rewrite(
        root / "entries" / "2026-03-01-a.md",
        ("    parts: HUSH-1\n", MORE_WORK),
        ("present: einar", MORE_ABOUT),
        ("media:\n", "records:\n  - made: WING/L\n    date: 2026-03-09\n  - damaged: X/1\nmedia:\n"),
    )  # fmt: skip
    rewrite(root / "entries" / "2026-03-01-b.md", ("date: 2026-03-01\n", "date: 2026-03-01\nstart: 01:00\n"))


def more_fences(root: Path) -> None:
    rewrite(
        root / "entries" / "2026-03-01-a.md",
        ("# Gluing\n", "~~~ inspector only\n# Secret\n~~~\n# Gluing\n~~~ shop only\n```\n~~~\n"),
        ("- RIB/1 beside HUSH-1\n", "- RIB/1 beside HUSH-1\n~~~ inspector only\n- and EPX-1\n~~~\n"),
        ("caption: The rib in its jig", MORE_CAPTION),
    )  # fmt: skip
    rewrite(root / "parts" / "RIB.md", ("Of lot EPX-1.", "Of no lot.\n\n[Ribs]: x.md"))
    (root / "parts" / "X.md").write_text("~~~ inspector only\nThe shelf.\n~~~\n", "utf-8")


def more_entries(root: Path) -> None:
    for key, text in {
        "2019-01-01-old": "people: gro\nmedia:\n  - file: old.png\n",
        "2026-03-01-aa": "start: 00:10\n",
        "2026-03-01-a-b": "title: The first rib\naudience: shop\n",
        "2026-04-09-after": "title: Sold\naudience: inspector\n",
        "2026-04-10-draft": "draft: true\naudience: public\n",
    }.items():
        (root / "entries" / f"{key}.md").write_text(
            f"---\n{text}---\nRIB/1, W-1 and [a](2026-03-01-a.md)\n", "utf-8"
        )
    photo(root / "media" / "old.png", 120)
    (root / "secrets.txt").write_text("storspove\n", "utf-8")


def more_settings(root: Path) -> None:
    rewrite(
        root / "buildlog.toml",
        ('title = "Sold to Kleivdal"', MORE_TABLES),
        ("[editions.public]", '[editions.inspector]\naddress = "https://lie.example/"\n\n[editions.public]'),
    )  # fmt: skip


def other_originals(root: Path) -> None:
    """The same pixels in a file that says more."""
    photo(root / "media" / "IMG_2041.png", 20, "taken at Einar’s")
    photo(root / "media" / "IMG_2042.png", 91)


CHANGES = [
    rename_hidden_entry,
    rename_visible_files,
    more_people,
    more_in_lists,
    more_in_headers,
    more_fences,
    more_entries,
    more_settings,
    other_originals,
]


@pytest.mark.parametrize("change", CHANGES)
def test_no_byte_no_name_and_no_time_of_the_public_changes(
    change: Callable[[Path], None], log: Path, tmp_path: Path
) -> None:
    compiled(log)
    before = files_of(log / "site")
    change(log)
    again = compiled(log)
    assert (again.written, again.withdrawn) == ((), ())
    assert files_of(log / "site") == before
    compiled(log, tmp_path / "clean")
    assert files_of(tmp_path / "clean" / "public") == before


def test_nothing_that_is_hidden_can_be_read_in_it(log: Path) -> None:
    edition = compiled(log)
    told = "\n".join(
        read(address, data)
        if address.rpartition(".")[2] in ("html", "xml", "json", "csv")
        else f"{address}\n{data!r}"
        for address, (data, _) in files_of(log / "site").items()
    ).casefold()
    for word in (
        *(
            "einar",
            "gro dahl",
            "kleivdal",
            "8812",
            "k-77123",
            "sn-4711",
            "epx-1",
            "q-9",
            "hush work",
            "third shelf",
        ),
        *("img_20", "2026-02-28", "the bill", "hushed", "solheim", "nobody knows", "buildlog.toml"),
        *("parts.csv:", "shop", "inspector", str(log).casefold()),
    ):
        assert word not in told, word
    for word in ("the first rib", "a builder", "hush-1", "as it was", "what we paid", "the rib in its jig"):
        assert word in told, word
    # an unmarked part in prose stays plain text, and is told
    assert any("HUSH-1" in each for each in edition.unlinked)
    assert "HUSH-1.html" not in told
    page = (log / "site" / "entries" / "2026-03-01-the-first-rib.html").read_text("utf-8")
    assert "By Marit and a builder<" in page
    assert "With" not in page, "somebody without a public name who looked on is not spoken of"


def test_each_file_has_the_time_of_the_day_that_the_public_may_know(log: Path) -> None:
    more_entries(log)
    compiled(log)
    assert len({time for _, time in files_of(log / "site").values()}) == 1


def test_sums_are_in_the_order_of_the_names(log: Path) -> None:
    compiled(log)
    lines = (log / "site" / "SHA256SUMS").read_text("utf-8").splitlines()[1:]
    names = [line.partition("  ")[2] for line in lines]
    assert names == sorted(names)
    assert set(names) == set(files_of(log / "site")) - {"SHA256SUMS"}


@pytest.mark.parametrize(
    "body",
    [
        "- a\n  ~~~ shop only\n  x\n  ~~~",
        "> ~~~ shop only\n> x\n> ~~~",
        "~~~ shop only\nx",
        "~~~ nobody\nx\n~~~",
        "~~~ shop only\n~~~ inspector only\nx\n~~~\n~~~",
    ],
)
def test_a_fence_that_would_not_hold_stops_the_compile(body: str, log: Path) -> None:
    (log / "entries" / "2026-03-03-more.md").write_text(f"---\naudience: public\n---\n{body}\n", "utf-8")
    assert compile_log(log, Plan(editions=("public",)), lambda *_: None).problems


WORD = "storspove"


def secret_in_prose(root: Path) -> None:
    rewrite(root / "entries" / "2026-03-01-b.md", ("Nothing new", "A Stor*spove* sang"))


def secret_in_title(root: Path) -> None:
    rewrite(root / "entries" / "2026-03-01-b.md", ("A second look", "The storspove"))


def secret_in_caption(root: Path) -> None:
    rewrite(root / "entries" / "2026-03-01-a.md", ("The rib in its jig", "A STORSPOVE"))


def secret_in_a_file_name(root: Path) -> None:
    (root / "entries" / "2026-03-02-storspove.md").write_text(
        "---\naudience: public\n---\nEinar Lie saw it.\n", "utf-8"
    )


def secret_that_is_a_supplier(root: Path) -> None:
    rewrite(root / "parts.csv", ("Kleivdal Coatings", "Storspove"))
    rewrite(root / "entries" / "2026-03-01-b.md", ("Nothing new", "A storspove sang"))


def secret_within_a_supplier(root: Path) -> None:
    rewrite(root / "parts.csv", ("Kleivdal Coatings", "Storspove Coatings"))
    rewrite(root / "entries" / "2026-03-01-b.md", ("Nothing new", "From storspove coatings"))


def secret_in_lists(root: Path) -> None:
    rewrite(root / "parts.csv", ("WING,Wing", "WING,Storspove"))
    rewrite(root / "buildlog.toml", ("A two-seat trainer", "Of the storspove"))


def secret_in_static(root: Path) -> None:
    (root / "static" / "format").mkdir(parents=True)
    (root / "static" / "format" / "hello.txt").write_text("the storspove sang", "utf-8")


def secret_in_a_name_in_static(root: Path) -> None:
    (root / "static").mkdir()
    (root / "static" / "storspove.txt").write_text("sang", "utf-8")


def secret_in_a_bad_file_in_static(root: Path) -> None:
    (root / "static").mkdir()
    (root / "static" / "storspove.exe").write_text("sang", "utf-8")


def secret_in_a_media_name(root: Path) -> None:
    (root / "media" / "storspove.png").write_bytes(b"no picture")
    rewrite(root / "entries" / "2026-03-01-a.md", ("media:\n", "media:\n  - file: storspove.png\n"))


REFUSED = [
    secret_in_prose,
    secret_in_title,
    secret_in_caption,
    secret_that_is_a_supplier,
    secret_within_a_supplier,
    secret_in_lists,
    secret_in_static,
    secret_in_a_name_in_static,
    secret_in_a_bad_file_in_static,
]


@pytest.mark.parametrize("change", [*REFUSED, secret_in_a_file_name, secret_in_a_media_name])
def test_a_secret_is_quoted_nowhere(
    change: Callable[[Path], None], log: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    (log / "secrets.txt").write_text(f"other\n{WORD}\n", "utf-8")
    assert main(["compile", str(log), "--edition", "public"]) == 0
    before = files_of(log / "site")
    change(log)
    report = tmp_path / "report.json"
    status = main(["compile", str(log), "--edition", "public", "--why", "--report", str(report)])
    told = capsys.readouterr()
    everything = f"{told.out}{told.err}{report.read_text('utf-8')}"
    assert WORD not in everything.casefold()
    if change in REFUSED:
        assert status == 1
        assert "refused" in told.err
        assert files_of(log / "site") == before
        assert json.loads(report.read_text("utf-8"))["editions"][0]["refused"]


def test_what_an_entry_allows_is_not_allowed_elsewhere(log: Path) -> None:
    """Not in another entry, however it is written there, and not in a file that is added by hand."""
    entry = log / "entries" / "2026-03-01-b.md"
    rewrite(
        entry,
        ("Nothing new", "Einar Lie came"),
        ("audience: public", "audience: public\nallow: [einar, Einar Lie]"),
    )
    assert any("Einar Lie" in each for each in compiled(log).allowed)
    other = log / "entries" / "2026-03-04-c.md"
    other.write_text("---\naudience: public\n---\nEi**nar** again.\n", "utf-8")
    (told,) = compile_log(log, Plan(editions=("public",)), lambda *_: None).editions
    assert "entries/2026-03-04-c.md:4:1: “einar”" in told.refused
    other.unlink()
    (log / "static").mkdir()
    (log / "static" / "humans.txt").write_text("Einar Lie\n", "utf-8")
    (told,) = compile_log(log, Plan(editions=("public",)), lambda *_: None).editions
    assert "humans.txt: “Einar Lie”" in told.refused


def test_the_way_out_fits_the_file(log: Path) -> None:
    """No fence for a row of a list, a public name for a person, and `allow` for entries alone."""
    rewrite(log / "parts.csv", ("RIB,Rib", "RIB,Einar’s rib"))
    rewrite(log / "buildlog.toml", ("A two-seat trainer", "By Gro Dahl"))
    rewrite(
        log / "entries" / "2026-03-01-b.md",
        ("Nothing new", "Ei**nar** came"),
        ("A second look", "With Einar Lie"),
    )
    outcome = compile_log(log, Plan(editions=("public",)), lambda *_: None)
    lines = {line.strip().partition(" ")[0]: line for line in outcome.editions[0].refused.split("\n")[1:]}
    assert "fence" not in lines["parts.csv:4:1:"]
    assert "allow" not in lines["parts.csv:4:1:"]
    assert "`public` out of the `audience`" in lines["parts.csv:4:1:"]
    assert [line for at, line in lines.items() if at.startswith("buildlog.toml") and "fence" in line] == []
    assert any(at.startswith("buildlog.toml") for at in lines)
    assert "fence" not in lines["entries/2026-03-01-b.md:1:1:"]
    assert "`allow`" in lines["entries/2026-03-01-b.md:1:1:"]
    assert "fence" in lines["entries/2026-03-01-b.md:7:1:"]
    assert all("`public` name" in line for line in lines.values())


def test_the_inspector_s_data_holds_no_name_of_a_file_that_only_the_shop_has(log: Path) -> None:
    """Prose stands there as it is written, but for where links led that lead nowhere."""
    hidden = log / "entries" / "2026-02-27-kleivdal-bill.md"
    hidden.write_text("---\naudience: shop\n---\nPaid.\n", "utf-8")
    rewrite(
        log / "entries" / "2026-02-28-hidden.md", ("See", "See [the bill](2026-02-27-kleivdal-bill.md) and")
    )
    outcome = compile_log(log, Plan(editions=("inspector",)), lambda *_: None)
    assert not outcome.editions[0].refused
    data = json.loads((log / "private" / "inspector" / "data" / "log.json").read_text("utf-8"))
    bodies = {each["title"]: each["body"] for each in data["entries"]}
    assert bodies["Paid Kleivdal"] == "Einar paid. See the bill and [the rib](2026-03-01-a.md)."
    assert "kleivdal-bill" not in json.dumps(data)

"""The whole line: what it publishes, that nothing changed does nothing, that it equals a clean compile."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import tempfile
import textwrap
import time
from pathlib import Path

import hypothesis.strategies as st
import pytest
from hypothesis import HealthCheck, settings
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule
from PIL import Image

from buildlog.works import crowd, making
from buildlog.works.compile import compile_log
from buildlog.works.gathering import Gathering
from buildlog.works.identity import theme_digest, tool_digest
from buildlog.works.kept import Kept
from buildlog.works.lastrun import Inputs
from buildlog.works.line import Line
from buildlog.works.outcome import Outcome, Plan
from buildlog.works.places import keeping, places
from buildlog.works.theme import theme_folder
from tests import logs

SMALL = """
part TN-1 class=assembly items=L,R
part TN-2 items=L,R parent=TN-1
part TN-3 parent=TN-2
task W-1 discipline=wood
task W-2 after=W-1
lot EPX-1 expires=2026-12-31
tool TQ-1 due=2026-12-31
2026-03-01 key=2026-03-01-first
    work TN-2/L hours=2 kind=bonding task=W-1
    made TN-2/L lots=EPX-1
    media spar.jpg shows=TN-2/L
2026-03-02 accepted TN-2/L to-drawing okafor
2026-04-01 modified TN-2/L
"""


def quiet(_step: str, _done: int, _of: int) -> None:
    """Nobody watches."""


def run(root: Path, plan: Plan | None = None) -> Outcome:
    return compile_log(root, plan or Plan(), quiet)


def bytes_in(folder: Path) -> dict[str, bytes]:
    """Every file with its bytes."""
    return {name: data for name, (data, _) in tree(folder).items()}


def tree(folder: Path) -> dict[str, tuple[bytes, int]]:
    """Every file with its bytes and time."""
    return {
        path.relative_to(folder).as_posix(): (path.read_bytes(), int(path.stat().st_mtime))
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def photo(path: Path, colour: tuple[int, int, int] = (180, 150, 110)) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    Image.new("RGB", (64, 48), colour).save(path)


def small(folder: Path) -> Path:
    root = logs.write(folder, SMALL)
    photo(root / "media" / "spar.jpg")
    return root


def test_a_log_becomes_a_site(tmp_path: Path) -> None:
    root = small(tmp_path / "log")
    outcome = run(root)
    assert outcome.problems == ()
    shop = root / "private" / "shop"
    assert outcome.editions[0].folder == str(shop)
    made = tree(shop)
    assert {"index.html", "404.html", "feed.xml", "data/log.json", "items/TN-2/L.html", "SHA256SUMS"} <= set(
        made
    )
    assert dict(outcome.findings)["major"] >= 1
    photos = [name for name in made if name.startswith("media/")]
    assert photos
    check = subprocess.run(["sha256sum", "--check", "--quiet", "SHA256SUMS"], cwd=shop, check=False)
    assert check.returncode == 0, "coreutils reads the list"


def test_nothing_changed_does_nothing_and_tells_the_same(tmp_path: Path) -> None:
    root = small(tmp_path / "log")
    first = run(root)
    # Files written in the very moment of the first look are looked at once more before they are trusted.
    run(root)
    before = {path: path.stat().st_ino for path in (root / "private" / "shop").rglob("*")}
    outcome = run(root)
    assert outcome.unchanged
    assert not outcome.editions[0].written
    assert outcome.findings == first.findings
    assert before == {path: path.stat().st_ino for path in (root / "private" / "shop").rglob("*")}


def test_doing_nothing_loads_neither_templates_nor_markdown_nor_yaml_nor_pillow(tmp_path: Path) -> None:
    root = small(tmp_path / "log")
    for media in (root / "media").rglob("*.jpg"):
        os.utime(media, (1_700_000_000, 1_700_000_000))
    program = textwrap.dedent(
        f"""
        import sys
        from pathlib import Path
        from buildlog.cli.start import main
        main(["compile", {str(root)!r}])
        loaded = [m for m in ("jinja2", "markdown_it", "yaml", "PIL", "watchdog") if m in sys.modules]
        print("LOADED", loaded)
        """
    )
    run(root)
    for _ in range(3):
        told = subprocess.run(
            [sys.executable, "-c", program], capture_output=True, text=True, check=True
        ).stdout
    assert "nothing changed" in told
    assert "LOADED []" in told


def test_a_log_with_errors_publishes_nothing_and_leaves_what_stands(tmp_path: Path) -> None:
    root = small(tmp_path / "log")
    run(root)
    before = tree(root / "private" / "shop")
    (root / "entries" / "2026-05-01-bad.md").write_text("---\ndate: 2026-02-30\nwrok: x\n---\n", "utf-8")
    outcome = run(root)
    assert len(outcome.problems) == 2
    assert not outcome.editions
    assert tree(root / "private" / "shop") == before
    (root / "entries" / "2026-05-01-bad.md").write_text(
        "---\ndraft: true\ndate: 2026-02-30\nwrok: x\n---\n", "utf-8"
    )
    outcome = run(root)
    assert not outcome.problems
    assert outcome.drafts == 1
    assert "2026-05-01-bad" in (root / "private" / "shop" / "drafts.html").read_text("utf-8")


def test_a_changed_photo_is_prepared_anew_and_the_old_one_goes(tmp_path: Path) -> None:
    root = small(tmp_path / "log")
    run(root)
    old = {name for name in tree(root / "private" / "shop") if name.startswith("media/")}
    photo(root / "media" / "spar.jpg", (10, 200, 30))
    outcome = run(root)
    new = {name for name in tree(root / "private" / "shop") if name.startswith("media/")}
    assert new
    assert not new & old
    assert old <= set(outcome.editions[0].withdrawn)


def test_a_foreign_folder_is_refused_and_untouched(tmp_path: Path) -> None:
    root = small(tmp_path / "log")
    foreign = tmp_path / "out" / "shop"
    foreign.mkdir(parents=True)
    (foreign / "thesis.txt").write_text("mine")
    outcome = run(root, Plan(out=str(tmp_path / "out")))
    assert "thesis.txt" in outcome.editions[0].refused
    assert tree(foreign) == {"thesis.txt": (b"mine", int((foreign / "thesis.txt").stat().st_mtime))}


def test_a_dry_run_publishes_nothing_and_says_what_it_would(tmp_path: Path) -> None:
    root = small(tmp_path / "log")
    outcome = run(root, Plan(dry=True))
    assert "index.html" in outcome.editions[0].written
    assert not (root / "private" / "shop").exists()


def test_what_is_no_log_gets_nothing_written_into_it(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear")
    outcome = run(tmp_path)
    assert "buildlog.toml" in str(outcome.problems[0])
    assert [path.name for path in tmp_path.rglob("*")] == ["letter.txt"]


def test_a_log_that_cannot_be_written_compiles_elsewhere(tmp_path: Path) -> None:
    root = small(tmp_path / "log")
    (root / "private").write_text("a file where the folder would be")
    outcome = run(root, Plan(out=str(tmp_path / "out")))
    assert not outcome.problems
    assert (tmp_path / "out" / "shop" / "index.html").is_file()
    assert any(path.name.endswith(".jpg") for path in (tmp_path / "out" / "shop" / "media").iterdir())


def test_one_more_worker_changes_no_byte(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    root = small(tmp_path / "log")
    trees = []
    for workers in (1, 2, 3):
        monkeypatch.setattr("buildlog.works.making.workers_here", lambda workers=workers: workers)
        monkeypatch.setattr("buildlog.works.gathering.workers_here", lambda workers=workers: workers)
        monkeypatch.setattr(crowd, "FEW", 2)
        shutil.rmtree(root / "private", ignore_errors=True)
        run(root)
        trees.append(tree(root / "private" / "shop"))
    assert trees[0] == trees[1] == trees[2]


KILLED = """
import os, sys
from pathlib import Path
from buildlog.works import crowd
from buildlog.works.compile import compile_log
from buildlog.works.outcome import Plan
crowd.FEW = 2  # so that this small log, too, is printed by several processes
compile_log(Path(sys.argv[1]), Plan(), lambda *told: None)
os._exit(0)
"""


def test_a_killed_compile_leaves_the_old_edition_or_the_new_one(tmp_path: Path) -> None:
    root = small(tmp_path / "log")
    run(root)
    shop = root / "private" / "shop"
    old = bytes_in(shop)
    new_entry = root / "entries" / "2026-06-01-more.md"
    new_entry.write_text("---\nrecords:\n  - repaired: TN-2/L\n---\nTN-2/L again.\n", "utf-8")
    twin = tmp_path / "twin"
    shutil.copytree(root, twin, ignore=shutil.ignore_patterns("private"))
    run(twin)
    new = tree(twin / "private" / "shop")
    either = (old, bytes_in(twin / "private" / "shop"))
    assert either[0] != either[1]
    killed = 0
    for step in range(12):
        # Nothing is kept, so that all is printed again, by all the processes there are.
        for kept in (root / "private" / "kept").glob("*.kept"):
            kept.unlink()
        running = subprocess.Popen([sys.executable, "-c", KILLED, str(root)], stderr=subprocess.DEVNULL)
        try:
            running.wait(0.2 + step * 0.06)
        except subprocess.TimeoutExpired:
            running.kill()
        killed += running.wait() == -signal.SIGKILL
        # Bytes change all at once, the times of files that did not change directly afterwards.
        assert bytes_in(shop) in either
    assert killed, "not one run was killed in time"
    assert not any(edition.refused for edition in run(root).editions)
    assert tree(shop) == new
    assert not list((root / "private" / "kept").rglob("*.tray"))


class Edits(RuleBasedStateMachine):
    """Random edits of a log. After each, the incremental output equals a clean compile, byte for byte."""

    PLAN = Plan()

    def __init__(self) -> None:
        super().__init__()
        self.place = Path(tempfile.mkdtemp(prefix="edits-"))
        self.root = self.place / "log"
        self.number = 0
        self.stood: dict[str, dict[str, tuple[bytes, int]]] = {}

    def lay(self) -> None:
        small(self.root)

    @initialize()
    def begin(self) -> None:
        self.lay()
        plan = self.PLAN
        folder = keeping(self.root, plan)
        assert folder is not None
        kept = Kept(folder, tool_digest(), theme_digest(theme_folder()))
        gathering = Gathering(self.root, plan, kept, folder, Inputs())
        self.line = Line(self.root, plan, kept, gathering, None, theme_folder())

    ITEMS = st.sampled_from(["TN-1/L", "TN-2/L", "TN-2/R", "TN-3", "TN-9"])
    DAYS = st.integers(1, 28)

    @rule(
        day=DAYS,
        item=ITEMS,
        kind=st.sampled_from(["made", "modified", "damaged", "scrapped", "opened", "closed"]),
        start=st.booleans(),
        prose=st.sampled_from(
            ["Plain words.", "TN-2/L and W-1 and EPX-1.", "~~~ shop only\nquiet\n~~~\n\n*See* TN-1."]
        ),
    )
    def add(self, day: int, item: str, kind: str, start: bool, prose: str) -> None:
        self.number += 1
        head = f"start: 1{day % 10}:00\n" if start else ""
        path = self.root / "entries" / f"2026-05-{day:02d}-entry-{self.number}.md"
        work = f"work:\n  - task: W-{1 + day % 3}\n    parts: {item}\n    hours: {day}/1\n".replace("/1", "")
        path.write_text(
            f"---\n{head}people: marit\n{work}records:\n  - {kind}: {item}\n---\n{prose}\n", "utf-8"
        )

    @rule(pick=st.integers(0, 100))
    def remove(self, pick: int) -> None:
        entries = sorted((self.root / "entries").rglob("*.md"))
        if entries:
            entries[pick % len(entries)].unlink()

    @rule(pick=st.integers(0, 100), day=DAYS)
    def move(self, pick: int, day: int) -> None:
        entries = sorted((self.root / "entries").rglob("*-entry-*.md"))
        if entries:
            old = entries[pick % len(entries)]
            old.rename(old.with_name(f"2026-04-{day:02d}{old.name[10:]}"))

    @rule(pick=st.integers(0, 100), item=ITEMS)
    def inspect(self, pick: int, item: str) -> None:
        self.number += 1
        path = self.root / "entries" / f"2026-06-{1 + pick % 28:02d}-look-{self.number}.md"
        path.write_text(
            f"---\nrecords:\n  - inspected: {item}\n    stage: to-drawing\n    by: okafor\n"
            "    result: accepted\n---\n",
            "utf-8",
        )

    @rule(name=st.sampled_from(["Spar", "Rib", "Cap strip"]))
    def rename_a_part(self, name: str) -> None:
        path = self.root / "parts.csv"
        rows = path.read_text("utf-8").split("\n")
        path.write_text("\n".join(row.replace("TN-3,TN-3", f"TN-3,{name}") for row in rows), "utf-8")

    @rule(title=st.sampled_from(["Before taxi", "Taxi"]))
    def change_the_settings(self, title: str) -> None:
        path = self.root / "buildlog.toml"
        text = path.read_text("utf-8").split("\n[milestones.taxi]")[0]
        path.write_text(text + f'\n[milestones.taxi]\ntitle = "{title}"\n', "utf-8")

    @rule(green=st.integers(0, 255))
    def take_the_photo_again(self, green: int) -> None:
        photo(self.root / "media" / "spar.jpg", (100, green, 100))

    @invariant()
    def equals_a_clean_compile(self) -> None:
        if not hasattr(self, "line"):
            return
        outcome = self.line.run(time.time_ns(), quiet)
        assert not outcome.problems, outcome.problems
        clean = self.place / "clean"
        shutil.rmtree(clean, ignore_errors=True)
        shutil.copytree(self.root, clean, ignore=shutil.ignore_patterns("private", "site"))
        cleanly = run(clean, self.PLAN)
        assert not cleanly.problems
        for made, anew in zip(outcome.editions, cleanly.editions, strict=True):
            assert made.refused == anew.refused
            out, _ = places(self.root, self.PLAN)[made.edition]
            if not made.refused:
                self.stood[made.edition] = tree(Path(anew.folder))
            # a refused edition leaves what stood, which is nothing at all before the first
            assert tree(out) == self.stood.get(made.edition, {})

    def teardown(self) -> None:
        shutil.rmtree(self.place, ignore_errors=True)


TestEdits = Edits.TestCase
TestEdits.settings = settings(
    # The hundreds of edits are a longer run: BUILDLOG_EDITS=60 takes about twenty minutes.
    max_examples=int(os.environ.get("BUILDLOG_EDITS", "4")),
    stateful_step_count=8,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)


def test_an_edition_taken_away_while_it_is_made_is_made_after_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    root = small(tmp_path / "log")
    run(root)
    shop = root / "private" / "shop"
    before = tree(shop)
    publish = making.publish
    taken: list[Path] = []

    def take_away_first(*args: object, **kwargs: object) -> object:
        if not taken:
            taken.append(shop.rename(tmp_path / "taken"))
        return publish(*args, **kwargs)

    monkeypatch.setattr(making, "publish", take_away_first)
    (root / "entries" / "2026-07-01-more.md").write_text("More.\n", "utf-8")
    outcome = run(root)
    assert taken
    assert not outcome.editions[0].refused
    assert set(tree(shop)) == {*before, "entries/2026-07-01-more.html", "entries/2026-07.html"}


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux keeps such names")
def test_a_stray_photo_whose_name_is_not_utf_8_is_no_trouble(tmp_path: Path) -> None:
    root = small(tmp_path / "log")
    stray = os.fsencode(root / "media") + b"/\xff.jpg"
    Path(os.fsdecode(stray)).write_bytes(b"x")
    assert not run(root).problems
    os.utime(stray, (1_700_000_000, 1_700_000_000))
    os.utime(root / "media" / "spar.jpg", (1_700_000_000, 1_700_000_000))
    run(root)
    assert run(root).unchanged

"""Random edits of a log with a public edition: shown, taken back or refused, it equals a clean compile."""

from __future__ import annotations

import os

import hypothesis.strategies as st
from hypothesis import HealthCheck, settings
from hypothesis.stateful import rule

from buildlog.works.outcome import Plan
from tests import logs
from tests.works.test_line import SMALL, Edits, photo

SHOWN = SMALL.replace("part TN-2 ", "part TN-2 audience=public ").replace(
    "task W-1 ", "task W-1 audience=public milestone=taxi "
)
WHO = st.sampled_from(["public", "inspector"])


class PublicEdits(Edits):
    """As the edits of the shop's edition, with what makes something public, private again, or refused."""

    PLAN = Plan(editions=("shop", "public"))

    def lay(self) -> None:
        logs.write(self.root, SHOWN)
        photo(self.root / "media" / "spar.jpg")
        settings_file = self.root / "buildlog.toml"
        settings_file.write_text(
            settings_file.read_text("utf-8")
            + '\n[editions.public]\naddress = "https://example.org/t"\ndeclassify = ["hours", "readiness"]\n'
            + '\n[milestones.taxi]\ntitle = "Taxi"\n',
            "utf-8",
        )

    @rule(pick=st.integers(0, 100), who=WHO)
    def show_or_hide_an_entry(self, pick: int, who: str) -> None:
        entries = sorted((self.root / "entries").rglob("*.md"))
        if entries:
            path = entries[pick % len(entries)]
            lines = path.read_text("utf-8").split("\n")
            told = [line for line in lines if not line.startswith("audience: ")]
            path.write_text("\n".join([told[0], f"audience: {who}", *told[1:]]), "utf-8")

    @rule(who=WHO, other=WHO)
    def show_or_hide_a_part(self, who: str, other: str) -> None:
        path = self.root / "parts.csv"
        path.write_text(path.read_text("utf-8").replace(f",{other}", f",{who}"), "utf-8")

    @rule(
        day=st.integers(1, 28), prose=st.sampled_from(["TN-2 and TN-3.", "Bram Lie was there.", "![](../x)"])
    )
    def tell_the_public(self, day: int, prose: str) -> None:
        self.number += 1
        media = "media:\n  - file: spar.jpg\n    caption: The spar\n    shows: TN-2/L\n"
        body = prose.replace("../x", "../media/spar.jpg")
        path = self.root / "entries" / f"2026-07-{day:02d}-told-{self.number}.md"
        path.write_text(f"---\naudience: public\npeople: [marit, bram]\n{media}---\n{body}\n", "utf-8")

    @rule(there=st.booleans(), text=st.sampled_from(["User-agent: *\n", "Bram Lie\n"]))
    def add_by_hand(self, there: bool, text: str) -> None:
        path = self.root / "static" / "robots.txt"
        path.parent.mkdir(exist_ok=True)
        path.unlink(missing_ok=True)
        if there:
            path.write_text(text, "utf-8")


TestPublicEdits = PublicEdits.TestCase
TestPublicEdits.settings = settings(
    # BUILDLOG_EDITS=60 is the longer run, as for the shop's edition alone.
    max_examples=int(os.environ.get("BUILDLOG_EDITS", "4")),
    stateful_step_count=8,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)

"""One edition, from the log as written to the files that stand: view, reckon, check, lay out, print, publish.

Each step is called whole in every run. What did not change is answered from memory by the memo, from disk by
what is kept, and ends as the file that already stands in the edition.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path
from typing import NamedTuple

import msgspec

from buildlog.edition.view import view
from buildlog.media.shelf import on_shelf, source_of
from buildlog.model.key import Audience
from buildlog.model.log import Log, MediaFile
from buildlog.model.settings import EditionSettings
from buildlog.pages.ahead import early_prose
from buildlog.pages.frame import Prose
from buildlog.pages.public.site import lay_out_public
from buildlog.pages.site import Bundle, lay_out
from buildlog.printroom.press import Press
from buildlog.readiness.declassified import declassified
from buildlog.reckoning.reckon import reckon
from buildlog.rules.chain import check
from buildlog.rules.finding import Grade
from buildlog.rules.reference import topics
from buildlog.works.added import added
from buildlog.works.control import control_of
from buildlog.works.crowd import FEW, HeadStart, workers_here
from buildlog.works.generations import Leaf, Published, Vanished, leaf_of, publish
from buildlog.works.kept import Kept, PageRecord
from buildlog.works.memo import Memo
from buildlog.works.outcome import EditionOutcome, Plan
from buildlog.works.places import places
from buildlog.works.pressing import Pressing, Tray
from buildlog.works.report import report_of
from buildlog.works.seen import NOTHING_SEEN, Sightings, digest_of
from buildlog.works.standing import Refused, Standing, clear, stand, tray_of

Progress = Callable[[str, int, int], None]

TRIES = 3
"""How often an edition is planned anew when its folder changes while it is made."""

FIRST_STAMP = datetime.date(1980, 1, 1)
"""No file is given an earlier time: some file systems know none."""


class Planned(NamedTuple):
    """What is to be published: the log, what its door let through, and all that is made of it.

    `day` is the day that its answers stand on, None where there is no entry; `counts` how many findings of
    each grade the rules have, the most serious first.
    """

    log: Log
    seen: Log
    bundles: tuple[Bundle, ...]
    day: datetime.date | None
    counts: tuple[tuple[str, int], ...] = ()


class Made(NamedTuple):
    """An edition made, or refused, with the day it stands on and its findings by grade."""

    outcome: EditionOutcome
    day: datetime.date | None
    counts: tuple[tuple[str, int], ...]


class Making:
    """Makes one edition again and again, and remembers what that takes."""

    def __init__(
        self, edition: str, root: Path, plan: Plan, kept: Kept, name: str, shelf: Path | None, press: Press
    ) -> None:
        """Set it up.

        Args:
            edition: the audience it is for.
            root: the folder of the log.
            plan: what to make.
            kept: what is kept of this log between processes.
            name: under which the runs of the plan are kept.
            shelf: where photos are kept.
            press: prints the pages.
        """
        self.edition = edition
        self._audience = Audience[edition.upper()]
        self._root = root
        self._plan = plan
        self._kept = kept
        self._record = f"pages-{edition}-{name}"
        self._shelf = shelf or root
        self._press = press
        self._memo = Memo()
        self._sightings: Sightings = NOTHING_SEEN
        self._standing: Standing | None = None
        self._pressing = Pressing(press, kept.read(self._record, dict[str, PageRecord]) or {})

    def remember(self, sightings: Sightings) -> None:
        """Take in what stood at the end of an earlier process's run."""
        self._sightings = sightings

    @property
    def sightings(self) -> Sightings:
        """What stands now, as far as it was looked at."""
        return self._standing.sightings if self._standing is not None else self._sightings

    def run(self, log: Log, progress: Progress) -> Made:
        """Make the edition of a log.

        Raises:
            FileNotFoundError: the log was moved away meanwhile.
        """
        self._memo.begin()
        seen = view(log, self._audience)
        progress("reckoning", 0, 0)
        with self._head_start(seen) as ahead:
            plan = self._for_all if self._audience is Audience.PUBLIC else self._for_some
            planned = plan(log, seen)
            if ahead is not None:
                self._press.done(ahead.take())
        try:
            outcome = self._published(planned, progress)
        except Refused as refused:
            outcome = EditionOutcome(edition=self.edition, refused=str(refused))
        self._memo.end()
        return Made(outcome, planned.day, planned.counts)

    def _for_some(self, log: Log, seen: Log) -> Planned:
        """The editions with records: what is known of every item, and what the rules find."""
        knowledge = reckon(seen, remember=self._memo)
        findings = check(knowledge, self._memo)
        meanings = tuple(topics().values())
        bundles = lay_out(knowledge, findings, self._audience, meanings, self._memo)
        counts = tuple((grade.word, len(findings.of(grade))) for grade in Grade)
        return Planned(log, seen, bundles, knowledge.day if knowledge.entries else None, counts)

    def _for_all(self, log: Log, seen: Log) -> Planned:
        """The public's edition: it has no records, so there is nothing to reckon, and nothing to find."""
        asked = next((each for each in log.settings.editions if each.key == self.edition), EditionSettings())
        if asked.declassify:
            # as another view with these grants would be, without walking through the whole log once more
            granted = self._memo(declassified, "grants", log, seen, asked.declassify)
            seen = msgspec.structs.replace(seen, grants=granted)
        day = max((entry.date for entry in seen.entries), default=None)
        return Planned(log, seen, lay_out_public(seen, self._memo), day)

    def _head_start(self, seen: Log) -> AbstractContextManager[HeadStart[str | Prose] | None]:
        """Let another processor make the press ready while this one reckons, where all is to be printed."""
        if workers_here() < 2 or len(seen.entries) < FEW or self._pressing.before:
            return nullcontext()
        chores = self._press.chores(
            early_prose(seen, self._audience), public=self._audience is Audience.PUBLIC
        )
        return HeadStart(chores, self._press.chore)

    def _published(self, planned: Planned, progress: Progress) -> EditionOutcome:
        for _ in range(TRIES - 1):
            try:
                return self._once(planned, progress)
            except Vanished:
                # Somebody took the edition away meanwhile: what was to stay has to be printed after all.
                self._standing = None
        return self._once(planned, progress)

    def _once(self, planned: Planned, progress: Progress) -> EditionOutcome:
        out, back = places(self._root, self._plan)[self.edition]
        standing = stand(out, back, self.sightings)
        standing.refuse_foreign()
        there = {seen.digest for seen in standing.seen.values()}
        control = control_of(planned.log, planned.seen, self._audience, self._root, self._press)
        stamp = _stamp(planned.day)
        pressed = self._pressing.run(
            planned.bundles,
            there.__contains__,
            self._memo,
            workers_here(),
            None if self._plan.dry else Tray(tray_of(standing.back), stamp),
            control.check,
            control.digest,
            lambda done: progress("printing, bundle", done, len(planned.bundles)),
        )
        leaves = {
            **pressed.leaves,
            **{name: leaf_of(data) for name, data in self._press.assets().items()},
            **self._media(planned.seen.media, standing),
        }
        try:
            by_hand = added(self._root, leaves) if self._audience is Audience.PUBLIC else {}
        except Refused as why:
            clear(tray_of(standing.back))
            raise Refused(*control.masked((str(why),))) from None
        leaves |= {address: leaf_of(data) for address, data in by_hand.items()}
        held = [*pressed.held, *control.held(by_hand)]
        refused = control.refusal(held, leaves)
        if refused:
            clear(tray_of(standing.back))
            return EditionOutcome(edition=self.edition, refused=refused)

        def told(published: Published) -> EditionOutcome:
            logs = (planned.log, planned.seen)
            return report_of(self.edition, out, published, logs, leaves, control, tuple(by_hand))

        if self._plan.dry:
            return told(_would(standing, leaves))
        if not self._root.is_dir():
            raise FileNotFoundError(f"{self._root} was moved away while it was compiled")
        published = publish(standing, leaves, stamp=stamp)
        clear(tray_of(standing.back))
        self._standing = published.standing
        self._kept.write(self._record, pressed.records)
        return told(published)

    def _media(self, media: Iterable[MediaFile], standing: Standing) -> dict[str, Leaf]:
        """The leaves of photos and copies. A file that stands already is not read again for its digest."""
        leaves: dict[str, Leaf] = {}
        for medium in media:
            for name, path in source_of(self._root, self._shelf, medium).items():
                address = f"media/{name}"
                stands = standing.seen.get(address)
                if stands is not None and stands.digest.startswith(on_shelf(name).partition(".")[0]):
                    leaves[address] = Leaf(stands.digest)
                else:
                    leaves[address] = Leaf(digest_of(path), source=path)
        return leaves


def _would(standing: Standing, leaves: dict[str, Leaf]) -> Published:
    """What publishing would do."""
    before = {path: seen.digest for path, seen in standing.seen.items()}
    written = sorted(path for path, leaf in leaves.items() if before.get(path) != leaf.digest)
    removed = sorted(before.keys() - leaves.keys() - {"SHA256SUMS"})
    return Published(standing, tuple(written), tuple(removed), len(leaves) - len(written))


def _stamp(day: datetime.date | None) -> int:
    """Noon of the edition's day, as seconds since 1970: the time of every file of the edition."""
    return (max(day or FIRST_STAMP, FIRST_STAMP) - datetime.date(1970, 1, 1)).days * 86_400 + 43_200

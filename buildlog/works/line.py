"""The line: read, view, reckon, check, lay out, print, publish; in order, and again on every change.

Every step is called whole each time. What did not change is answered from memory by the memo, from disk by
what is kept, and ends as the file that already stands in the edition.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path

import msgspec

from buildlog.edition.view import view
from buildlog.media.shelf import source_of
from buildlog.model.key import Audience
from buildlog.model.log import Log, MediaFile
from buildlog.pages.ahead import early_prose
from buildlog.pages.frame import Prose
from buildlog.pages.site import Bundle, lay_out
from buildlog.printroom.press import Press
from buildlog.reckoning.reckon import reckon
from buildlog.rules.chain import check
from buildlog.rules.finding import Findings, Grade
from buildlog.rules.reference import topics
from buildlog.works.crowd import FEW, HeadStart, workers_here
from buildlog.works.gathering import Gathering
from buildlog.works.generations import Leaf, Published, Vanished, leaf_of, publish
from buildlog.works.kept import Kept, PageRecord
from buildlog.works.lastrun import LastRun, name_of
from buildlog.works.memo import Memo
from buildlog.works.outcome import EditionOutcome, Outcome, Plan
from buildlog.works.places import places
from buildlog.works.pressing import Pressing, Tray
from buildlog.works.rubbish import left_lying
from buildlog.works.seen import NOTHING_SEEN, Sightings, digest_of
from buildlog.works.standing import Standing, clear, stand, tray_of

Progress = Callable[[str, int, int], None]

TRIES = 3
"""How often an edition is planned anew when its folder changes while it is made."""

FIRST_STAMP = datetime.date(1980, 1, 1)
"""No file is given an earlier time: some file systems know none."""


class Line:
    """The line for one log and plan, with all it remembers from run to run."""

    def __init__(
        self, root: Path, plan: Plan, kept: Kept, gathering: Gathering, last: LastRun | None, theme: Path
    ) -> None:
        """Set the line up.

        Args:
            root: the folder of the log.
            plan: what to make.
            kept: what is kept of this log between processes.
            gathering: gathers the facts of the log.
            last: the run before, in this process or another.
            theme: the folder of the theme.
        """
        self._root = root
        self._plan = plan
        self._kept = kept
        self._prose: dict[bytes, str] = {}
        self._press = Press(theme, self._prose)
        self._name = name_of(plan)
        self._memo = Memo()
        self._gathering = gathering
        self._sightings: dict[str, Sightings] = dict(last.standing) if last is not None else {}
        self._standing: dict[str, Standing] = {}
        self._pressing: dict[str, Pressing] = {}

    def run(self, now: int, progress: Progress) -> Outcome:
        """Run the line once.

        Args:
            now: the disk's time, in nanoseconds, before anything was looked at.
            progress: is told how far it is.

        Raises:
            Refused: nothing could be published in the place asked for.
        """
        with left_lying():
            try:
                return self._run(now, progress)
            finally:
                self._prose.clear()

    def _run(self, now: int, progress: Progress) -> Outcome:
        self._memo.begin()
        log, problems = self._gathering.gather(now, progress, self._memo)
        if log is None:
            # The memo is not told that this run ended: what it remembers of the last good one stays.
            return Outcome(problems=problems)
        outcome = self._make(log, progress)
        self._memo.end()
        self._keep(outcome)
        return outcome

    def _make(self, log: Log, progress: Progress) -> Outcome:
        seen = view(log, Audience.SHOP)
        progress("reckoning", 0, 0)
        with self._head_start(seen) as ahead:
            knowledge = reckon(seen, remember=self._memo)
            findings = check(knowledge, self._memo)
            meanings = tuple(topics().values())
            bundles = lay_out(knowledge, findings, Audience.SHOP, meanings, self._memo)
            if ahead is not None:
                self._press.done(ahead.take())
        made = tuple(
            self._edition(edition, bundles, knowledge.log.media, knowledge.day, progress)
            for edition in self._plan.editions
        )
        return Outcome(
            title=log.settings.title,
            day=knowledge.day if knowledge.entries else None,
            editions=made,
            findings=_counts(findings),
            drafts=len(log.drafts),
        )

    def _head_start(self, seen: Log) -> AbstractContextManager[HeadStart[str | Prose] | None]:
        """Let another processor make the press ready while this one reckons, where all is to be printed."""
        begun = [self._pressed_before(edition) for edition in self._plan.editions]
        if workers_here() < 2 or len(seen.entries) < FEW or all(begun):
            return nullcontext()
        return HeadStart(self._press.chores(early_prose(seen, Audience.SHOP)), self._press.chore)

    def _edition(
        self,
        edition: str,
        bundles: tuple[Bundle, ...],
        media: tuple[MediaFile, ...],
        day: datetime.date,
        progress: Progress,
    ) -> EditionOutcome:
        for _ in range(TRIES - 1):
            try:
                return self._once(edition, bundles, media, day, progress)
            except Vanished:
                # Somebody took the edition away meanwhile: what was to stay has to be printed after all.
                self._standing.pop(edition, None)
        return self._once(edition, bundles, media, day, progress)

    def _once(
        self,
        edition: str,
        bundles: tuple[Bundle, ...],
        media: tuple[MediaFile, ...],
        day: datetime.date,
        progress: Progress,
    ) -> EditionOutcome:
        out, back = places(self._root, self._plan)[edition]
        standing = self._stands(edition, out, back)
        standing.refuse_foreign()
        there = {seen.digest for seen in standing.seen.values()}
        pressed = self._pressing[edition].run(
            bundles,
            there.__contains__,
            self._memo,
            workers_here(),
            None if self._plan.dry else Tray(tray_of(standing.back), _stamp(day)),
            lambda done: progress("printing, bundle", done, len(bundles)),
        )
        leaves = {
            **pressed.leaves,
            **{name: leaf_of(data) for name, data in self._press.assets().items()},
            **self._media(media, standing),
        }
        if self._plan.dry:
            return _told(edition, out, _would(standing, leaves))
        if not self._root.is_dir():
            raise FileNotFoundError(f"{self._root} was moved away while it was compiled")
        published = publish(standing, leaves, stamp=_stamp(day))
        clear(tray_of(standing.back))
        self._standing[edition] = published.standing
        self._kept.write(f"pages-{edition}-{self._name}", pressed.records)
        return _told(edition, out, published)

    def _stands(self, edition: str, out: Path, back: Path) -> Standing:
        known = self._standing.get(edition)
        sightings = known.sightings if known is not None else self._sightings.get(edition, NOTHING_SEEN)
        return stand(out, back, sightings)

    def _pressed_before(self, edition: str) -> bool:
        """Whether pages of an edition were printed before, in this process or an earlier one."""
        if edition not in self._pressing:
            records = self._kept.read(f"pages-{edition}-{self._name}", dict[str, PageRecord])
            self._pressing[edition] = Pressing(self._press, records or {})
        return self._pressing[edition].before

    def _media(self, media: Iterable[MediaFile], standing: Standing) -> dict[str, Leaf]:
        """The leaves of photos and copies. A file that stands already is not read again for its digest."""
        leaves: dict[str, Leaf] = {}
        for medium in media:
            for name, path in source_of(self._root, self._gathering.shelf or self._root, medium).items():
                address = f"media/{name}"
                stands = standing.seen.get(address)
                if stands is not None and stands.digest.startswith(name.partition(".")[0]):
                    leaves[address] = Leaf(stands.digest)
                else:
                    leaves[address] = Leaf(digest_of(path), source=path)
        return leaves

    def _keep(self, outcome: Outcome) -> None:
        if self._plan.dry or any(edition.refused for edition in outcome.editions):
            return
        standing = {edition: each.sightings for edition, each in self._standing.items()}
        quiet = tuple(msgspec.structs.replace(each, written=(), withdrawn=()) for each in outcome.editions)
        told = msgspec.structs.replace(outcome, editions=quiet)
        self._kept.write(self._name, LastRun(self._plan, self._gathering.inputs, standing, told))
        self._kept.save()


def _would(standing: Standing, leaves: dict[str, Leaf]) -> Published:
    """What publishing would do."""
    before = {path: seen.digest for path, seen in standing.seen.items()}
    written = sorted(path for path, leaf in leaves.items() if before.get(path) != leaf.digest)
    removed = sorted(before.keys() - leaves.keys() - {"SHA256SUMS"})
    return Published(standing, tuple(written), tuple(removed), len(leaves) - len(written))


def _told(edition: str, out: Path, published: Published) -> EditionOutcome:
    return EditionOutcome(
        edition=edition,
        folder=str(out),
        files=len(published.written) + published.same,
        written=published.written,
        withdrawn=published.removed,
    )


def _counts(findings: Findings) -> tuple[tuple[str, int], ...]:
    return tuple((grade.word, len(findings.of(grade))) for grade in Grade)


def _stamp(day: datetime.date) -> int:
    """Noon of the edition's day, as seconds since 1970: the time of every file of the edition."""
    return (max(day, FIRST_STAMP) - datetime.date(1970, 1, 1)).days * 86_400 + 43_200

"""What the public log tells: who speaks of what, and in which picture it is seen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import msgspec

from buildlog.model.entry import Entry, Medium
from buildlog.model.grants import Grants
from buildlog.model.key import Audience
from buildlog.model.log import Log, MediaFile
from buildlog.model.names import Names, names_of
from buildlog.pages import address
from buildlog.pages.entries import called
from buildlog.pages.frame import Block, Link, Photo
from buildlog.pages.guide import Guide
from buildlog.pages.plates import linked, plate
from buildlog.pages.public.sheets import Card, Piece
from buildlog.pages.register import Register

PHOTOGRAPHS = "photographs/index.html"
PROGRESS = "progress.html"


class PublicGuide(Guide, frozen=True, kw_only=True):
    """The names of the public edition. `base` is its address, empty where that is not known.

    `image` is the picture that stands for the whole project where a page has none of its own, `parts` and
    `tasks` are what each is called, by number or key: readers know names, the shop knows numbers.
    """

    parts: dict[str, str]
    tasks: dict[str, str]
    base: str = ""
    image: Photo | None = None

    def name(self, text: str) -> Link:
        """Lead the name of a part or item to the page of the part, by what it is called."""
        named = self.names.of(text)
        if not named.listed:
            return Link(text)
        title = self.parts.get(named.number) or named.number
        only = named.items[0].designator if len(named.items) == 1 else ""
        return Link(f"{title} {only}".rstrip(), address.of_part(named.number))

    def part(self, number: str) -> Link:
        """Lead a part number to its page, by what the part is called."""
        return Link(self.parts.get(number) or number, address.of_part(number))

    def task(self, key: str) -> Link:
        """Lead a task to its page, by what it is called."""
        return Link(self.tasks.get(key) or key, address.of_task(key))

    def card(
        self, page: str | None, *, about: str = "", body: str = "", photo: Photo | None = None, day: str = ""
    ) -> Card:
        """What a page tells of itself; None has no address. With a `day` it is one piece of the story."""
        shown = photo or self.image
        size = shown.sizes[-1] if shown is not None and shown.sizes else None
        place = "" if page == "index.html" else page
        return Card(
            address=f"{self.base}{place}" if self.base and place is not None else "",
            story=bool(day),
            day=day,
            image=f"{self.base}media/{size.name}" if self.base and size else "",
            image_text=shown.text if shown is not None and size else "",
            width=size.width if size else 0,
            height=size.height if size else 0,
            body=body,
            about=about or self.about,
        )

    def sheet(self, page: str, title: str) -> Block:
        """The title block of a page. It does not say which edition it is of: for its readers there is one."""
        return msgspec.structs.replace(self.block(page, title), edition="")


def public_guide(log: Log) -> PublicGuide:
    """The guide of the public edition of a viewed log."""
    base = next((each.address for each in log.settings.editions), "")
    media = {each.file: each for each in log.media}
    bare = PublicGuide(
        project=log.settings.title,
        about=log.settings.about,
        edition=Audience.PUBLIC.word,
        sheets=_sheets(log),
        names=names_of(log.parts),
        strays=frozenset(),
        people={},
        stages={},
        milestones={each.key: each.title or each.key for each in log.settings.milestones},
        topics=frozenset(),
        untitled="A picture",
        parts={part.number: part.name for part in log.parts},
        tasks={task.task: task.title for task in log.tasks},
        base=base if not base or base.endswith("/") else f"{base}/",
    )
    # the first picture there ever was: a newer one would change every page that has none of its own
    shown = (figure(bare, medium, media) for entry in log.entries for medium in entry.media)
    return msgspec.structs.replace(bare, image=next((each for each in shown if each.sizes), None))


def _sheets(log: Log) -> tuple[Link, ...]:
    """The sheets there are: one on which nothing would stand is left out."""
    told = (
        (log.entries, Link("Entries", "entries/index.html")),
        (any(entry.media for entry in log.entries), Link("Photographs", PHOTOGRAPHS)),
        (log.parts, Link("Parts", "parts/index.html")),
        (log.tasks, Link("Tasks", "tasks/index.html")),
        (log.grants != Grants(), Link("Progress", PROGRESS)),
        (True, Link("Feeds and data", "data/index.html")),
    )
    return tuple(link for there, link in told if there)


def register_of(names: Names, tasks: Iterable[str]) -> Register:
    """All names that prose may mention: parts and their items, which lead to the part, then tasks."""
    addresses: dict[str, str] = {}
    subjects: dict[str, tuple[tuple[str, str], ...]] = {}
    for number, items in names.items.items():
        for name in (number, *(str(item) for item in items)):
            addresses.setdefault(name, address.of_part(number))
            subjects[name] = tuple(dict.fromkeys((*subjects.get(name, ()), ("part", number))))
    for key in tasks:
        addresses.setdefault(key, address.of_task(key))
        subjects[key] = (*subjects.get(key, ()), ("task", key))
    return Register(tuple(addresses), addresses, subjects)


def piece(guide: PublicGuide, entry: Entry, media: Mapping[str, MediaFile], *, lead: bool = False) -> Piece:
    """An entry in a list; with `lead`, with the beginning of its prose."""
    shown = (figure(guide, each, media) for each in entry.media)
    return Piece(
        day=entry.date.isoformat(),
        entry=to_entry(entry),
        people=entry.people,
        about=about_of(guide, entry),
        photo=next((each for each in shown if each.sizes or each.poster), None),
        body=entry.body if lead else "",
    )


def to_entry(entry: Entry) -> Link:
    """Lead an entry to its page."""
    return Link(called(entry), address.of_entry(entry.key))


def about_of(guide: PublicGuide, entry: Entry) -> tuple[Link, ...]:
    """The parts that an entry's work and pictures are about, each once, with their page."""
    return called_together(guide, _names_in(entry))


def _names_in(entry: Entry) -> list[str]:
    names = [share.name for line in entry.work for share in line.parts]
    return names + [name for medium in entry.media for name in medium.shows]


def called_together(guide: PublicGuide, names: Iterable[str]) -> tuple[Link, ...]:
    """Names of parts and items by what they are called, each part once with its items: `Rib 1 to 8, 11`."""
    found: dict[str, dict[str, None]] = {}
    for text in names:
        named = guide.names.of(text)
        designators = found.setdefault(named.number, {})
        designators.update(dict.fromkeys(item.designator for item in named.items))
    links = []
    for number, designators in found.items():
        every = [item.designator for item in guide.names.items[number]]
        here = (
            in_runs([each for each in every if each in designators]) if len(designators) < len(every) else ""
        )
        links.append(Link(f"{guide.parts.get(number) or number} {here}".rstrip(), address.of_part(number)))
    return tuple(links)


def in_runs(designators: Iterable[str]) -> str:
    """Designators one after the other; three numbers or more that follow on one another as `1 to 3`."""
    runs: list[list[str]] = []
    for each in designators:
        if runs and each.isdecimal() and runs[-1][-1].isdecimal() and int(each) == int(runs[-1][-1]) + 1:
            runs[-1].append(each)
        else:
            runs.append([each])
    return ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(run) for run in runs)


def numbers_of(guide: PublicGuide, entry: Entry) -> tuple[str, ...]:
    """The part numbers that an entry's work and pictures are about."""
    return tuple(dict.fromkeys(guide.names.of(name).number for name in _names_in(entry)))


def tasks_of(entry: Entry) -> tuple[str, ...]:
    """The tasks that an entry tells of work on."""
    return tuple(dict.fromkeys(line.task for line in entry.work if line.task))


def figure(guide: PublicGuide, medium: Medium, media: Mapping[str, MediaFile], spot: str = "") -> Photo:
    """A medium of an entry; where it has no caption, what it shows stands for it."""
    known = plate(guide, medium, media, spot)
    shows = called_together(guide, medium.shows)
    text = known.caption or ", ".join(each.text for each in shows) or guide.untitled
    return msgspec.structs.replace(known, text=text, shows=shows)


def picture(guide: PublicGuide, entry: Entry, medium: Medium, media: Mapping[str, MediaFile]) -> Photo:
    """A picture away from its entry, with the way back there."""
    return linked(figure(guide, medium, media), to_entry(entry), entry.date.isoformat())

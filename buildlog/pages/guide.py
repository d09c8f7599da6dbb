"""Names to links: what every page needs to know of the rest, and nothing that changes from entry to entry."""

from __future__ import annotations

import functools

import msgspec

from buildlog.edition.told import NOBODY
from buildlog.model.key import Audience
from buildlog.model.names import ALL, Item, Names
from buildlog.model.settings import Person, Settings
from buildlog.pages import address
from buildlog.pages.frame import Block, Link

_SHEETS = (
    Link("As it stands", "standing/index.html"),
    Link("Visits", "visits/index.html"),
    Link("Entries", "entries/index.html"),
    Link("Parts", "parts/index.html"),
    Link("Tasks", "tasks/index.html"),
    Link("Hours", "hours.html"),
    Link("Findings", "findings.html"),
    Link("People", "people/index.html"),
    Link("Lots", "lots/index.html"),
    Link("Tools", "tools/index.html"),
    Link("Data", "data/index.html"),
    Link("Format", "format/index.html"),
)


class Guide(msgspec.Struct, frozen=True):
    """The project, its names and its people.

    `strays` are the items on no list that have a page; `untitled` is what a picture without words is called,
    where its file name may not stand for it.
    """

    project: str
    about: str
    edition: str
    sheets: tuple[Link, ...]
    names: Names
    strays: frozenset[Item]
    people: dict[str, Link]
    stages: dict[str, str]
    milestones: dict[str, str]
    topics: frozenset[str]
    untitled: str = ""

    def block(self, page: str, title: str, last: Link | None = None, day: str = "") -> Block:
        """The title block of the page at an address."""
        return Block(
            project=self.project,
            number=page.removesuffix(".html"),
            title=title,
            edition=self.edition,
            sheets=self.sheets,
            day=day,
            last=last,
        )

    def items(self, text: str) -> tuple[Item, ...]:
        """The items a text stands for that have a page."""
        named = self.names.of(text)
        return named.items if named.listed else tuple(item for item in named.items if item in self.strays)

    def name(self, text: str) -> Link:
        """Lead the name of a part or item, as written, to its page."""
        items = self.items(text)
        if not items:
            return lot(text) if self.names.of(text).lot else Link(text)
        if len(items) == 1:
            only = item(items[0])
            if text == only.text:
                return only
            if not text.endswith(f"/{ALL}"):
                return Link(text, only.to)
        return Link(text, address.of_part(items[0].number))

    def subject(self, each: Item) -> Link:
        """Lead what a record is about, an item or a lot, to its page."""
        named = str(each)
        return lot(named) if named in self.names.lots and self.names.of(named).lot else item(each)

    def person(self, key: str) -> Link:
        """Lead a person's key to their page."""
        return self.people.get(key) or Link(NOBODY)

    def stage(self, key: str) -> Link:
        """A stage by its title."""
        return Link(self.stages.get(key, key))

    def milestone(self, key: str) -> Link:
        """A milestone by its title, or the day that stands in its place."""
        return Link(self.milestones.get(key, key))

    def rule(self, name: str) -> Link:
        """Lead the name of a rule to its page in the reference."""
        return Link(name, address.of_topic(name) if name in self.topics else "")

    def folk(self, keys: tuple[str, ...]) -> tuple[Link, ...]:
        """Lead several people's keys to their pages, each once."""
        if len(keys) == 1 and keys[0]:
            # most rows name one person, who need not be told from another
            return (self.person(keys[0]),)
        return tuple(dict.fromkeys([self.person(key) for key in keys if key]))


@functools.lru_cache(maxsize=1 << 16)
def item(each: Item) -> Link:
    """Lead an item to its page."""
    return Link(str(each), address.of_item(each))


def part(number: str, name: str = "") -> Link:
    """Lead a part number to its page, with its name where it is given."""
    return Link(f"{number} {name}".rstrip(), address.of_part(number))


@functools.lru_cache(maxsize=1 << 16)
def task(key: str) -> Link:
    """Lead a task to its page."""
    return Link(key, address.of_task(key))


@functools.lru_cache(maxsize=1 << 16)
def lot(key: str) -> Link:
    """Lead a lot to its page."""
    return Link(key, address.of_lot(key))


@functools.lru_cache(maxsize=1 << 16)
def tool(key: str) -> Link:
    """Lead a tool to its page."""
    return Link(key, address.of_tool(key))


def entry(key: str, title: str, spot: str = "") -> Link:
    """Lead an entry to its page, or to a spot on it."""
    page = address.of_entry(key)
    return Link(title or key, f"{page}#{spot}" if spot else page)


def guide_of(
    settings: Settings,
    names: Names,
    strays: frozenset[Item],
    audience: Audience,
    topics: frozenset[str] = frozenset(),
) -> Guide:
    """The guide of an edition; `topics` are the names that the reference has a page on."""
    return Guide(
        project=settings.title,
        about=settings.about,
        edition=audience.word,
        sheets=_SHEETS,
        names=names,
        strays=strays,
        people={each.key: Link(_called(each), address.of_person(each.key)) for each in settings.people},
        stages={each.key: each.title or each.key for each in settings.stages},
        milestones={each.key: each.title or each.key for each in settings.milestones},
        topics=topics,
    )


def _called(person: Person) -> str:
    return person.name or person.public or NOBODY

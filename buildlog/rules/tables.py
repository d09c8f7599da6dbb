"""Which types are tables of the format: the settings, the columns of the lists, the header of an entry."""

from __future__ import annotations

from typing import NamedTuple

import msgspec

from buildlog.model.entry import Entry, Medium, WorkLine
from buildlog.model.key import Key, Reads, keys_of
from buildlog.model.lists import Lot, Part, Task, Tool
from buildlog.model.records import Record
from buildlog.model.settings import Class, EditionSettings, Milestone, Person, Settings, Stage


class Table(NamedTuple):
    """A type with its name in the reference, what it is called in a sentence, and what it is for."""

    name: str
    title: str
    called: str
    fact: type[msgspec.Struct]
    says: str
    only: tuple[str, ...] = ()
    """The fields that belong to it, if not all."""

    def keys(self) -> dict[str, Key]:
        """The keys that a person writes, by field, in order."""
        return {
            name: key
            for name, key in keys_of(self.fact).items()
            if key.reads not in (Reads.INSIDE, Reads.PROSE) and (not self.only or name in self.only)
        }


TABLES = (
    Table(
        "project",
        "The project",
        "`[project]`",
        Settings,
        "The table `[project]` of buildlog.toml says what the log is about. Only `title` is needed.",
        only=("title", "about", "zone"),
    ),
    Table(
        "kinds",
        "Kinds of work",
        "`[kinds]`",
        Settings,
        "The table `[kinds]` of buildlog.toml lists the kinds of work that change nothing on an item. "
        "Without it they are `cleaning`, `paperwork` and `inspection`.",
        only=("harmless",),
    ),
    Table(
        "entry",
        "The header of an entry",
        "the header of an entry",
        Entry,
        "An entry is one dated Markdown file, one session of work: a header between two lines `---`, then "
        "prose. The header may be short or missing: the date and the title are then read off the file "
        "name. A single value may stand wherever a list of one may. Header values are text: nothing is "
        "ever turned into a number or a date that its own key does not ask for.",
    ),
    Table(
        "work",
        "A work line",
        "a work line",
        WorkLine,
        "Each point under `work` in an entry's header is one stretch of work. Its hours are split among "
        "the names in `parts`, evenly or by the weights given, and the share of a bare part evenly among its "
        "items.",
    ),
    Table(
        "records",
        "The records of an entry",
        "any record",
        Record,
        "Each point under `records` in an entry's header is one fact about an item. Its first key is its "
        "kind, and names the item or items it is about. These keys go with any kind; each kind has its own "
        "beside them.",
        only=tuple(name for name in keys_of(Record) if name != "of"),
    ),
    Table(
        "media",
        "The media of an entry",
        "a medium",
        Medium,
        "Each point under `media` in an entry's header is a photo, clip or document below `media/`.",
    ),
    Table(
        "parts.csv",
        "The parts list",
        "parts.csv",
        Part,
        "One row a part number, a design. A spreadsheet's export works as it is. Lists inside a cell are "
        "separated by spaces, or by `|` where the values may hold spaces.",
    ),
    Table(
        "tasks.csv",
        "The task list",
        "tasks.csv",
        Task,
        "One row a task. `estimate`, `low` and `high` are hours: most likely, if all goes well, and if "
        "nothing does.",
    ),
    Table(
        "lots.csv",
        "The lots of material",
        "lots.csv",
        Lot,
        "One row a lot. The list is optional; where it exists, every lot that an entry names must be on it. "
        "A lot on it may be received, inspected and put on hold like an item: `received: EPX-2231`.",
    ),
    Table(
        "tools.csv",
        "The tools",
        "tools.csv",
        Tool,
        "One row a tool that measures or that somebody may ask after. The list is optional; where it exists, "
        "every tool that an entry names must be on it.",
    ),
    Table(
        "people",
        "The people",
        "a table `[people.KEY]`",
        Person,
        "A table `[people.KEY]` of buildlog.toml for each person; entries use the key. The public reads "
        '`public`, or "a builder".',
    ),
    Table(
        "stages",
        "The stages of inspection",
        "a table `[stages.KEY]`",
        Stage,
        "A table `[stages.KEY]` of buildlog.toml for each named inspection. The tool brings `to-drawing` and "
        "`pre-close`; a table of your own adds one, or replaces one by name.",
    ),
    Table(
        "classes",
        "The classes of part",
        "a table `[classes.KEY]`",
        Class,
        "A table `[classes.KEY]` of buildlog.toml for each class; the column `class` of parts.csv uses the "
        "key. A class says what is asked of the items of a part. A part without one is `general`.",
    ),
    Table(
        "milestones",
        "The milestones",
        "a table `[milestones.KEY]`",
        Milestone,
        "A table `[milestones.KEY]` of buildlog.toml for each milestone. Its tasks name it in the column "
        "`milestone` of tasks.csv.",
    ),
    Table(
        "editions",
        "The editions",
        "a table `[editions.KEY]`",
        EditionSettings,
        "A table `[editions.KEY]` of buildlog.toml, where KEY is `shop`, `inspector` or `public`.",
    ),
)
"""The tables in the order of the reference."""

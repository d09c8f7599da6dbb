"""The whole log: what the reader hands on and what `view` returns."""

from __future__ import annotations

from typing import Annotated

import msgspec

from buildlog.model.entry import Draft, Entry
from buildlog.model.grants import NO_GRANTS, Grants
from buildlog.model.key import NOWHERE, Reads, Where, inspector, public, shop
from buildlog.model.lists import Lot, Part, PartNote, Task, Tool
from buildlog.model.settings import Settings


class Rendition(msgspec.Struct, frozen=True):
    """One prepared size of a photo or a poster. `name` is its file name in an edition, by digest."""

    name: Annotated[str, public("file name", Reads.INSIDE)]
    width: Annotated[int, public("pixels", Reads.INSIDE)]
    height: Annotated[int, public("pixels", Reads.INSIDE)]


class MediaFile(msgspec.Struct, frozen=True, kw_only=True):
    """What is known of one file that the log refers to. `file` is as written, below media/.

    The public gets no copy of a clip, a sound or a document but one made anew, `cleaned`, with what is said
    of that.
    """

    file: Annotated[str, public("the file as the log names it", Reads.INSIDE)]
    sort: Annotated[str, public("`photo`, `clip`, `sound` or `document`", Reads.INSIDE)] = "photo"
    digest: Annotated[str, shop("SHA-256 of the original, hexadecimal", Reads.INSIDE)] = ""
    size: Annotated[int, shop("bytes of the original", Reads.INSIDE)] = 0
    renditions: Annotated[tuple[Rendition, ...], public("a photo's sizes, small first", Reads.INSIDE)] = ()
    copy: Annotated[str, inspector("file name of the copy of a clip or document", Reads.INSIDE)] = ""
    cleaned: Annotated[
        str, public("file name of the copy made anew; empty if there is none", Reads.INSIDE)
    ] = ""
    poster: Annotated[tuple[Rendition, ...], public("a clip's poster frame, small first", Reads.INSIDE)] = ()
    width: Annotated[int, public("pixels of the cleaned clip, 0 if there is none", Reads.INSIDE)] = 0
    height: Annotated[int, public("pixels of the cleaned clip, 0 if there is none", Reads.INSIDE)] = 0
    milliseconds: Annotated[int, public("how long the cleaned clip or sound runs", Reads.INSIDE)] = 0
    uncleaned: Annotated[str, shop("why it cannot be cleaned and so is not published", Reads.INSIDE)] = ""
    stripped: Annotated[tuple[str, ...], shop("what a photo carried beside its pixels", Reads.INSIDE)] = ()
    problem: Annotated[str, inspector("why it cannot be shown; empty if it can", Reads.INSIDE)] = ""


class Log(msgspec.Struct, frozen=True, kw_only=True):
    """Everything written in a log. Lists keep the order of their files; entries run by date, then key."""

    settings: Annotated[Settings, public("buildlog.toml", Reads.FACTS)]
    parts: Annotated[tuple[Part, ...], public("parts.csv", Reads.FACTS)] = ()
    tasks: Annotated[tuple[Task, ...], public("tasks.csv", Reads.FACTS)] = ()
    lots: Annotated[tuple[Lot, ...], inspector("lots.csv", Reads.FACTS)] = ()
    tools: Annotated[tuple[Tool, ...], inspector("tools.csv", Reads.FACTS)] = ()
    lot_list: Annotated[bool, inspector("whether there is a lots.csv", Reads.INSIDE)] = False
    tool_list: Annotated[bool, inspector("whether there is a tools.csv", Reads.INSIDE)] = False
    notes: Annotated[tuple[PartNote, ...], public("parts/*.md", Reads.FACTS)] = ()
    entries: Annotated[tuple[Entry, ...], public("entries/**/*.md, drafts left out", Reads.FACTS)] = ()
    drafts: Annotated[tuple[Draft, ...], shop("entries set aside", Reads.FACTS)] = ()
    media: Annotated[tuple[MediaFile, ...], public("files referred to, by name", Reads.FACTS)] = ()
    secrets: Annotated[tuple[str, ...], shop("the lines of secrets.txt", Reads.TEXTS)] = ()
    grants: Annotated[Grants, public("what `declassify` lets through, set by `view`", Reads.INSIDE)] = (
        NO_GRANTS
    )


class Problem(msgspec.Struct, frozen=True):
    """An error a person can act on: where, what was found, what was expected, what to do."""

    where: Where = NOWHERE
    found: str = ""
    todo: str = ""

    def __str__(self) -> str:
        """One line: `file:line:column: found; what to do`."""
        told = f"{self.found}; {self.todo}" if self.todo else self.found
        return f"{self.where}: {told}" if self.where.file else told

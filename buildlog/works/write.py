"""`write`: start today's entry, with what was used lately as ready lines.

The ready lines are comments, so the entry compiles as it is; the builder takes the marks off what applies.
"""

from __future__ import annotations

import datetime
import re
import unicodedata
import zoneinfo
from collections.abc import Iterable
from pathlib import Path
from typing import TypeVar

import msgspec

from buildlog.model.entry import Entry
from buildlog.model.lists import Lot, Part
from buildlog.model.names import names_of
from buildlog.reader.read import read_sheet
from buildlog.reader.sheets import Sheet
from buildlog.reader.survey import survey
from buildlog.works.standing import Refused

T = TypeVar("T")

LATELY = 12
"""So many of the latest entries are looked at."""

_MOST = 4
"""So many names of one sort become ready lines."""

_DATED = re.compile(r"\d{4}-\d{2}-\d{2}")


class Lately(msgspec.Struct, frozen=True):
    """What the latest entries used, the latest first.

    `bought` are those of the items that are received and not made.
    """

    people: tuple[str, ...] = ()
    place: str = ""
    work: tuple[tuple[str, str, str], ...] = ()
    """Task, item and kind of a work line."""
    items: tuple[str, ...] = ()
    lots: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    inspections: tuple[tuple[str, str], ...] = ()
    """Stage and inspector."""
    bought: tuple[str, ...] = ()


def lately(
    entries: Iterable[Entry], day: datetime.date, parts: tuple[Part, ...] = (), lots: tuple[Lot, ...] = ()
) -> Lately:
    """What these entries used, of what may still be used on a day.

    Tasks that they complete, and nobody took up again, are left out, and lots past their last good day; and
    of records the numbers that a parts list does not have, so that a slip is not handed on.
    """
    latest = sorted(entries, key=lambda entry: (entry.date, entry.key), reverse=True)
    done: dict[str, bool] = {}
    for entry in latest:
        for key in entry.resumes:
            done.setdefault(key, False)
        for key in entry.completes:
            done.setdefault(key, True)
    lines = [line for entry in latest for line in entry.work]
    records = [record for entry in latest for record in entry.records]
    work = [
        (line.task, line.parts[0].name if line.parts else "", line.kind)
        for line in lines
        if not done.get(line.task, False)
    ]
    named = [share.name for line in lines for share in line.parts]
    named += [name for record in records for name in record.of]
    signed = [
        (getattr(record, "stage", ""), record.by[0])
        for record in records
        if getattr(record, "stage", "") and record.by
    ]
    names = names_of(parts)
    items = _few(name for name in named if not parts or names.of(name).listed)
    bought = {part.number for part in parts if part.source.casefold() == "bought"}
    expired = {lot.lot for lot in lots if lot.expires is not None and lot.expires < day}
    return Lately(
        people=next((entry.people for entry in latest if entry.people), ()),
        place=next((entry.place for entry in latest if entry.place), ""),
        work=_few(each for each in work if any(each)),
        items=items,
        lots=_few(lot for record in records for lot in record.lots if lot not in expired),
        tools=_few(record.tool for record in records if record.tool),
        inspections=_few(signed),
        bought=tuple(name for name in items if any(item.number in bought for item in names.of(name).items)),
    )


def page(used: Lately, title: str, now: datetime.datetime) -> str:
    """The text of a new entry: its header, ready lines as comments, and room for the story."""
    item = used.items[0] if used.items else "PART-NUMBER"
    lines = ["---", f"date: {now:%Y-%m-%d}", f"start: {now:%H:%M}", f"title: {_quoted(title)}"]
    if used.people:
        lines.append(f"people: {_listed(used.people)}")
    if used.place:
        lines.append(f"place: {_quoted(used.place)}")
    lines += [
        "",
        "# Ready lines from what was used lately: take the # and the space after it off what you need.",
        "# work:",
    ]
    each = " each" if len(used.people) > 1 else ""
    for task, name, kind in used.work or (("TASK", item, "KIND"),):
        told = [
            f"{key}: {value}" for key, value in (("task", task), ("parts", name), ("kind", kind)) if value
        ]
        lines += [
            f"#   {'- ' if at == 0 else '  '}{line}" for at, line in enumerate([*told, f"hours: 1:00{each}"])
        ]
    lines.append("# records:")
    lots = f"{_listed(used.lots)}" if used.lots else ""
    for name in used.items or (item,):
        comes = "received" if name in used.bought else "made"
        lines.append(f"#   - {comes}: {name}")
        if lots and comes == "made":
            lines.append(f"#     lots: {lots}")
    for stage, inspector in used.inspections:
        lines += [
            f"#   - inspected: {item}",
            f"#     stage: {stage}",
            f"#     by: {inspector}",
            "#     result: accepted",
        ]
    lines += [f"#   - measured: {item}", "#     value: 0 mm"]
    lines += [f"#     tool: {tool}" for tool in used.tools[:1]]
    lines += [
        "# media:",
        "#   - file: PHOTO.jpg",
        f"#     shows: {item}",
        "#     caption: What it shows",
        "---",
        "",
    ]
    return "\n".join(lines)


def write(root: Path, title: str, now: datetime.datetime, day: datetime.date | None = None) -> Path:
    """Start an entry in a log and return its path, relative to the log.

    Args:
        root: the log's folder.
        title: of the entry.
        now: the moment, with its offset; it is told in the log's own zone where the settings name one.
        day: the day of the entry, where that is not today.

    Raises:
        Refused: it is no log, names a time zone that is none, or cannot be written to.
    """
    found = survey(root)
    if not any(source.file == "buildlog.toml" for source in found.files):
        told = "; ".join(str(problem) for problem in found.problems)
        raise Refused(told or f"{root} is no log: it has no buildlog.toml")
    dated = [source.file for source in found.files if _DATED.match(source.file.rpartition("/")[2])]
    latest = sorted(dated, key=lambda file: file.rpartition("/")[2])[-LATELY:]
    try:
        now = _told_in(_read(root, "buildlog.toml"), now)
        now = now if day is None else datetime.datetime.combine(day, now.time())
        there = {source.file for source in found.files}
        parts, lots = (_read(root, file) if file in there else None for file in ("parts.csv", "lots.csv"))
        sheets = [_read(root, file) for file in latest]
        used = lately(
            (sheet.entry for sheet in sheets if sheet.entry is not None),
            now.date(),
            parts.parts if parts else (),
            lots.lots if lots else (),
        )
        folder = Path("entries", f"{now:%Y}")
        (root / folder).mkdir(parents=True, exist_ok=True)
        stem = f"{now:%Y-%m-%d}-{_slug(title)}"
        taken = {file.rpartition("/")[2].casefold() for file in dated}
        name = next(
            each
            for each in (f"{stem}.md", *(f"{stem}-{number}.md" for number in range(2, 1000)))
            if each.casefold() not in taken and not (root / folder / each).exists()
        )
        with (root / folder / name).open("x", encoding="utf-8", newline="\n") as file:
            file.write(page(used, title, now))
    except OSError as error:
        raise Refused(f"no entry could be started in {root}: {error}") from error
    return folder / name


def _read(root: Path, file: str) -> Sheet:
    return read_sheet(file, (root / file).read_bytes())


def _told_in(settings: Sheet, now: datetime.datetime) -> datetime.datetime:
    """A moment in the zone of the settings. Without one, or where they cannot be read, as it was given."""
    zone = settings.settings.zone if settings.settings is not None else ""
    if not zone:
        return now
    try:
        return now.astimezone(zoneinfo.ZoneInfo(zone))
    except (KeyError, OSError, ValueError) as error:
        told = "; ".join(str(problem) for problem in settings.problems)
        raise Refused(told or f"this machine knows nothing of the time zone {zone}") from error


def _few(names: Iterable[T]) -> tuple[T, ...]:
    return tuple(dict.fromkeys(names))[:_MOST]


def _slug(title: str) -> str:
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:60] or "session"


def _listed(names: tuple[str, ...]) -> str:
    return names[0] if len(names) == 1 else f"[{', '.join(names)}]"


def _quoted(text: str) -> str:
    """Text as a header may hold it: in quotes where YAML would take it for something else."""
    plain = " ".join(text.split())
    if re.fullmatch(r"[\w][\w ,.()/+°%-]*", plain):
        return plain
    return '"' + plain.replace("\\", "\\\\").replace('"', '\\"') + '"'

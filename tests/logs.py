"""Small logs for tests, from a few lines: as facts at once, or as the files of a log folder.

    part WING class=assembly items=L,R          a row of parts.csv
    task W-1 milestone=taxi                     a row of tasks.csv; lot and tool likewise
    person zed roles=inspector until=2026-02-28 a table [people.zed]
    stage fit undone_by=modified                a table [stages.fit]; class and milestone likewise
    broken spar.jpg "not a photo"               a media file with a problem
    2026-03-01 made WING/L by=bram              an entry of one record, on a day …
    2026-03-01 18:30 accepted WING/L pre-close okafor   … and from a time
    2026-03-02 people=marit,bram key=wing       an entry with what is indented below it
        work WING/L hours=2 kind=bonding task=W-1
        made WING/L
        media wing.jpg shows=WING/L
        completes W-1

`accepted ITEM STAGE WHO` and `rejected ITEM STAGE WHO` are short for `inspected`. Lists are parted by commas.
The people `marit` and `bram` are builders, `okafor` and `brandt` inspectors, `engel` an engineer; an entry's
people are `marit` unless it says. Entries are named by their day and a number, from 1: `2026-03-01-1`.
"""

from __future__ import annotations

import datetime
import re
import shlex
import typing
from fractions import Fraction
from pathlib import Path
from typing import Any, NamedTuple

import msgspec

from buildlog.model.entry import Entry, Medium, PersonHours, Share, WorkLine
from buildlog.model.key import Audience, Reads, Where, keys_of, written
from buildlog.model.lists import Lot, Part, Task, Tool
from buildlog.model.log import Log, MediaFile
from buildlog.model.records import KINDS
from buildlog.model.settings import (
    STANDARD_CLASSES,
    STANDARD_HARMLESS,
    STANDARD_STAGES,
    Class,
    Milestone,
    Person,
    Settings,
    Stage,
)

PEOPLE = """
person marit name="Marit Solheim" public=Marit roles=builder
person bram name="Bram Lie" roles=builder
person okafor name="J. Okafor" roles=inspector
person brandt name="K. Brandt" roles=inspector
person engel name="E. Engel" roles=engineer
"""
LISTS: dict[str, tuple[type[msgspec.Struct], str, str]] = {
    "part": (Part, "number", "parts"),
    "task": (Task, "task", "tasks"),
    "lot": (Lot, "lot", "lots"),
    "tool": (Tool, "tool", "tools"),
}
TABLES: dict[str, tuple[type[msgspec.Struct], str]] = {
    "person": (Person, "people"),
    "stage": (Stage, "stages"),
    "class": (Class, "classes"),
    "milestone": (Milestone, "milestones"),
}
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
_TIME = re.compile(r"\d{1,2}:\d{2}")
_NEEDED = {"part": "name", "task": "title", "lot": "material", "tool": "name", "person": "name"}


class Line(NamedTuple):
    """One line taken apart: its first word, the words after it, and its `key=value` pairs."""

    word: str
    args: tuple[str, ...]
    keys: dict[str, str]


class Session(NamedTuple):
    """An entry to be: its name, header keys and facts."""

    key: str
    header: dict[str, str]
    facts: list[Line]


class Script(NamedTuple):
    """A text of the small language, taken apart."""

    lists: list[Line]
    tables: list[Line]
    broken: list[Line]
    sessions: list[Session]
    harmless: tuple[str, ...]


def facts(text: str) -> Log:
    """The log that these lines stand for, without files."""
    script = _script(text)
    rows: dict[str, list[Any]] = {field: [] for _, _, field in LISTS.values()}
    for number, line in enumerate(script.lists, start=2):
        fact, key, field = LISTS[line.word]
        where = Where(f"{field}.csv", number, 1)
        rows[field].append(_made(fact, {key: line.args[0], **line.keys}, where=where))
    entries = sorted((_entry(session) for session in script.sessions), key=lambda e: (e.date, e.key))
    return Log(
        settings=_settings(script),
        **{field: tuple(each) for field, each in rows.items()},
        lot_list=bool(rows["lots"]),
        tool_list=bool(rows["tools"]),
        entries=tuple(entries),
        media=tuple(MediaFile(file=line.args[0], problem=line.args[1]) for line in script.broken),
    )


def files(text: str) -> dict[str, str]:
    """The text files of a log folder that these lines stand for, by their path."""
    script = _script(text)
    found = {"buildlog.toml": _toml(script)}
    for word, (_, key, field) in LISTS.items():
        rows = [line for line in script.lists if line.word == word]
        if rows:
            columns = list(dict.fromkeys((key, *(name for row in rows for name in row.keys))))
            body = [[row.args[0], *(row.keys.get(name, "") for name in columns[1:])] for row in rows]
            table = [
                columns,
                *([_cell(name, value) for name, value in zip(columns, row, strict=True)] for row in body),
            ]
            found[f"{field}.csv"] = "".join(",".join(row) + "\n" for row in table)
    for session in script.sessions:
        found[f"entries/{session.key}.md"] = _markdown(session)
    return found


def write(root: Path, text: str) -> Path:
    """Write these lines as a log folder and return it. Media files are made small and empty of meaning."""
    for name, content in files(text).items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(content, "utf-8")
    return root


def _script(text: str) -> Script:
    script = Script([], [], [], [], ())
    harmless: tuple[str, ...] = ()
    days: dict[str, int] = {}
    for raw in (PEOPLE + text).split("\n"):
        if not raw.strip() or raw.strip().startswith("#"):
            continue
        line = _line(raw)
        if raw[0] in " \t" and script.sessions and not _starts(line):
            script.sessions[-1].facts.append(line)
        elif line.word in LISTS:
            needed = _NEEDED[line.word]
            script.lists.append(line._replace(keys={needed: line.args[0], **line.keys}))
        elif line.word in TABLES:
            script.tables.append(line)
        elif line.word == "broken":
            script.broken.append(line)
        elif line.word == "harmless":
            harmless = line.args
        elif _DAY.fullmatch(line.word):
            script.sessions.append(_session(line, days))
        else:
            raise ValueError(f"what is {raw!r}?")
    return script._replace(harmless=harmless)


def _starts(line: Line) -> bool:
    return bool(_DAY.fullmatch(line.word)) or line.word in (*LISTS, *TABLES, "broken", "harmless")


def _line(raw: str) -> Line:
    word, *rest = shlex.split(raw)
    pairs = [each for each in rest if re.match(r"[a-z_]+=", each)]
    return Line(word, tuple(each for each in rest if each not in pairs), dict(p.split("=", 1) for p in pairs))


def _session(line: Line, days: dict[str, int]) -> Session:
    args = list(line.args)
    header = {"date": line.word, "people": "marit"}
    if args and _TIME.fullmatch(args[0]):
        header["start"] = args.pop(0)
    days[line.word] = days.get(line.word, 0) + 1
    key = f"{line.word}-{days[line.word]}"
    if not args:
        header.update(line.keys)
        return Session(header.pop("key", key), header, [])
    mine = {name: line.keys.pop(name) for name in ("key", "people", "present") if name in line.keys}
    header.update(mine)
    return Session(header.pop("key", key), header, [Line(args[0], tuple(args[1:]), line.keys)])


def _record(line: Line) -> tuple[str, dict[str, str]]:
    """The kind of a record line and its keys, `of` among them."""
    if line.word in ("accepted", "rejected"):
        item, stage, by = line.args
        return "inspected", {"of": item, "stage": stage, "by": by, "result": line.word, **line.keys}
    return line.word, {"of": ",".join(line.args), **line.keys}


def _entry(session: Session) -> Entry:
    file = f"entries/{session.key}.md"
    people = tuple(session.header["people"].split(",")) if session.header["people"] else ()
    found: dict[str, list[Any]] = {name: [] for name in ("work", "records", "media", "completes", "resumes")}
    for line in session.facts:
        where = Where(file, 100 + sum(map(len, found.values())), 3)
        if line.word == "work":
            found["work"].append(_work(line, people, where))
        elif line.word == "media":
            keys = {"file": line.args[0], **line.keys}
            found["media"].append(_made(Medium, keys, where=where))
        elif line.word in ("completes", "resumes"):
            found[line.word].extend(line.args)
        else:
            kind, keys = _record(line)
            found["records"].append(_made(KINDS[kind], keys, where=where))
    header = {"title": session.key, **session.header, "people": session.header["people"]}
    key_day = re.match(_DAY, session.key)
    return msgspec.structs.replace(
        _made(Entry, {"key": session.key, **header}, where=Where(file, 1, 1)),
        **{name: tuple(each) for name, each in found.items()},
        header_date=True,
        file_date=datetime.date.fromisoformat(key_day[0]) if key_day else None,
    )


def _work(line: Line, people: tuple[str, ...], where: Where) -> WorkLine:
    own = tuple(line.keys["people"].split(",")) if "people" in line.keys else ()
    hours = Fraction(line.keys.get("hours", "0"))
    return WorkLine(
        task=line.keys.get("task", ""),
        parts=tuple(Share(name) for name in line.args),
        kind=line.keys.get("kind", ""),
        hours=tuple(PersonHours(person, hours) for person in own or people) if hours else (),
        people=own,
        where=where,
    )


def _settings(script: Script) -> Settings:
    found: dict[str, dict[str, Any]] = {
        "people": {},
        "stages": {stage.key: stage for stage in STANDARD_STAGES},
        "classes": {class_.key: class_ for class_ in STANDARD_CLASSES},
        "milestones": {},
    }
    for line in script.tables:
        fact, field = TABLES[line.word]
        found[field][line.args[0]] = _made(fact, {"key": line.args[0], **line.keys})
    tables = {field: tuple(each.values()) for field, each in found.items()}
    return Settings(title="Test", harmless=script.harmless or STANDARD_HARMLESS, **tables)


def _made(fact: type[msgspec.Struct], keys: dict[str, str], **more: Any) -> Any:
    hints = typing.get_type_hints(fact)
    fields = {written(name): name for name in fact.__struct_fields__}
    values = {fields[name]: _value(hints[fields[name]], text) for name, text in keys.items()}
    return fact(**values, **more)


def _value(hint: Any, text: str) -> Any:
    kinds = {hint, *typing.get_args(hint)}
    if typing.get_origin(hint) is tuple or any(typing.get_origin(kind) is tuple for kind in kinds):
        return tuple(text.split(",")) if text else ()
    if datetime.date in kinds:
        return datetime.date.fromisoformat(text)
    if datetime.time in kinds:
        return datetime.time.fromisoformat(text.zfill(5))
    if Audience in kinds:
        return Audience[text.upper()]
    if bool in kinds:
        return text == "true"
    return next((kind(text) for kind in (int, Fraction) if kind in kinds), text)


def _cell(column: str, value: str) -> str:
    value = value.replace(",", "|" if column == "spoken" else " ")
    return f'"{value}"' if any(mark in value for mark in ' ,"') else value


def _toml(script: Script) -> str:
    lines = ["format = 1", "", "[project]", 'title = "Test"', ""]
    if script.harmless:
        lines += ["[kinds]", f"harmless = {_toml_list(script.harmless)}", ""]
    for line in script.tables:
        fact, field = TABLES[line.word]
        lines.append(f"[{field}.{line.args[0]}]")
        hints, fields = typing.get_type_hints(fact), {written(n): n for n in fact.__struct_fields__}
        for name, text in line.keys.items():
            value = _value(hints[fields[name]], text)
            if isinstance(value, tuple):
                lines.append(f"{name} = {_toml_list(value)}")
            else:
                plain = isinstance(value, bool | int)
                lines.append(f"{name} = {str(value).lower() if plain else chr(34) + str(value) + chr(34)}")
        lines.append("")
    return "\n".join(lines)


def _toml_list(values: tuple[str, ...]) -> str:
    return "[" + ", ".join(f'"{value}"' for value in values) + "]"


def _markdown(session: Session) -> str:
    people = session.header["people"].split(",")
    lines = ["---", f"title: {session.key}"]
    lines += [f"{name}: {_yaml(Entry, name, value)}" for name, value in session.header.items() if value]
    facts: dict[str, list[str]] = {"work": [], "records": [], "media": []}
    for line in session.facts:
        if line.word == "work":
            keys = {"parts": f"[{', '.join(line.args)}]", **line.keys}
            several = len(keys["people"].split(",") if "people" in keys else people) > 1
            if "hours" in keys and several:
                keys["hours"] += " each"
            facts["work"] += _point({n: f"[{v}]" if n == "people" else v for n, v in keys.items()})
        elif line.word == "media":
            keys = {"file": line.args[0], **line.keys}
            facts["media"] += _point({n: _yaml(Medium, n, v) for n, v in keys.items()})
        elif line.word in ("completes", "resumes"):
            lines.append(f"{line.word}: [{', '.join(line.args)}]")
        else:
            kind, keys = _record(line)
            of = keys.pop("of")
            pairs = {n: _yaml(KINDS[kind], n, v) for n, v in keys.items()}
            facts["records"] += _point({kind: f"[{of.replace(',', ', ')}]", **pairs})
    for name, points in facts.items():
        if points:
            lines += [f"{name}:", *points]
    return "\n".join([*lines, "---", ""])


def _yaml(fact: type[msgspec.Struct], name: str, value: str) -> str:
    fields = {written(each): each for each in fact.__struct_fields__}
    several = "tuple" in str(typing.get_type_hints(fact)[fields[name]])
    if several and keys_of(fact)[fields[name]].reads is not Reads.INSIDE:
        return f"[{value.replace(',', ', ')}]"
    return f"'{value}'" if ":" in value else value


def _point(keys: dict[str, str]) -> list[str]:
    return [f"{'  - ' if not at else '    '}{name}: {value}" for at, (name, value) in enumerate(keys.items())]

"""The reference of the format that ships with the tool: what `meaning` prints and the site shows.

Kinds of record, keys, columns and settings are taken from the types that the reader and the rules work by,
rules from their own docstrings; only what no type can say is written by hand, in `guides`.
"""

from __future__ import annotations

import functools
import importlib
import pkgutil
from collections.abc import Iterator
from typing import NamedTuple

import msgspec

from buildlog.model.key import Key, keys_of, written
from buildlog.model.nearest import likest
from buildlog.model.records import KINDS, Record
from buildlog.model.settings import STANDARD_CLASSES, STANDARD_STAGES, Class, Stage
from buildlog.reckoning.knowledge import Status
from buildlog.rules import chain, guides
from buildlog.rules.plain import plain_text
from buildlog.rules.tables import TABLES

SORTS = ("guide", "table", "record", "rule", "key")
"""The sorts of topic. A name that is several things is shown as the first of them here, and tells all."""

_STATUS_SAYS = {
    Status.NONE: "Nobody has inspected the present article for this stage.",
    Status.REJECTED: "The last inspection rejected it.",
    Status.PARTIAL: "It was accepted in part (the inspection had a `scope`), or by too few signatures.",
    Status.UNDONE: "It was accepted, and something that undoes the stage happened since.",
    Status.UNCLEAR: "The log leaves open whether the acceptance still stands, or of what it was.",
    Status.ON_HOLD: "A nonconformance is open.",
    Status.CURRENT: "The last inspection accepted it, and nothing that undoes the stage happened since.",
}


ALSO = {
    "header": "entry",
    "key": "keys",
    "column": "keys",
    "columns": "keys",
    "list": "keys",
    "lists": "keys",
    "setting": "buildlog.toml",
    "settings": "buildlog.toml",
    "secrets.txt": "folder",
    "secrets": "folder",
    "private": "folder",
    "private/kept": "folder",
    "kept": "folder",
    "site": "folder",
}
"""What somebody may ask for that is told under another name."""


class Topic(msgspec.Struct, frozen=True):
    """One subject of the reference. `kind` is guide, table, record, rule or key; `text` is Markdown."""

    name: str
    title: str
    kind: str
    text: str


class _Section(NamedTuple):
    """What one source says of a name."""

    name: str
    sort: str
    title: str
    text: str


@functools.cache
def topics() -> dict[str, Topic]:
    """Every topic by its name, in the order of `SORTS`, then of name."""
    gathered: dict[str, list[_Section]] = {}
    for section in (*_guides(), *_tables(), *_records(), *_rules(), *_stages(), *_words(), *_keys()):
        gathered.setdefault(section.name, []).append(section)
    found = [_topic(name, sections) for name, sections in gathered.items()]
    found.sort(key=lambda topic: (SORTS.index(topic.kind), topic.name))
    return {topic.name: topic for topic in found}


def meaning(name: str) -> Topic | None:
    """The topic a person means by a name, however they write it; None where there is none."""
    wanted = _plainly(name)
    known = {each: topics()[name] for each, name in ALSO.items()}
    known.update({_plainly(each): topic for each, topic in topics().items()})
    last = wanted.rpartition(".")[2]
    tries = (wanted, last, f"{last}s", f"{last}es", last.removesuffix("s"))
    return next((known[each] for each in tries if each in known), None)


def plain(topic: Topic) -> str:
    """A topic as a terminal prints it."""
    return f"{topic.title}\n{'=' * len(topic.title)}\n\n{plain_text(topic.text)}"


def nearest(name: str, limit: int = 3) -> tuple[str, ...]:
    """The topics whose names are most like one that is none, the most like first."""
    return likest(name, (*topics(), *ALSO), limit, _plainly)


def _plainly(name: str) -> str:
    return name.strip().strip("[]`").strip().casefold().replace("_", "-").replace(" ", "-").rstrip(":-")


def _topic(name: str, sections: list[_Section]) -> Topic:
    sections.sort(key=lambda each: SORTS.index(each.sort))
    first, *more = sections
    text = first.text
    for each in more:
        text += f"\n\n## {each.title}\n\n{each.text}"
    return Topic(name, first.title, first.sort, text)


def _guides() -> Iterator[_Section]:
    for name in sorted(module.name for module in pkgutil.iter_modules(guides.__path__)):
        module = importlib.import_module(f"{guides.__name__}.{name}")
        yield _Section(module.NAME, "guide", module.TITLE, module.TEXT.strip())


def _tables() -> Iterator[_Section]:
    for table in TABLES:
        yield _Section(table.name, "table", table.title, f"{table.says}\n\n{_table(table.keys())}")


def _records() -> Iterator[_Section]:
    for word, kind in KINDS.items():
        title = f"Record {word}"
        yield _Section(word, "record", title, _record(word, kind))


def _record(word: str, kind: type[Record]) -> str:
    common = keys_of(Record)
    own = {name: key for name, key in keys_of(kind).items() if name not in common or _adds(key, common[name])}
    about = keys_of(kind)["of"]
    said = " ".join((kind.__doc__ or "").split())
    lines = [said, f"The first key is `{word}` and names {about.says}: {about.reads.value}."]
    own.pop("of", None)
    if own:
        lines.append(_table(own))
    others = ", ".join(f"`{written(name)}`" for name in common if name not in own and name not in _HIDDEN)
    lines.append(f"As in any record: {others}.")
    return "\n\n".join(lines)


_HIDDEN = ("of", "where")


def _adds(key: Key, common: Key) -> bool:
    return key != common


def _rules() -> Iterator[_Section]:
    for rule in chain.rules():
        yield _Section(rule.name, "rule", f"Rule {rule.name}", f"Grade: {rule.grade}.\n\n{rule.text}")


def _stages() -> Iterator[_Section]:
    for stage in STANDARD_STAGES:
        yield _Section(stage.key, "key", f"Stage {stage.key}", _stage(stage))
    for class_ in STANDARD_CLASSES:
        yield _Section(class_.key, "key", f"Class {class_.key}", _class(class_))


def _stage(stage: Stage) -> str:
    lines = [f"{stage.title}. A stage that the tool brings; a table `[stages.{stage.key}]` replaces it."]
    if stage.before == "closed":
        lines.append("It is due before the item is closed.")
    else:
        lines.append("It is due as soon as the item exists.")
    lines.append(f"Undone by, on the item itself: {_list(stage.undone_by)}.")
    if stage.undone_by_inside:
        lines.append(f"Undone by, on anything inside it: {_list(stage.undone_by_inside)}.")
    return "\n\n".join(lines)


def _class(class_: Class) -> str:
    asks = f"It asks for {_list(class_.stages)}." if class_.stages else "It asks for no inspection."
    lines = [f"A class that the tool brings; a table `[classes.{class_.key}]` replaces it. {asks}"]
    if class_.independent:
        lines.append("Nobody who worked on the article may pass it.")
    if class_.bulk:
        lines.append("Its parts are kept by lot, not one by one.")
    return "\n\n".join(lines)


def _list(words: tuple[str, ...]) -> str:
    return ", ".join(f"`{word}`" for word in words)


def _words() -> Iterator[_Section]:
    for status, says in _STATUS_SAYS.items():
        text = f"{says} See `statuses` for how a status comes about."
        yield _Section(status.value, "key", f"Status “{status.value}”", text)


def _keys() -> Iterator[_Section]:
    """Each key with everything that has it. What a key means in all records is said once."""
    found: dict[str, dict[tuple[str, Key], list[str]]] = {}
    for table in TABLES:
        for name, key in table.keys().items():
            found.setdefault(written(name), {}).setdefault((name, key), []).append(table.called)
    common = keys_of(Record)
    for word, kind in KINDS.items():
        for name, key in keys_of(kind).items():
            if name not in _HIDDEN and key != common.get(name):
                found.setdefault(written(name), {}).setdefault((name, key), []).append(f"a record `{word}`")
    for name, uses in found.items():
        told = "\n\n".join(_use(key, places) for (_, key), places in uses.items())
        yield _Section(name, "key", f"Key {name}", told)


def _use(key: Key, places: list[str]) -> str:
    return f"In {' and '.join(places)}: {key.says}. {_expects(key)}"


def _expects(key: Key) -> str:
    told = f"Expected: {_reads(key)}."
    if key.required:
        told += " Required."
    return f"{told} {_SEEN[key.audience.word]}"


_SEEN = {
    "public": "Everybody may see it, where what it belongs to is public.",
    "inspector": "The inspector and the shop see it.",
    "shop": "The shop alone sees it.",
}


def _reads(key: Key) -> str:
    return " or ".join(f"`{word}`" for word in key.choices) if key.choices else key.reads.value


def _table(keys: dict[str, Key]) -> str:
    lines = ["| key | meaning | expected | who may see it |", "| --- | --- | --- | --- |"]
    for name, key in keys.items():
        says = f"{key.says} (required)" if key.required else key.says
        cells = (f"`{written(name)}`", says, _reads(key), key.audience.word)
        lines.append(f"| {' | '.join(cell.replace('|', chr(92) + '|') for cell in cells)} |")
    return "\n".join(lines)

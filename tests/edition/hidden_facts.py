"""Visible logs, one for each lower audience, and hidden facts of every sort to be set among them.

What is hidden is drawn twice: facts that are made to meet visible ones (names that contain them, days
between them, fences between their lines), as a value that hypothesis makes smaller; and every field above the
audience of every fact, found by walking the types, from a number that it draws.
"""

from __future__ import annotations

import datetime
import random
from fractions import Fraction
from typing import Any

import hypothesis.strategies as st
import msgspec

from buildlog.model.entry import Draft, Entry, Medium, Share, WorkLine
from buildlog.model.key import Audience, Where
from buildlog.model.lists import Part, PartNote, Task
from buildlog.model.log import Log, MediaFile, Rendition
from buildlog.model.settings import EditionSettings, Milestone, Person, Settings
from tests import logs
from tests.edition.hidden_fields import filled

INSPECTOR_LOG = """
part WING class=assembly items=L,R
part RIB parent=WING items=1,2
part X name=Shelf parent=WING
part X/1 name=Door
task W-1 discipline=wood milestone=taxi
task W-2 after=W-1
milestone taxi title="First taxi"
lot EPX-1 material=Epoxy expires=2026-12-01
tool TQ-1 name=Wrench calibrated=2026-01-01 due=2026-12-31
2026-03-01 18:00 key=one
    work RIB/1 hours=2 kind=bonding task=W-1
    made RIB/1 lots=EPX-1
    media one.jpg shows=RIB/1 caption="The first rib"
2026-03-01 key=two people=marit,bram
    made WING/L serial=17
    accepted RIB/1 to-drawing okafor
2026-03-05 key=three
    measured WING/L what=gap value="0.4 mm" limits="0.5 mm max" tool=TQ-1
    installed RIB/1 on=WING/L
    completes W-1
"""

PUBLIC_LOG = """
person vera name="Vera Hidden" public=Vera
part WING name=Wing items=L,R audience=public
part RIB name=Rib parent=WING items=1,2 audience=public system=57
part X name=Shelf parent=WING items=1 audience=public
part X/3 name=Door audience=public
part LONE name=Lone audience=public
task W-1 title="Join the spar" discipline=wood milestone=taxi audience=public
task W-2 title="Cover it" audience=public
milestone taxi title="First taxi"
2025-11-05 key=2025-11-05-before audience=public people=vera
    media old.jpg shows=WING/R caption="The beginning"
2026-03-01 key=one audience=public
    work RIB/1 WING/all task=W-1
    media one.jpg shows=RIB/1 caption="The first rib"
2026-03-01 key=two people=marit,bram present=vera audience=public
    work X/1
    work task=W-2
    media two.jpg
2026-03-05 key=three people=bram audience=public
"""

BODIES = {
    "one": "# Gluing\n\nGlued RIB/1 with EPX-1 beside HUSH-7.\n\nThe second block\ngoes on.\n\n- a\n- b\n\n"
    "- c\n\n```\ncode X/1\n```\n\n## Then",
    "two": "Beside X/1 and X, not X/2. See [the first](one.md) and [that][that].\n\n> quoted\n> on\n\n"
    "1. one\n2. two\n\n[that]: https://example.org/",
    "three": "The gap is 0.4 mm.\n\n\n\nMore,\n  \nand more.\n\n| a | b |\n| - | - |\n| 1 | 2 |\n\n"
    "![the rib](one.jpg)\n\n    indented",
}
NOTE = "What RIB is.\n\nSee [one](../entries/one.md) and WING/L."

HIDDEN_PARTS = ("X/2", "RIB/1/A", "WIN", "WING/L2", "ZZ", "RIB-1", "HUSH-7", "X/1/2", "all")
HIDDEN_TASKS = ("W-0", "W-10", "W", "Q-1", "W-1/2")
HIDDEN_KEYS = ("2026-02-01-before", "2026-03-01-on", "onetwo", "2026-04-01-after", "two-b", "on", "2020-old")
INVOICE = "Kleivdal 8812"
SAID = (
    *HIDDEN_PARTS,
    "WING/L",
    "W-1",
    "EPX-1",
    INVOICE,
    "one.jpg",
    "[that]: https://elsewhere.example/",
    "```",
    "- item\n\n\n- item",
    "# Heading\n\n| a |\n| - |",
    "> ",
    "![bill](bill.jpg) [x](onetwo.md)",
    "",
)
FILES = ("shop.jpg", "x.pdf", "0.jpg", "one.jpg.jpg", "two.mov", "broken.jpg")
DAYS = st.dates(datetime.date(2026, 2, 1), datetime.date(2026, 4, 30)) | st.dates(
    datetime.date(2019, 1, 1), datetime.date(2030, 12, 31)
)


class Fence(msgspec.Struct, frozen=True):
    """A fence in one of the texts, at a boundary of its blocks, or, `tight`, of its lines without blanks."""

    text: str
    place: int
    tight: bool
    shop: bool
    says: str


class Hidden(msgspec.Struct, frozen=True):
    """What an audience may not see, beside one and the same visible log. Places go round and round.

    `called` is part of what the builder's disk calls the files of visible entries and photos, for the public.
    `seed` fills every field above the audience that a visible fact has; 0 leaves them as they are.
    """

    parts: tuple[tuple[str, int, bool], ...] = ()
    tasks: tuple[tuple[str, int, bool], ...] = ()
    entries: tuple[tuple[str, datetime.date, str, tuple[str, ...], bool], ...] = ()
    fences: tuple[Fence, ...] = ()
    media: tuple[tuple[str, int, str, bool], ...] = ()
    tags: tuple[tuple[str, int, str], ...] = ()
    people: tuple[str, ...] = ()
    several: int = 1
    drafts: int = 0
    notes: bool = False
    called: int = 0
    seed: int = 0


TEXTS = ("one", "two", "three", "RIB", "caption")
PLACES = st.integers(0, 12)


def some(each: st.SearchStrategy[Any], most: int) -> st.SearchStrategy[tuple[Any, ...]]:
    return st.lists(each, max_size=most).map(tuple)


HIDDEN = st.builds(
    Hidden,
    parts=some(st.tuples(st.sampled_from(HIDDEN_PARTS), PLACES, st.booleans()), 4),
    tasks=some(st.tuples(st.sampled_from(HIDDEN_TASKS), PLACES, st.booleans()), 3),
    entries=some(
        st.tuples(
            st.sampled_from(HIDDEN_KEYS),
            DAYS,
            st.sampled_from(SAID),
            some(st.sampled_from(FILES), 2),
            st.booleans(),
        ),
        4,
    ),
    fences=some(
        st.builds(Fence, st.sampled_from(TEXTS), PLACES, st.booleans(), st.booleans(), st.sampled_from(SAID)),
        4,
    ),
    media=some(st.tuples(st.sampled_from(sorted(BODIES)), PLACES, st.sampled_from(FILES), st.booleans()), 3),
    tags=some(
        st.tuples(
            st.sampled_from(sorted(BODIES)), PLACES, st.sampled_from([*HIDDEN_PARTS, *HIDDEN_TASKS][:12])
        ),
        4,
    ),
    people=some(st.sampled_from(["zed", "one", "RIB", "marit2", "Vera", "a builder", "w-1"]), 3),
    several=st.integers(1, 3),
    drafts=st.integers(0, 2),
    notes=st.booleans(),
    called=st.integers(0, 5),
    seed=st.integers(0, 1 << 30),
)

NOTHING = Hidden()


def beside(hidden: Hidden) -> bool:
    """Whether a hidden fact collides with, contains or sits beside a visible one."""
    return bool(
        {name for name, _, _ in hidden.parts} - {"ZZ"}
        or {name for name, _, _ in hidden.tasks} - {"Q-1"}
        or hidden.fences
        or hidden.media
        or any(
            datetime.date(2026, 3, 1) <= day <= datetime.date(2026, 3, 5)
            or key in ("onetwo", "on", "two-b", "2026-03-01-on")
            for key, day, *_ in hidden.entries
        )
    )


def log_of(hidden: Hidden, audience: Audience) -> Log:
    """The visible log of an audience with these hidden facts among it."""
    log = _visible(audience)
    dice = random.Random(hidden.seed)
    if hidden.seed:
        log = filled(log, audience, dice)
    shop = Audience.SHOP
    above = (shop,) if audience is Audience.INSPECTOR else (shop, Audience.INSPECTOR)
    parts, tasks = list(log.parts), list(log.tasks)
    for number, place, marked in {each[0]: each for each in hidden.parts}.values():
        said = shop if marked or audience is Audience.INSPECTOR else None
        _put(parts, place, Part(number=number, name=f"Hush {number}", parent="WING", audience=said))
    for key, place, marked in {each[0]: each for each in hidden.tasks}.values():
        said = shop if marked or audience is Audience.INSPECTOR else None
        _put(tasks, place, Task(task=key, title="Hush", milestone="taxi", after=("W-2",), audience=said))
    entries = [_entry(entry, hidden, audience) for entry in log.entries]
    for key, day, text, files, low in {each[0]: each for each in hidden.entries}.values():
        entries.append(
            Entry(
                key=key,
                date=day,
                title=text,
                audience=above[-1] if low else shop,
                people=("bram",),
                work=(WorkLine(task=text, parts=(Share(text),), note=text),),
                body=f"{text} and [one](one.md) RIB W-1",
                media=tuple(Medium(file=file, shows=("RIB/2",), caption=text) for file in files),
                where=Where(f"entries/{key}.md", 1, 1),
            )
        )
    notes = [PartNote(number="RIB", body=_fenced("RIB", NOTE, hidden.fences, audience))]
    if hidden.notes:
        notes += [PartNote(number=each[0], body="About RIB and WING/L.") for each in hidden.parts]
        notes.append(PartNote(number="WING", body="~~~ shop only\nThird shelf.\n~~~\n"))
    if hidden.seed:
        notes = [filled(note, audience, dice) for note in notes]
    files = {medium.file for entry in entries for medium in entry.media}
    log = msgspec.structs.replace(
        log,
        parts=tuple(parts),
        tasks=tuple(tasks),
        entries=tuple(sorted(entries, key=lambda each: (each.date, each.key))),
        drafts=tuple(Draft(key=f"draft-{number}") for number in range(hidden.drafts)),
        notes=tuple(notes),
        media=tuple(_file(file, audience, dice if hidden.seed else None) for file in sorted(files)),
        secrets=(INVOICE,) if hidden.drafts else (),
    )
    if audience is Audience.INSPECTOR:
        return log
    return _called(_peopled(log, hidden), hidden.called) if hidden.called else _peopled(log, hidden)


def _visible(audience: Audience) -> Log:
    """What an audience may see, and nothing else."""
    if audience is Audience.INSPECTOR:
        log = logs.facts(INSPECTOR_LOG)
    else:
        log = logs.facts(PUBLIC_LOG)
        parts = tuple(msgspec.structs.replace(each, class_="general") for each in log.parts)
        own = EditionSettings(key="public", address="https://example.org/tansy/")
        settings = Settings(
            title="Tansy",
            about="A two-seat trainer",
            people=log.settings.people,
            milestones=log.settings.milestones,
            editions=(own,),
        )
        log = msgspec.structs.replace(log, parts=parts, settings=settings)
    return log


def _put(found: list[Any], place: int, each: Any) -> None:
    found.insert(place % (len(found) + 1), each)


def _fenced(key: str, body: str, fences: tuple[Fence, ...], audience: Audience) -> str:
    """A text with fences at its boundaries: their lines are gone from it when the door has cut it."""
    for fence in fences:
        if fence.text == key:
            word = "shop" if fence.shop or audience is Audience.INSPECTOR else "inspector"
            joint = "\n" if fence.tight else "\n\n"
            pieces = body.split(joint)
            places = [place for place in range(len(pieces) + 1) if _outside(joint.join(pieces[:place]))]
            pieces.insert(places[fence.place % len(places)], f"~~~ {word} only\n{fence.says}\n~~~")
            body = joint.join(pieces)
    return body


def _outside(before: str) -> bool:
    """Whether no fence is open at the end of a text: none stands in another."""
    return sum(line.startswith("~~~") for line in before.split("\n")) % 2 == 0


def _entry(entry: Entry, hidden: Hidden, audience: Audience) -> Entry:
    body = _fenced(entry.key, BODIES.get(entry.key, ""), hidden.fences, audience)
    media = [
        msgspec.structs.replace(each, caption=_fenced("caption", each.caption, hidden.fences, audience))
        if each.caption
        else each
        for each in entry.media
    ]
    work = list(entry.work)
    for key, place, file, low in hidden.media:
        if key == entry.key:
            said = Audience.INSPECTOR if low and audience is Audience.PUBLIC else Audience.SHOP
            _put(media, place, Medium(file=file, caption=file, audience=said, shows=("WING/L",)))
    if audience is Audience.PUBLIC:
        for key, place, name in hidden.tags:
            if key == entry.key:
                _tag(work, media, place, name)
    return msgspec.structs.replace(entry, body=body, media=tuple(media), work=tuple(work))


def _tag(work: list[WorkLine], media: list[Medium], place: int, name: str) -> None:
    """Tie a hidden name to what an entry tells: in a line of its own, or beside what is seen."""
    if work and place % 4 == 0:
        # the same work told once more, with hours of its own
        work.append(msgspec.structs.replace(work[0], note=name, kind="hush"))
    if work and place % 4 == 1:
        at = place % len(work)
        if work[at].parts:
            parts = list(work[at].parts)
            _put(parts, place, Share(name, Fraction(3)))
            work[at] = msgspec.structs.replace(work[at], parts=tuple(parts))
    if media and place % 4 == 2:
        at = place % len(media)
        shows = list(media[at].shows)
        _put(shows, place, name)
        media[at] = msgspec.structs.replace(media[at], shows=tuple(shows))
    _put(work, place, WorkLine(task=name, parts=(Share(name),)))


def _file(file: str, audience: Audience, dice: random.Random | None) -> MediaFile:
    """What is known of a file; which renditions it has depends on its name alone, as on its pixels."""
    if file in ("x.pdf", "two.mov"):
        medium = MediaFile(file=file, sort="document", copy=f"{len(file):032x}.pdf")
    elif file == "broken.jpg":
        medium = MediaFile(file=file, problem="it is cut off")
    else:
        name = "".join(f"{ord(letter):02x}" for letter in file).ljust(32, "0")[:32]
        medium = MediaFile(file=file, renditions=(Rendition(f"{name}.jpg", 40, 30),))
    if dice is None:
        return medium
    return msgspec.structs.replace(
        medium, digest=f"{dice.getrandbits(256):064x}", size=dice.randrange(99), uncleaned=INVOICE
    )


def _peopled(log: Log, hidden: Hidden) -> Log:
    """Other keys, names and numbers for people; somebody without a public name is others, or several."""
    extra = [Person(key=f"{each}-x", name=each, contact=each) for each in dict.fromkeys(hidden.people)]
    strangers = [Person(key=f"{each}-y", name=each, public=f"Public {each}") for each in hidden.people[:1]]
    renamed = {each.key: f"{each.key}-{hidden.several}" for each in log.settings.people}
    if not hidden.people:
        renamed = {each.key: each.key for each in log.settings.people}
    public = {each.key for each in log.settings.people if each.public}

    def called(keys: tuple[str, ...], *, among: bool) -> tuple[str, ...]:
        told = [renamed[key] for key in keys]
        nobody = any(key not in public for key in keys)
        if extra and (nobody or among):
            told = [renamed[key] for key in keys if key in public]
            for place, each in enumerate(extra):
                _put(told, place * 7 + hidden.several, each.key)
        return tuple(told)

    people = [msgspec.structs.replace(each, key=renamed[each.key]) for each in log.settings.people]
    people += [*extra, *strangers]
    people = people[hidden.several :] + people[: hidden.several]
    milestones = list(log.settings.milestones)
    for place, each in enumerate(hidden.people):
        _put(milestones, place, Milestone(key=f"m-{each}-{place}", title=f"Hush {each}"))
    theirs = EditionSettings(key="shop", address=f"https://{hidden.several}.example/")
    editions = (theirs, *log.settings.editions)
    settings = msgspec.structs.replace(
        log.settings, people=tuple(people), milestones=tuple(milestones), editions=editions
    )
    entries = tuple(
        msgspec.structs.replace(
            each, people=called(each.people, among=False), present=called(each.present, among=True)
        )
        for each in log.entries
    )
    return msgspec.structs.replace(log, settings=settings, entries=entries)


def _called(log: Log, how: int) -> Log:
    """The log as it is when the files of what is visible have other names, with the links to them."""
    shown = {entry.key for entry in log.entries if entry.audience is Audience.PUBLIC}
    # odd ones turn the order of the two entries of one day round
    keys = {key: f"{9 - len(key) if how % 2 else len(key)}-{key}-einar-{how}" for key in shown}
    files = {file: f"2026/IMG_{how}{file}" for file in ("one.jpg", "two.jpg", "old.jpg")}

    def relinked(body: str) -> str:
        for old, new in keys.items():
            body = body.replace(f"({old}.md)", f"({new}.md)").replace(f"/{old}.md)", f"/{new}.md)")
        for old, new in files.items():
            body = body.replace(f"({old})", f"({new})")
        return body

    entries = [
        msgspec.structs.replace(
            each,
            key=keys.get(each.key, each.key),
            body=relinked(each.body),
            media=tuple(
                msgspec.structs.replace(one, file=files.get(one.file, one.file)) for one in each.media
            ),
        )
        for each in log.entries
    ]
    return msgspec.structs.replace(
        log,
        entries=tuple(sorted(entries, key=lambda each: (each.date, each.key))),
        notes=tuple(msgspec.structs.replace(each, body=relinked(each.body)) for each in log.notes),
        media=tuple(
            msgspec.structs.replace(each, file=files.get(each.file, each.file)) for each in log.media
        ),
    )

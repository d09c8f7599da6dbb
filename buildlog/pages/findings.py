"""The findings, three times over: by grade in full, by rule and by assembly in short, each on short sheets.

Choosing is done by links, so that it works without script; what is typed only hides more. However many
findings there are, no sheet grows beyond what a phone opens at once: an order goes on on the next sheet.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

import msgspec

from buildlog.pages import address, words
from buildlog.pages.finding_sheets import (
    FindingGroup,
    FindingIndexLine,
    FindingSection,
    FindingsSheet,
    SortedFindingsSheet,
)
from buildlog.pages.frame import Link, Page, Remark, Stamp
from buildlog.pages.guide import Guide
from buildlog.rules.wording import graded

FULL, SHORT = 250, 500
"""How many findings one sheet shows, in full and in short."""

BY_GRADE, BY_RULE, BY_PART = "findings", "findings/by-rule", "findings/by-part"

_ORDERS = ((BY_GRADE, "by grade"), (BY_RULE, "by rule"), (BY_PART, "by assembly"))
_OTHERS = (("task", "Tasks"), ("person", "People"), ("", "Entries and media"))


class Told(msgspec.Struct, frozen=True):
    """A finding as shown, with the part number it is about; else `sort` is `task`, `person` or empty."""

    remark: Remark
    number: str
    sort: str = ""


_WITH = " in all"

Tree = tuple[tuple[str, int], ...]
"""The part numbers as the parts list has them inside one another: each with its depth, an assembly first."""


def draw_findings(
    guide: Guide, told: tuple[Told, ...], names: Mapping[str, str], tree: Tree, day: str
) -> tuple[Page, ...]:
    """All sheets of findings; `names` are those of parts, by address."""
    return (
        *_by_grade(guide, [each.remark for each in told], names, day),
        *_sorted(guide, BY_RULE, tuple(_of_rules(told)), day),
        *_sorted(guide, BY_PART, tuple(_of_parts(told, names, tree)), day),
    )


def counted(remarks: Iterable[Remark]) -> str:
    """How many of each grade, and how many are put off: `2 major, 1 observation, 1 put off`."""
    grades = Counter("put off" if each.deferred else each.grade.word for each in remarks)
    order = ("major", "minor", "observation", "put off")
    return ", ".join(graded(grades[word], word) for word in order if grades[word])


def _address(order: str, number: int) -> str:
    return f"{order}{f'-{number}' if number > 1 else ''}.html"


def _orders(order: str) -> tuple[Link, ...]:
    """The ways to sort; the one that a sheet has leads nowhere."""
    return tuple(Link(said, "" if each == order else _address(each, 1)) for each, said in _ORDERS)


def _sheets(order: str, count: int) -> tuple[Link, ...]:
    if count < 2:
        return ()
    return tuple(Link(f"sheet {number}", _address(order, number)) for number in range(1, count + 1))


def _title(order: str, number: int, count: int) -> str:
    of = f", sheet {number} of {count}" if count > 1 else ""
    return f"Findings{'' if order == BY_GRADE else ' ' + dict(_ORDERS)[order]}{of}"


# --- by grade, in full ---


def _by_grade(guide: Guide, remarks: Sequence[Remark], names: Mapping[str, str], day: str) -> Iterator[Page]:
    standing = sorted((each for each in remarks if not each.deferred), key=_weight)
    put_off = tuple(each for each in remarks if each.deferred)
    totals = Counter(each.grade.word for each in standing)
    grades = tuple(dict.fromkeys(each.grade.word for each in standing))
    first = {word: 1 + sum(totals[g] for g in grades[:at]) // FULL for at, word in enumerate(grades)}
    filled = list(_filled(standing, put_off))
    late = next((number for number, (_, some) in enumerate(filled, start=1) if some), 0)
    begins = [
        Link(graded(totals[word], word), f"{_address(BY_GRADE, first[word])}#{word}") for word in grades
    ]
    if late:
        begins.append(Link(f"{len(put_off)} put off", f"{_address(BY_GRADE, late)}#deferred"))
    for number, (some, deferred) in enumerate(filled, start=1):
        at = _address(BY_GRADE, number)
        sheet = FindingsSheet(
            block=guide.block(at, _title(BY_GRADE, number, len(filled)), day=day),
            begins=tuple(begins),
            grades=tuple(_graded(some, names, totals)),
            elsewhere=tuple(
                (words.grade(word), Link(f"sheet {first[word]}", f"{_address(BY_GRADE, first[word])}#{word}"))
                for word in grades
                if number == 1 and first[word] != 1
            ),
            deferred=deferred,
            orders=_orders(BY_GRADE),
            sheets=_sheets(BY_GRADE, len(filled)),
        )
        yield Page(at, "findings.html", sheet)


def _weight(each: Remark) -> int:
    return words.weight(each.grade.word)


def _filled(
    standing: Sequence[Remark], put_off: tuple[Remark, ...]
) -> Iterator[tuple[Sequence[Remark], tuple[Remark, ...]]]:
    """What goes on each sheet: what stands, then, on the last of those if there is room, what is put off."""
    chunks = [standing[at : at + FULL] for at in range(0, len(standing), FULL)] or [()]
    yield from ((chunk, ()) for chunk in chunks[:-1])
    room = FULL - len(chunks[-1])
    yield chunks[-1], put_off[:room]
    yield from (((), put_off[at : at + FULL]) for at in range(room, len(put_off), FULL))


def _graded(
    chunk: Sequence[Remark], names: Mapping[str, str], totals: Mapping[str, int]
) -> Iterator[tuple[Stamp, int, tuple[FindingGroup, ...]]]:
    grades: dict[str, dict[Link, list[Remark]]] = {}
    for each in chunk:
        grades.setdefault(each.grade.word, {}).setdefault(_about(each), []).append(each)
    for word, groups in grades.items():
        found = tuple(
            FindingGroup(about=about, name=names.get(about.to, ""), remarks=tuple(each))
            for about, each in groups.items()
        )
        yield words.grade(word), totals[word], found


def _about(each: Remark) -> Link:
    return each.about[0] if each.about else each.rests[0] if each.rests else Link("The log")


# --- by rule and by assembly, in short ---


def _of_rules(told: Iterable[Told]) -> Iterator[FindingSection]:
    """The rules that found something, the most serious first."""
    rules: dict[Link, list[Remark]] = {}
    for each in told:
        rules.setdefault(each.remark.rule, []).append(each.remark)

    def gravity(rule: Link) -> tuple[int, str]:
        return min(map(_weight, rules[rule])), rule.text

    for rule in sorted(rules, key=gravity):
        yield FindingSection(
            id=rule.text, title=rule, counts=counted(rules[rule]), remarks=tuple(rules[rule])
        )


def _of_parts(told: Sequence[Told], names: Mapping[str, str], tree: Tree) -> Iterator[FindingSection]:
    """The parts of which there is something, each assembly before what is in it, then what is no part."""
    own: dict[str, list[Remark]] = {}
    for each in told:
        if each.number:
            own.setdefault(each.number, []).append(each.remark)
    listed = {number for number, _ in tree}
    whole = (*tree, *((number, 0) for number in own if number not in listed))
    for at, (number, depth) in enumerate(whole):
        below = _below(whole, at)
        every = [remark for each in (number, *below) for remark in own.get(each, ())]
        if not every:
            continue
        to = address.of_part(number)
        mine = tuple(own.get(number, ()))
        yield FindingSection(
            id=f"of-{address.upper(number)}",
            title=Link(number, to if number in listed or to in names else ""),
            name=names.get(to, ""),
            depth=depth,
            counts=counted(every) + (_WITH if len(every) > len(mine) else ""),
            remarks=mine,
        )
    for sort, title in _OTHERS:
        rest = tuple(each.remark for each in told if not each.number and each.sort == sort)
        if rest:
            yield FindingSection(
                id=f"of-{sort or 'entry'}", title=Link(title), counts=counted(rest), remarks=rest
            )


def _below(whole: Sequence[tuple[str, int]], at: int) -> Iterator[str]:
    for number, depth in whole[at + 1 :]:
        if depth <= whole[at][1]:
            return
        yield number


def _sorted(guide: Guide, order: str, sections: tuple[FindingSection, ...], day: str) -> Iterator[Page]:
    chunks = list(_chunks(sections)) or [()]
    home: dict[str, int] = {}
    for number, chunk in enumerate(chunks, start=1):
        for section in chunk:
            home.setdefault(section.id, number)
    index = tuple(
        FindingIndexLine(
            to=Link(each.title.text, f"{_address(order, home[each.id])}#{each.id}"),
            name=each.name,
            depth=each.depth,
            counts=each.counts,
        )
        for each in sections
    )
    for number, chunk in enumerate(chunks, start=1):
        at = _address(order, number)
        yield Page(
            at,
            "findings_sorted.html",
            SortedFindingsSheet(
                block=guide.block(at, _title(order, number, len(chunks)), day=day),
                order=dict(_ORDERS)[order],
                by_part=order == BY_PART,
                index=index if number == 1 else (),
                sections=chunk,
                orders=_orders(order),
                sheets=_sheets(order, len(chunks)),
            ),
        )


def _chunks(sections: Iterable[FindingSection]) -> Iterator[tuple[FindingSection, ...]]:
    """Sections put on sheets; one that does not fit goes on on the next."""
    here: list[FindingSection] = []
    room = SHORT
    for section in sections:
        left, begun = section.remarks, False
        while True:
            fits = left[:room]
            here.append(
                msgspec.structs.replace(
                    section,
                    remarks=fits,
                    continued=begun,
                    id=section.id if not begun else f"{section.id}-{len(section.remarks) - len(left)}",
                )
            )
            left, room, begun = left[len(fits) :], room - len(fits), True
            if room:
                break
            yield tuple(here)
            here, room = [], SHORT
            if not left:
                break
    if here:
        yield tuple(here)

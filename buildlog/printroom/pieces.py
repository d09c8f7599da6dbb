"""The smallest pieces of a page, and the rows that a page has most of, as HTML.

They are filters of the templates. Each gives one Markup of plain text put together, every value in it escaped
by itself: a Markup for each link and each cell would cost more than the template.
"""

from __future__ import annotations

import functools
import re
from html import escape

import markupsafe
from markupsafe import Markup

from buildlog.pages.frame import Detail, Link, Remark, Row, Stamp, Struck
from buildlog.printroom.finished import escaped_text, finished

_KEY = 24
"""The longest name, in letters, that is not broken at its hyphens."""

_CODE = re.compile(r"`([^`]+)`")
_DAY = re.compile(r"(?<![\w-])\d{4}-\d{2}-\d{2}(?![\w-])")


def link(each: Link, up: str) -> Markup:
    """A link from a page whose way to the root is `up`; without an address, its text alone."""
    return finished(anchor(each, up))


@functools.lru_cache(maxsize=1 << 14)
def anchor(each: Link, up: str) -> str:
    """A link as plain text, for what is put together of many."""
    # built as plain text: a Markup for each of a page's links would cost more than the template
    text = each.text
    if not each.to:
        return _whole_days(escape(text))
    if " " in text:
        return f'<a href="{up}{each.to}">{escape(text)}</a>'
    # a number stays on one line, unless it is so long that a phone could not hold it
    width = "key" if len(text) <= _KEY else "long"
    return f'<a class="{width}" href="{up}{each.to}">{escape(text)}</a>'


def names(links: tuple[Link, ...], up: str) -> Markup:
    """Links one after the other, with commas."""
    return finished(_names(links, up))


def _names(links: tuple[Link, ...], up: str) -> str:
    return ", ".join([anchor(each, up) for each in links])


def says(links: tuple[Link, ...], up: str) -> Markup:
    """Links and texts one after the other, as a sentence."""
    return finished("".join([anchor(each, up) for each in links]))


def coded(text: str) -> Markup:
    """A text in which what stands between backticks is code."""
    return finished(_coded(text))


def _coded(text: str) -> str:
    return _CODE.sub(r"<code>\1</code>", _whole_days(escape(text)))


def _whole_days(text: str) -> str:
    """Escaped text in which no day is broken at its hyphens."""
    return _DAY.sub(r'<span class="day">\g<0></span>', text) if "-" in text else text


def remarked(remarks: tuple[Remark, ...], up: str, about: bool) -> Markup:
    """Findings as items of a list; with `about`, each says what it is about."""
    return finished("".join([_remark(each, up, about=about) for each in remarks]))


def _remark(each: Remark, up: str, *, about: bool) -> str:
    of = f"<b>{_names(each.about, up)}</b>: " if about and each.about else ""
    see = f' <span class="small">See {_names(each.rests, up)}.</span>' if each.rests else ""
    rule = f' <span class="small">Rule {anchor(each.rule, up)}.</span>'
    told = f"<li>{stamp(each.grade)} {of}{_coded(each.says)}{see}{rule}\n"
    if each.clears:
        told += f'<p class="small quiet">To clear it: {_coded(each.clears)}</p>'
    if each.deferred:
        told += f'<p class="small quiet">{markupsafe.escape(each.deferred)}</p>'
    return told + "</li>\n"


@functools.lru_cache(maxsize=1 << 8)
def stamp(mark: Stamp) -> Markup:
    """A status in words."""
    return finished(f'<span class="stamp {escaped_text(mark.outline)}">{escaped_text(mark.word)}</span>')


def pairs(details: tuple[Detail, ...], up: str) -> Markup:
    """Labels and values as rows of a list of pairs."""
    return finished(_pairs(details, up))


def _pairs(details: tuple[Detail, ...], up: str) -> str:
    return "".join(
        [f"<dt>{escaped_text(each.label)}</dt><dd>{_names(each.values, up)}</dd>\n" for each in details]
    )


def facts(details: tuple[Detail, ...], up: str) -> Markup:
    """Labels and values as boxes in a row."""
    told = [
        f"<div><dt>{escaped_text(each.label)}</dt><dd>{_names(each.values, up)}</dd></div>\n"
        for each in details
    ]
    return finished("".join(told))


def records(rows: tuple[Row, ...], up: str) -> Markup:
    """Records and work lines as their own entry lists them."""
    return finished("".join([_record(row, up) for row in rows]))


def _record(row: Row, up: str) -> str:
    head = f'<span class="kind">{escaped_text(row.kind)}</span>'
    if row.of:
        head += f" {_names(row.of, up)}"
    if row.hours:
        head += f' <span class="hours">{escaped_text(row.hours)}</span>'
    if row.stamp:
        head += f" {stamp(row.stamp)}"
    told = ""
    if row.details or row.people:
        day = ", ".join(escaped_text(each) for each in (row.day, row.time) if each)
        date = f"<dt>date</dt><dd>{day}</dd>" if row.day else ""
        by = f"<dt>by</dt><dd>{_names(row.people, up)}</dd>" if row.people else ""
        told = f'<dl class="pairs">\n{date}{by}{_pairs(row.details, up)}</dl>\n'
    spot = f' id="{escaped_text(row.id)}"' if row.id else ""
    if row.struck:
        return f'<li class="record void"{spot}>\n<s>{head}</s>{told}{_struck(row.struck, up)}</li>\n\n'
    return f'<li class="record"{spot}>\n{head}{told}</li>\n\n'


def _struck(struck: Struck, up: str) -> str:
    reason = markupsafe.escape(struck.reason)
    who = f"{_names(struck.people, up)}, in " if struck.people else ""
    return f'<p class="struck">Struck through by {who}{anchor(struck.by, up)}: {reason}</p>'


def history(rows: tuple[Row, ...], up: str, of: bool) -> Markup:
    """Records and work lines as rows of a history; with `of`, each names its items."""
    return finished("".join([_happened(row, up, of=of) for row in rows]))


def _happened(row: Row, up: str, *, of: bool) -> str:
    """Date, what, item, particulars, by, entry: the columns that the head of the table names."""
    time = f' <span class="quiet">{escaped_text(row.time)}</span>' if row.time else ""
    kind, told = escaped_text(row.kind), details(row.details, up)
    if row.struck:
        kind, told = f"<s>{kind}</s>", f"<s>{told}</s>{_struck(row.struck, up)}"
    else:
        kind = f"<b>{kind}</b>"
    mark = f" {stamp(row.stamp)}" if row.stamp else ""
    about = f"<td>{_names(row.of, up)}</td>" if of else ""
    source = anchor(row.source, up) if row.source else ""
    return (
        f'<tr><td class="day">{escaped_text(row.day)}{time}</td>\n<td>{kind}{mark}</td>\n'
        f'{about}<td class="wide">{told}</td>\n'
        f"<td>{_names(row.people, up)}</td>\n<td>{source}</td></tr>\n"
    )


def details(details: tuple[Detail, ...], up: str) -> str:
    """The keys of a record with their values, in one line that may wrap."""
    told = []
    for each in details:
        label = f'<span class="label">{escaped_text(each.label)}</span> ' if each.label else ""
        told.append(label + _names(each.values, up))
    return "; ".join(told)


def since(rows: tuple[Row, ...], up: str) -> Markup:
    """Records and work lines in short, as a list."""
    return finished("".join([_short(row, up) for row in rows]))


def _short(row: Row, up: str) -> str:
    of = f" {_names(row.of, up)}" if row.of else ""
    people = f", {_names(row.people, up)}" if row.people else ""
    source = anchor(row.source, up) if row.source else ""
    kind = f"{escaped_text(row.day)} <b>{escaped_text(row.kind)}</b>"
    return f'<li>{kind}{of}{people} <span class="small">{source}</span></li>\n'


def tallied(rows: tuple[tuple[Link, str], ...], up: str) -> Markup:
    """Rows of hours, in a table."""
    told = [
        f'<tr><td>{anchor(key, up)}</td><td class="n">{escaped_text(hours)}</td></tr>\n'
        for key, hours in rows
    ]
    return finished("".join(told))

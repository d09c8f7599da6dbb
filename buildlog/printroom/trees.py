"""Trees of what is in what, as HTML: plain text put together, because a tree may have thousands of lines."""

from __future__ import annotations

from html import escape

from markupsafe import Markup

from buildlog.pages.standing_sheets import TreeLine
from buildlog.printroom.finished import finished
from buildlog.printroom.pieces import anchor, stamp


def tree(lines: tuple[TreeLine, ...], up: str) -> Markup:
    """Lines of a tree as items of a list, what is in a thing one level down, to be folded away."""
    return finished("".join([_line(each, up) for each in lines]))


def _line(each: TreeLine, up: str) -> str:
    spot = f' id="{escape(each.id)}"' if each.id else ""
    told = f'<li{spot}><div class="row"><span>{anchor(each.item, up)}</span>'
    if each.name:
        told += f" <span>{escape(each.name)}</span>"
    marks = "".join([f" {stamp(mark)}" for mark in each.stamps])
    said = []
    if each.dates:
        said.append(f"<b>{escape(each.dates)}</b>" if each.bold else escape(each.dates))
    said += ["".join([anchor(part, up) for part in note]) for note in each.notes]
    if marks:
        told += f" <span>{marks[1:]}</span>"
    if said:
        told += f' <span class="marks">{"; ".join(said)}</span>'
    told += "</div>\n"
    if each.fold:
        shown = " open" if each.unfolded else ""
        return f"{told}<details{shown}><summary>{escape(each.fold)}</summary>\n<ul>\n"
    ends = f"{'</ul></details></li>' * each.closes}\n" if each.closes else ""
    return f"{told}</li>\n{ends}"

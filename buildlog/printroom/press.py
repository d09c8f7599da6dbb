"""The press: a page, which is an address, a template and a frozen value, becomes bytes."""

from __future__ import annotations

import functools
import hashlib
import re
from collections.abc import MutableMapping
from html import escape
from pathlib import Path

import jinja2
from markupsafe import Markup

from buildlog.pages.frame import Detail, Link, Page
from buildlog.printroom.prose import Typesetter, plain

_GAP = "\x00"
"""Stands where the digest goes until it is known. A log holds no NUL, so no page does."""

_DIGEST = Markup(_GAP)  # noqa: S704 - a constant

_KEY = 24
"""The longest name, in letters, that is not broken at its hyphens."""

_CODE = re.compile(r"`([^`]+)`")

_ASSETS = ("sheet.css", "sheet.js")


class Press:
    """Prints pages with one theme. Templates are compiled once, each when it is first asked for."""

    def __init__(self, theme: Path, kept: MutableMapping[bytes, str] | None = None) -> None:
        """Set up the press.

        Args:
            theme: the folder with the templates, the stylesheet and the script.
            kept: rendered prose by digest, from earlier runs and for later ones, or for other editions.
        """
        self._theme = theme
        self._templates: dict[str, jinja2.Template] = {}
        self._environment = jinja2.Environment(
            loader=jinja2.FileSystemLoader(theme),
            autoescape=True,
            undefined=jinja2.StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            auto_reload=False,
        )
        self._environment.filters.update(
            a=link,
            coded=coded,
            names=names,
            says=says,
            details=details,
            sheets=sheets,
            plain=plain,
            prose=Typesetter(kept).set,
        )

    def press(self, page: Page) -> bytes:
        """The bytes of a page, its digest in the title block.

        Raises:
            jinja2.TemplateError: the template asks for what the page does not have.
        """
        if not page.template:
            pieces: tuple[bytes, ...] = page.sheet.pieces
            return b"".join(pieces)
        template = self._templates.get(page.template)
        if template is None:
            template = self._templates[page.template] = self._environment.get_template(page.template)
        text = template.render(
            sheet=page.sheet, address=page.address, up=_way_up(page.address), digest=_DIGEST
        )
        digest = hashlib.sha256(text.encode()).hexdigest()[:12]
        return text.replace(_GAP, digest).encode()

    def assets(self) -> dict[str, bytes]:
        """What every edition carries beside its pages, by address."""
        return {name: (self._theme / name).read_bytes() for name in _ASSETS}


def _way_up(address: str) -> Markup:
    return Markup("../") * address.count("/")


def link(each: Link, up: str) -> Markup:
    """A link from a page whose way to the root is `up`; without an address, its text alone."""
    return Markup(_link(each, up))  # noqa: S704 - the text is escaped, and addresses are safe as they are


def _link(each: Link, up: str) -> str:
    # built as plain text: a Markup for each of a page's links would cost more than the template
    text = each.text
    if not each.to:
        return escape(text)
    if " " in text:
        return f'<a href="{up}{each.to}">{escape(text)}</a>'
    # a number stays on one line, unless it is so long that a phone could not hold it
    width = "key" if len(text) <= _KEY else "long"
    return f'<a class="{width}" href="{up}{each.to}">{escape(text)}</a>'


def names(links: tuple[Link, ...], up: str) -> Markup:
    """Links one after the other, with commas."""
    return Markup(", ".join([_link(each, up) for each in links]))  # noqa: S704 - see `link`


def says(links: tuple[Link, ...], up: str) -> Markup:
    """Links and texts one after the other, as a sentence."""
    return Markup("".join([_link(each, up) for each in links]))  # noqa: S704 - see `link`


def coded(text: str) -> Markup:
    """A text in which what stands between backticks is code."""
    return Markup(_CODE.sub(r"<code>\1</code>", escape(text)))  # noqa: S704 - escaped first


def details(all_details: tuple[Detail, ...], up: str) -> Markup:
    """The keys of a record with their values, in one line that may wrap."""
    told = []
    for each in all_details:
        label = f'<span class="label">{escape(each.label)}</span> ' if each.label else ""
        told.append(label + ", ".join([_link(value, up) for value in each.values]))
    return Markup("; ".join(told))  # noqa: S704 - see `link`


@functools.lru_cache(maxsize=4096)
def _sheets(links: tuple[Link, ...], up: str, at: str, folder: str) -> Markup:
    listed = []
    for each in links:
        here = ' aria-current="page"' if each.to == at else ""
        if not here and folder and each.to.startswith(folder):
            here = ' aria-current="true"'
        listed.append(f'<li><a href="{up}{each.to}"{here}>{escape(each.text)}</a></li>')
    return Markup("\n".join(listed))  # noqa: S704 - texts escaped, addresses are safe as they are


def sheets(links: tuple[Link, ...], address: str) -> Markup:
    """The links of a page's head, the one it belongs to marked."""
    top, slash, _ = address.partition("/")
    folder = "parts/" if top == "items" else top + slash if slash else ""
    at = address if any(each.to == address for each in links) else ""
    return _sheets(links, _way_up(address), at, folder)

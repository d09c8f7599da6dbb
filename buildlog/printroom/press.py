"""The press: a page, which is an address, a template and a frozen value, becomes bytes."""

from __future__ import annotations

import functools
import hashlib
from collections.abc import MutableMapping
from pathlib import Path

import jinja2
from markupsafe import Markup, escape

from buildlog.pages.frame import Detail, Link, Page
from buildlog.printroom.prose import Typesetter, plain

_GAP = "\x00"
"""Stands where the digest goes until it is known. A log holds no NUL, so no page does."""

_DIGEST = Markup(_GAP)

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
    if not each.to:
        return escape(each.text)
    return Markup(f'<a href="{up}{each.to}">{escape(each.text)}</a>')  # noqa: S704 - addresses are safe as they are


def names(links: tuple[Link, ...], up: str) -> Markup:
    """Links one after the other, with commas."""
    return Markup(", ").join([link(each, up) for each in links])


def says(links: tuple[Link, ...], up: str) -> Markup:
    """Links and texts one after the other, as a sentence."""
    return Markup("").join([link(each, up) for each in links])


def details(all_details: tuple[Detail, ...], up: str) -> Markup:
    """The keys of a record with their values, in one line that may wrap."""
    told = [
        Markup(f'<span class="label">{escape(each.label)}</span> {names(each.values, up)}')  # noqa: S704 - both escaped
        if each.label
        else names(each.values, up)
        for each in all_details
    ]
    return Markup("; ").join(told)


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

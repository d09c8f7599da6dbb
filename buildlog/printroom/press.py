"""The press: a page, which is an address, a template and a frozen value, becomes bytes."""

from __future__ import annotations

import functools
import hashlib
from collections.abc import MutableMapping
from html import escape
from pathlib import Path

import jinja2
from markupsafe import Markup

from buildlog.pages.frame import Link, Page
from buildlog.printroom import pieces
from buildlog.printroom.prose import Typesetter, plain

_GAP = "\x00"
"""Stands where the digest goes until it is known. A log holds no NUL, so no page does."""

_DIGEST = Markup(_GAP)  # noqa: S704 - a constant

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
            a=pieces.link,
            coded=pieces.coded,
            names=pieces.names,
            says=pieces.says,
            stamp=pieces.stamp,
            pairs=pieces.pairs,
            facts=pieces.facts,
            records=pieces.records,
            history=pieces.history,
            since=pieces.since,
            tallied=pieces.tallied,
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
        printed = text.encode()
        return printed.replace(_GAP.encode(), hashlib.sha256(printed).hexdigest()[:12].encode())

    def assets(self) -> dict[str, bytes]:
        """What every edition carries beside its pages, by address."""
        return {name: (self._theme / name).read_bytes() for name in _ASSETS}


@functools.cache
def _way_up(address: str) -> Markup:
    return Markup("../") * address.count("/")


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

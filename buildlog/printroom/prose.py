"""Prose to HTML: CommonMark as the reader checked it, names linked, headings below the page's own.

What is rendered depends on the `Prose` value alone, so its digest is the key under which it is kept,
between runs and between editions.
"""

from __future__ import annotations

import hashlib
import itertools
import re
from collections.abc import Iterable, Iterator, MutableMapping
from pathlib import PurePosixPath
from typing import Any

import msgspec
from markdown_it.token import Token
from markdown_it.utils import OptionsDict
from markupsafe import Markup, escape

from buildlog.model.fences import passages
from buildlog.model.key import Audience
from buildlog.model.prose import in_media, parser, scheme_of
from buildlog.pages.frame import Photo, Prose
from buildlog.pages.mentions import spans
from buildlog.printroom.finished import finished

_TABLE = '<div class="held" tabindex="0" role="group" aria-label="Table">\n<table>\n'

_BLANK = re.compile(r"\n[ \t]*\n")

_encode = msgspec.msgpack.Encoder().encode


class Typesetter:
    """Renders prose and keeps what it rendered."""

    def __init__(self, kept: MutableMapping[bytes, str] | None = None) -> None:
        """Set up a typesetter.

        Args:
            kept: rendered prose by digest, from before and for later; whoever gives it answers for its size.
        """
        self._kept = kept

    def set(self, prose: Prose) -> Markup:
        """The HTML of a piece of prose."""
        if self._kept is None:
            return finished(render(prose))
        key = digest(prose)
        text = self._kept.get(key)
        if text is None:
            text = self._kept[key] = render(prose)
        return finished(text)


def digest(prose: Prose) -> bytes:
    """What prose is kept under: SHA-256 of all that its rendering depends on."""
    return hashlib.sha256(_encode(prose)).digest()


def render(prose: Prose) -> str:
    """Render prose; a passage for one audience stands in a box that says so."""
    markdown = parser()
    places, pictures = dict(prose.places), dict(prose.pictures)
    addresses = dict(prose.names)
    runs = passages(prose.body)
    definitions: dict[str, Any] = {}
    if len(runs) > 1 and "]:" in prose.body:
        # A link may be defined in a later passage than the one that uses it.
        for run in runs:
            markdown.parse(run.text, definitions)
    told = []
    parsed = [(run, markdown.parse(run.text, definitions)) for run in runs]
    levels = _levels(token for _, tokens in parsed for token in tokens)
    options = OptionsDict({**markdown.options, "xhtmlOut": False})  # type: ignore[typeddict-item]  # its stub knows no "**"
    for run, tokens in parsed:
        _Setter(addresses, places, pictures, prose.up, levels).set(tokens)
        text = markdown.renderer.render(tokens, options, definitions)
        if run.audience is not Audience.PUBLIC:
            text = f'<div class="fence"><p class="label">For the {run.audience.word} only</p>\n{text}</div>\n'
        told.append(text)
    return "".join(told)


def plain(prose: str, most: int) -> str:
    """The first paragraph of a body as plain text, for a feed, cut at a word after at most `most` letters."""
    for block in (block for run in passages(prose) for block in _blocks(run.text)):
        for before, token in itertools.pairwise(parser().parse(block)):
            if before.type == "paragraph_open" and token.children:
                text = "".join(_letters(child) for child in token.children)
                return text if len(text) <= most else text[:most].rpartition(" ")[0] + " …"
    return ""


def _blocks(text: str) -> list[str]:
    """A text in pieces that each read by themselves as in the whole, so that few need be read."""
    # code may hold blank lines, and a link may be defined further down
    return [text] if "```" in text or "]:" in text else _BLANK.split(text)


def _levels(tokens: Iterable[Token]) -> Iterator[int]:
    """The level of each heading below the page's own: the highest becomes 2, and none is left out between."""
    written = [int(token.tag[1]) for token in tokens if token.type == "heading_open"]
    shown = 1
    for level in written:
        shown = min(level - min(written) + 2, shown + 1, 6)
        yield shown


def _letters(token: Token) -> str:
    return " " if token.type in ("softbreak", "hardbreak") else token.content


class _Setter:
    """Changes the tokens of one passage in place."""

    def __init__(
        self,
        names: dict[str, str],
        places: dict[str, str],
        pictures: dict[str, Photo],
        up: str,
        levels: Iterator[int],
    ) -> None:
        self._names = names
        self._order = tuple(names)
        self._places = places
        self._pictures = pictures
        self._up = up
        self._levels = levels

    def set(self, tokens: list[Token]) -> None:
        heading = ""
        for token in tokens:
            if token.children:
                token.children = self._inline(token.children)
            elif token.type == "heading_open":
                heading = token.tag = f"h{next(self._levels)}"
            elif token.type == "heading_close":
                token.tag = heading
            elif token.type == "table_open":
                # a wide table scrolls on a phone, and so must take the keyboard
                token.type, token.content = "html_block", _TABLE
            elif token.type == "table_close":
                token.type, token.content = "html_block", "</table>\n</div>\n"
            elif token.type in ("th_open", "td_open") and token.attrs:
                # An inline style would be refused by the page's own policy.
                side = str(token.attrs.pop("style")).rpartition(":")[2]
                if side != "left":
                    token.attrs["class"] = side

    def _inline(self, children: list[Token]) -> list[Token]:
        done: list[Token] = []
        # one for each link that is open: whether it leads anywhere
        links: list[bool] = []
        for child in children:
            if child.type == "link_open":
                links.append(self._aim(child))
                if links[-1]:
                    done.append(child)
            elif child.type == "link_close":
                if links.pop():
                    done.append(child)
            elif child.type == "image":
                done.append(self._picture(child, linked=any(links)))
            elif child.type == "text" and self._order and not any(links):
                self._link_names(child, done)
            else:
                done.append(child)
        return done

    def _aim(self, token: Token) -> bool:
        """Lead a link where it goes from this page; False where it leads nowhere in this edition."""
        href = str(token.attrs["href"])
        if scheme_of(href):
            token.attrs["rel"] = "noreferrer"
            return True
        if href.startswith("#"):
            return False
        path = in_media(href)
        address = self._places.get(PurePosixPath(path).stem) if path.endswith(".md") else None
        photo = self._pictures.get(path)
        if photo is not None and not photo.problem:
            address = "media/" + (photo.copy or photo.sizes[-1].name)
        if address is None:
            return False
        token.attrs["href"] = self._up + address
        return True

    def _picture(self, token: Token, *, linked: bool) -> Token:
        photo = self._pictures.get(in_media(str(token.attrs["src"])))
        text = token.content
        put = Token("html_inline", "", 0)
        if photo is None or photo.problem:
            put.content = str(escape(text))
        elif photo.sizes:
            put.content = str(_image(photo, text, self._up))
        elif linked:
            put.content = str(escape(text or photo.text))
        else:
            href = f"{self._up}media/{photo.copy}"
            put.content = str(Markup('<a href="{}">{}</a>').format(href, text or photo.text))
        return put

    def _link_names(self, token: Token, done: list[Token]) -> None:
        text, at = token.content, 0
        for start, end, name in spans(self._order, text):
            if start > at:
                done.append(_text(text[at:start]))
            opened, closed = Token("link_open", "a", 1), Token("link_close", "a", -1)
            opened.attrs = {"href": self._up + self._names[name]}
            done += [opened, _text(name), closed]
            at = end
        if at == 0:
            done.append(token)
        elif at < len(text):
            done.append(_text(text[at:]))


def _text(content: str) -> Token:
    return Token("text", "", 0, content=content)


def _image(photo: Photo, text: str, up: str) -> Markup:
    small, large = photo.sizes[0], photo.sizes[-1]
    return Markup(
        '<img src="{}media/{}" srcset="{}" sizes="(min-width: 62rem) 41rem, 100vw" width="{}" height="{}"'
        ' alt="{}" loading="lazy" decoding="async">'
    ).format(
        up,
        small.name,
        ", ".join(f"{up}media/{size.name} {size.width}w" for size in photo.sizes),
        large.width,
        large.height,
        text or photo.text,
    )

"""Text that is HTML already: the one place where the printroom vouches for what it has put together."""

from __future__ import annotations

import functools

import markupsafe
from markupsafe import Markup


def finished(text: str) -> Markup:
    """A piece of HTML, which no template escapes again.

    Every value in it was escaped where it was put in, or it is rendered prose, in which the parser lets no
    HTML through; addresses are made of safe letters alone (`buildlog.pages.address`).
    """
    # past the class's own constructor, which would look for HTML in what is known to be text
    return str.__new__(Markup, text)


def escaped(value: object) -> str:
    """What a template puts on a page for a value: `markupsafe.escape`, but with no new Markup for it.

    A page is put together of plain text, and has a hundred values: to make each of them a Markup first cost
    more than all the rest of a template.
    """
    if type(value) is str:
        return escaped_text(value)
    if type(value) is Markup:
        return value
    if type(value) is int:
        return str(value)
    return str(markupsafe.escape(value))


@functools.lru_cache(maxsize=1 << 12)
def escaped_text(text: str) -> str:
    """Plain text as HTML. What is asked for is for the most part a few words over and over."""
    return str(markupsafe.escape(text))

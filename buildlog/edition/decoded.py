"""What a reader of a published file could read in it: markup, escapes and encodings taken away.

Inline markup goes without a trace, for a word with an emphasis in it is still that word; everything else
that parts texts becomes a mark that no word crosses.
"""

from __future__ import annotations

import html
import re
import unicodedata
from urllib.parse import unquote

EDGE = "\x00"
"""Stands between texts that do not follow on one another. No log holds it, and no blank is taken for it."""

_INLINE = re.compile(
    r"</?(?:a|abbr|b|bdi|bdo|cite|code|em|i|kbd|mark|q|s|samp|small|span|strong|sub|sup|time|u|var|wbr)"
    r"(?:\s[^>]*)?/?>"
)
_BREAK = re.compile(r"<br\s*/?>")
_TAG = re.compile(r"<[^>]*>")
_SPOKEN = re.compile(
    r"\s(?:href|src|srcset|poster|alt|title|content|aria-label|id|datetime|value|label|cite|data-[\w-]+)"
    r'="([^"]*)"|\sclass="language-([^"]*)"'
)
_BEYOND = re.compile(r"[^\x00-\x7f]+")
_NO_TEXTS = frozenset("jpg jpeg png webp ico woff2 mp4 m4a pdf".split())
_ESCAPE = re.compile(r"\\(?:u([0-9a-fA-F]{4})|(.))", re.DOTALL)
_LETTERS = {"n": "\n", "r": "\r", "t": "\t", "b": "\b", "f": "\f"}
_UNSEEN = frozenset(("Mn", "Me", "Cf"))
"""The categories of marks on letters and of letters that nobody sees (Unicode Standard, table 4-4)."""

_BARE = {
    **{ord(letter): bare for letter, bare in zip("øđðłħŧ", "oddlht", strict=True)},
    ord("æ"): "ae",
    ord("œ"): "oe",
    ord("þ"): "th",
}


def decoded(address: str, data: bytes) -> str:
    """The texts of a file, folded, with `EDGE` between them; its address is one of them.

    Args:
        address: where it is in the edition.
        data: its bytes. Of what is no text (a picture, a clip) only the address is told.
    """
    ending = address.rpartition(".")[2].lower()
    name = fold(unquote(address))
    name = f"{name}{EDGE}{name.replace('-', ' ')}"
    if ending in ("html", "xml", "svg"):
        return f"{name}{EDGE}{_markup(data.decode(), twice=ending == 'xml')}"
    if ending in ("json", "webmanifest"):
        return f"{name}{EDGE}{fold(_paired(_ESCAPE.sub(_letter, data.decode())))}"
    if ending in _NO_TEXTS:
        return name
    return f"{name}{EDGE}{fold(data.decode(errors='replace'))}"


def fold(text: str) -> str:
    """A text without what tells apart two ways to write one word.

    Case, width, marks on letters (`Havørn` is `Havorn`) and letters that nobody sees make no difference.
    """
    if text.isascii():
        return text.casefold()
    return _BEYOND.sub(_bare, text).casefold()


def _bare(found: re.Match[str]) -> str:
    # only the runs beyond ASCII: in a page they are a few letters, and reading all of it so would be slow
    apart = unicodedata.normalize("NFKD", found[0]).casefold()
    # apart once more, for a letter may be two small ones
    apart = unicodedata.normalize("NFKD", apart)
    return "".join(each for each in apart if unicodedata.category(each) not in _UNSEEN).translate(_BARE)


def _markup(text: str, *, twice: bool) -> str:
    # a feed holds pages, escaped: what is left after one reading is read once more
    told = unquote(html.unescape(EDGE.join(one or other for one, other in _SPOKEN.findall(text))))
    plain = html.unescape(_TAG.sub(EDGE, _BREAK.sub(" ", _INLINE.sub("", text))))
    inner = _markup(plain, twice=False) if twice else ""
    return EDGE.join((fold(plain), fold(told), inner))


def _paired(text: str) -> str:
    """The text with each letter that JSON escapes in two halves made whole."""
    return text.encode("utf-16", "surrogatepass").decode("utf-16", "replace")


def _letter(found: re.Match[str]) -> str:
    code, letter = found.groups()
    return chr(int(code, 16)) if code else _LETTERS.get(letter, letter)

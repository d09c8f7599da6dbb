"""The fonts of a PDF, carried over key by key; what a code means as text is written anew.

Source: ISO 32000-1:2008, 9.6 to 9.10.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from pikepdf import Array, Dictionary, Name, Object, Pdf, Stream, String

from buildlog.media.paint import copy_numbers, number, one_of
from buildlog.media.refusal import UncleanableError

BROKEN = "the PDF has a font of a kind that is not carried over; print it to a new PDF file"

_SIMPLE = ("/Type1", "/MMType1", "/TrueType")
_DESCENDANTS = ("/CIDFontType0", "/CIDFontType2")
_DESCRIPTOR = (
    "/Flags /FontBBox /ItalicAngle /Ascent /Descent /Leading /CapHeight /XHeight /StemV /StemH "
    "/AvgWidth /MaxWidth /MissingWidth"
).split()
_PROGRAMS = ("/FontFile", "/FontFile2", "/FontFile3")
_COMPACT = ("/Type1C", "/CIDFontType0C", "/OpenType")
_ENCODINGS = ("/StandardEncoding", "/MacRomanEncoding", "/WinAnsiEncoding", "/MacExpertEncoding")
_LONGEST_TEXT = 8
"""Hexadecimal digits that one code may mean: two characters, or one beyond the first plane."""

_BLOCK = re.compile(rb"begin(bfchar|bfrange)(.*?)end\1", re.DOTALL)
_WORD = re.compile(rb"<\s*([0-9A-Fa-f\s]*)>|(\[)|(\])")

Drawn = Callable[[Sequence[Object], Object | None], tuple[list[bytes], Dictionary]]


class Typefaces:
    """Carries fonts over into one new document."""

    def __init__(self, made: Pdf, drawn: Drawn) -> None:
        """Set it up.

        Args:
            made: the document that is to hold them.
            drawn: draws content streams anew, for fonts whose letters are drawings.
        """
        self._made = made
        self._drawn = drawn

    def face(self, old: Object) -> Dictionary:
        """A font.

        Raises:
            UncleanableError: it is of no known kind.
        """
        kind = str(old.Subtype)
        new = Dictionary(Type=Name.Font, Subtype=old.Subtype)
        if kind == "/Type0":
            if not re.fullmatch(r"/[A-Za-z0-9-]{1,24}", str(_name(old.Encoding))):
                raise UncleanableError(BROKEN)
            new.BaseFont, new.Encoding = _name(old.BaseFont), old.Encoding
            new.DescendantFonts = Array([self._descendant(old.DescendantFonts[0])])
        elif kind in _SIMPLE or kind == "/Type3":
            copy_numbers(old, new, "/FirstChar", "/LastChar", "/Widths")
            if kind == "/Type3":
                self._drawings(old, new)
            else:
                new.BaseFont = _name(old.BaseFont)
                if "/Encoding" in old:
                    new.Encoding = _encoding(old.Encoding)
                if "/FontDescriptor" in old:
                    new.FontDescriptor = self._descriptor(old.FontDescriptor)
        else:
            raise UncleanableError(BROKEN)
        if isinstance(old.get("/ToUnicode"), Stream):
            new.ToUnicode = self._made.make_stream(meanings(old.ToUnicode.read_bytes()))
        return new

    def _descendant(self, old: Object) -> Dictionary:
        if str(old.Subtype) not in _DESCENDANTS:
            raise UncleanableError(BROKEN)
        new = Dictionary(Type=Name.Font, Subtype=old.Subtype, BaseFont=_name(old.BaseFont))
        info = old.CIDSystemInfo
        new.CIDSystemInfo = Dictionary(
            Registry=_word(info.Registry), Ordering=_word(info.Ordering), Supplement=int(info.Supplement)
        )
        copy_numbers(old, new, "/DW", "/W", "/DW2", "/W2")
        new.FontDescriptor = self._descriptor(old.FontDescriptor)
        glyphs = old.get("/CIDToGIDMap")
        if isinstance(glyphs, Stream):
            new.CIDToGIDMap = self._made.make_stream(glyphs.read_bytes())
        elif glyphs == Name.Identity:
            new.CIDToGIDMap = glyphs
        return new

    def _descriptor(self, old: Object) -> Dictionary:
        new = Dictionary(Type=Name.FontDescriptor)
        if "/FontName" in old:
            new.FontName = _name(old.FontName)
        copy_numbers(old, new, *_DESCRIPTOR)
        for key in _PROGRAMS:
            if isinstance(old.get(key), Stream):
                program = self._made.make_stream(old[key].read_bytes())
                copy_numbers(old[key], program, "/Length1", "/Length2", "/Length3")
                if key == "/FontFile3":
                    program.Subtype = one_of(old[key].Subtype, *_COMPACT)
                new[key] = program
        return new

    def _drawings(self, old: Object, new: Dictionary) -> None:
        """The letters of a font of drawings, under new names in the order of their codes."""
        copy_numbers(old, new, "/FontBBox", "/FontMatrix")
        names: dict[str, str] = {}
        codes = [
            Name(names.setdefault(str(each), f"/g{len(names)}")) if isinstance(each, Name) else number(each)
            for each in old.Encoding.Differences
        ]
        new.Encoding = Dictionary(Type=Name.Encoding, Differences=Array(codes))
        drawings = {letter: old.CharProcs.get(name) for name, letter in names.items()}
        letters = {letter: each for letter, each in drawings.items() if isinstance(each, Stream)}
        contents, new.Resources = self._drawn(list(letters.values()), old.get("/Resources"))
        new.CharProcs = Dictionary(
            {letter: self._made.make_stream(each) for letter, each in zip(letters, contents, strict=True)}
        )


def _name(value: object) -> Name:
    if not isinstance(value, Name):
        raise UncleanableError(BROKEN)
    return value


def _word(value: Object) -> String:
    """A registry's or ordering's name: one word, as Adobe and Japan1 are."""
    word = str(value)
    if not re.fullmatch(r"[A-Za-z0-9_-]{1,24}", word):
        raise UncleanableError(BROKEN)
    return String(word)


def _encoding(old: Object) -> Object:
    if isinstance(old, Name):
        return one_of(old, *_ENCODINGS)
    new = Dictionary(Type=Name.Encoding)
    if "/BaseEncoding" in old:
        new.BaseEncoding = one_of(old.BaseEncoding, *_ENCODINGS)
    if "/Differences" in old:
        new.Differences = Array(each if isinstance(each, Name) else number(each) for each in old.Differences)
    return new


def meanings(old: bytes) -> bytes:
    """A table from codes to text (9.10.3), its pairs alone; what means more than two letters is left out."""
    chars: list[bytes] = []
    ranges: list[bytes] = []
    for kind, body in _BLOCK.findall(old):
        words = [_hexadecimal(each) or (each[1] + each[2]) for each in _WORD.findall(body)]
        if b"[" in words or kind == b"bfrange":
            ranges += _ranges(words)
        else:
            pairs = zip(words[::2], words[1::2], strict=False)
            chars += [b"<%s> <%s>" % pair for pair in pairs if _fits(*pair)]
    spaces = sorted({len(each.split()[0]) // 2 - 1 for each in chars + ranges})
    rows = [
        b"/CIDInit /ProcSet findresource begin 12 dict begin begincmap",
        b"/CMapName /T def /CMapType 2 def",
        b"%d begincodespacerange" % len(spaces),
        *(b"<%s> <%s>" % (b"00" * size, b"FF" * size) for size in spaces),
        b"endcodespacerange",
    ]
    for name, lines in ((b"bfchar", chars), (b"bfrange", ranges)):
        for at in range(0, len(lines), 100):
            block = lines[at : at + 100]
            rows += [b"%d begin%s" % (len(block), name), *block, b"end" + name]
    return b"\n".join([*rows, b"endcmap end end", b""])


def _hexadecimal(found: tuple[bytes, bytes, bytes]) -> bytes:
    return b"".join(found[0].split()).upper()


def _fits(code: bytes, text: bytes) -> bool:
    return len(code) in (2, 4) and len(text) % 4 == 0 and 0 < len(text) <= _LONGEST_TEXT


def _ranges(words: list[bytes]) -> list[bytes]:
    rows: list[bytes] = []
    at = 0
    while at + 2 < len(words):
        low, high, first = words[at : at + 3]
        at += 3
        if first == b"[":
            end = words.index(b"]", at)
            pairs = [(b"%0*X" % (len(low), int(low, 16) + n), text) for n, text in enumerate(words[at:end])]
            rows += [b"<%s> <%s> <%s>" % (code, code, text) for code, text in pairs if _fits(code, text)]
            at = end + 1
        elif _fits(low, first) and len(high) == len(low):
            rows.append(b"<%s> <%s> <%s>" % (low, high, first))
    return rows

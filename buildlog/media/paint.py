"""What a PDF paints with: colours, shadings, and the functions between them, carried over key by key.

Source: ISO 32000-1:2008, 7.10 (functions), 8.6 (colour spaces), 8.7.4.5 (shadings).
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from pikepdf import Array, Dictionary, Name, Object, Pdf, Stream, String

from buildlog.media.refusal import UncleanableError

BROKEN = "the PDF draws in a way that is not known; print it to a new PDF file"

_DEVICES = {1: Name.DeviceGray, 3: Name.DeviceRGB, 4: Name.DeviceCMYK}
_PLAIN = ("/DeviceGray", "/DeviceRGB", "/DeviceCMYK", "/Pattern")
_CIE = ("/CalGray", "/CalRGB", "/Lab")
_CIE_KEYS = ("/WhitePoint", "/BlackPoint", "/Gamma", "/Matrix", "/Range")
_MEANT = ("/All", "/None")
"""Names of colorants that mean something; any other only says what the ink is called."""

_FUNCTION_KEYS = (
    "/FunctionType /Domain /Range /C0 /C1 /N /Bounds /Encode /Decode /Size /BitsPerSample /Order".split()
)
_SHADING_KEYS = (
    "/ShadingType /Background /BBox /AntiAlias /Domain /Matrix /Coords /Extend /BitsPerCoordinate "
    "/BitsPerComponent /BitsPerFlag /Decode /VerticesPerRow"
).split()
_DEEPEST = 20
_COMMENT = re.compile(rb"%[^\r\n]*")
_CALCULATION = re.compile(rb"[-+.0-9a-z{}\s]*")


class Paint:
    """Carries colours, shadings and functions over into one new document."""

    def __init__(self, made: Pdf) -> None:
        """Set it up for the document that is to hold them."""
        self._made = made

    def colours(self, old: Object, depth: int = 0) -> Object:
        """A colour space; one by a profile becomes the device's own.

        Raises:
            UncleanableError: it is none that is known.
        """
        if depth > _DEEPEST:
            raise UncleanableError(BROKEN)
        if isinstance(old, Name):
            if str(old) in _PLAIN:
                return old
            raise UncleanableError(BROKEN)
        kind, *more = list(old)
        name = str(kind)
        if not more and name in _PLAIN:
            return Array([kind])
        if name == "/ICCBased":
            instead = more[0].get("/Alternate")
            if isinstance(instead, Array) and str(instead[0]) == "/Lab":
                return self.colours(instead, depth + 1)
            return _DEVICES[int(more[0].N)]
        if name in _CIE:
            space = Dictionary()
            copy_numbers(more[0], space, *_CIE_KEYS)
            return Array([kind, space])
        if name == "/Indexed":
            table = more[2].read_bytes() if isinstance(more[2], Stream) else bytes(more[2])
            return Array([kind, self.colours(more[0], depth + 1), int(more[1]), String(table)])
        if name == "/Pattern":
            return Array([kind, self.colours(more[0], depth + 1)])
        if name in ("/Separation", "/DeviceN"):
            inks = (
                _ink(more[0], 1)
                if name == "/Separation"
                else Array(_ink(e, n) for n, e in enumerate(more[0]))
            )
            return Array([kind, inks, self.colours(more[1], depth + 1), self.function(more[2])])
        raise UncleanableError(BROKEN)

    def shading(self, old: Object) -> Object:
        """A shading, its colours and functions with it."""
        new = self._made.make_stream(old.read_bytes()) if isinstance(old, Stream) else Dictionary()
        copy_numbers(old, new, *_SHADING_KEYS)
        new.ColorSpace = self.colours(old.ColorSpace)
        if "/Function" in old:
            several = isinstance(old.Function, Array)
            new.Function = Array(map(self.function, old.Function)) if several else self.function(old.Function)
        return new

    def function(self, old: Object, depth: int = 0) -> Object:
        """A function; a calculation without its remarks.

        Raises:
            UncleanableError: it is none that is known.
        """
        if depth > _DEEPEST or not isinstance(old, Dictionary | Stream):
            raise UncleanableError(BROKEN)
        if isinstance(old, Stream):
            data = old.read_bytes()
            if old.FunctionType == 4:
                data = b" ".join(_COMMENT.sub(b" ", data).split())
                if not _CALCULATION.fullmatch(data):
                    raise UncleanableError(BROKEN)
            new: Stream | Dictionary = self._made.make_stream(data)
        else:
            new = Dictionary()
        copy_numbers(old, new, *_FUNCTION_KEYS)
        if "/Functions" in old:
            new.Functions = Array(self.function(each, depth + 1) for each in old.Functions)
        return new


def _ink(name: Object, place: int) -> Object:
    return name if str(name) in _MEANT else Name(f"/Ink{place}")


def copy_numbers(old: Object, new: Object, *keys: str) -> None:
    """Carry over what is under these keys: numbers, truths, and arrays of them.

    Raises:
        UncleanableError: it is anything else.
    """
    for key in keys:
        if key in old:
            new[key] = _numbers(old[key])


def is_number(value: object) -> bool:
    """Whether it is a number, and not true or false."""
    return isinstance(value, int | Decimal) and not isinstance(value, bool)


def number(value: object) -> int | Decimal:
    """A number.

    Raises:
        UncleanableError: it is none.
    """
    if not isinstance(value, int | Decimal) or isinstance(value, bool):
        raise UncleanableError(BROKEN)
    return value


def one_of(value: object, *names: str) -> Name:
    """One of these names.

    Raises:
        UncleanableError: it is anything else.
    """
    if not isinstance(value, Name) or str(value) not in names:
        raise UncleanableError(BROKEN)
    return value


def _numbers(value: Any, depth: int = 0) -> Any:
    if isinstance(value, bool | int | Decimal):
        return value
    if isinstance(value, Array) and depth < _DEEPEST:
        return Array(_numbers(each, depth + 1) for each in value)
    raise UncleanableError(BROKEN)

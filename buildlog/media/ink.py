"""What a PDF page draws: its instructions read one by one and written anew, with the resources they call for.

Names of resources are given anew in the order of their first use, so that a resource that nothing draws with,
and whatever a name said, is gone. Instructions with operands of another sort than theirs are left out.

Source: ISO 32000-1:2008, Annex A (operators), 7.8.3 (resources), 8 (graphics), 9 (text).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import Any

import pikepdf
from pikepdf import Array, ContentStreamInstruction, Dictionary, Name, Object, Operator, Pdf, Stream

from buildlog.media.paint import Paint, copy_numbers, is_number, number, one_of
from buildlog.media.refusal import UncleanableError
from buildlog.media.typefaces import Typefaces

DEEPEST = 20
"""Drawings inside drawings."""

_NUMBERS = frozenset(
    "b B b* B* BT c cm d0 d1 ET f F f* G g h i j J K k l m M n q Q re RG rg s S SC sc T* Tc Td TD TL Tm Tr "
    "Ts Tw Tz v w W W* y".split()
)
_TEXTS = frozenset(("Tj", "TJ", "'", '"'))
_RESOURCES = {
    "Do": "/XObject", "gs": "/ExtGState", "cs": "/ColorSpace", "CS": "/ColorSpace", "sh": "/Shading",
    "Tf": "/Font", "scn": "/Pattern", "SCN": "/Pattern",
}  # fmt: skip
_DEVICES = ("/DeviceGray", "/DeviceRGB", "/DeviceCMYK", "/Pattern")
_INTENTS = ("/AbsoluteColorimetric", "/RelativeColorimetric", "/Saturation", "/Perceptual")
_UNSEEN = (3, 7)
"""Modes of text that neither fill nor stroke it (9.3.6)."""

_STATES = "/LW /LC /LJ /ML /D /OP /op /OPM /FL /SM /SA /CA /ca /AIS /TK".split()
_BLENDS = [
    f"/{each}"
    for each in (
        "Normal Compatible Multiply Screen Overlay Darken Lighten ColorDodge ColorBurn HardLight SoftLight "
        "Difference Exclusion Hue Saturation Color Luminosity"
    ).split()
]
_PICTURES = (
    "the PDF holds pictures, which are not cleaned inside a document; put them into the log as photos, and "
    "save the PDF without them"
)
_INVISIBLE = "the PDF holds text that no page shows; print it to a new PDF file"
_LAYERED = "the PDF has layers that are not always shown; print it to a new PDF file with what is to be seen"
_TOO_DEEP = "the PDF draws itself inside itself; print it to a new PDF file"


class Ink:
    """Draws anew, into one new document."""

    def __init__(self, made: Pdf) -> None:
        """Set it up for the document that is to hold it."""
        self._made = made
        self._paint = Paint(made)
        self._faces = Typefaces(made, self.drawn)
        self._new: dict[tuple[object, ...], Object] = {}
        self._depth = 0

    def drawn(self, sources: Sequence[Object], resources: Object | None) -> tuple[list[bytes], Dictionary]:
        """The content of streams that share resources written anew, and the resources that they call for.

        Raises:
            UncleanableError: one draws what is not carried over.
        """
        self._depth += 1
        if self._depth > DEEPEST:
            raise UncleanableError(_TOO_DEEP)
        named = _Named(resources if isinstance(resources, Dictionary) else Dictionary(), self._resource)
        contents: list[bytes] = []
        for source in sources:
            kept = map(named.rewritten, pikepdf.parse_content_stream(source))
            contents.append(pikepdf.unparse_content_stream([each for each in kept if each is not None]))
        self._depth -= 1
        return contents, named.resources()

    def group(self, old: Object) -> Dictionary:
        """A transparency group (11.6.6)."""
        new = Dictionary(Type=Name.Group, S=Name.Transparency)
        for key in ("/I", "/K"):
            if isinstance(old.get(key), bool):
                new[key] = old[key]
        if "/CS" in old:
            new.CS = self._paint.colours(old.CS)
        return new

    def _resource(self, category: str, old: Object, around: Object) -> Object:
        """A resource carried over; the same old one gives the same new one."""
        key = (category, old.objgen)
        # A form without resources of its own looks another way wherever it is drawn.
        alike = old.objgen != (0, 0) and (category != "/XObject" or "/Resources" in old)
        if alike and key in self._new:
            return self._new[key]
        make: dict[str, Callable[[Object], Object]] = {
            "/XObject": lambda old: self._form(old, around),
            "/ExtGState": self._state,
            "/ColorSpace": self._paint.colours,
            "/Shading": self._paint.shading,
            "/Font": self._faces.face,
            "/Pattern": self._pattern,
        }
        new = make[category](old)
        if isinstance(new, Dictionary | Array) and not isinstance(new, Stream):
            new = self._made.make_indirect(new)
        if alike:
            self._new[key] = new
        return new

    def _form(self, old: Object, around: Object) -> Stream:
        if not isinstance(old, Stream) or old.get("/Subtype") != Name.Form:
            raise UncleanableError(_PICTURES)
        if "/OC" in old:
            refuse_hiding(old.OC)
        # A form without resources of its own draws with those of the page (8.10.2).
        (content,), resources = self.drawn([old], old.get("/Resources", around))
        new = self._made.make_stream(content, Type=Name.XObject, Subtype=Name.Form, Resources=resources)
        copy_numbers(old, new, "/BBox", "/Matrix")
        if isinstance(old.get("/Group"), Dictionary):
            new.Group = self.group(old.Group)
        return new

    def _pattern(self, old: Object) -> Object:
        if not isinstance(old, Stream):
            new = Dictionary(Type=Name.Pattern, PatternType=2, Shading=self._paint.shading(old.Shading))
            copy_numbers(old, new, "/Matrix")
            if "/ExtGState" in old:
                new.ExtGState = self._state(old.ExtGState)
            return new
        (content,), resources = self.drawn([old], old.get("/Resources"))
        tiled = self._made.make_stream(content, Type=Name.Pattern, PatternType=1, Resources=resources)
        copy_numbers(old, tiled, "/PaintType", "/TilingType", "/BBox", "/XStep", "/YStep", "/Matrix")
        return tiled

    def _state(self, old: Object) -> Dictionary:
        new = Dictionary(Type=Name.ExtGState)
        copy_numbers(old, new, *_STATES)
        blends = old.get("/BM")
        if blends is not None:
            first = blends[0] if isinstance(blends, Array) else blends
            new.BM = one_of(first, *_BLENDS)
        font = old.get("/Font")
        if isinstance(font, Array):
            new.Font = Array([self._resource("/Font", font[0], old), number(font[1])])
        mask = old.get("/SMask")
        if isinstance(mask, Dictionary):
            made = Dictionary(
                Type=Name.Mask,
                S=one_of(mask.S, "/Alpha", "/Luminosity"),
                G=self._resource("/XObject", mask.G, Dictionary()),
            )
            copy_numbers(mask, made, "/BC")
            if "/TR" in mask and not isinstance(mask.TR, Name):
                made.TR = self._paint.function(mask.TR)
            new.SMask = made
        elif mask == Name("/None"):
            new.SMask = mask
        return new


class _Named:
    """One content stream's resources: what they are called there, and what they are called anew."""

    def __init__(self, old: Object, make: Callable[[str, Object, Object], Object]) -> None:
        self._old = old
        self._make = make
        self._names: dict[tuple[str, str], Name] = {}
        self._new: dict[str, dict[str, Object]] = {}

    def resources(self) -> Dictionary:
        """The new resources, by category."""
        return Dictionary({category: Dictionary(each) for category, each in self._new.items()})

    def rewritten(self, instruction: Any) -> ContentStreamInstruction | None:
        """An instruction as it is carried over; None if it is not."""
        if isinstance(instruction, pikepdf.ContentStreamInlineImage):
            raise UncleanableError(_PICTURES)
        operator, operands = str(instruction.operator), list(instruction.operands)
        if operator == "BDC" and operands and operands[0] == Name.OC:
            self._refuse_layer(operands[-1])
        kept = self._operands(operator, operands)
        return None if kept is None else ContentStreamInstruction(kept, Operator(operator))

    def _operands(self, operator: str, operands: Sequence[Any]) -> list[Any] | None:
        if operator == "Tr" and operands[:1] and operands[0] in _UNSEEN:
            raise UncleanableError(_INVISIBLE)
        if operator in _NUMBERS:
            return list(operands) if all(map(is_number, operands)) else None
        if operator in _TEXTS:
            return _text(operator, operands)
        if operator == "d":
            return [Array(_all_numbers(operands[0])), number(operands[1])]
        if operator == "ri":
            return list(operands) if str(operands[0]) in _INTENTS else None
        if operator in _RESOURCES:
            return self._called(operator, operands)
        return None

    def _called(self, operator: str, operands: Sequence[Any]) -> list[Any] | None:
        """The operands of one that may name a resource, with its new name."""
        names = [at for at, each in enumerate(operands) if isinstance(each, Name)]
        if not all(is_number(each) for at, each in enumerate(operands) if at not in names) or len(names) > 1:
            return None
        if not names:
            return list(operands) if operator in ("scn", "SCN") else None
        if operator in ("cs", "CS") and str(operands[0]) in _DEVICES:
            return list(operands)
        name = self._name(_RESOURCES[operator], str(operands[names[0]]))
        return None if name is None else [name if at in names else each for at, each in enumerate(operands)]

    def _name(self, category: str, name: str) -> Name | None:
        if (category, name) not in self._names:
            old = self._old.get(category, Dictionary()).get(name)
            if old is None:
                return None
            new = Name(f"/R{len(self._names) + 1}")
            self._new.setdefault(category, {})[str(new)] = self._make(category, old, self._old)
            self._names[category, name] = new
        return self._names[category, name]

    def _refuse_layer(self, called: Any) -> None:
        if isinstance(called, Name):
            called = self._old.get("/Properties", Dictionary()).get(str(called), Dictionary())
        refuse_hiding(called)


def refuse_hiding(layer: Any) -> None:
    """Stop at a membership that shows something when its layers are off, or by a rule of its own (8.11.2.2).

    Raises:
        UncleanableError: it is one.
    """
    if "/VE" in layer or str(layer.get("/P", "/AnyOn")) not in ("/AnyOn", "/AllOn"):
        raise UncleanableError(_LAYERED)


def _all_numbers(values: Any) -> list[int | Decimal]:
    return [number(each) for each in values]


def _text(operator: str, operands: Sequence[Any]) -> list[Any] | None:
    if operator == "TJ":
        pieces = list(operands[0])
        whole = all(is_number(each) or isinstance(each, pikepdf.String) for each in pieces)
        return [Array(pieces)] if whole else None
    *numbers, shown = operands
    return list(operands) if isinstance(shown, pikepdf.String) and all(map(is_number, numbers)) else None

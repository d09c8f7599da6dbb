"""One PDF document: from the bytes of its file to pages drawn anew, with nothing that no page shows.

A new document is written; each page, and what it draws with, is carried over key by key from lists of what a
page needs to look as it does. So nothing else survives, whatever it is called: no document information, XMP,
attachments, scripts, actions, links, forms, annotations, thumbnails, bookmarks, page labels, tags with
alternative texts, private data of a program, earlier versions, or anything that is left over in the file.

Not looked at: what one thing drawn covers of another, what is drawn beyond the edge of the page, what fonts
are called and say of themselves.

Source: ISO 32000-1:2008 (PDF 1.7).
"""

from __future__ import annotations

import io

import pikepdf
from pikepdf import Array, Dictionary, Name, Object, Page, Pdf
from pikepdf.settings import set_qpdf_limits

from buildlog.media.ink import Ink
from buildlog.media.paint import number
from buildlog.media.refusal import UncleanableError

MOST_PAGES = 1000
MOST_UNPACKED = 200_000_000
"""Bytes of one stream."""

BROKEN = "the PDF is damaged or not quite a PDF; print it to a new PDF file, and use that"
_LOCKED = "the PDF is encrypted; save it without a password"
_LAYERS = "the PDF has layers that are not always shown; print it to a new PDF file with what is to be seen"
_CROPPED = "the PDF hides the edges of a page (its crop box); print it to a new PDF file"


def remake(data: bytes) -> bytes:
    """Make a PDF anew.

    Args:
        data: the whole file.

    Returns:
        The new file; the same for the same bytes and release of pikepdf.

    Raises:
        UncleanableError: it is damaged or encrypted, or holds pictures or what is not always shown.
        MemoryError: it takes more memory than there is.
    """
    try:
        return _remade(data)
    except (UncleanableError, MemoryError):
        raise
    except pikepdf.PasswordError as error:
        raise UncleanableError(_LOCKED) from error
    except Exception as error:  # decoders' errors have no common kind: the file is to blame
        raise UncleanableError(BROKEN) from error


def _remade(data: bytes) -> bytes:
    set_qpdf_limits(flate_max_memory=MOST_UNPACKED, run_length_max_memory=MOST_UNPACKED, parser_max_errors=1)
    with pikepdf.open(io.BytesIO(data), attempt_recovery=False) as source, pikepdf.new() as made:
        if source.is_encrypted:
            raise UncleanableError(_LOCKED)
        if not 0 < len(source.pages) <= MOST_PAGES:
            raise UncleanableError(
                f"the PDF has {len(source.pages)} pages, where 1 to {MOST_PAGES} are read; print what is to "
                "be seen of it to a new PDF file"
            )
        _refuse_layers(source)
        ink = Ink(made)
        for page in source.pages:
            made.pages.append(Page(_page(page, made, ink)))
        if source.get_warnings():
            raise UncleanableError(BROKEN)
        out = io.BytesIO()
        made.save(
            out,
            deterministic_id=True,
            fix_metadata_version=False,
            object_stream_mode=pikepdf.ObjectStreamMode.generate,
            force_version="1.7",
        )
    return out.getvalue()


def _page(page: Page, made: Pdf, ink: Ink) -> Dictionary:
    """A new page with what the old one shows."""
    box = [number(each) for each in page.mediabox]
    if [number(each) for each in page.cropbox] != box:
        raise UncleanableError(_CROPPED)
    drawn = [page.obj] if "/Contents" in page.obj else []
    contents, resources = ink.drawn(drawn, page.resources)
    new = Dictionary(Type=Name.Page, MediaBox=Array(box), Resources=resources)
    new.Contents = made.make_stream(b"".join(contents))
    turn = _inherited(page.obj, "/Rotate")
    if isinstance(turn, int) and turn % 90 == 0 and turn % 360:
        new.Rotate = turn % 360
    if isinstance(page.obj.get("/Group"), Dictionary):
        new.Group = ink.group(page.obj.Group)
    unit = page.obj.get("/UserUnit")
    if unit is not None:
        new.UserUnit = number(unit)
    return new


def _inherited(node: Object, key: str) -> object:
    """What a page says, or the nearest node above it (7.7.3.4)."""
    for _ in range(100):
        if key in node:
            return node[key]
        if "/Parent" not in node:
            break
        node = node.Parent
    return None


def _refuse_layers(source: Pdf) -> None:
    """Stop at optional content that is not shown in every state (8.11)."""
    properties = source.Root.get("/OCProperties")
    if properties is None:
        return
    default = properties.get("/D", Dictionary())
    hidden = default.get("/BaseState", Name.ON) != Name.ON or len(default.get("/OFF", Array()))
    states = [
        each.get(state) == Name.OFF
        for group in properties.get("/OCGs", Array())
        for each in group.get("/Usage", Dictionary()).values()
        if isinstance(each, Dictionary)
        for state in ("/ViewState", "/PrintState", "/ExportState")
    ]
    if hidden or any(states):
        raise UncleanableError(_LAYERS)

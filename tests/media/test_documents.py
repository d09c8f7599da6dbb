"""What comes out of one PDF: the pages as they look, and nothing that no page shows."""

import io
import subprocess
import time

import pikepdf
import pypdf
import pypdfium2
import pytest
from pikepdf import Array, Dictionary, Name

from buildlog.media import documents
from buildlog.media.documents import remake
from buildlog.media.refusal import UncleanableError
from tests.media import papers, pictures
from tests.media.papers import CANARY, SHOWN, paper, stream
from tests.outside import exiftool, require


def looks(data):
    """The pixels of each page, by PDFium, without notes and forms."""
    document = pypdfium2.PdfDocument(data)
    return [
        page.render(scale=2, may_draw_forms=False, draw_annots=False).to_numpy().copy() for page in document
    ]


def assert_looks_alike(one, other):
    before, after = looks(one), looks(other)
    assert len(before) == len(after)
    for old, new in zip(before, after, strict=True):
        assert old.shape == new.shape
        assert (old == new).all()


def unpacked(data):
    """All that is in a PDF: its bytes, and every object with its stream decoded (by qpdf)."""
    with pikepdf.open(io.BytesIO(data)) as pdf:
        objects = [repr(each).encode() + each.unparse(resolved=True) for each in pdf.objects]
        streams = [each.read_bytes() for each in pdf.objects if isinstance(each, pikepdf.Stream)]
        return b"\n".join([data, *objects, *streams, repr(pdf.trailer).encode()])


LOADED = {
    **{name: lambda change=change: paper(change=change) for name, change in papers.PLANTED.items()},
    "updated": papers.updated,
    "painted": lambda: paper(papers.PAINTING, resources=papers.painted),
    "all": lambda: paper(change=lambda pdf, page: [change(pdf, page) for change in papers.PLANTED.values()]),
}


@pytest.mark.parametrize("name", LOADED)
def test_nothing_planted_is_left_and_the_page_looks_the_same(name):
    """Judge of the looks: PDFium, another library than the one that writes."""
    data = LOADED[name]()
    assert CANARY in unpacked(data) or CANARY in data
    made = remake(data)
    assert CANARY.lower() not in unpacked(made).lower()
    assert_looks_alike(data, made)
    if name != "painted":
        assert pypdf.PdfReader(io.BytesIO(made)).pages[0].extract_text().strip() == SHOWN


def test_the_painted_page_is_not_empty():
    (page,) = looks(LOADED["painted"]())
    assert len({tuple(each) for row in page[::4, ::4] for each in row}) > 40


def test_same_document_same_bytes_a_while_later():
    first = {name: remake(make()) for name, make in LOADED.items()}
    # The identifier of a file is made of the time, to the second, where nobody sees to it (14.4).
    time.sleep(1.1)
    assert {name: remake(make()) for name, make in LOADED.items()} == first


@pytest.mark.parametrize("name", LOADED)
def test_only_what_a_page_needs_is_in_the_file(name):
    with pikepdf.open(io.BytesIO(remake(LOADED[name]()))) as pdf:
        assert set(pdf.Root.keys()) == {"/Type", "/Pages"}
        assert set(pdf.trailer.keys()) <= {
            "/Root",
            "/Size",
            "/ID",
            "/Type",
            "/W",
            "/Index",
            "/Filter",
            "/Length",
        } | {"/DecodeParms"}
        for page in pdf.pages:
            assert set(page.obj.keys()) <= {"/Type", "/Parent", "/MediaBox", "/Resources", "/Contents"}


@pytest.mark.outside
def test_exiftool_finds_nothing_but_the_structure(tmp_path):
    """Judge: exiftool, which reads PDF information, XMP and attachments."""
    before, after = tmp_path / "before", tmp_path / "after"
    before.mkdir()
    after.mkdir()
    for name, make in LOADED.items():
        (before / f"{name}.pdf").write_bytes(make())
        (after / f"{name}.pdf").write_bytes(remake(make()))
    carried = exiftool(before)[str(before / "with_information.pdf")]
    assert "PDF:Title" in carried
    found = exiftool(after)
    assert len(found) == len(LOADED)
    for tags in found.values():
        assert tags <= {
            "SourceFile", "ExifTool:ExifToolVersion", "File:FileType", "File:FileTypeExtension",
            "File:MIMEType", "PDF:PDFVersion", "PDF:Linearized", "PDF:PageCount",
        }  # fmt: skip


def test_what_a_page_says_of_itself_is_kept():
    def change(pdf, page):
        page.Rotate = 270
        page.UserUnit = 2
        page.Group = Dictionary(S=Name.Transparency, I=True, CS=Name.DeviceRGB)

    made = remake(paper(change=change, pages=3))
    with pikepdf.open(io.BytesIO(made)) as pdf:
        assert len(pdf.pages) == 3
        page = pdf.pages[0].obj
        assert (page.Rotate, page.UserUnit) == (270, 2)
        assert dict(page.Group) == {
            "/Type": Name.Group,
            "/S": Name.Transparency,
            "/I": True,
            "/CS": Name.DeviceRGB,
        }


def test_what_is_inherited_from_the_tree_of_pages_is_kept():
    def change(pdf, page):
        pdf.Root.Pages.Resources = page.Resources
        pdf.Root.Pages.Rotate = 90
        pdf.Root.Pages.MediaBox = page.MediaBox
        del page.Resources, page.MediaBox

    data = paper(change=change)
    assert_looks_alike(data, remake(data))


def image(pdf):
    return stream(
        pdf, b"\xff\0\0" * 4, Type=Name.XObject, Subtype=Name.Image, Width=2, Height=2,
        ColorSpace=Name.DeviceRGB, BitsPerComponent=8,
    )  # fmt: skip


INLINE = b"q 9 0 0 9 0 0 cm BI /W 1 /H 1 /CS /RGB /BPC 8 ID \xff\x00\x00 EI Q"


def on_page(pdf, page):
    page.Resources.XObject = Dictionary(Im1=image(pdf))
    page.Contents = pdf.make_stream(b"/Im1 Do")


def as_jpeg(pdf, page):
    data = pictures.loaded_jpeg()
    page.Resources.XObject = Dictionary(
        Im1=stream(
            pdf, data, Type=Name.XObject, Subtype=Name.Image, Width=64, Height=48, Filter=Name.DCTDecode,
            ColorSpace=Name.DeviceRGB, BitsPerComponent=8,
        )
    )  # fmt: skip
    page.Contents = pdf.make_stream(b"/Im1 Do")


def inline(pdf, page):
    page.Contents = pdf.make_stream(INLINE)


def inline_in_form(pdf, page):
    page.Resources.XObject = Dictionary(
        Fm1=stream(pdf, INLINE, Type=Name.XObject, Subtype=Name.Form, BBox=[0, 0, 9, 9])
    )
    page.Contents = pdf.make_stream(b"/Fm1 Do")


def in_form_by_the_page(pdf, page):
    page.Resources.XObject = Dictionary(
        Im1=image(pdf), Fm1=stream(pdf, b"/Im1 Do", Type=Name.XObject, Subtype=Name.Form, BBox=[0, 0, 9, 9])
    )
    page.Contents = pdf.make_stream(b"/Fm1 Do")


def in_tiles(pdf, page):
    page.Resources.Pattern = Dictionary(
        P1=stream(
            pdf, b"/Im1 Do", PatternType=1, PaintType=1, TilingType=1, BBox=[0, 0, 6, 6], XStep=6, YStep=6,
            Resources=Dictionary(XObject=Dictionary(Im1=image(pdf))),
        )
    )  # fmt: skip
    page.Contents = pdf.make_stream(b"/Pattern cs /P1 scn 0 0 9 9 re f")


def in_a_letter(pdf, page):
    page.Resources.Font.F1 = Dictionary(
        Type=Name.Font, Subtype=Name.Type3, FontBBox=[0, 0, 10, 10], FontMatrix=[0.1, 0, 0, 0.1, 0, 0],
        FirstChar=65, LastChar=65, Widths=[10], Encoding=Dictionary(Differences=Array([65, Name("/a")])),
        CharProcs=Dictionary(a=stream(pdf, b"10 0 d0 /Im1 Do")),
        Resources=Dictionary(XObject=Dictionary(Im1=image(pdf))),
    )  # fmt: skip
    page.Contents = pdf.make_stream(b"BT /F1 9 Tf (A) Tj ET")


def in_a_mask(pdf, page):
    form = stream(
        pdf, b"/Im1 Do", Type=Name.XObject, Subtype=Name.Form, BBox=[0, 0, 9, 9],
        Resources=Dictionary(XObject=Dictionary(Im1=image(pdf))),
    )  # fmt: skip
    page.Resources.ExtGState = Dictionary(G1=Dictionary(SMask=Dictionary(S=Name.Alpha, G=form)))
    page.Contents = pdf.make_stream(b"/G1 gs 0 0 9 9 re f")


@pytest.mark.parametrize(
    "change",
    [on_page, as_jpeg, inline, inline_in_form, in_form_by_the_page, in_tiles, in_a_letter, in_a_mask],
    ids=lambda each: each.__name__,
)
def test_pictures_in_it_are_refused_wherever_they_are_drawn(change):
    with pytest.raises(UncleanableError, match=r"holds pictures.*put them into the log as photos"):
        remake(paper(change=change))


def layer_off(pdf, page):
    papers.with_layer(pdf, page)
    pdf.Root.OCProperties.D.OFF = pdf.Root.OCProperties.OCGs


def layers_off_at_first(pdf, page):
    papers.with_layer(pdf, page)
    pdf.Root.OCProperties.D.BaseState = Name.OFF


def layer_for_print(pdf, page):
    papers.with_layer(pdf, page)
    pdf.Root.OCProperties.OCGs[0].Usage = Dictionary(View=Dictionary(ViewState=Name.OFF))


def layer_when_off(pdf, page):
    papers.with_layer(pdf, page)
    page.Resources.Properties.CANARY = Dictionary(Type=Name.OCMD, P=Name.AllOff)


def form_when_off(pdf, page):
    page.Resources.XObject = Dictionary(
        Fm1=stream(
            pdf, b"0 0 9 9 re f", Type=Name.XObject, Subtype=Name.Form, BBox=[0, 0, 9, 9],
            OC=Dictionary(Type=Name.OCMD, VE=Array([Name.Not])),
        )
    )  # fmt: skip
    page.Contents = pdf.make_stream(b"/Fm1 Do")


def cropped(pdf, page):
    page.CropBox = Array([0, 0, 200, 200])


def unseen_text(pdf, page):
    page.Contents = pdf.make_stream(b"BT 3 Tr /F1 9 Tf (CANARY) Tj ET")


def in_itself(pdf, page):
    form = pdf.make_indirect(stream(pdf, b"/Fm1 Do", Type=Name.XObject, Subtype=Name.Form, BBox=[0, 0, 9, 9]))
    form.Resources = Dictionary(XObject=Dictionary(Fm1=form))
    page.Resources.XObject = Dictionary(Fm1=form)
    page.Contents = pdf.make_stream(b"/Fm1 Do")


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (layer_off, "layers that are not always shown"),
        (layers_off_at_first, "layers that are not always shown"),
        (layer_for_print, "layers that are not always shown"),
        (layer_when_off, "layers that are not always shown"),
        (form_when_off, "layers that are not always shown"),
        (cropped, "hides the edges"),
        (unseen_text, "text that no page shows"),
        (in_itself, "draws itself inside itself"),
    ],
    ids=lambda each: getattr(each, "__name__", ""),
)
def test_what_hides_something_is_refused(change, message):
    with pytest.raises(UncleanableError, match=message + ".*; print it to a new PDF file"):
        remake(paper(change=change))


@pytest.mark.parametrize("password", ["", "secret"])
def test_encrypted_is_refused(password):
    data = paper(encryption=pikepdf.Encryption(owner="owner", user=password), static_id=False)
    with pytest.raises(UncleanableError, match="is encrypted; save it without a password"):
        remake(data)


def test_broken_is_refused():
    data = paper()
    for broken in (b"", b"%PDF-1.7\n", data[: len(data) // 2], data.replace(b"/Pages", b"/Pagez"), b"CANARY"):
        with pytest.raises(UncleanableError, match="damaged or not quite a PDF; print it to a new PDF file"):
            remake(broken)


def test_a_stream_that_unpacks_to_too_much_is_refused(monkeypatch):
    def change(pdf, page):
        page.Contents = pdf.make_stream(b" " * 5_000_000 + page.Contents.read_bytes())

    data = paper(change=change)
    assert len(data) < 20_000
    assert_looks_alike(data, remake(data))
    monkeypatch.setattr(documents, "MOST_UNPACKED", 1_000_000)
    with pytest.raises(UncleanableError, match="damaged or not quite a PDF"):
        remake(data)


@pytest.mark.outside
def test_a_page_that_a_browser_printed(tmp_path):
    """Of a real writer of PDF: Chromium, with embedded fonts, tags and a title; judges: PDFium and pypdf."""
    page, out = tmp_path / "page.html", tmp_path / "page.pdf"
    page.write_text(
        "<!doctype html><html lang=en><title>CANARY title</title><body><h1>Rigging sheet</h1>"
        "<p>Dihedral 3.5 degrees, washout none.</p><table border=1><tr><td>left<td>right</table>"
        "<svg width=200 height=100><circle cx=50 cy=50 r=40 fill=teal opacity=.5 /></svg>"
    )
    chromium = require("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
    command = [
        chromium,
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        f"--print-to-pdf={out}",
        "--no-pdf-header-footer",
    ]
    subprocess.run([*command, page.as_uri()], capture_output=True, check=True, timeout=120)
    data = out.read_bytes()
    made = remake(data)
    assert_looks_alike(data, made)
    assert CANARY not in unpacked(made)
    assert b"Skia" not in unpacked(made)
    text = pypdf.PdfReader(io.BytesIO(made)).pages[0].extract_text()
    assert text == pypdf.PdfReader(io.BytesIO(data)).pages[0].extract_text()
    assert "Dihedral 3.5 degrees" in text

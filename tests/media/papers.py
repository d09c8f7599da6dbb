"""PDF documents that carry all that a program puts into one beside its pages, each kind with a canary.

Built object by object (ISO 32000-1), so that what is planted depends on no program's habits.
"""

import io
import re

import pikepdf
from pikepdf import Array, Dictionary, Name, String

CANARY = b"CANARY"
SHOWN = "What anybody may read"
XMP = (
    b"<x:xmpmeta xmlns:x='adobe:ns:meta/'><rdf:RDF xmlns:rdf='http://www.w3.org/1999/02/22-rdf-syntax-ns#'>"
    b"<rdf:Description rdf:about='CANARY'/></rdf:RDF></x:xmpmeta>"
)


def helvetica():
    kind = Dictionary(Type=Name.Font, Subtype=Name.Type1, BaseFont=Name.Helvetica)
    kind.Encoding = Name.WinAnsiEncoding
    return kind


def paper(content=None, change=lambda pdf, page: None, resources=None, pages=1, **saving):
    """The bytes of a PDF; `change` is called with the document and its first page before it is saved."""
    pdf = pikepdf.new()
    for _ in range(pages):
        page = pdf.add_blank_page(page_size=(300, 200))
        page.obj.Resources = (
            Dictionary(Font=Dictionary(F1=helvetica())) if resources is None else resources(pdf)
        )
        text = content if content is not None else b"BT /F1 18 Tf 20 100 Td (%s) Tj ET" % SHOWN.encode()
        page.obj.Contents = pdf.make_stream(text)
    change(pdf, pdf.pages[0].obj)
    out = io.BytesIO()
    pdf.save(out, **{"static_id": True, **saving})
    return out.getvalue()


def with_information(pdf, page):
    pdf.docinfo = pdf.make_indirect(
        Dictionary(
            Title=String("CANARY title"), Author=String("CANARY"), CreationDate=String("D:20260314183000")
        )
    )
    pdf.Root.Metadata = stream(pdf, XMP, Type=Name.Metadata, Subtype=Name.XML)
    pdf.Root.Lang = String("CANARY")
    page.Metadata = stream(pdf, XMP)
    page.LastModified = String("D:20260314183000CANARY")
    pdf.Root.OutputIntents = Array([Dictionary(S=Name.GTS_PDFX, Info=String("CANARY"))])


def with_attachments(pdf, page):
    pdf.attachments["CANARY.txt"] = pikepdf.AttachedFileSpec(pdf, b"CANARY attached", filename="CANARY.txt")
    page.AF = Array([Dictionary(Type=Name.Filespec, F=String("CANARY"))])


def with_actions(pdf, page):
    script = Dictionary(S=Name.JavaScript, JS=String("app.alert('CANARY')"))
    pdf.Root.OpenAction = script
    pdf.Root.AA = Dictionary(WC=script)
    page.AA = Dictionary(O=Dictionary(S=Name.URI, URI=String("https://example.org/CANARY")))
    pdf.Root.Names = Dictionary(JavaScript=Dictionary(Names=Array([String("CANARY"), script])))


def with_annotations(pdf, page):
    note = Dictionary(
        Type=Name.Annot,
        Subtype=Name.Text,
        Rect=Array([0, 0, 9, 9]),
        Contents=String("CANARY"),
        T=String("CANARY"),
    )
    field = pdf.make_indirect(
        Dictionary(
            Type=Name.Annot, Subtype=Name.Widget, FT=Name.Tx, T=String("CANARY"), V=String("CANARY"),
            Rect=Array([0, 0, 9, 9]),
        )
    )  # fmt: skip
    page.Annots = Array([note, field])
    pdf.Root.AcroForm = Dictionary(Fields=Array([field]), XFA=stream(pdf, b"<x>CANARY</x>"))


def with_private_data(pdf, page):
    page.PieceInfo = Dictionary(Drafter=Dictionary(Private=String("CANARY"), LastModified=String("D:2026")))
    pdf.Root.PieceInfo = Dictionary(Drafter=Dictionary(Private=stream(pdf, b"CANARY")))
    page.Thumb = stream(pdf, b"CANARY" * 8, Width=4, Height=4, ColorSpace=Name.DeviceRGB, BitsPerComponent=8)
    page.CANARY = Name("/CANARY")
    pdf.Root.CANARY = stream(pdf, b"CANARY")


def with_structure(pdf, page):
    element = Dictionary(
        Type=Name.StructElem, S=Name.Figure, Alt=String("CANARY"), ActualText=String("CANARY")
    )
    pdf.Root.StructTreeRoot = Dictionary(Type=Name.StructTreeRoot, K=Array([pdf.make_indirect(element)]))
    pdf.Root.MarkInfo = Dictionary(Marked=True)
    pdf.Root.PageLabels = Dictionary(Nums=Array([0, Dictionary(P=String("CANARY"))]))
    item = pdf.make_indirect(Dictionary(Title=String("CANARY bookmark")))
    pdf.Root.Outlines = pdf.make_indirect(Dictionary(Type=Name.Outlines, First=item, Last=item, Count=1))
    marked = b"% CANARY remark\n/Span <</ActualText (CANARY) /Alt (CANARY)>> BDC /P /MC1 DP "
    page.Contents = pdf.make_stream(
        marked + page.Contents.read_bytes() + b" EMC BX (CANARY) secret EX /CANARY gs"
    )
    page.Resources.Properties = Dictionary(MC1=Dictionary(Note=String("CANARY")))


def with_layer(pdf, page):
    """A layer that is always shown, but whose name is nobody's business."""
    layer = pdf.make_indirect(Dictionary(Type=Name.OCG, Name=String("CANARY layer")))
    pdf.Root.OCProperties = Dictionary(
        OCGs=Array([layer]), D=Dictionary(ON=Array([layer]), Name=String("CANARY"))
    )
    page.Resources.Properties = Dictionary(CANARY=layer)
    page.Contents = pdf.make_stream(b"/OC /CANARY BDC " + page.Contents.read_bytes() + b" EMC")


def with_leftovers(pdf, page):
    page.Resources.XObject = Dictionary(
        CANARYunused=stream(
            pdf, b"BT (CANARY) Tj ET", Type=Name.XObject, Subtype=Name.Form, BBox=[0, 0, 1, 1]
        )
    )
    page.Contents = Array([pdf.make_stream(b"q "), page.Contents, pdf.make_stream(b" Q % CANARY")])


PLANTED = {
    each.__name__: each
    for each in (
        with_information, with_attachments, with_actions, with_annotations, with_private_data, with_structure,
        with_layer, with_leftovers,
    )
}  # fmt: skip


def stream(pdf, data, **keys):
    return pdf.make_stream(data, Dictionary({f"/{key}": value for key, value in keys.items()}))


def updated():
    """A paper whose first version said something else: both are in the file (7.5.6)."""
    old = paper(
        b"BT /F1 18 Tf 20 100 Td (CANARY once said) Tj ET",
        object_stream_mode=pikepdf.ObjectStreamMode.disable,
        compress_streams=False,
        stream_decode_level=pikepdf.StreamDecodeLevel.none,
    )
    number = int(re.findall(rb"(\d+) 0 obj", old[: old.index(b"CANARY")])[-1])
    content = b"BT /F1 18 Tf 20 100 Td (%s) Tj ET" % SHOWN.encode()
    new = b"%d 0 obj\n<< /Length %d >>\nstream\n%s\nendstream\nendobj\n" % (number, len(content), content)
    table = b"xref\n%d 1\n%010d 00000 n \n" % (number, len(old))
    root, size = re.search(rb"/Root (\d+) 0 R", old)[1], re.search(rb"/Size (\d+)", old)[1]
    before = re.search(rb"startxref\s+(\d+)", old)[1]
    trailer = b"trailer << /Size %s /Root %s 0 R /Prev %s >>\n" % (size, root, before)
    return old + new + table + trailer + b"startxref\n%d\n%%%%EOF\n" % (len(old) + len(new))


def painted(pdf):
    """Resources of every kind that a page may draw with, with a canary wherever one may stand."""
    code = stream(pdf, b"{ % CANARY\n dup 0.5 mul exch }", FunctionType=4, Domain=[0, 1], Range=[0, 1, 0, 1])
    spread = Dictionary(
        FunctionType=2, Domain=[0, 1], C0=[1, 0, 0], C1=[0, 0, 1], N=1, CANARY=String("CANARY")
    )
    sewn = Dictionary(
        FunctionType=3, Domain=[0, 1], Functions=[spread, spread], Bounds=[0.5], Encode=[0, 1, 0, 1]
    )
    sampled = stream(
        pdf,
        bytes(range(6)),
        FunctionType=0,
        Domain=[0, 1],
        Range=[0, 1, 0, 1, 0, 1],
        Size=[2],
        BitsPerSample=8,
    )
    profile = stream(pdf, b"CANARY profile", N=3)
    shading = Dictionary(ShadingType=2, ColorSpace=Name.DeviceRGB, Coords=[0, 0, 300, 0], Function=sewn)
    wheel = Dictionary(
        ShadingType=3, ColorSpace=Array([Name.ICCBased, profile]), Coords=[150, 100, 0, 150, 100, 50],
        Function=sampled, Extend=[True, False],
    )  # fmt: skip
    form = stream(
        pdf, b"0 1 0 rg 5 5 20 20 re f % CANARY", Type=Name.XObject, Subtype=Name.Form, BBox=[0, 0, 40, 40],
        Name=Name("/CANARY"), Metadata=stream(pdf, XMP), LastModified=String("CANARY"),
        PieceInfo=Dictionary(X=Dictionary(Private=String("CANARY"))),
        Group=Dictionary(S=Name.Transparency, CS=Name.DeviceRGB, CANARY=String("CANARY")),
    )  # fmt: skip
    tiles = stream(
        pdf, b"1 0 0 rg 0 0 3 3 re f", Type=Name.Pattern, PatternType=1, PaintType=1, TilingType=1,
        BBox=[0, 0, 6, 6], XStep=6, YStep=6, Resources=Dictionary(), CANARY=String("CANARY"),
    )  # fmt: skip
    drawn = Dictionary(
        Type=Name.Font, Subtype=Name.Type3, FontBBox=[0, 0, 10, 10], FontMatrix=[0.1, 0, 0, 0.1, 0, 0],
        FirstChar=65, LastChar=66, Widths=[10, 10], Name=Name("/CANARY"),
        Encoding=Dictionary(Differences=Array([65, Name("/CANARYone"), Name("/CANARYtwo")])),
        CharProcs=Dictionary(
            {
                "/CANARYone": stream(pdf, b"10 0 d0 1 1 8 8 re f"),
                "/CANARYtwo": stream(pdf, b"10 0 d0 0 0 m 9 0 l 5 9 l f"),
                "/CANARYthree": stream(pdf, b"(CANARY) Tj"),
            }
        ),
        ToUnicode=stream(
            pdf, b"%CANARY\n1 beginbfchar\n<41> <0041>\n<42> <00430041004E004100520059>\nendbfchar\n"
            b"1 beginbfrange <43> <44> <0043> endbfrange",
        ),
    )  # fmt: skip
    mask = Dictionary(Type=Name.Mask, S=Name.Luminosity, G=form, BC=[0, 0, 0])
    return Dictionary(
        Font=Dictionary({"/CANARYfont": helvetica(), "/T3": drawn}),
        XObject=Dictionary({"/CANARYform": form}),
        ExtGState=Dictionary(
            G1=Dictionary(ca=0.5, BM=Name.Multiply, CANARY=String("CANARY"), Font=Array([helvetica(), 9])),
            G2=Dictionary(SMask=mask), G3=Dictionary(SMask=Name("/None"), BM=Array([Name.Screen])),
        ),
        ColorSpace=Dictionary(
            Spot=Array([Name.Separation, Name("/CANARYink"), Name.DeviceRGB, spread]),
            Two=Array([Name.DeviceN, Array([Name("/CANARY"), Name.All]), Name.DeviceRGB, two_to_three(pdf)]),
            Cal=Array([Name.CalRGB, Dictionary(WhitePoint=[0.95, 1, 1.09], CANARY=String("CANARY"))]),
            Icc=Array([Name.ICCBased, profile]),
            Table=Array([Name.Indexed, Name.DeviceRGB, 1, String(b"\x00\xff\x00\xff\x00\x00")]),
            Tiled=Array([Name.Pattern, Name.DeviceRGB]), Plain=Array([Name.DeviceGray]),
        ),
        Shading=Dictionary(S1=shading, S2=wheel),
        Pattern=Dictionary(
            P1=tiles, P2=Dictionary(PatternType=2, Shading=shading, Matrix=[1, 0, 0, 1, 9, 0])
        ),
        Properties=Dictionary(CANARY=Dictionary(Note=String("CANARY"))), CANARY=Dictionary(CANARY=code),
    )  # fmt: skip


def two_to_three(pdf):
    return stream(
        pdf, b"{ % CANARY\n 2 copy add 2 div }", FunctionType=4, Domain=[0, 1, 0, 1], Range=[0, 1, 0, 1, 0, 1]
    )


PAINTING = b"""
q /S1 sh Q q 0 0 150 100 re W n /S2 sh Q
/Spot cs 0.7 scn 10 10 30 30 re f /Two cs 0.2 0.9 scn 50 10 30 30 re f /Cal cs 0.3 0.6 0.1 sc 90 10 30 30 re f
/Icc CS 0.9 0.1 0.4 SCN 130 10 30 30 re S /Table cs 1 sc 170 10 30 30 re f /Plain cs 0.5 sc 210 10 30 30 re f
/Pattern cs /P1 scn 10 50 30 30 re f /P2 scn 50 50 30 30 re f
q 1 0 0 1 90 50 cm /CANARYform Do Q q /G1 gs 0 0 1 rg 95 55 40 40 re f Q
q /G2 gs 1 0 0 rg 0 0 300 200 re f /G3 gs Q
[3 2] 0 d /Perceptual ri 1 0 0 RG 150 60 m 200 90 l S
0 g BT /CANARYfont 14 Tf 20 150 Td (Every word) Tj [(stands) -300 (here)] TJ 16 TL (next) ' 1 2 (last) " ET
BT /T3 20 Tf 200 150 Td (ABA) Tj ET
(CANARY) 1 0 0 rg /CANARY /CANARY gs (CANARY) Tf /Nowhere gs /Nowhere Do /CANARY ri /P /CANARY BDC EMC
"""

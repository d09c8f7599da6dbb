"""Pictures that carry all that a camera, a phone or an editor puts into a file, each kind with a canary."""

import io
import struct
import zlib

import numpy as np
import piexif
import pillow_heif
from PIL import Image, PngImagePlugin

pillow_heif.register_heif_opener()

CANARY = b"CANARY"
SIZE = (64, 48)
FORMATS = {
    "jpg": "JPEG",
    "png": "PNG",
    "webp": "WEBP",
    "tif": "TIFF",
    "heic": "HEIF",
    "avif": "AVIF",
    "gif": "GIF",
}


def quadrants(width=64, height=48):
    """Red, green / blue, yellow: no turn of it equals another."""
    pixels = np.zeros((height, width, 3), np.uint8)
    h, w = height // 2, width // 2
    pixels[:h, :w], pixels[:h, w:] = (220, 20, 20), (20, 180, 20)
    pixels[h:, :w], pixels[h:, w:] = (20, 20, 220), (230, 220, 30)
    return pixels


def encoded(image, kind, **options):
    out = io.BytesIO()
    if kind in ("jpg", "webp", "avif", "heic"):
        options = {"quality": 95, **options}
    image.save(out, FORMATS[kind], **options)
    return out.getvalue()


def picture(kind="jpg", size=SIZE, **options):
    return encoded(Image.fromarray(quadrants(*size)), kind, **options)


def exif(orientation=1, thumbnail=None):
    zeroth = {
        piexif.ImageIFD.Make: b"CANARY make",
        piexif.ImageIFD.Artist: b"CANARY artist",
        piexif.ImageIFD.Orientation: orientation,
    }
    within = {
        piexif.ExifIFD.MakerNote: b"CANARY maker note",
        piexif.ExifIFD.BodySerialNumber: b"CANARY serial",
    }
    gps = {
        piexif.GPSIFD.GPSLatitudeRef: b"N",
        piexif.GPSIFD.GPSLatitude: ((59, 1), (54, 1), (4700, 100)),
        piexif.GPSIFD.GPSLongitudeRef: b"E",
        piexif.GPSIFD.GPSLongitude: ((10, 1), (45, 1), (800, 100)),
        piexif.GPSIFD.GPSAreaInformation: b"CANARY area",
    }
    parts = {"0th": zeroth, "Exif": within, "GPS": gps}
    if thumbnail:
        parts |= {"1st": {piexif.ImageIFD.Compression: 6}, "thumbnail": thumbnail}
    return piexif.dump(parts)


XMP = (
    b'<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">'
    b'<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"><dc:description><rdf:Alt>'
    b'<rdf:li xml:lang="x-default">CANARY xmp</rdf:li></rdf:Alt></dc:description></rdf:Description></rdf:RDF>'
    b"</x:xmpmeta>"
)


def segment(marker, payload):
    return bytes((0xFF, marker)) + struct.pack(">H", len(payload) + 2) + payload


def iptc():
    record = b"\x1c\x02\x78" + struct.pack(">H", 14) + b"CANARY caption"
    block = b"8BIM\x04\x04\x00\x00" + struct.pack(">I", len(record)) + record
    return segment(0xED, b"Photoshop 3.0\0" + block)


def loaded_jpeg(orientation=6):
    """With EXIF, GPS, maker note, thumbnail, XMP, IPTC, comment, profile, vendor segment and a tail."""
    thumbnail = picture(size=(32, 24), comment=b"CANARY thumbnail")
    data = picture(
        exif=exif(orientation, thumbnail),
        xmp=XMP,
        comment=b"CANARY comment",
        icc_profile=profile(SRGB, note=CANARY),
    )
    extra = iptc() + segment(0xEA, b"CANARY vendor segment")
    return data[:2] + extra + data[2:] + b"\0\0\0\x18ftypmp42CANARY motion photo tail"


def loaded(kind):
    """A picture of this kind with all that its format can carry."""
    if kind == "jpg":
        return loaded_jpeg()
    return _loaded(kind) + MOTION


MOTION = struct.pack(">I4s", 8 + 32, b"mpvd") + b"CANARY motion photo tail".ljust(32, b"\0")
"""A clip behind the picture, in a box as phones put one there."""


def _loaded(kind):
    carried = {"icc_profile": profile(SRGB, note=CANARY), "exif": exif(1), "xmp": XMP}
    if kind == "png":
        text = PngImagePlugin.PngInfo()
        text.add_text("Comment", "CANARY text")
        text.add_itxt("XML:com.adobe.xmp", XMP.decode(), zip=False)
        return (
            picture(kind, pnginfo=text, icc_profile=carried["icc_profile"], exif=carried["exif"])
            + b"CANARY tail"
        )
    if kind == "gif":
        return picture(kind, comment=b"CANARY comment") + b"CANARY tail"
    if kind == "tif":
        return picture(
            kind, icc_profile=carried["icc_profile"], description="CANARY description", artist="CANARY"
        )
    return picture(kind, **carried)


# Primaries and white as x, y: IEC 61966-2-1 (sRGB) and SMPTE EG 432-1 with D65 (Display P3); from memory.
SRGB = ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06))
P3 = ((0.68, 0.32), (0.265, 0.69), (0.15, 0.06))
D65 = (0.3127, 0.3290)
D50_XYZ = np.array((0.9642, 1.0, 0.8249))  # ICC.1, profile connection space
BRADFORD = np.array(((0.8951, 0.2664, -0.1614), (-0.7502, 1.7135, 0.0367), (0.0389, -0.0685, 1.0296)))


def to_xyz(primaries):
    """The matrix from linear RGB to XYZ of that white (SMPTE RP 177)."""
    columns = np.array([(x / y, 1.0, (1 - x - y) / y) for x, y in primaries]).T
    return columns * np.linalg.solve(columns, _white())


def _white():
    return np.array((D65[0] / D65[1], 1.0, (1 - D65[0] - D65[1]) / D65[1]))


def linear(encoded_values):
    v = np.asarray(encoded_values, float)
    return np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)  # IEC 61966-2-1


def as_srgb(rgb, primaries):
    """What 8-bit values of other primaries, with sRGB's curve, are in sRGB."""
    light = np.linalg.solve(to_xyz(SRGB), to_xyz(primaries) @ linear(np.array(rgb) / 255)).clip(0, 1)
    return 255 * np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)


def profile(primaries, note=b"", space=b"RGB "):
    """A matrix profile of ICC version 2, byte by byte (ICC.1:2001-04)."""
    cone = BRADFORD @ _white()
    adapt = np.linalg.inv(BRADFORD) @ np.diag((BRADFORD @ D50_XYZ) / cone) @ BRADFORD
    colorants = (adapt @ to_xyz(primaries)).T
    curve = b"".join(
        struct.pack(">H", round(65535 * each)) for each in linear(np.arange(1024) / 1023).tolist()
    )
    tags = {
        b"cprt": b"text\0\0\0\0" + note + b"\0",
        b"wtpt": _xyz(D50_XYZ),
        **{name: _xyz(each) for name, each in zip((b"rXYZ", b"gXYZ", b"bXYZ"), colorants, strict=True)},
        **dict.fromkeys(
            (b"rTRC", b"gTRC", b"bTRC", b"kTRC"), b"curv\0\0\0\0" + struct.pack(">I", 1024) + curve
        ),
    }
    table, body, at = b"", b"", 128 + 4 + 12 * len(tags)
    for name, data in tags.items():
        table += name + struct.pack(">II", at + len(body), len(data))
        body += data + b"\0" * (-len(data) % 4)
    size = at + len(body)
    head = (
        struct.pack(">I4sI4s4s4s", size, b"\0" * 4, 0x02100000, b"mntr", space, b"XYZ ")
        + b"\0" * 12
        + b"acsp"
    )
    head = head.ljust(68, b"\0") + _xyz(D50_XYZ)[8:]
    return head.ljust(128, b"\0") + struct.pack(">I", len(tags)) + table + body


def _xyz(values):
    return b"XYZ \0\0\0\0" + b"".join(struct.pack(">i", round(65536 * each)) for each in values)


def png(width, height, depth, colour, rows=b"", chunks=()):
    """A PNG, chunk by chunk (ISO/IEC 15948), so that its header can say anything."""

    def chunk(name, data):
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    header = struct.pack(">IIBBBBB", width, height, depth, colour, 0, 0, 0)
    middle = b"".join(chunk(*each) for each in chunks)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + middle
        + chunk(b"IDAT", zlib.compress(rows))
        + chunk(b"IEND", b"")
    )


def tiff(width, height, samples=1, bits=8, form=1, data=b"", photometric=1):
    """A TIFF of one strip (TIFF 6.0), so that its header can say anything."""
    tags = [
        (256, 4, width), (257, 4, height), (258, 3, bits), (259, 3, 1), (262, 3, photometric),
        (273, 4, 8 + 2 + 12 * 10 + 4), (277, 3, samples), (278, 4, height), (279, 4, len(data)),
        (339, 3, form),
    ]  # fmt: skip
    body = b"".join(struct.pack("<HHII", tag, kind, 1, value) for tag, kind, value in tags)
    return b"II*\0\x08\0\0\0" + struct.pack("<H", len(tags)) + body + b"\0" * 4 + data

"""What an invented phone writes into its pictures: camera, time with offset, exposure, place, thumbnail."""

from __future__ import annotations

import io
import random
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import piexif
from PIL import Image

ZONE = ZoneInfo("Europe/Oslo")
PLACE = (60.90780, 11.74310, 247.0)
"""Invented: a clearing in forest country, no house near it. Latitude, longitude, metres above the sea."""


@dataclass(frozen=True)
class Phone:
    """An invented phone."""

    make: str
    model: str
    software: str
    lens: str
    focal: tuple[int, int]
    stop: tuple[int, int]
    equivalent: int


PHONES = {
    "marit": Phone(
        "Havrand",
        "Havrand H3",
        "Havrand Kamera 6.2",
        "Havrand H3 rear camera 5.1mm f/1.8",
        (51, 10),
        (18, 10),
        26,
    ),
    "bram": Phone(
        "Tjeld", "Tjeld 8 Feltet", "TjeldOS 11.4", "Tjeld 8 main 4.8mm f/1.9", (48, 10), (19, 10), 27
    ),
}
TURNS = {1: None, 3: Image.Transpose.ROTATE_180, 6: Image.Transpose.ROTATE_90, 8: Image.Transpose.ROTATE_270}
"""How upright pixels are turned to be stored under each Orientation (EXIF 2.32, tag 0x0112)."""


def _angle(value: float) -> tuple[tuple[int, int], ...]:
    degrees = int(value)
    minutes = int((value - degrees) * 60)
    seconds = round((value - degrees - minutes / 60) * 3600 * 100)
    return (degrees, 1), (minutes, 1), (seconds, 100)


def stored(picture: Any, orientation: int) -> Any:
    """The pixels as the sensor delivers them under ``orientation``."""
    turn = TURNS[orientation]
    return picture if turn is None else picture.transpose(turn)


def header(picture: Any, taken: datetime, phone: Phone, orientation: int, bright: float, name: str) -> bytes:
    """The EXIF block for ``picture`` as stored; ``taken`` is local time, ``bright`` the mean, 0…1."""
    chance = random.Random(name)
    local = taken.replace(second=chance.randrange(60), tzinfo=ZONE)
    offset = local.strftime("%z")
    zone = f"{offset[:3]}:{offset[3:]}"
    stamp = local.strftime("%Y:%m:%d %H:%M:%S")
    utc = local - (local.utcoffset() or timedelta())
    speed = chance.choice((50, 60, 100, 120) if bright > 0.42 else (24, 30, 33, 50))
    small = picture.copy()
    small.thumbnail((256, 256))
    thumbnail = io.BytesIO()
    small.save(thumbnail, "JPEG", quality=70)
    place = [PLACE[0] + chance.gauss(0, 0.00003), PLACE[1] + chance.gauss(0, 0.00006)]
    part = f"{chance.randrange(1000):03d}"
    return bytes(
        piexif.dump(
            {
                "0th": {
                    piexif.ImageIFD.Make: phone.make,
                    piexif.ImageIFD.Model: phone.model,
                    piexif.ImageIFD.Software: phone.software,
                    piexif.ImageIFD.Orientation: orientation,
                    piexif.ImageIFD.DateTime: stamp,
                    piexif.ImageIFD.XResolution: (72, 1),
                    piexif.ImageIFD.YResolution: (72, 1),
                    piexif.ImageIFD.ResolutionUnit: 2,
                    piexif.ImageIFD.YCbCrPositioning: 1,
                },
                "Exif": {
                    piexif.ExifIFD.ExifVersion: b"0232",
                    piexif.ExifIFD.DateTimeOriginal: stamp,
                    piexif.ExifIFD.DateTimeDigitized: stamp,
                    piexif.ExifIFD.OffsetTime: zone,
                    piexif.ExifIFD.OffsetTimeOriginal: zone,
                    piexif.ExifIFD.OffsetTimeDigitized: zone,
                    piexif.ExifIFD.SubSecTimeOriginal: part,
                    piexif.ExifIFD.SubSecTime: part,
                    piexif.ExifIFD.ExposureTime: (1, speed),
                    piexif.ExifIFD.FNumber: phone.stop,
                    piexif.ExifIFD.ISOSpeedRatings: chance.choice(
                        (50, 64, 80, 100) if bright > 0.42 else (200, 320, 400, 640)
                    ),
                    piexif.ExifIFD.ExposureProgram: 2,
                    piexif.ExifIFD.MeteringMode: 5,
                    piexif.ExifIFD.Flash: 16,
                    piexif.ExifIFD.FocalLength: phone.focal,
                    piexif.ExifIFD.FocalLengthIn35mmFilm: phone.equivalent,
                    piexif.ExifIFD.ColorSpace: 1,
                    piexif.ExifIFD.PixelXDimension: picture.width,
                    piexif.ExifIFD.PixelYDimension: picture.height,
                    piexif.ExifIFD.WhiteBalance: 0,
                    piexif.ExifIFD.SceneCaptureType: 0,
                    piexif.ExifIFD.LensMake: phone.make,
                    piexif.ExifIFD.LensModel: phone.lens,
                    piexif.ExifIFD.LensSpecification: (phone.focal, phone.focal, phone.stop, phone.stop),
                },
                "GPS": {
                    piexif.GPSIFD.GPSVersionID: (2, 3, 0, 0),
                    piexif.GPSIFD.GPSLatitudeRef: "N",
                    piexif.GPSIFD.GPSLatitude: _angle(place[0]),
                    piexif.GPSIFD.GPSLongitudeRef: "E",
                    piexif.GPSIFD.GPSLongitude: _angle(place[1]),
                    piexif.GPSIFD.GPSAltitudeRef: 0,
                    piexif.GPSIFD.GPSAltitude: (int(PLACE[2] * 10 + chance.gauss(0, 25)), 10),
                    piexif.GPSIFD.GPSTimeStamp: ((utc.hour, 1), (utc.minute, 1), (utc.second, 1)),
                    piexif.GPSIFD.GPSDateStamp: utc.strftime("%Y:%m:%d"),
                    piexif.GPSIFD.GPSHPositioningError: (chance.randrange(40, 180), 10),
                },
                "1st": {
                    piexif.ImageIFD.Compression: 6,
                    piexif.ImageIFD.XResolution: (72, 1),
                    piexif.ImageIFD.YResolution: (72, 1),
                    piexif.ImageIFD.ResolutionUnit: 2,
                },
                "thumbnail": thumbnail.getvalue(),
            }
        )
    )

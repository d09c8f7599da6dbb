"""What an invented phone writes into its pictures: camera, time with offset, exposure, place, thumbnail."""

from __future__ import annotations

import io
import random
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

import pyexiv2
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
RESOLUTION = ("XResolution", "YResolution", "ResolutionUnit")
TURNS = {1: None, 3: Image.Transpose.ROTATE_180, 6: Image.Transpose.ROTATE_90, 8: Image.Transpose.ROTATE_270}
"""How upright pixels are turned to be stored under each Orientation (EXIF 2.32, tag 0x0112)."""


def _angle(value: float) -> str:
    degrees = int(value)
    minutes = int((value - degrees) * 60)
    seconds = round((value - degrees - minutes / 60) * 3600 * 100)
    return f"{degrees}/1 {minutes}/1 {seconds}/100"


def stored(picture: Any, orientation: int) -> Any:
    """The pixels as the sensor delivers them under ``orientation``."""
    turn = TURNS[orientation]
    return picture if turn is None else picture.transpose(turn)


def _times(taken: datetime, chance: random.Random) -> dict[str, str]:
    local = taken.replace(second=chance.randrange(60), tzinfo=ZONE)
    offset = local.strftime("%z")
    zone = f"{offset[:3]}:{offset[3:]}"
    stamp = local.strftime("%Y:%m:%d %H:%M:%S")
    part = f"{chance.randrange(1000):03d}"
    utc = local.astimezone(UTC)
    return {
        "Exif.Image.DateTime": stamp,
        "Exif.Photo.DateTimeOriginal": stamp,
        "Exif.Photo.DateTimeDigitized": stamp,
        "Exif.Photo.OffsetTime": zone,
        "Exif.Photo.OffsetTimeOriginal": zone,
        "Exif.Photo.OffsetTimeDigitized": zone,
        "Exif.Photo.SubSecTime": part,
        "Exif.Photo.SubSecTimeOriginal": part,
        "Exif.GPSInfo.GPSTimeStamp": f"{utc.hour}/1 {utc.minute}/1 {utc.second}/1",
        "Exif.GPSInfo.GPSDateStamp": utc.strftime("%Y:%m:%d"),
    }


def _place(chance: random.Random) -> dict[str, str]:
    return {
        "Exif.GPSInfo.GPSVersionID": "2 3 0 0",
        "Exif.GPSInfo.GPSLatitudeRef": "N",
        "Exif.GPSInfo.GPSLatitude": _angle(PLACE[0] + chance.gauss(0, 0.00003)),
        "Exif.GPSInfo.GPSLongitudeRef": "E",
        "Exif.GPSInfo.GPSLongitude": _angle(PLACE[1] + chance.gauss(0, 0.00006)),
        "Exif.GPSInfo.GPSAltitudeRef": "0",
        "Exif.GPSInfo.GPSAltitude": f"{int(PLACE[2] * 10 + chance.gauss(0, 25))}/10",
        "Exif.GPSInfo.GPSHPositioningError": f"{chance.randrange(40, 180)}/10",
    }


def _camera(phone: Phone, bright: bool, chance: random.Random) -> dict[str, str]:
    focal, stop = "/".join(map(str, phone.focal)), "/".join(map(str, phone.stop))
    speed = chance.choice((50, 60, 100, 120) if bright else (24, 30, 33, 50))
    iso = chance.choice((50, 64, 80, 100) if bright else (200, 320, 400, 640))
    return {
        "Exif.Image.Make": phone.make,
        "Exif.Image.Model": phone.model,
        "Exif.Image.Software": phone.software,
        "Exif.Photo.ExposureTime": f"1/{speed}",
        "Exif.Photo.FNumber": stop,
        "Exif.Photo.ISOSpeedRatings": str(iso),
        "Exif.Photo.ExposureProgram": "2",
        "Exif.Photo.MeteringMode": "5",
        "Exif.Photo.Flash": "16",
        "Exif.Photo.WhiteBalance": "0",
        "Exif.Photo.SceneCaptureType": "0",
        "Exif.Photo.FocalLength": focal,
        "Exif.Photo.FocalLengthIn35mmFilm": str(phone.equivalent),
        "Exif.Photo.LensMake": phone.make,
        "Exif.Photo.LensModel": phone.lens,
        "Exif.Photo.LensSpecification": f"{focal} {focal} {stop} {stop}",
    }


def written(jpeg: bytes, taken: datetime, phone: Phone, orientation: int, name: str) -> bytes:
    """``jpeg``, stored under ``orientation``, with the phone's EXIF; ``taken`` is local time."""
    chance = random.Random(name)
    with Image.open(io.BytesIO(jpeg)) as picture:
        wide, high = picture.size
        bright = sum(picture.convert("L").resize((1, 1)).tobytes()) > 107
        picture.thumbnail((256, 256))
        thumbnail = io.BytesIO()
        picture.save(thumbnail, "JPEG", quality=70)
    fixed = {
        "Exif.Image.Orientation": str(orientation),
        "Exif.Image.XResolution": "72/1",
        "Exif.Image.YResolution": "72/1",
        "Exif.Image.ResolutionUnit": "2",
        "Exif.Image.YCbCrPositioning": "1",
        "Exif.Photo.ExifVersion": "48 50 51 50",
        "Exif.Photo.ComponentsConfiguration": "1 2 3 0",
        "Exif.Photo.FlashpixVersion": "48 49 48 48",
        "Exif.Photo.ColorSpace": "1",
        "Exif.Photo.PixelXDimension": str(wide),
        "Exif.Photo.PixelYDimension": str(high),
    }
    with pyexiv2.ImageData(jpeg) as image:
        image.modify_exif(fixed | _camera(phone, bright, chance) | _times(taken, chance) | _place(chance))
        image.modify_thumbnail(thumbnail.getvalue())
        image.modify_exif({f"Exif.Thumbnail.{key}": fixed[f"Exif.Image.{key}"] for key in RESOLUTION})
        return bytes(image.get_bytes())

"""The committed photographs of the sample log: whole, small, distinct, with what a phone writes into them.

Nothing is rendered here; ``python -m tests.sample_photos`` does that. Names and numbers of tags: EXIF 2.32.
"""

from __future__ import annotations

import hashlib
import io
import json
import re
from datetime import datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from PIL import ExifTags, Image, ImageOps

SITE = Path(__file__).parents[1] / "sample_site"
PHOTOS = sorted((SITE / "media").glob("*.jpg"))
LEDGER = Path(__file__).parent / "sample_photos" / "rendered.json"
THUMBNAIL_AT, THUMBNAIL_LONG = 0x0201, 0x0202
TURNED = {6, 8}


def exif(path: Path) -> Any:
    with Image.open(path) as picture:
        return picture.getexif()


def degrees(angle: Any) -> float:
    whole, minutes, seconds = (float(part) for part in angle)
    return whole + minutes / 60 + seconds / 3600


def test_the_log_and_the_folder_name_the_same_photographs() -> None:
    named: set[str] = set()
    for entry in (SITE / "entries").rglob("*.md"):
        named.update(re.findall(r"file:\s*(\S+\.jpg)", entry.read_text("utf-8")))
    assert {path.name for path in PHOTOS} == named
    assert len(named) >= 40


def test_every_photograph_is_one_that_the_script_rendered() -> None:
    assert {path.name for path in PHOTOS} == set(json.loads(LEDGER.read_text("utf-8")))


@pytest.mark.parametrize("path", PHOTOS, ids=lambda path: path.stem)
def test_a_photograph_opens_and_is_small(path: Path) -> None:
    with Image.open(path) as picture:
        picture.load()
        assert picture.format == "JPEG"
        assert picture.width * picture.height <= 2_000_000
        assert max(picture.size) >= 1000
        # A broken or empty render is flat; a workshop is not.
        tones = picture.convert("L").histogram()
        used = [tone for tone, count in enumerate(tones) if count]
        assert used[-1] - used[0] > 150
    assert path.stat().st_size <= 400_000


@pytest.mark.parametrize("path", PHOTOS, ids=lambda path: path.stem)
def test_a_photograph_tells_camera_and_exposure(path: Path) -> None:
    tags = exif(path)
    shot = tags.get_ifd(ExifTags.IFD.Exif)
    assert all(tags[tag] for tag in (ExifTags.Base.Make, ExifTags.Base.Model, ExifTags.Base.Software))
    assert tags[ExifTags.Base.Orientation] in {1, 3, *TURNED}
    assert 0 < shot[ExifTags.Base.ExposureTime] < 1
    assert 1 < shot[ExifTags.Base.FNumber] < 3
    assert 25 <= shot[ExifTags.Base.ISOSpeedRatings] <= 3200
    assert tags[ExifTags.Base.Model].split()[0] in shot[ExifTags.Base.LensModel]
    with Image.open(path) as picture:
        assert picture.size == (shot[ExifTags.Base.ExifImageWidth], shot[ExifTags.Base.ExifImageHeight])


@pytest.mark.parametrize("path", PHOTOS, ids=lambda path: path.stem)
def test_a_photograph_was_taken_on_the_day_of_its_name(path: Path) -> None:
    shot = exif(path).get_ifd(ExifTags.IFD.Exif)
    taken = datetime.strptime(shot[ExifTags.Base.DateTimeOriginal], "%Y:%m:%d %H:%M:%S")
    assert path.name.startswith(taken.date().isoformat())
    # The offset is that of the tz database for the log's own zone on that day, summer time included.
    offset = taken.replace(tzinfo=ZoneInfo("Europe/Oslo")).isoformat()[-6:]
    assert shot[ExifTags.Base.OffsetTimeOriginal] == offset


@pytest.mark.parametrize("path", PHOTOS, ids=lambda path: path.stem)
def test_a_photograph_gives_the_place_away(path: Path) -> None:
    fix = exif(path).get_ifd(ExifTags.IFD.GPSInfo)
    assert fix[ExifTags.GPS.GPSLatitudeRef] == "N"
    assert fix[ExifTags.GPS.GPSLongitudeRef] == "E"
    assert degrees(fix[ExifTags.GPS.GPSLatitude]) == pytest.approx(60.908, abs=0.001)
    assert degrees(fix[ExifTags.GPS.GPSLongitude]) == pytest.approx(11.743, abs=0.001)
    assert ExifTags.GPS.GPSDateStamp in fix


@pytest.mark.parametrize("path", PHOTOS, ids=lambda path: path.stem)
def test_a_photograph_carries_a_thumbnail_of_itself(path: Path) -> None:
    with Image.open(path) as picture:
        block = picture.info["exif"][6:]
        place = picture.getexif().get_ifd(ExifTags.IFD.IFD1)
        shape = picture.width / picture.height
    with Image.open(io.BytesIO(block[place[THUMBNAIL_AT] :][: place[THUMBNAIL_LONG]])) as small:
        small.load()
        assert max(small.size) == 256
        assert small.width / small.height == pytest.approx(shape, rel=0.02)


def test_some_are_stored_turned_and_stand_upright_when_put_right() -> None:
    turned = [path for path in PHOTOS if exif(path)[ExifTags.Base.Orientation] in TURNED]
    assert {exif(path)[ExifTags.Base.Orientation] for path in turned} == TURNED
    for path in turned:
        with Image.open(path) as picture:
            assert picture.width > picture.height
            upright = ImageOps.exif_transpose(picture)
            assert upright.height > upright.width


def test_no_two_are_the_same_and_all_together_are_light() -> None:
    pixels = []
    for path in PHOTOS:
        with Image.open(path) as picture:
            pixels.append(hashlib.sha256(picture.tobytes()).hexdigest())
    assert len(set(pixels)) == len(PHOTOS)
    assert sum(path.stat().st_size for path in PHOTOS) < 20_000_000

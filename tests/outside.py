"""Programs from outside the project that judge what it makes.

A test that needs one is marked `outside` and asks for it here. Where the program is missing the test is
skipped on a developer's machine; with `CI` set in the environment it fails, since there it must have run.
"""

from __future__ import annotations

import importlib.util
import json
import os
import shutil
import subprocess
from pathlib import Path
from typing import NoReturn

import pytest

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")

STRUCTURE = {
    "SourceFile", "ExifTool:ExifToolVersion", "File:FileType", "File:FileTypeExtension", "File:MIMEType",
    "File:ImageWidth", "File:ImageHeight", "File:EncodingProcess", "File:BitsPerSample",
    "File:ColorComponents", "File:YCbCrSubSampling", "JFIF:JFIFVersion", "JFIF:ResolutionUnit",
    "JFIF:XResolution", "JFIF:YResolution", "JFIF:ThumbnailWidth", "JFIF:ThumbnailHeight",
    "Composite:ImageSize", "Composite:Megapixels",
}  # fmt: skip
"""The tags by which exiftool describes a JPEG file itself (ITU-T T.81, T.871) and not what it carries."""


_REEL_TAGS = """
    ExifToolVersion FileType FileTypeExtension MIMEType MajorBrand MinorVersion CompatibleBrands
    MovieHeaderVersion CreateDate ModifyDate TimeScale Duration PreferredRate PreferredVolume MatrixStructure
    PreviewTime PreviewDuration PosterTime SelectionTime SelectionDuration CurrentTime NextTrackID
    TrackHeaderVersion TrackCreateDate TrackModifyDate TrackID TrackDuration TrackLayer TrackVolume
    ImageWidth ImageHeight MediaHeaderVersion MediaCreateDate MediaModifyDate MediaTimeScale MediaDuration
    MediaLanguageCode HandlerType GraphicsMode OpColor CompressorID SourceImageWidth SourceImageHeight
    XResolution YResolution BitDepth AVCConfiguration BufferSize MaxBitrate AverageBitrate VideoFrameRate
    PixelAspectRatio ColorProfiles ColorPrimaries TransferCharacteristics MatrixCoefficients
    VideoFullRangeFlag SyncSampleTable SampleToChunk SampleSizes ChunkOffset TimeToSampleTable Balance
    AudioFormat AudioChannels AudioBitsPerSample AudioSampleRate Unknown_esds Unknown_btrt
    SampleGroupDescription SampleToGroup MediaDataSize MediaDataOffset MediaData ImageSize Megapixels
    AvgBitrate Rotation
"""
REEL_STRUCTURE = {"SourceFile", *_REEL_TAGS.split()}
"""Likewise of an MP4 file (ISO/IEC 14496-12), whatever the track: names without their group."""


def require(*programs: str) -> str:
    """The path of the first of these programs that is installed; without any, skip, or fail in CI."""
    for program in programs:
        if path := shutil.which(program):
            return path
    return _missing(f"{' or '.join(programs)} is not installed")


def require_package(name: str) -> Path:
    """The folder of an installed package, without importing it; skip or fail as for a program."""
    found = importlib.util.find_spec(name)
    if found is None or not found.submodule_search_locations:
        _missing(f"the package {name} is not installed")
    return Path(next(iter(found.submodule_search_locations)))


def _missing(what: str) -> NoReturn:
    if os.environ.get("CI"):
        pytest.fail(f"{what}, and CI must not do without it", pytrace=False)
    pytest.skip(what)


def exiftool(folder: Path) -> dict[str, set[str]]:
    """Every tag that exiftool finds in each file of a folder: embedded, unknown and doubled ones too.

    What the file system says of a file (`System:`) is left out.
    """
    command = [require("exiftool"), "-json", "-G1", "-a", "-u", "-ee3", "-r", folder]
    told = subprocess.run(command, capture_output=True, check=True, text=True)
    return {
        each["SourceFile"]: {key for key in each if not key.startswith("System:")}
        for each in json.loads(told.stdout)
    }

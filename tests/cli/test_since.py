"""`buildlog since`: what an inspector or anybody reads before going back to the aircraft."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from buildlog.cli.start import main
from tests.logs import write

LOG = """
part W name=Wing class=assembly
part S name=Spar items=L,R parent=W
part K name=Keel
2026-03-01 made W,S/L,S/R,K
2026-03-02 09:00 accepted S/L to-drawing okafor
2026-03-03 modified S/L by=bram
2026-03-04 people=bram
    work S/R hours=2 kind=bonding
2026-03-05 closed W
2026-03-06 modified K
"""


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return write(tmp_path, LOG)


def told(capsys: pytest.CaptureFixture[str], *args: object) -> str:
    assert main(["since", *map(str, args)]) == 0
    return capsys.readouterr().out


def test_since_an_inspectors_last_visit(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = told(capsys, log, "okafor")
    wing = text.partition("W Wing\n")[2].partition("\n\n")[0]
    assert "since they last looked at something in it, on 2026-03-02: S/L" in wing
    assert (
        "Closed up or opened\n    2026-03-05 W closed by Marit Solheim, at entries/2026-03-05-1.md:" in wing
    )
    assert "2026-03-03 S/L modified by Bram Lie" in wing
    assert "2026-03-04 S/R bonding, 2 h by Bram Lie" in wing
    assert "new major  S/L: “Made to drawing” (to-drawing) was accepted on 2026-03-02" in wing
    assert "airworthy" in text.splitlines()[-1]


def test_since_a_day_in_one_assembly(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = json.loads(told(capsys, log, "2026-03-04", "W", "--format", "json"))
    (wing,) = data["assemblies"]
    assert (data["since"], data["day"], wing["item"]) == ("2026-03-04", "2026-03-06", "W")
    assert [(each["kind"], each["item"], each["sort"]) for each in wing["happened"]] == [
        ("closed", "W", "closed")
    ]
    assert wing["worked"] == []
    file, line = wing["happened"][0]["file"], wing["happened"][0]["line"]
    assert "closed" in (log / file).read_text("utf-8").splitlines()[line - 1]
    spar = json.loads(told(capsys, log, "2026-03-02", "S/L", "--format", "json"))["assemblies"]
    assert [each["kind"] for each in spar[0]["happened"]] == ["modified"]


def test_nothing_since(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = told(capsys, log, "2026-03-06", "K")
    assert "modified" not in text
    assert "major  K: It was never inspected" in text


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("okafr",), 'the nearest inspector is "okafor"'),
        (("marit",), "nor an inspector"),
        (("1.3.2026",), "2026-03-14"),
        (("okafor", "S"), "is 2 items; write one of S/L, S/R"),
        (("okafor", "S/X"), "is no item of this log"),
        (("okafor", "WW"), "is no item of this log"),
    ],
)
def test_what_cannot_be_told(
    log: Path, capsys: pytest.CaptureFixture[str], args: tuple[str, ...], said: str
) -> None:
    assert main(["since", str(log), *args]) == 2
    assert said in capsys.readouterr().err


def test_what_is_no_log(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["since", str(tmp_path / "nowhere"), "okafor"]) == 2
    assert "buildlog.toml" in capsys.readouterr().err

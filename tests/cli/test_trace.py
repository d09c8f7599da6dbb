"""`buildlog trace`: what one needs on the day of a recall, for people and for programs."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from buildlog.cli.start import main
from tests.logs import write

LOG = """
part W name=Wing class=assembly items=L,R
part S name=Spar items=L,R parent=W
part K name=Keel
lot G-1 material="Wood glue" received=2026-01-02 expires=2026-12-31
lot G-2 material="Wood glue"
tool T-1 name="Torque wrench" calibrated=2026-03-03 due=2026-03-31
2026-03-01 made S/L lots=G-1 quantity='120 g'
2026-03-01 made W/L
2026-03-02 made K lots=G-1
2026-03-03 scrapped K
2026-03-04 made K lots=G-1
2026-03-05 voided K entry=2026-03-04-1 record=1 reason='another tin'
2026-03-06 closed W/L area=top
2026-03-07 torqued W/L fastener='root bolt' value='60 in-lb' limits='50 to 70 in-lb' tool=T-1
2026-04-01 measured S/L what=gap value='1 mm' tool=T-1
2026-04-02 modified S/L tool=T-1
"""


RUN_ON = """
part W
tool T-1 name="Torque wrench" calibrated=2026-03-03 due=2026-03-31
2026-03-01 made W
2026-03-02 torqued W fastener=a value='78 in-lb' run_on='12 in-lb' limits='50 to 70 in-lb' tool=T-1
2026-03-03 torqued W fastener=b value='55 in-lb' run_on='12 in-lb' limits='50 to 70 in-lb' tool=T-1
2026-03-04 torqued W fastener=c value='9 N·m' run_on='1 N·m' limits='50 to 70 in-lb' tool=T-1
"""
"""AC 43.13-1B, 7-40: what the table holds is net of run-on; 78 less 12 is inside, 55 less 12 is not."""


@pytest.fixture
def log(tmp_path: Path) -> Path:
    return write(tmp_path, LOG)


def told(capsys: pytest.CaptureFixture[str], *args: object) -> str:
    assert main(["trace", *map(str, args)]) == 0
    return capsys.readouterr().out


def test_a_person_reads_where_it_is_and_behind_what(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = told(capsys, log, "G-1")
    assert text.startswith("Lot G-1 – Wood glue\nreceived 2026-01-02\nlast good day 2026-12-31\n")
    assert "It is in 1 item now, by 1 record; 1 record of articles gone since; 1 more item holds" in text
    spar = text.partition("S/L Spar\n")[2].partition("\n\n")[0]
    assert "made on 2026-03-01 by Marit Solheim, quantity 120 g, at entries/2026-03-01-1.md:" in spar
    assert "where it is: W/L" in spar
    assert "closed up: W/L was closed (top) on 2026-03-06, at entries/2026-03-06-1.md:" in spar
    assert "status: to-drawing none" in spar
    assert "K: made on 2026-03-02 by Marit Solheim, article 1, at" in text
    assert "it was scrapped on 2026-03-03, at entries/2026-03-03-1.md:" in text
    assert "struck: another tin" in text
    assert "W/L Wing: S/L" in text
    assert "As the log stands on 2026-04-02" in text


def test_a_program_reads_the_same(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = json.loads(told(capsys, log, "G-1", "--format", "json"))
    assert (data["lot"], data["name"], data["last_good_day"]) == ("G-1", "Wood glue", "2026-12-31")
    (spar,) = data["went_into"]
    assert (spar["item"], spar["quantity"], spar["file"]) == ("S/L", "120 g", "entries/2026-03-01-1.md")
    file, line = log / spar["file"], spar["line"]
    assert file.read_text("utf-8").splitlines()[line - 1].strip() == "- made: [S/L]"
    assert spar["sits_in"] == [{"item": "W/L", "assumed": True, "sure": True}]
    (shut,) = spar["closed_up"]
    assert (shut["item"], shut["area"], shut["date"], shut["entry"]) == (
        "W/L",
        "top",
        "2026-03-06",
        "2026-03-06-1",
    )
    assert spar["status"] == [{"stage": "to-drawing", "status": "none"}]
    assert [each["ended"]["kind"] for each in data["gone"]] == ["scrapped"]
    assert [each["struck"]["reason"] for each in data["struck"]] == ["another tin"]
    assert data["also_in"] == [{"item": "W/L", "name": "Wing", "holds": [{"item": "S/L", "sure": True}]}]


def test_a_spreadsheet_reads_the_same(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    rows = list(csv.DictReader(io.StringIO(told(capsys, log, "G-1", "--format", "csv"))))
    assert [(row["how"], row["item"]) for row in rows] == [
        ("went into", "S/L"),
        ("gone", "K"),
        ("struck", "K"),
        ("holds it", "W/L"),
    ]
    assert rows[0]["closed_up"] == "W/L was closed (top) on 2026-03-06"
    assert rows[1]["ended"] == "scrapped 2026-03-03"
    assert rows[3]["holds"] == "S/L"


def test_a_tool_and_what_it_read(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = told(capsys, log, "T-1")
    assert "torqued root bolt 60 in-lb (limits 50 to 70 in-lb, within) on 2026-03-07" in text
    assert "(since the calibration on the list)" in text
    assert "measured gap 1 mm on 2026-04-01 by Marit Solheim (after the calibration fell due)" in text
    data = json.loads(told(capsys, log, "T-1", "--format", "json"))
    assert [(each["kind"], each["reading"]) for each in data["went_into"]] == [
        ("torqued", True),
        ("measured", True),
        ("modified", False),
    ]


def test_a_lot_that_nothing_names(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert "No record names it." in told(capsys, log, "G-2")


def test_on_an_earlier_day(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = told(capsys, log, "G-1", "--on", "2026-03-02")
    assert "It is in 2 items now" in text
    assert "closed up: no, by this log" in text


def test_in_the_folder_of_the_log(
    log: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(log)
    assert told(capsys, "G-1").startswith("Lot G-1")


def test_an_unknown_lot_names_the_nearest(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["trace", str(log), "G1"]) == 2
    error = capsys.readouterr().err
    assert '"G1" is neither a lot nor a tool of this log; the nearest is "G-1"' in error
    assert main(["trace", str(log), "xxxxxx"]) == 2
    assert "none of the 3" in capsys.readouterr().err


def test_a_wrong_call(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["trace", str(log), "G-1", "G-2"]) == 2
    assert "3 names" in capsys.readouterr().err
    assert main(["trace", str(log / "nowhere"), "G-1"]) == 2
    assert "buildlog.toml" in capsys.readouterr().err


def test_a_lot_that_something_stands_against(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = write(tmp_path, "part A\nlot L\n2026-03-01 made A lots=L\n2026-03-02 nonconformance L id=N1")
    assert "against the lot itself: on hold N1 on 2026-03-02, at entries/2026-03-02-1.md:" in told(
        capsys, log, "L"
    )
    data = json.loads(told(capsys, log, "L", "--format", "json"))
    assert data["against"] == [{"what": "on hold", "id": "N1", "date": "2026-03-02", "entry": "2026-03-02-1"}]


def test_a_torque_is_told_net_of_its_run_on(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = told(capsys, write(tmp_path, RUN_ON), "T-1")
    assert "a 78 in-lb less 12 in-lb run-on, 66 in-lb net (limits 50 to 70 in-lb, within)" in text
    assert "b 55 in-lb less 12 in-lb run-on, 43 in-lb net (limits 50 to 70 in-lb, outside)" in text
    assert "c 9 N·m less 1 N·m run-on, 8 N m net (limits 50 to 70 in-lb, outside)" in text

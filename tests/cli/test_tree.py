"""`buildlog tree`: what was inside what on any day, each thing with its status of that day."""

from __future__ import annotations

import datetime
import json
from pathlib import Path

import pytest

from buildlog.cli.start import main
from buildlog.reckoning.reckon import reckon
from buildlog.rules.chain import check
from buildlog.works.tree_told import as_json, as_lines, tree
from tests import logs

LOG = """
part PLANE class=assembly name=Aircraft
part WING class=assembly items=L,R parent=PLANE name=Wing
part RIB items=L1,L2 parent=WING name=Rib
part SPAR items=L,R parent=WING name=Spar
2026-03-01 made PLANE,WING,SPAR/L,RIB/L1
2026-03-02 accepted SPAR/L to-drawing okafor
2026-03-03 installed SPAR/L on=WING/L
2026-03-04 accepted WING/L pre-close okafor
2026-03-05 closed WING/L area=top
2026-03-06 modified SPAR/L
2026-03-07 opened WING/L
2026-03-08 removed SPAR/L from=WING/L
2026-03-09 scrapped SPAR/L
"""


def lines(on: str, of: str = "") -> list[str]:
    log = logs.facts(LOG)
    known = reckon(log, datetime.date.fromisoformat(on))
    told = tree(known, check(known), of)
    assert not told.problem
    return [line.partition("; open findings")[0] for line in as_lines(told, known, whole=not of)[:-1]]


def test_it_is_as_it_was_on_the_day() -> None:
    assert lines("2026-03-04") == [
        "The aircraft",
        "  PLANE Aircraft: none yet",
        "    WING/L Wing: none yet",
        "      SPAR/L Spar: current",
        "    WING/R Wing: none yet",
        "Place unknown",
        "  RIB/L1 Rib: none yet",
        "As it stands on 2026-03-04, by Test.",
    ]


@pytest.mark.parametrize(
    ("on", "wing"),
    [
        ("2026-03-02", ["WING/L Wing: none yet", "  SPAR/L Spar: current"]),
        ("2026-03-04", ["WING/L Wing: none yet", "  SPAR/L Spar: current"]),
        ("2026-03-05", ["WING/L Wing: none yet", "  SPAR/L Spar: current"]),
        ("2026-03-06", ["WING/L Wing: undone", "  SPAR/L Spar: undone"]),
        ("2026-03-08", ["WING/L Wing: undone"]),
    ],
)
def test_one_assembly_and_all_in_it(on: str, wing: list[str]) -> None:
    assert lines(on, "WING/L")[:-1] == wing


def test_json_has_every_status_of_the_day_as_the_reckoning_has_it() -> None:
    log = logs.facts(LOG)
    for day in range(1, 10):
        known = reckon(log, datetime.date(2026, 3, day))
        rows = as_json(tree(known, check(known)), known)
        assert rows["day"] == f"2026-03-{day:02}"
        there = {str(item): story for item, story in known.items.items() if story.exists}
        assert {row["item"] for row in rows["items"]} == set(there)
        for row in rows["items"]:
            stages = there[row["item"]].stages
            assert row["stages"] == {each.stage.key: each.status.value for each in stages if each.asked}


def test_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    root = logs.write(tmp_path / "log", LOG)
    assert main(["tree", str(root), "--on", "2026-03-05", "--format", "json"]) == 0
    rows = {row["item"]: row for row in json.loads(capsys.readouterr().out)["items"]}
    assert rows["WING/L"]["closed"] == ["top"]
    assert rows["SPAR/L"]["behind"] == ["WING/L"]
    assert (rows["SPAR/L"]["within"], rows["SPAR/L"]["place"]) == ("WING/L", "recorded")
    assert rows["RIB/L1"]["within"] is None
    assert main(["tree", str(root)]) == 0
    out = capsys.readouterr().out
    assert "airworthy" in out
    assert "SPAR/L" not in out, "scrapped"
    assert main(["tree", str(root), "SPAR/L"]) == 2
    assert '"SPAR/L" did not stand anywhere on 2026-03-09' in capsys.readouterr().err
    assert main(["tree", str(root), "WING/l"]) == 2
    assert 'the nearest is "WING/' in capsys.readouterr().err

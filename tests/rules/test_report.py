"""Findings as JSON and as lines of text."""

from __future__ import annotations

import json

import msgspec

from buildlog.model.key import NOWHERE
from buildlog.reckoning.reckon import reckon
from buildlog.rules.chain import check
from buildlog.rules.report import Line, as_json, as_text
from tests.logs import facts
from tests.rules.histories import checked

TEXT = """
part A class=assembly items=L,R
part B
2026-03-01 made A/L
2026-03-02 made B people=marit,bram
2026-03-03 accepted B to-drawing okafor
2026-03-04 modified B
2026-03-05 work hours=17 task=T
"""


def told(text: str) -> tuple[Line, ...]:
    return as_text(checked(text), reckon(facts(text)).frame)


def test_json_has_the_keys_and_nothing_else() -> None:
    found = as_json(checked(TEXT))
    assert list(found) == ["day", "findings"]
    assert found["day"] == "2026-03-05"
    keys = ["rule", "grade", "item", "part", "task", "stage", "entry", "file", "line", "message"]
    assert all(list(each) == keys for each in found["findings"])
    assert json.loads(json.dumps(found)) == found


def test_json_says_null_where_a_key_does_not_apply() -> None:
    rows = {(each["rule"], each["stage"]): each for each in as_json(checked(TEXT))["findings"]}
    undone = rows["inspection-undone", "to-drawing"]
    assert undone == {
        "rule": "inspection-undone",
        "grade": "major",
        "item": "B",
        "part": "B",
        "task": None,
        "stage": "to-drawing",
        "entry": "2026-03-04-1",
        "file": "entries/2026-03-04-1.md",
        "line": 100,
        "message": undone["message"],
    }
    assert rows["never-inspected", "to-drawing"]["item"] == "A/L"
    assert rows["never-inspected", "to-drawing"]["part"] == "A"
    task = rows["not-on-task-list", None]
    assert (task["item"], task["part"], task["task"]) == (None, None, "T")
    day = rows["day-too-long", None]
    assert (day["item"], day["part"], day["task"], day["entry"]) == (None, None, None, "2026-03-05-1")


def test_text_is_grouped_by_item_the_most_serious_first() -> None:
    lines = told(TEXT)
    headings = [line.text for line in lines if line.style == "subject"]
    assert headings == ["A/L", "B", "T", "Marit Solheim (marit)"]
    grades = [line.style for line in lines if line.style in ("major", "minor", "observation")]
    assert grades == ["major", "observation", "observation", "major", "observation", "minor", "observation"]
    assert lines[-2].text == "2 major, 1 minor, 4 observation, on 2026-03-05."
    assert "airworthy" in lines[-1].text
    assert any(line.text == "      at entries/2026-03-04-1.md:100" for line in lines)


def test_text_below_the_shop_names_the_entry() -> None:
    log = facts("part A\n2026-03-01 made A")
    (entry,) = log.entries
    record = msgspec.structs.replace(entry.records[0], where=NOWHERE)
    viewed = msgspec.structs.replace(entry, records=(record,), where=NOWHERE)
    findings = check(reckon(msgspec.structs.replace(log, entries=(viewed,))))
    assert any(line.text == "      in 2026-03-01-1" for line in as_text(findings, reckon(log).frame))
    row = as_json(findings)["findings"][0]
    assert (row["entry"], row["file"], row["line"]) == ("2026-03-01-1", None, None)


def test_who_put_a_finding_off_is_told_by_name() -> None:
    put_off = "\n2026-03-06 deferred B rule=inspection-undone by=engel,okafor until=2026-09-01 reason=paint"
    texts = [line.text for line in told(TEXT + put_off)]
    assert "      deferred until 2026-09-01 by E. Engel and J. Okafor: paint" in texts


def test_text_of_a_clean_log_is_one_line() -> None:
    clean = "part A\n2026-03-01\n    made A\n    media a.jpg shows=A\n2026-03-02 accepted A to-drawing okafor"
    lines = told(clean)
    assert [(line.style, line.text) for line in lines] == [
        ("clean", "No findings on 2026-03-02, as far as the log says.")
    ]

"""Values, limits and run-on in records: read, compared, and refused with their place."""

from __future__ import annotations

import pytest

from tests.reader.conftest import ReadEntry


def record(text: str) -> str:
    keys = [each.strip() for each in text.split(";")]
    return "---\nrecords:\n  - " + "\n    ".join(keys) + "\n---\n"


@pytest.mark.parametrize(
    "text",
    [
        "measured: A; value: 0.4 mm; limits: 0.5 mm max",
        "measured: A; value: 1 in; limits: 25.4 mm max",
        "measured: A; value: 12.3; limits: 12 to 15",
        "measured: A; value: 3",
        "measured: A; value: over 200 MΩ; limits: at least 100 MΩ",
        "measured: A; value: -1.6 deg; limits: -2.2 to -1.8 deg",
        "measured: A; value: 1:22",
        "measured: A; value: '5'' 3\"'",
        "measured: A; value: 5 min; limits: 3 min min",
        "torqued: A; value: 14.1 N m; run_on: 1.3 N m; limits: 100 to 140 in-lb",
        "torqued: A; value: 90 deg",
        "weighed: A; value: 118.2 kg; arm: 560 mm",
        "weighed: A; value: 260 lb; arm: -2.5 in",
        "weighed: A; value: 1160 N",
        "measured: A; value: 0.4 mm; limits:",
    ],
)
def test_what_is_read_is_kept_as_written(entry: ReadEntry, text: str) -> None:
    sheet = entry(record(text))
    assert sheet.problems == ()
    assert sheet.entry
    (kept,) = sheet.entry.records
    written = text.split("value: ")[1].partition(";")[0]
    assert kept.value in (written, "5' 3\"")


@pytest.mark.parametrize(
    ("text", "where", "found", "todo"),
    [
        ("measured: A; value: no cracks", (4, 12), '"no cracks" holds no number', "`note`"),
        ("measured: A; value: 5 inlbz", (4, 12), 'unknown unit "inlbz"', "nearest"),
        ("measured: A; value: 5 mm; limits: 6 mm", (5, 13), "is one value", "`6 mm max`"),
        ("measured: A; value: 5 mm; limits: 6 max", (5, 13), '"6 max" is a bare number', "a unit too"),
        ("measured: A; value: 5; limits: 6 mm max", (5, 13), "is a length, and the value", "`5 mm`"),
        ("measured: A; value: 5 mm; limits: 6 psi max", (5, 13), "is a pressure, and the value", "length"),
        ("measured: A; value: 35 lb; limits: 30 to 40 lbf", (5, 13), "is a force, and the value", "mass"),
        ("measured: A; value: 5 min; limits: 3 min", (5, 13), "is a bare number", "`3 min min` for minutes"),
        ("measured: A; limits: 6 psi max; value: 5 mm", (4, 13), "is a pressure, and the value", "length"),
        ("torqued: A; value: 66", (4, 12), '"66" has no unit', "66 in-lb"),
        ("torqued: A; value: 66 mm", (4, 12), "is a length, and a torque is asked for", "66 in-lb"),
        ("torqued: A; value: 66 in-lb; run_on: 5", (5, 13), '"5" has no unit', "66 in-lb"),
        ("torqued: A; value: 66 in-lb; run_on: 5 deg", (5, 13), "is an angle, and the value", "a torque"),
        ("torqued: A; value: 66 in-lb; limits: 5 to 7 psi", (5, 13), "is a pressure, and the value", ""),
        ("weighed: A; value: 5", (4, 12), '"5" has no unit', "118.2 kg"),
        ("weighed: A; value: 5 mm", (4, 12), "is a length, and a mass is asked for", "118.2 kg"),
        ("weighed: A; value: 5 kg; arm: 560", (5, 10), '"560" has no unit', "560 mm"),
        ("measured: A; value: [1 mm, 2 mm]", (4, 12), "holds a list", "0.4 mm"),
    ],
)
def test_what_cannot_be_read_or_compared(
    entry: ReadEntry, text: str, where: tuple[int, int], found: str, todo: str
) -> None:
    (problem,) = entry(record(text)).problems
    assert (problem.where.line, problem.where.column) == where
    assert found in problem.found
    assert todo in problem.todo


def test_all_of_them_at_once(entry: ReadEntry) -> None:
    text = record("torqued: A; value: a lot; run_on: some; limits: none; count: few")
    assert [problem.where.line for problem in entry(text).problems] == [4, 5, 6, 7]

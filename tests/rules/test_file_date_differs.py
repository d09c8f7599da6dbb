"""The rule `file-date-differs`: the file name begins with one date, the header gives another."""

from __future__ import annotations

import msgspec

from buildlog.reckoning.reckon import reckon
from buildlog.rules.chain import check
from tests.logs import facts
from tests.rules.histories import found, table

test_file_date_differs = table(
    "file-date-differs",
    {
        "the same": ("2026-03-01 key=2026-03-01-spar", []),
        "another day": ("2026-03-01 key=2026-03-02-spar", ["observation 2026-03-02-spar"]),
        "another year": ("2026-01-01 key=2025-01-01-spar", ["observation 2025-01-01-spar"]),
        "no date in the name": ("2026-03-01 key=spar", []),
        "the leap day and the day after": ("2024-03-01 key=2024-02-29-spar", ["observation 2024-02-29-spar"]),
        "a record's own date is its own": ("2026-03-01 key=2026-03-01-spar made A date=2026-02-01", []),
        "two of them": (
            "2026-03-01 key=2026-03-10-a\n2026-03-01 key=2026-03-09-b",
            ["observation 2026-03-09-b", "observation 2026-03-10-a"],
        ),
        "after the day stood on": ("2026-03-01 made A\n2026-03-05 key=2026-03-06-a\non 2026-03-02", []),
    },
)


def test_a_header_without_a_date_cannot_disagree() -> None:
    log = facts("2026-03-01 key=2026-03-02-spar")
    (entry,) = log.entries
    assert not check(
        reckon(msgspec.structs.replace(log, entries=(msgspec.structs.replace(entry, header_date=False),)))
    ).all


def test_below_the_shop_nothing_is_known_of_the_file() -> None:
    log = facts("2026-03-01 key=2026-03-02-spar")
    (entry,) = log.entries
    viewed = msgspec.structs.replace(entry, header_date=False, file_date=None)
    assert not check(reckon(msgspec.structs.replace(log, entries=(viewed,)))).all


def test_it_gives_both_dates() -> None:
    (finding,) = found("file-date-differs", "2026-03-01 key=2026-03-02-spar")
    assert "2026-03-02, the header 2026-03-01" in finding.message

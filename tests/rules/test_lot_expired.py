"""The rule `lot-expired`: a lot used after its last good day, whatever the record that says so."""

from __future__ import annotations

import pytest

from buildlog.model.key import Reads, keys_of
from buildlog.model.records import KINDS
from tests.rules.histories import found, table

LOG = "part A\npart B\nlot L expires=2026-03-01\nlot M expires=2026-12-31\nlot N\n"

test_lot_expired = table(
    "lot-expired",
    {
        "after its last good day": (LOG + "2026-03-02 made A lots=L", ["major A"]),
        "on its last good day": (LOG + "2026-03-01 made A lots=L", []),
        "before": (LOG + "2026-02-27 made A lots=L", []),
        "a lot without an expiry": (LOG + "2026-03-02 made A lots=N", []),
        "of several lots, the one": (LOG + "2026-03-02 made A lots=M,L,N", ["major A"]),
        "used in time, written up later": (LOG + "2026-03-09 made A lots=L date=2026-03-01", []),
        "used late, in an entry begun in time": (
            LOG + "2026-03-01 made A lots=L date=2026-03-02",
            ["major A"],
        ),
        "good to the leap day, used on it": (
            "part A\nlot L expires=2024-02-29\n2024-02-29 made A lots=L",
            [],
        ),
        "good to the leap day, used the day after": (
            "part A\nlot L expires=2024-02-29\n2024-03-01 made A lots=L",
            ["major A"],
        ),
        "good to the day before the leap day": (
            "part A\nlot L expires=2024-02-28\n2024-02-29 made A lots=L",
            ["major A"],
        ),
        "in a repair": (LOG + "2026-02-01 made A lots=L\n2026-03-02 repaired A lots=L", ["major A"]),
        "twice, one cause, one finding": (
            LOG + "2026-03-02 made A lots=L\n2026-03-03 modified A lots=L",
            ["major A"],
        ),
        "two lots, two causes": (
            LOG + "lot K expires=2026-01-01\n2026-03-02 made A lots=L,K",
            ["major A", "major A"],
        ),
        "on two items at once": (LOG + "2026-03-02 made A,B lots=L", ["major A", "major B"]),
        "on one half of a pair": (
            "part A items=L,R\nlot X expires=2026-03-01\n2026-03-02 made A/L lots=X",
            ["major A/L"],
        ),
        "a designator like a number": (
            "part A items=007,1E5\nlot X expires=2026-03-01\n2026-03-02 made A/1E5 lots=X",
            ["major A/1E5"],
        ),
        "a bare part, every item of it": (
            "part A items=2\nlot X expires=2026-03-01\n2026-03-02 made A lots=X",
            ["major A/2"],
        ),
        "struck through": (
            LOG + "2026-03-02 made A lots=L\n2026-03-03 voided A entry=2026-03-02-1 record=1 reason=wrong",
            [],
        ),
        "struck through, and the striking too": (
            LOG + "2026-03-02 made A lots=L\n2026-03-03 voided A entry=2026-03-02-1 record=1 reason=wrong\n"
            "2026-03-04 voided A entry=2026-03-03-1 record=1 reason=right",
            ["major A"],
        ),
        "scrapped since": (LOG + "2026-03-02 made A lots=L\n2026-03-03 scrapped A", []),
        "in the first article, not the second": (
            LOG + "2026-03-02 made A lots=L\n2026-03-03 scrapped A\n2026-03-04 made A lots=M",
            [],
        ),
        "in the second article": (
            LOG + "2026-02-02 made A lots=L\n2026-03-03 scrapped A\n2026-03-04 made A lots=L",
            ["major A"],
        ),
        "accepted all the same": (
            LOG + "2026-03-02 made A lots=L\n2026-03-03 accepted A to-drawing okafor",
            ["major A"],
        ),
        "kept by lot": (
            "part A class=hardware\nlot L expires=2026-03-01\n2026-03-02 installed A on=B lots=L\npart B",
            ["major A"],
        ),
        "used inside is told of what is inside": (
            "part W\npart A parent=W\nlot L expires=2026-03-01\n2026-02-01 made W\n2026-03-02 made A lots=L",
            ["major A"],
        ),
        "of a part on no list": ("lot L expires=2026-03-01\n2026-03-02 made X-1 lots=L", ["major X-1"]),
        "no list of lots": ("part A\n2026-03-02 made A lots=L", []),
        "a lot on no list": (LOG + "2026-03-02 made A lots=Q", []),
        "after the day stood on": (LOG + "2026-03-02 made A lots=L\non 2026-03-01", []),
        "expired since, not then": (LOG + "2026-03-01 made A lots=L\non 2027-01-01", []),
        "put off by an engineer": (
            LOG + "2026-03-02 made A lots=L\n"
            "2026-03-03 deferred A rule=lot-expired until=2027-01-01 by=engel reason=tested",
            ["major A"],
        ),
    },
)


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_record_that_names_a_lot(kind: str) -> None:
    fields = keys_of(KINDS[kind])
    assert fields["lots"].reads is Reads.LOTS
    needed = {"stage": "to-drawing", "by": "okafor", "rule": "never-inspected", "until": "2027-01-01",
              "entry": "2026-02-01-1", "record": "2"}  # fmt: skip
    more = "".join(
        f" {name.rstrip('_')}={needed.get(name) or (key.choices[0] if key.choices else 'B')}"
        for name, key in fields.items()
        if key.required
    )
    ends = kind in ("scrapped", "returned")
    log = f"{LOG}2026-02-01\n    made A,B\n    measured A value=1\n2026-03-02 {kind} A lots=L{more}"
    assert [each.subject for each in found("lot-expired", log)] == ([] if ends else ["A"])


def test_it_says_what_where_and_by_how_much() -> None:
    text = (
        'part A\nlot L material="Wood glue" expires=2024-12-31\n'
        "2025-01-11 made A lots=L\n2025-01-12 repaired A lots=L"
    )
    (finding,) = found("lot-expired", text)
    assert finding.message == (
        "L (Wood glue) was used on 2025-01-11 (made) by Marit Solheim; its last good day was 2024-12-31,"
        " 11 days before, and used once more after that."
    )
    assert [rest.entry for rest in finding.rests] == ["2025-01-11-1", "2025-01-12-1"]
    assert finding.where.file == "entries/2025-01-11-1.md"


def test_a_deferral_holds_it_back_and_lapses() -> None:
    text = (
        LOG
        + "2026-03-02 made A lots=L\n"
        + "2026-03-03 deferred A rule=lot-expired until=2026-06-01 by=engel reason=t"
    )
    (held,) = found("lot-expired", text, on="2026-06-01")
    assert held.deferred is not None
    (lapsed,) = found("lot-expired", text, on="2026-06-02")
    assert lapsed.deferred is None

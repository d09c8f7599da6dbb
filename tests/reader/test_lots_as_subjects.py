"""A record about a lot: which may be, and what is said where the name may be an item's too."""

from __future__ import annotations

import pytest

from buildlog.reader.assemble import assemble
from buildlog.reader.read import read_sheet
from buildlog.rules.chain import names
from tests.logs import files

LOG = "part A\npart P items=1,2\nlot L\nstage receiving\n2026-03-01 {}"


def problems(text: str) -> list[str]:
    log, found = assemble([read_sheet(name, body.encode()) for name, body in files(text).items()], names())
    assert (log is None) == bool(found)
    return [str(each) for each in found]


@pytest.mark.parametrize(
    "record",
    [
        "received L from=Shop",
        "accepted L receiving okafor",
        "tested L result=passed",
        "measured L value='1 mm'",
        "weighed L value='1 kg'",
        "damaged L",
        "scrapped L",
        "returned L",
        "nonconformance L id=N1",
        "nonconformance L id=N1\n2026-03-09 disposition L id=N1 decision=use-as-is by=engel",
        "received A,L",
    ],
)
def test_what_may_be_said_of_a_lot(record: str) -> None:
    assert problems(LOG.format(record)) == []


@pytest.mark.parametrize(
    "record",
    ["made L", "modified L", "repaired L", "closed L", "opened L", "installed L on=A", "installed A on=L",
     "loosened L", "torqued L value='1 Nm'", "work L hours=1"],
)  # fmt: skip
def test_what_is_of_items_alone(record: str) -> None:
    (problem,) = problems(LOG.format(record))
    assert '"L" is a lot of lots.csv, and an item is expected' in problem
    assert "`lots: L`" in problem


@pytest.mark.parametrize("record", ["received A", "nonconformance A id=N1"])
def test_a_key_that_is_both_is_refused(record: str) -> None:
    (problem,) = problems((LOG + "\nlot A").format(record))
    assert '"A" is both an item and a lot of lots.csv' in problem
    assert problems((LOG + "\nlot A").format("made A lots=A")) == []


def test_without_a_list_of_lots_it_is_an_item_on_no_list() -> None:
    assert problems("part A\n2026-03-01 received L") == []


def test_a_bare_part_still_asks_which() -> None:
    (problem,) = problems(LOG.format("damaged P"))
    assert "it is not said which is meant" in problem
    assert problems(LOG.format("received P")) == []

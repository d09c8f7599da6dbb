"""Logs in which hardly anything can be so: they are reckoned and checked all the same, and said to be so."""

from __future__ import annotations

import datetime
import random

from hypothesis import event, given, settings
from hypothesis import strategies as st

from buildlog.reckoning.reckon import reckon
from buildlog.rules.chain import check
from buildlog.works.memo import Memo
from tests.logs import facts

PARTS = (
    "part W class=assembly items=L,R\npart R class=critical items=L,R parent=W\npart S parent=R\n"
    "part G use=not-for-flight parent=W\nmilestone taxi\ntask T milestone=taxi\n"
)
ITEMS = ("W/L", "W/R", "R/L", "R/R", "S", "G", "X-9")
PLACE_AND_CLOSING = (
    "accepted-over-open", "closed-before-inspection", "not-for-flight-installed", "place-contradicts",
)  # fmt: skip
DAY = datetime.date(2026, 12, 31)

_item = st.sampled_from(ITEMS)
_FACTS = st.one_of(
    st.builds("installed {} on={}".format, _item, _item),
    st.builds("installed {} on={}".format, _item, _item),
    st.builds("installed {} on={} until=taxi".format, _item, _item),
    st.builds("removed {} from={}".format, _item, _item),
    st.builds("removed {}".format, _item),
    st.builds("{} {}".format, st.sampled_from(("made", "scrapped", "returned", "modified")), _item),
    st.builds("received {} serial={}".format, _item, st.sampled_from(("7", "007", "NO"))),
    st.builds("reidentified {} as={} carries=pre-close".format, _item, _item),
    st.builds("closed {} hides={}".format, _item, _item),
    st.builds("closed {} except={}".format, _item, _item),
    st.builds("closed {}".format, _item),
    st.builds("opened {}".format, _item),
    st.builds(
        "accepted {} {} {}".format, _item, st.sampled_from(("to-drawing", "pre-close")), st.just("okafor")
    ),
    st.builds("rejected {} pre-close brandt".format, _item),
    st.builds("nonconformance {} id=N1".format, _item),
    st.builds(
        "disposition {} id=N1 decision={} by=engel".format, _item, st.sampled_from(("scrap", "rework"))
    ),
    st.builds("voided {} entry=2026-03-01-1 record=1 reason=wrong".format, _item),
    st.just("completes T"),
)
_DATED = st.builds(
    "2026-03-{:02d}{} {}".format, st.integers(1, 4), st.sampled_from(("", "", " 09:00", " 15:30")), _FACTS
)


@settings(max_examples=100, deadline=None)
@given(st.lists(_DATED, max_size=16), st.integers(0, 1000))
def test_contradictory_logs_are_checked(entries: list[str], seed: int) -> None:
    known = reckon(facts(PARTS + "\n".join(entries)), DAY)
    found = check(known)
    event(f"contradicts: {'place-contradicts' in {each.rule for each in found.all}}")
    for each in found.all:
        assert each.message.endswith(".")
        assert each.rests
        if each.rule in PLACE_AND_CLOSING and each.item is not None:
            assert known.items[each.item].exists, each.message
    assert len(set(found.all)) == len(found.all)
    shortened = list(entries)
    random.Random(seed).shuffle(shortened)
    memo = Memo()
    for some in (entries, shortened[: len(entries) // 2], entries):
        again = facts(PARTS + "\n".join(some))
        memo.begin()
        told = check(reckon(again, DAY, memo), memo)
        memo.end()
        assert told == check(reckon(again, DAY)), "what is remembered is what is reckoned afresh"

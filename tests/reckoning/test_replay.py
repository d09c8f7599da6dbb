"""The reckoning and the naive replay agree on generated histories."""

from __future__ import annotations

from hypothesis import HealthCheck, assume, event, given, settings

from buildlog.model.log import Log
from buildlog.reckoning.reckon import reckon
from tests.reckoning.histories import histories, told_shortly
from tests.reckoning.replay import World, replay, told
from tests.reckoning.replay_facts import facts_of, orders

MANY = settings(
    max_examples=1500, deadline=None, suppress_health_check=list(HealthCheck), report_multiple_bugs=False
)


def may_be_late(log: Log) -> bool:
    """Whether a record may write down late where something sat all along."""
    worlds = orders(facts_of(log, reckon(log).day), 300)
    return worlds is not None and any(World(log, order).perhaps_seated() for order in worlds)


def reckoned(log: Log) -> dict[tuple[object, str], str]:
    return {
        (item, each.stage.key): each.status.value
        for item, story in reckon(log).items.items()
        for each in story.stages
    }


@MANY
@given(histories(ordered=True))
def test_where_the_order_is_known_both_say_the_same(log: Log) -> None:
    replayed = replay(log, reckon(log).day, limit=1)
    assert replayed is not None, "the history has an order"
    late = may_be_late(log)
    found = reckoned(log)
    for item, stage in {*found, *replayed}:
        if (item, stage) in found:
            said = told(replayed[item, stage])
            event(said)
            if late and found[item, stage] != said:
                assert found[item, stage] != "current" or "current" in replayed[item, stage], told_shortly(
                    log
                )
                continue
            assert found[item, stage] == said, f"{item} {stage}\n{told_shortly(log)}"
        else:
            unasked = {"-", "none", "on hold"}
            assert replayed[item, stage] <= unasked, f"{item} {stage}\n{told_shortly(log)}"


@MANY
@given(histories(ordered=False, most=9))
def test_where_orders_are_open_it_is_what_all_of_them_say_or_unclear(log: Log) -> None:
    replayed = replay(log, reckon(log).day)
    assume(replayed is not None)
    assert replayed is not None
    late = may_be_late(log)
    for item, story in reckon(log).items.items():
        for each in story.stages:
            said = replayed.get((item, each.stage.key), {"none"})
            status = each.status.value
            event(f"{status}: {sorted(said)}")
            if status == "unclear" and (len(each.inspections) > 1 or said == {"undone"}):
                # Of two acceptances each may have been undone and yet never both, or one of two events must
                # have undone it and neither surely did: orders are weighed one by one, so this stays unclear.
                continue
            if status == "none" and "none" in said and story.class_.independent:
                # Who may have worked on it before they passed it did: their acceptance does not count.
                continue
            if late and status != told(said):
                # A record may write down late where a part sat, or put it on from outside: a closed assembly
                # stays current by it, one that is not closed does not; the replay knows no such difference.
                assert status != "current" or "current" in said, told_shortly(log)
                continue
            assert status == told(said), f"{item} {each.stage.key}: {said}\n{told_shortly(log)}"

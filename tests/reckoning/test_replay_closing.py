"""The rules about closing and passing agree with the naive replay on generated histories."""

from __future__ import annotations

from hypothesis import HealthCheck, assume, event, given, settings

from buildlog.model.log import Log
from buildlog.reckoning.reckon import reckon
from buildlog.rules.book import accepted_over_open, closed_before_inspection
from buildlog.rules.finding import Grade
from tests.reckoning.histories import histories, told_shortly
from tests.reckoning.replay_closing import Over, Told, replayed
from tests.reckoning.replay_facts import facts_of, orders

MANY = settings(
    max_examples=500, deadline=None, suppress_health_check=list(HealthCheck), report_multiple_bugs=False
)


def early(log: Log) -> dict[tuple[object, str], Grade]:
    known = reckon(log)
    return {
        (each.item, each.stage): each.grade
        for story in known.items.values()
        for each in closed_before_inspection.check(story, known.frame)
    }


def over(log: Log) -> Over:
    known = reckon(log)
    told = {
        (each.item, each.stage)
        for s in known.items.values()
        for each in accepted_over_open.check(s, known.frame)
    }
    found: Over = {
        (item, status.stage.key): {(each.item, each.stage.key) for each in status.over}
        for item, story in known.items.items()
        for status in story.stages
        if status.over
    }
    assert set(found) == told
    return found


@MANY
@given(histories(ordered=True))
def test_where_the_order_is_known_both_say_the_same(log: Log) -> None:
    worlds = orders(facts_of(log, reckon(log).day), 1)
    assert worlds is not None, "the history has an order"
    every = replayed(log, next(worlds))
    event(f"ways to mean it: {min(len(every), 2)}")
    if len(every) > 1:
        agrees_with_all(log, every)
        return
    told, passed = every[0]
    event(f"closed too early: {bool(told)}, passed over what was open: {bool(passed)}")
    found = early(log)
    assert set(found) == told, told_shortly(log)
    assert set(found.values()) <= {Grade.MAJOR}, told_shortly(log)
    assert over(log) == passed, told_shortly(log)


@MANY
@given(histories(ordered=False, most=8))
def test_where_orders_are_open_nothing_is_missed(log: Log) -> None:
    """What is so in every order is found, and what is found for sure is so in some order."""
    worlds = orders(facts_of(log, reckon(log).day), 60)
    assume(worlds is not None)
    assert worlds is not None
    agrees_with_all(log, [each for order in worlds for each in replayed(log, order)])


def agrees_with_all(log: Log, every: list[tuple[Told, Over]]) -> None:
    """What is so in every case is found, and what is found for sure is so in some."""
    always: Told = set.intersection(*(told for told, _ in every))
    perhaps: Told = set.union(*(told for told, _ in every))
    found = early(log)
    event(f"always {bool(always)}, perhaps only {bool(perhaps - always)}")
    assert always <= set(found), told_shortly(log)
    assert perhaps <= set(found), told_shortly(log)
    assert {each for each, grade in found.items() if grade is Grade.MAJOR} <= perhaps, told_shortly(log)
    assert set.intersection(*(set(passed) for _, passed in every)) <= set(over(log)), told_shortly(log)

"""Deferrals hold a finding back: by whom, of what, until when; it stays listed."""

from __future__ import annotations

import pytest

from buildlog.reckoning.reckon import reckon
from buildlog.rules.finding import Grade
from buildlog.rules.report import as_json, as_text
from tests.logs import facts
from tests.rules.histories import checked

MADE = "part A\n2026-03-01 made A\n"
BY = "by=okafor reason='waits for the visit'"


def deferred(text: str, on: str = "") -> set[str]:
    return {each.rule for each in checked(text, on).deferred}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (f"2026-03-02 deferred A rule=never-inspected until=2026-04-01 {BY}", {"never-inspected"}),
        (
            "2026-03-02 deferred A rule=never-inspected until=2026-04-01 by=engel reason=r",
            {"never-inspected"},
        ),
        ("2026-03-02 deferred A rule=never-inspected until=2026-04-01 by=bram reason=r", set()),
        ("2026-03-02 deferred A rule=never-inspected until=2026-04-01 by=ghost reason=r", set()),
        (
            (
                "person zed roles=inspector until=2026-03-01\n"
                "2026-03-02 deferred A rule=never-inspected until=2026-04-01 by=zed reason=r"
            ),
            set(),
        ),
        (
            (
                "person zed roles=inspector until=2026-03-02\n"
                "2026-03-02 deferred A rule=never-inspected until=2026-04-01 by=zed reason=r"
            ),
            {"never-inspected"},
        ),
        (f"2026-03-02 deferred A rule=evidence-missing until=2026-04-01 {BY}", {"evidence-missing"}),
        (f"2026-03-02 deferred A rule=never-inspected until=2026-03-02 {BY}", {"never-inspected"}),
        (f"2026-03-02 deferred A rule=never-inspected until=2026-03-01 {BY}", set()),
        (f"2026-03-02 deferred A rule=never-inspected until=taxi {BY}", {"never-inspected"}),
        (
            f"2026-03-02 deferred A rule=never-inspected until=taxi {BY}\n2026-03-03\n    completes T",
            set(),
        ),
        (
            (
                f"2026-03-02 deferred A rule=never-inspected until=2026-04-01 {BY}\n"
                "2026-03-03 voided A entry=2026-03-02-1 record=1 reason=no"
            ),
            set(),
        ),
        (
            (
                f"2026-03-02 deferred A rule=never-inspected until=2026-04-01 {BY}\n"
                "2026-03-03 scrapped A\n2026-03-04 made A"
            ),
            set(),
        ),
        (
            f"part B\n2026-03-01 made B\n2026-03-02 deferred B rule=never-inspected until=2026-04-01 {BY}",
            {"B"},
        ),
    ],
)
def test_in_force(text: str, expected: set[str]) -> None:
    findings = checked(f"milestone taxi\ntask T milestone=taxi\n{MADE}{text}")
    held = {each.rule for each in findings.deferred if each.subject == "A"}
    held |= {each.subject for each in findings.deferred if each.subject != "A"}
    assert held == expected


def test_lapses_the_day_after_its_day() -> None:
    text = f"{MADE}2026-03-02 deferred A rule=never-inspected until=2026-03-31 {BY}"
    assert deferred(text, "2026-03-31") == {"never-inspected"}
    assert deferred(text, "2026-04-01") == set()


def test_it_stays_listed_and_counts_for_no_threshold() -> None:
    history = f"{MADE}2026-03-02 deferred A rule=never-inspected until=2026-04-01 {BY}"
    findings = checked(history)
    assert "never-inspected" in {each.rule for each in findings.all}
    assert findings.at_or_above(Grade.MAJOR) == ()
    told = as_json(findings)
    assert [each["rule"] for each in told["findings"]] == ["evidence-missing"]
    assert [(each["rule"], each["reason"], each["by"], each["until"]) for each in told["deferred"]] == [
        ("never-inspected", "waits for the visit", ["okafor"], "2026-04-01")
    ]
    text = "\n".join(line.text for line in as_text(findings, reckon(facts(history)).frame))
    assert "deferred until 2026-04-01 by J. Okafor: waits for the visit" in text
    assert "0 major, 0 minor, 1 observation, 1 deferred" in text


def test_a_finding_about_a_number_is_held_by_a_deferral_on_one_of_its_items() -> None:
    text = (
        "part A\n2026-03-01 made X-1/L\n2026-03-01 made X-1/R\n"
        f"2026-03-02 deferred X-1/L rule=not-on-parts-list until=2026-04-01 {BY}"
    )
    assert deferred(text) == {"not-on-parts-list"}


def test_what_has_no_item_cannot_be_put_off() -> None:
    text = f"{MADE}2026-03-01 work A hours=17\n2026-03-02 deferred A rule=day-too-long until=2026-04-01 {BY}"
    assert deferred(text) == set()

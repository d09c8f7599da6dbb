"""The rule `deferral-lapsed`: what was put off is due again, and the finding it held back returns."""

from __future__ import annotations

from tests.rules.histories import checked, found, table

BY = "by=okafor reason='waits for the visit'"
PUT_OFF = f"part A\n2026-03-01 made A\n2026-03-02 deferred A rule=never-inspected until=2026-03-31 {BY}\n"

test_deferral_lapsed = table(
    "deferral-lapsed",
    {
        "on its last day": (PUT_OFF + "on 2026-03-31", []),
        "the day after": (PUT_OFF + "on 2026-04-01", ["minor A"]),
        "a leap day": (
            (
                f"part A\n2028-02-01 made A\n2028-02-02 deferred A rule=never-inspected"
                f" until=2028-02-29 {BY}\n"
                "on 2028-03-01"
            ),
            ["minor A"],
        ),
        "what it held back is settled": (
            PUT_OFF + "2026-03-09 accepted A to-drawing okafor\non 2026-04-01",
            [],
        ),
        "put off again": (
            PUT_OFF + f"2026-03-30 deferred A rule=never-inspected until=2026-04-30 {BY}\non 2026-04-01",
            [],
        ),
        "put off again, and that has lapsed too": (
            PUT_OFF + f"2026-03-30 deferred A rule=never-inspected until=2026-04-30 {BY}\non 2026-05-01",
            ["minor A"],
        ),
        "its milestone is reached": (
            (
                "milestone taxi\ntask T milestone=taxi\npart A\n2026-03-01 made A\n"
                f"2026-03-02 deferred A rule=never-inspected until=taxi {BY}\n2026-03-03\n    completes T"
            ),
            ["minor A"],
        ),
        "its milestone is not": (
            (
                "milestone taxi\ntask T milestone=taxi\npart A\n2026-03-01 made A\n"
                f"2026-03-02 deferred A rule=never-inspected until=taxi {BY}\n2026-03-03 work hours=1 task=T"
            ),
            [],
        ),
        "by somebody who may not, it never held": (
            (
                "part A\n2026-03-01 made A\n2026-03-02 deferred A rule=never-inspected until=2026-03-31"
                " by=bram"
                " reason=r\non 2026-04-01"
            ),
            [],
        ),
        "struck through": (
            PUT_OFF + "2026-03-03 voided A entry=2026-03-02-1 record=1 reason=no\non 2026-04-01",
            [],
        ),
        "of another rule": (
            (
                f"part A\n2026-03-01 made A\n2026-03-02 deferred A rule=damage-open until=2026-03-31 {BY}\n"
                "on 2026-04-01"
            ),
            [],
        ),
        "the article is gone": (PUT_OFF + "2026-03-03 scrapped A\non 2026-04-01", []),
        "the next article never had it": (
            PUT_OFF + "2026-03-03 scrapped A\n2026-03-04 made A\non 2026-04-01",
            [],
        ),
        "two stages, one deferral, one finding": (
            (
                "part A class=assembly\n2026-03-01 made A\n2026-03-02 closed A\n"
                f"2026-03-03 deferred A rule=never-inspected until=2026-03-31 {BY}\non 2026-04-01"
            ),
            ["minor A"],
        ),
        "one half of a pair": (
            (
                f"part A items=L,R\n2026-03-01 made A\n2026-03-02 deferred A/L rule=never-inspected"
                f" until=2026-03-31 {BY}\non 2026-04-01"
            ),
            ["minor A/L"],
        ),
        "of a number on no list": (
            (
                f"part A\n2026-03-01 made X-1\n2026-03-02 deferred X-1 rule=not-on-parts-list"
                f" until=2026-03-31"
                f" {BY}\non 2026-04-01"
            ),
            ["minor X-1"],
        ),
        "written up later": (
            (
                f"part A\n2026-03-01 made A\n2026-05-02 deferred A rule=never-inspected until=2026-03-31 {BY}"
                " date=2026-03-02"
            ),
            ["minor A"],
        ),
    },
)


def test_the_finding_it_held_back_returns() -> None:
    findings = checked(PUT_OFF, "2026-04-01").all
    (back,) = [each for each in findings if each.rule == "never-inspected"]
    assert back.deferred is None
    (lapsed,) = [each for each in findings if each.rule == "deferral-lapsed"]
    assert "never-inspected" in lapsed.message
    assert "2026-03-31" in lapsed.message
    assert "waits for the visit" in lapsed.message
    assert [rest.entry for rest in lapsed.rests] == ["2026-03-02-1", "2026-03-01-1"]


def test_it_names_the_milestone_by_its_title_and_the_person_by_name() -> None:
    (finding,) = found(
        "deferral-lapsed",
        "milestone taxi title='First taxi'\ntask T milestone=taxi\npart A\n2026-03-01 made A\n"
        f"2026-03-02 deferred A rule=never-inspected until=taxi {BY}\n2026-03-03\n    completes T",
    )
    assert "J. Okafor" in finding.message
    assert "taxi" in finding.message

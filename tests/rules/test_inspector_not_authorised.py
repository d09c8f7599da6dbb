"""The rule `inspector-not-authorised`: no such role, stage not among theirs, or outside their dates."""

from __future__ import annotations

from tests.rules.histories import found, table

ZED = "person zed roles=inspector from=2024-02-29 until=2026-02-28 may_inspect=to-drawing\npart A\n"

test_inspector_not_authorised = table(
    "inspector-not-authorised",
    {
        "no role": (
            "part A\n2026-03-01 made A\n2026-03-02 accepted A to-drawing bram",
            ["major A to-drawing"],
        ),
        "an engineer is no inspector": (
            "part A\n2026-03-01 made A\n2026-03-02 accepted A to-drawing engel",
            ["major A to-drawing"],
        ),
        "nobody in the settings": (
            "part A\n2026-03-01 made A\n2026-03-02 accepted A to-drawing ghost",
            ["major A to-drawing"],
        ),
        "within the dates": (ZED + "2025-03-01 made A\n2025-03-02 accepted A to-drawing zed", []),
        "the first day, a leap day": (ZED + "2024-02-01 made A\n2024-02-29 accepted A to-drawing zed", []),
        "the day before the first": (
            ZED + "2024-02-01 made A\n2024-02-28 accepted A to-drawing zed",
            ["major A to-drawing"],
        ),
        "the last day": (ZED + "2026-02-01 made A\n2026-02-28 accepted A to-drawing zed", []),
        "the day after the last": (
            ZED + "2026-02-01 made A\n2026-03-01 accepted A to-drawing zed",
            ["major A to-drawing"],
        ),
        "written up later, of a day within": (
            ZED + "2026-02-01 made A\n2026-03-09 accepted A to-drawing zed date=2026-02-28",
            [],
        ),
        "a stage not theirs": (
            ZED.replace("part A", "part A class=assembly")
            + "2025-03-01 made A\n2025-03-02 accepted A pre-close zed",
            ["major A pre-close"],
        ),
        "a stage renamed under them": (
            "class general stages=as-drawn\nstage as-drawn\n" + ZED + "2025-03-01 made A\n"
            "2025-03-02 accepted A as-drawn zed",
            ["major A as-drawn"],
        ),
        "a test that names a stage": (
            "part A\n2026-03-01 made A\n2026-03-02 tested A stage=to-drawing by=bram result=passed",
            ["major A to-drawing"],
        ),
        "a test that names none": (
            "part A\n2026-03-01 made A\n2026-03-02 tested A by=bram result=passed",
            [],
        ),
        "a rejection by anybody counts": (
            "part A\n2026-03-01 made A\n2026-03-02 rejected A to-drawing bram",
            [],
        ),
        "the acceptance was struck": (
            (
                "part A\n2026-03-01 made A\n2026-03-02 accepted A to-drawing bram\n"
                "2026-03-03 voided A entry=2026-03-02-1 record=1 reason=no"
            ),
            [],
        ),
        "accepted since by one who may": (
            (
                "part A\n2026-03-01 made A\n2026-03-02 accepted A to-drawing bram\n"
                "2026-03-03 accepted A to-drawing okafor"
            ),
            [],
        ),
        "accepted before by one who may": (
            (
                "part A\n2026-03-01 made A\n2026-03-02 accepted A to-drawing okafor\n"
                "2026-03-03 accepted A to-drawing bram"
            ),
            ["major A to-drawing"],
        ),
        "beside one who may": (
            "part A\n2026-03-01 made A\n2026-03-02 accepted A to-drawing okafor,bram",
            ["major A to-drawing"],
        ),
        "on an article that was scrapped": (
            (
                "part A\n2026-03-01 made A\n2026-03-02 accepted A to-drawing bram\n"
                "2026-03-03 scrapped A\n2026-03-04 made A"
            ),
            [],
        ),
        "a test whose entry names nobody": (
            "part A\n2026-03-01 made A\n2026-03-02 tested A stage=to-drawing result=passed people=",
            ["major A to-drawing"],
        ),
    },
)


def test_it_says_why() -> None:
    (finding,) = found(
        "inspector-not-authorised", ZED + "2026-02-01 made A\n2026-03-01 accepted A to-drawing zed"
    )
    assert "until 2026-02-28" in finding.message
    assert finding.person == "zed"

"""The mean histories, one after another, told to every rule that they could lead astray.

The tables of the rules have many of them; what stands here is what those leave out. Each says what the rule
finds, so that a rule that was changed for one of them is asked about all.
"""

from __future__ import annotations

import pytest

from tests.rules.histories import found, told

ZED = "person zed roles=builder,inspector\n"
LAST = "person zed roles=inspector,engineer until=2028-02-29\n"
"""Authority that ends on a leap day."""
MADE = "part A\n2028-02-01 made A\n"
RENAMED = "stage as-drawn undone_by=modified,made\nclass general stages=as-drawn\n"
"""The class asks for a stage that was called otherwise before; acceptances under the old name stay behind."""
LIKE_NUMBERS = "part 1E5 items=007,1.10,NO\n2028-02-01 made 1E5\n"
TWO = "class general stages=to-drawing signatures=2\n"
NONE = "class general stages=\n"
PASSED = MADE + "2028-02-02 accepted A to-drawing okafor\n"
GONE = "2028-02-10 scrapped A\n2028-02-11 made A\n"

SAME_DAY = {
    "never-inspected": (MADE + "2028-02-01 accepted A to-drawing okafor", []),
    "inspector-not-authorised": (
        MADE + "2028-02-02 accepted A to-drawing bram\n2028-02-02 accepted A to-drawing okafor",
        ["major A to-drawing"],
    ),
    "inspection-partial": (
        MADE + "2028-02-02 accepted A to-drawing okafor scope=tip\n2028-02-02 modified A",
        [],
    ),
    "signature-missing": (TWO + PASSED + "2028-02-02 accepted A to-drawing brandt", []),
    "evidence-missing": (MADE + "2028-02-01 media a.jpg shows=A", []),
    "lot-expired": ("lot G expires=2028-02-10\n" + MADE + "2028-02-10 23:59 modified A lots=G", []),
    "deferral-lapsed": (
        MADE + "2028-02-01 deferred A rule=never-inspected until=2028-02-01 by=okafor reason=r",
        [],
    ),
}

WRITTEN_UP_LATER = {
    "inspection-partial": (
        MADE + "2028-02-05 accepted A to-drawing okafor\n"
        "2028-02-09 accepted A to-drawing okafor scope=tip date=2028-02-03",
        [],
    ),
    "signature-missing": (
        TWO + MADE + "2028-02-05 accepted A to-drawing okafor\n"
        "2028-02-06 modified A\n2028-02-09 accepted A to-drawing brandt date=2028-02-05",
        [],
    ),
    "inspected-by-own-builder": (
        ZED + "part A class=critical\n2028-02-05 accepted A to-drawing zed\n"
        "2028-02-09 made A by=zed date=2028-02-01",
        ["major A to-drawing"],
    ),
    "worked-after-inspection": (
        MADE + "2028-02-05 work A hours=1\n2028-02-09 accepted A to-drawing okafor date=2028-02-04",
        ["minor A to-drawing"],
    ),
    "evidence-missing": (MADE + "2028-02-09 measured A value='1 mm' document=a.pdf date=2028-02-02", []),
    "revision-differs": (
        (
            "part A drawing=D revision=B\n2028-02-05 made A drawing='D rev B'\n"
            "2028-02-09 accepted A to-drawing okafor drawing='D rev A' date=2028-02-06"
        ),
        ["minor A to-drawing"],
    ),
    "day-too-long": (
        MADE + "2028-02-02 work A hours=10\n2028-02-03 work A hours=10\n2028-02-03 made A date=2028-02-02",
        [],
    ),
}

LEAP_DAY = {
    "inspected-by-own-builder": (
        ZED + "part A class=critical\n2028-02-28 made A\n2028-02-29 accepted A to-drawing zed\n"
        "2028-03-01 modified A by=zed",
        [],
    ),
    "inspection-partial": (
        MADE + "2028-02-28 accepted A to-drawing okafor\n2028-02-29 modified A\n"
        "2028-03-01 accepted A to-drawing okafor scope=tip",
        ["minor A to-drawing"],
    ),
    "signature-missing": (LAST + TWO + MADE + "2028-02-29 accepted A to-drawing okafor,zed", []),
    "worked-after-inspection": (
        MADE + "2028-02-28 accepted A to-drawing okafor\n2028-02-29 work A hours=1",
        ["minor A to-drawing"],
    ),
    "revision-differs": (
        (
            "part A drawing=D revision=B\n2028-02-28 made A drawing='D rev A'\n"
            "2028-02-29 drawing_changed A to=B effect=none"
        ),
        [],
    ),
    "completed-out-of-order": (
        "task S\ntask T after=S\n2028-02-29\n    completes T\n2028-03-01\n    completes S",
        ["minor T"],
    ),
    "evidence-missing": (MADE + "2028-02-29 media a.jpg shows=A\non 2028-02-28", ["observation A"]),
}

LAST_DAY_OF_VALIDITY = {
    "never-inspected": (LAST + MADE + "2028-02-29 accepted A to-drawing zed", []),
    "inspection-rejected": (LAST + MADE + "2028-02-29 rejected A to-drawing zed", ["major A to-drawing"]),
    "inspection-undone": (
        LAST + MADE + "2028-02-29 accepted A to-drawing zed\n2028-03-01 modified A",
        ["major A to-drawing"],
    ),
    "inspection-partial": (
        LAST + MADE + "2028-02-29 accepted A to-drawing zed scope=tip",
        ["minor A to-drawing"],
    ),
    "accepted-over-open": (
        LAST + "part W class=assembly\npart A parent=W\n2028-02-01 made W,A\n"
        "2028-02-29 08:00 accepted A to-drawing zed\n2028-02-29 09:00 accepted W pre-close okafor",
        [],
    ),
    "damage-open": (
        LAST + MADE + "2028-02-20\n    damaged A\n    nonconformance A id=N1\n"
        "2028-02-29 disposition A id=N1 decision=use-as-is by=zed",
        [],
    ),
    "not-for-flight-installed": (
        "part A use=not-for-flight\npart W\n2028-02-28 installed A on=W\n2028-02-29 removed A from=W",
        [],
    ),
}

RENAMED_STAGE = {
    "inspection-undone": (RENAMED + PASSED + "2028-02-03 modified A", []),
    "inspection-rejected": (
        RENAMED + MADE + "2028-02-02 rejected A to-drawing okafor",
        ["major A to-drawing"],
    ),
    "inspection-partial": (RENAMED + MADE + "2028-02-02 accepted A to-drawing okafor scope=tip", []),
    "worked-after-inspection": (RENAMED + PASSED + "2028-02-03 work A hours=1", []),
    "order-unclear": (RENAMED + PASSED + "2028-02-02 modified A", []),
    "signature-missing": (
        RENAMED.replace("stages=as-drawn", "stages=as-drawn signatures=2")
        + MADE
        + "2028-02-02 accepted A to-drawing okafor\n2028-02-03 accepted A as-drawn brandt",
        ["minor A as-drawn"],
    ),
    "accepted-over-open": (
        RENAMED + "part W class=assembly\npart A parent=W\n2028-02-01 made W,A\n"
        "2028-02-02 accepted A to-drawing okafor\n2028-02-03 accepted W pre-close okafor",
        ["minor W pre-close"],
    ),
    "test-failed": (
        RENAMED + MADE + "2028-02-02 tested A stage=to-drawing what=load by=okafor result=failed\n"
        "2028-02-03 tested A stage=as-drawn what=load by=okafor result=passed",
        [],
    ),
}

CLASS_CHANGED_LATER = {
    "inspection-undone": (NONE + PASSED + "2028-02-03 modified A", []),
    "inspection-rejected": (NONE + MADE + "2028-02-02 rejected A to-drawing okafor", ["major A to-drawing"]),
    "accepted-over-open": (
        (
            "class general stages=to-drawing,fit\nstage fit undone_by=modified\npart W class=assembly\n"
            "part A parent=W\n2028-02-01 made W,A\n2028-02-02 accepted A to-drawing okafor\n"
            "2028-02-03 accepted W pre-close okafor"
        ),
        ["minor W pre-close"],
    ),
    "inspector-not-authorised": (
        NONE + MADE + "2028-02-02 accepted A to-drawing bram",
        ["major A to-drawing"],
    ),
    "evidence-missing": (NONE + MADE, []),
    "order-unclear": (NONE + PASSED + "2028-02-02 modified A", []),
    "worked-after-inspection": (
        "class general stages=\n"
        + MADE
        + "2028-02-02 accepted A to-drawing okafor\n2028-02-03 work A hours=1",
        [],
    ),
    "revision-differs": (
        "class general bulk=true stages=\npart A drawing=D revision=B\n2028-02-01 made A drawing='D rev A'",
        ["minor A"],
    ),
    "nonconformance-open": (
        "class general bulk=true stages=\n" + MADE + "2028-02-02 nonconformance A id=N1",
        ["major A"],
    ),
}

DESIGNATOR_LIKE_A_NUMBER = {
    "inspection-undone": (
        LIKE_NUMBERS + "2028-02-02 accepted 1E5/all to-drawing okafor\n2028-02-03 modified 1E5/007",
        ["major 1E5/007 to-drawing"],
    ),
    "inspection-rejected": (
        LIKE_NUMBERS + "2028-02-02 rejected 1E5/1.10 to-drawing okafor",
        ["major 1E5/1.10 to-drawing"],
    ),
    "inspection-partial": (
        LIKE_NUMBERS + "2028-02-02 accepted 1E5/NO to-drawing okafor scope=tip",
        ["minor 1E5/NO to-drawing"],
    ),
    "inspected-by-own-builder": (
        ZED + "part 1E5 class=critical items=007,7\n2028-02-01 made 1E5/007 by=zed\n2028-02-01 made 1E5/7\n"
        "2028-02-02 accepted 1E5/all to-drawing zed",
        ["major 1E5/007 to-drawing"],
    ),
    "inspector-not-authorised": (
        LIKE_NUMBERS + "2028-02-02 accepted 1E5/NO to-drawing bram",
        ["major 1E5/NO to-drawing"],
    ),
    "closed-before-inspection": (
        "part W class=assembly items=1,01\n2028-02-01 made W\n2028-02-02 closed W/01",
        ["major W/01 pre-close"],
    ),
    "damage-open": (LIKE_NUMBERS + "2028-02-02 damaged 1E5/NO", ["major 1E5/NO"]),
    "nonconformance-open": (
        LIKE_NUMBERS + "2028-02-02 nonconformance 1E5/007 id=1\n2028-02-02 nonconformance 1E5/1.10 id=01\n"
        "2028-02-03 disposition 1E5/007 id=01 decision=use-as-is by=engel",
        ["major 1E5/1.10", "major 1E5/007"],
    ),
    "test-failed": (
        LIKE_NUMBERS + "2028-02-02 tested 1E5/1.10 what=leak result=failed\n"
        "2028-02-03 tested 1E5/007 what=leak result=passed",
        ["major 1E5/1.10"],
    ),
    "order-unclear": (
        LIKE_NUMBERS + "2028-02-02 accepted 1E5/007 to-drawing okafor\n2028-02-02 modified 1E5/1.10",
        [],
    ),
    "signature-missing": (
        TWO
        + LIKE_NUMBERS
        + "2028-02-02 accepted 1E5/007 to-drawing okafor\n2028-02-02 accepted 1E5/NO to-drawing brandt",
        ["minor 1E5/007 to-drawing", "minor 1E5/NO to-drawing"],
    ),
    "not-for-flight-installed": (
        (
            "part 1E5 items=007,7 use=not-for-flight\npart W\n2028-02-01 installed 1E5/007 on=W\n"
            "2028-02-01 installed 1E5/7 on=W\n2028-02-02 removed 1E5/7 from=W"
        ),
        ["minor 1E5/007"],
    ),
    "accepted-over-open": (
        (
            "part W class=assembly\npart 1E5 items=007,7 parent=W\n2028-02-01 made W,1E5\n"
            "2028-02-02 accepted 1E5/7 to-drawing okafor\n2028-02-03 accepted W pre-close okafor"
        ),
        ["minor W pre-close"],
    ),
    "worked-after-inspection": (
        LIKE_NUMBERS + "2028-02-02 accepted 1E5/all to-drawing okafor\n2028-02-03 work 1E5/1.10 hours=1",
        ["minor 1E5/1.10 to-drawing"],
    ),
    "evidence-missing": (
        LIKE_NUMBERS + "2028-02-02 media a.jpg shows=1E5/007,1E5/NO",
        ["observation 1E5/1.10"],
    ),
    "revision-differs": (
        "part 1E5 items=007 drawing=007 revision=1.10\n2028-02-01 made 1E5/007 drawing='007 rev 1.1'",
        ["minor 1E5/007"],
    ),
    "deferral-lapsed": (
        LIKE_NUMBERS + "2028-02-02 deferred 1E5/NO rule=never-inspected until=2028-02-03 by=okafor reason=r\n"
        "2028-02-04 modified 1E5/007",
        ["minor 1E5/NO"],
    ),
}

INSPECTOR_BECOMES_BUILDER = {
    "never-inspected": (
        ZED + "part A class=critical\n2028-02-01 made A by=zed\n2028-02-02 accepted A to-drawing zed",
        ["observation A pre-close"],
    ),
    "inspection-undone": (
        ZED + "part A class=critical\n2028-02-01 made A\n2028-02-02 accepted A to-drawing zed\n"
        "2028-02-03 modified A by=zed\n2028-02-04 accepted A to-drawing zed",
        ["major A to-drawing"],
    ),
    "inspection-rejected": (
        ZED + "part A class=critical\n2028-02-01 made A by=zed\n2028-02-02 rejected A to-drawing zed",
        ["major A to-drawing"],
    ),
    "signature-missing": (
        ZED + "class two stages=to-drawing signatures=2 independent=true\npart A class=two\n"
        "2028-02-01 made A by=zed\n2028-02-02 accepted A to-drawing okafor,zed",
        ["minor A to-drawing"],
    ),
    "worked-after-inspection": (
        ZED + "part A class=critical\n2028-02-01 made A\n2028-02-02 accepted A to-drawing zed\n"
        "2028-02-03 work A hours=1 people=zed",
        ["minor A to-drawing"],
    ),
    "inspector-not-authorised": (
        ZED + "part A class=critical\n2028-02-01 made A by=zed\n2028-02-02 accepted A to-drawing zed",
        [],
    ),
    "accepted-over-open": (
        ZED + "part W class=assembly\npart A class=critical parent=W\n2028-02-01 made W\n"
        "2028-02-01 made A by=zed\n2028-02-02 accepted A to-drawing,pre-close zed\n"
        "2028-02-03 accepted W pre-close okafor",
        ["minor W pre-close"],
    ),
    "nonconformance-open": (
        ZED + "part A class=critical\n2028-02-01 made A by=zed\n2028-02-02 nonconformance A id=N1\n"
        "2028-02-03 disposition A id=N1 decision=rework by=okafor\n2028-02-04 repaired A by=zed\n"
        "2028-02-05 accepted A to-drawing zed clears=N1",
        ["major A"],
    ),
    "inspection-partial": (
        ZED + "part A class=critical\n2028-02-01 made A by=zed\n"
        "2028-02-02 accepted A to-drawing zed scope=tip",
        [],
    ),
}

SECOND_ARTICLE = {
    "inspected-by-own-builder": (
        ZED
        + "part A class=critical\n2028-02-01 made A by=zed\n"
        + GONE
        + "2028-02-12 accepted A to-drawing zed",
        [],
    ),
    "inspector-not-authorised": (MADE + "2028-02-02 accepted A to-drawing bram\n" + GONE, []),
    "damage-open": (MADE + "2028-02-02 damaged A\n" + GONE, []),
    "nonconformance-open": (MADE + "2028-02-02 nonconformance A id=N1\n" + GONE, []),
    "order-unclear": (PASSED + "2028-02-02 modified A\n" + GONE, []),
    "test-failed": (MADE + "2028-02-02 tested A what=leak result=failed\n" + GONE, []),
    "signature-missing": (
        TWO
        + MADE
        + "2028-02-02 accepted A to-drawing okafor\n"
        + GONE
        + "2028-02-12 accepted A to-drawing brandt",
        ["minor A to-drawing"],
    ),
    "deferral-lapsed": (
        MADE + "2028-02-02 deferred A rule=never-inspected until=2028-02-05 by=okafor reason=r\n" + GONE,
        [],
    ),
}

VOIDED_ACCEPTANCE = {
    "inspected-by-own-builder": (
        ZED
        + "part A class=critical\n2028-02-01 made A by=zed\n2028-02-02 accepted A to-drawing zed key=slip\n"
        "2028-02-03 voided A entry=slip record=1 reason=slip",
        [],
    ),
    "worked-after-inspection": (
        MADE + "2028-02-02 accepted A to-drawing okafor key=slip\n2028-02-03 work A hours=1\n"
        "2028-02-04 voided A entry=slip record=1 reason=slip",
        [],
    ),
    "completed-out-of-order": (
        "task S\ntask T after=S\n" + MADE + "2028-02-02 accepted A to-drawing okafor key=slip\n2028-02-03\n"
        "    completes T\n2028-02-04 voided A entry=slip record=1 reason=slip",
        ["minor T"],
    ),
    "damage-open": (
        MADE
        + "2028-02-02 damaged A\n2028-02-03 repaired A\n2028-02-04 accepted A to-drawing okafor key=slip\n"
        "2028-02-05 voided A entry=slip record=1 reason=slip",
        [],
    ),
}

EVERY = {
    "same day": SAME_DAY,
    "written up later": WRITTEN_UP_LATER,
    "leap day": LEAP_DAY,
    "last day of validity": LAST_DAY_OF_VALIDITY,
    "renamed stage": RENAMED_STAGE,
    "class changed later": CLASS_CHANGED_LATER,
    "designator like a number": DESIGNATOR_LIKE_A_NUMBER,
    "inspector becomes builder": INSPECTOR_BECOMES_BUILDER,
    "second article": SECOND_ARTICLE,
    "voided acceptance": VOIDED_ACCEPTANCE,
}


@pytest.mark.parametrize(
    ("rule", "text", "expected"),
    [
        pytest.param(rule, *history, id=f"{rule}: {what}")
        for what, histories in EVERY.items()
        for rule, history in histories.items()
    ],
)
def test_mean_history(rule: str, text: str, expected: list[str]) -> None:
    rest, _, on = text.partition("\non ")
    assert told(found(rule, rest, on)) == expected

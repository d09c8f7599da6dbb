"""The rule `never-inspected`: major when due, an observation before, quiet where there is no article."""

from __future__ import annotations

from tests.rules.histories import found, table

test_never_inspected = table(
    "never-inspected",
    {
        "made and never looked at": ("part A\n2026-03-01 made A", ["major A to-drawing"]),
        "looked at": ("part A\n2026-03-01 made A\n2026-03-02 accepted A to-drawing okafor", []),
        "rejected is looked at": ("part A\n2026-03-01 made A\n2026-03-02 rejected A to-drawing okafor", []),
        "not begun: asks for nothing": ("part A\npart B\n2026-03-01 made B", ["major B to-drawing"]),
        "a work line begins it": ("part A\n2026-03-01 work A hours=1", ["major A to-drawing"]),
        "a photo alone does not begin it": ("part A\n2026-03-01 media a.jpg shows=A", []),
        "a drawing change alone does not begin it": ("part A\n2026-03-01 drawing_changed A to=B", []),
        "of a pair, the other half": (
            "part A items=L,R\n2026-03-01 made A\n2026-03-02 accepted A/L to-drawing okafor",
            ["major A/R to-drawing"],
        ),
        "before closing up is not due while open": (
            "part A class=assembly\n2026-03-01 made A\n2026-03-02 accepted A to-drawing okafor",
            ["observation A pre-close"],
        ),
        "closed without it: the closing has a finding of its own": (
            (
                "part A class=assembly\n2026-03-01 made A\n2026-03-02 accepted A to-drawing okafor\n"
                "2026-03-03 closed A"
            ),
            [],
        ),
        "opened again, and that still says it": (
            (
                "part A class=assembly\n2026-03-01 made A\n2026-03-02 accepted A to-drawing okafor\n"
                "2026-03-03 closed A\n2026-03-04 opened A"
            ),
            [],
        ),
        "hidden by a closing above it: likewise": (
            (
                "part W\npart A class=assembly parent=W\n2026-03-01 made A,W\n"
                "2026-03-02 accepted A,W to-drawing okafor\n2026-03-03 closed W"
            ),
            [],
        ),
        "hidden, and due at once all the same": (
            (
                "part W\npart A parent=W\n2026-03-01 made A,W\n2026-03-02 accepted W to-drawing okafor\n"
                "2026-03-03 closed W"
            ),
            ["major A to-drawing"],
        ),
        "made after it was closed, it is not hidden": (
            (
                "class inner stages=pre-close\npart W\npart A class=inner parent=W\n2026-03-01 made W\n"
                "2026-03-02 accepted W to-drawing okafor\n2026-03-03 closed W\n2026-03-04 made A"
            ),
            ["observation A pre-close"],
        ),
        "due before a milestone not reached": (
            (
                "stage run before=taxi\nclass engine stages=run\nmilestone taxi\npart A class=engine\n"
                "task T milestone=taxi\n2026-03-01 made A"
            ),
            ["observation A run"],
        ),
        "due before a milestone that is reached": (
            (
                "stage run before=taxi\nclass engine stages=run\nmilestone taxi\npart A class=engine\n"
                "task T milestone=taxi\n2026-03-01 made A\n2026-03-02\n    completes T"
            ),
            ["major A run"],
        ),
        "a second article starts with nothing": (
            (
                "part A\n2026-03-01 made A\n2026-03-02 accepted A to-drawing okafor\n"
                "2026-03-03 scrapped A\n2026-03-04 made A"
            ),
            ["major A to-drawing"],
        ),
        "scrapped: asks for nothing": ("part A\n2026-03-01 made A\n2026-03-02 scrapped A", []),
        "the inspection was struck": (
            (
                "part A\n2026-03-01 made A\n2026-03-02 accepted A to-drawing okafor\n"
                "2026-03-03 voided A entry=2026-03-02-1 record=1 reason=wrong"
            ),
            ["major A to-drawing"],
        ),
        "the striking was struck": (
            (
                "part A\n2026-03-01 made A\n2026-03-02 accepted A to-drawing okafor\n"
                "2026-03-03 voided A entry=2026-03-02-1 record=1 reason=wrong\n"
                "2026-03-04 voided A entry=2026-03-03-1 record=1 reason=right"
            ),
            [],
        ),
        "the making was struck: nothing began": (
            "part A\n2026-03-01 made A\n2026-03-03 voided A entry=2026-03-01-1 record=1 reason=wrong",
            [],
        ),
        "hardware kept by lot is quiet": ("part A class=hardware\n2026-03-01 received A", []),
        "bulk is quiet whatever it asks": (
            "class rivets bulk=true stages=to-drawing\npart A class=rivets\n2026-03-01 received A",
            [],
        ),
        "on no list: a general part": ("2026-03-01 made X-1", ["major X-1 to-drawing"]),
        "a designator like a number": (
            "part A items=007,1E5\n2026-03-01 made A\n2026-03-02 accepted A/007 to-drawing okafor",
            ["major A/1E5 to-drawing"],
        ),
        "a class changed to ask for more": (
            (
                "class general stages=to-drawing,fit\nstage fit\npart A\n"
                "2026-03-01 made A\n2026-03-02 accepted A to-drawing okafor"
            ),
            ["major A fit"],
        ),
        "a renamed stage leaves the old name behind": (
            (
                "class general stages=as-drawn\nstage as-drawn\npart A\n"
                "2026-03-01 made A\n2026-03-02 accepted A to-drawing okafor"
            ),
            ["major A as-drawn"],
        ),
        "a test that names the stage": (
            "part A\n2026-03-01 made A\n2026-03-02 tested A stage=to-drawing by=okafor result=passed",
            [],
        ),
        "a test that names none": (
            "part A\n2026-03-01 made A\n2026-03-02 tested A by=okafor result=passed",
            ["major A to-drawing"],
        ),
        "without authority has its own finding": (
            "part A\n2026-03-01 made A\n2026-03-02 accepted A to-drawing bram",
            [],
        ),
        "inspected on the leap day, written up later": (
            "part A\n2024-02-28 made A\n2024-03-05 accepted A to-drawing okafor date=2024-02-29",
            [],
        ),
        "inspected after the day stood on": (
            "part A\n2026-03-01 made A\n2026-03-02 accepted A to-drawing okafor\non 2026-03-01",
            ["major A to-drawing"],
        ),
        "on hold and never looked at": (
            "part A\n2026-03-01 made A\n2026-03-02 nonconformance A id=N1",
            ["major A to-drawing"],
        ),
    },
)


def test_it_points_at_what_began_the_article() -> None:
    (finding,) = found("never-inspected", "part A\n2026-03-01 work A hours=1\n2026-03-02 made A")
    assert (finding.entry, finding.where.file) == ("2026-03-01-1", "entries/2026-03-01-1.md")
    assert "Made to drawing" in finding.message
    assert finding.why
    assert finding.clears

"""The rule `revision-differs`: made or accepted at another revision than the one on the list."""

from __future__ import annotations

from tests.rules.histories import found, table

A = "part A drawing=D-1 revision=B\n"
OLD = A + "2026-03-01 made A drawing='D-1 rev A'\n"

test_revision_differs = table(
    "revision-differs",
    {
        "made to an older one": (OLD, ["minor A"]),
        "made to the one in force": (A + "2026-03-01 made A drawing='D-1 rev B'", []),
        "said by the key": (A + "2026-03-01 made A revision=A", ["minor A"]),
        "the key before the words": (A + "2026-03-01 made A revision=B drawing='D-1 rev A'", []),
        "not said": (A + "2026-03-01 made A drawing=D-1", []),
        "the list has none": ("part A drawing=D-1\n2026-03-01 made A drawing='D-1 rev A'", []),
        "on no list": ("2026-03-01 made A drawing='D-1 rev A'", []),
        "another drawing": (A + "2026-03-01 made A drawing='D-2 rev A'", []),
        "two drawings, ours among them": (
            A + "2026-03-01 made A drawing='D-2 rev B; D-1 Rev. A'",
            ["minor A"],
        ),
        "no drawing on the list, the part number in the record": (
            "part A revision=B\n2026-03-01 made A drawing='A rev A'",
            ["minor A"],
        ),
        "letters small and large": (A + "2026-03-01 made A drawing='d-1 REV b'", []),
        "1.1 is not 1.10": (
            "part A drawing=D-1 revision=1.10\n2026-03-01 made A revision=1.1",
            ["minor A"],
        ),
        "it does not matter": (OLD + "2026-03-02 drawing_changed A to=B effect=none", []),
        "the change does not say": (OLD + "2026-03-02 drawing_changed A to=B", ["minor A"]),
        "to be inspected again": (OLD + "2026-03-02 drawing_changed A to=B effect=reinspect", ["minor A"]),
        "inspected again after the change": (
            OLD
            + "2026-03-02 drawing_changed A to=B effect=reinspect\n2026-03-03 accepted A to-drawing okafor",
            [],
        ),
        "inspected again, against the old one": (
            OLD + "2026-03-02 drawing_changed A to=B effect=reinspect\n"
            "2026-03-03 accepted A to-drawing okafor drawing='D-1 rev A'",
            ["minor A"],
        ),
        "inspected before the change": (
            OLD + "2026-03-02 accepted A to-drawing okafor\n2026-03-03 drawing_changed A to=B",
            ["minor A"],
        ),
        "inspected again by nobody who may": (
            OLD + "2026-03-02 drawing_changed A to=B\n2026-03-03 accepted A to-drawing bram",
            ["minor A"],
        ),
        "brought to it": (OLD + "2026-03-03 modified A data='D-1 rev B'", []),
        "a manual's revision is another thing": (OLD + "2026-03-03 modified A data='M-7 rev B'", ["minor A"]),
        "two steps, both without effect": (
            (
                "part A drawing=D-1 revision=C\n2026-03-01 made A revision=A\n"
                "2026-03-02 drawing_changed A to=B effect=none\n2026-03-03 drawing_changed A to=C effect=none"
            ),
            [],
        ),
        "two steps, one with": (
            (
                "part A drawing=D-1 revision=C\n2026-03-01 made A revision=A\n"
                "2026-03-02 drawing_changed A to=B effect=reinspect\n"
                "2026-03-03 drawing_changed A to=C effect=none"
            ),
            ["minor A"],
        ),
        "the list is ahead of the changes": (
            (
                "part A drawing=D-1 revision=C\n2026-03-01 made A revision=A\n"
                "2026-03-02 drawing_changed A to=B effect=none"
            ),
            ["minor A"],
        ),
        "the change of the same day": (OLD + "2026-03-01 drawing_changed A to=B effect=none", []),
        "made to the old one after the change": (
            A + "2026-03-01 drawing_changed A to=B effect=none\n2026-03-02 made A revision=A",
            ["minor A"],
        ),
        "made right, accepted against the old one": (
            A + "2026-03-01 made A revision=B\n2026-03-02 accepted A to-drawing okafor drawing='D-1 rev A'",
            ["minor A to-drawing"],
        ),
        "both against the old one are one finding": (
            OLD + "2026-03-02 accepted A to-drawing okafor drawing='D-1 rev A'",
            ["minor A"],
        ),
        "accepted against the new one": (
            OLD + "2026-03-02 accepted A to-drawing okafor drawing='D-1 rev B'",
            [],
        ),
        "the change struck through": (
            OLD + "2026-03-02 drawing_changed A to=B effect=none\n"
            "2026-03-03 voided A entry=2026-03-02-1 record=1 reason=wrong",
            ["minor A"],
        ),
        "the first article was, the second is not": (
            OLD + "2026-03-02 scrapped A\n2026-03-03 made A revision=B",
            [],
        ),
        "gone": (OLD + "2026-03-02 scrapped A", []),
        "the change told of the part, for all its items": (
            (
                "part P items=L,R drawing=D-1 revision=B\n2026-03-01 made P revision=A\n"
                "2026-03-02 drawing_changed P to=B effect=none"
            ),
            [],
        ),
    },
)


def test_it_says_both_revisions_and_what_clears_it() -> None:
    (finding,) = found(
        "revision-differs", OLD + "2026-03-02 accepted A to-drawing okafor drawing='D-1 rev A'"
    )
    assert "revision A" in finding.message
    assert "revision B" in finding.message
    assert "effect: none" in finding.clears
    assert [rest.entry for rest in finding.rests] == ["2026-03-01-1", "2026-03-02-1"]

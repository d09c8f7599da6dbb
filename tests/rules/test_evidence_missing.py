"""The rule `evidence-missing`: an item of a class with stages that no photo, clip or document shows."""

from __future__ import annotations

from tests.rules.histories import table

test_evidence_missing = table(
    "evidence-missing",
    {
        "nothing": ("part A\n2026-03-01 made A", ["observation A"]),
        "a photo": ("part A\n2026-03-01 made A\n2026-03-02 media a.jpg shows=A", []),
        "a photo before it was made": ("part A\n2026-03-01 media a.jpg shows=A\n2026-03-02 made A", []),
        "a document of a record": ("part A\n2026-03-01 made A document=a.pdf", []),
        "a document of a record struck through": (
            (
                "part A\n2026-03-01 made A\n2026-03-02 measured A value='1 mm' document=a.pdf\n"
                "2026-03-03 voided A entry=2026-03-02-1 record=1 reason=no"
            ),
            ["observation A"],
        ),
        "a photo of something else": (
            "part A\n2026-03-01 made A\n2026-03-02 media a.jpg shows=B",
            ["observation A"],
        ),
        "a photo that names nothing": ("part A\n2026-03-01\n    made A\n    media a.jpg", ["observation A"]),
        "a photo of one half": (
            "part A items=L,R\n2026-03-01\n    made A\n    media a.jpg shows=A/L",
            ["observation A/R"],
        ),
        "a photo of the part: of both": (
            "part A items=L,R\n2026-03-01\n    made A\n    media a.jpg shows=A",
            [],
        ),
        "a class that asks for nothing": ("class loose stages=\npart A class=loose\n2026-03-01 made A", []),
        "hardware": ("part A class=hardware\n2026-03-01 received A", []),
        "bulk with stages": (
            "class rivets bulk=true stages=to-drawing\npart A class=rivets\n2026-03-01 received A",
            [],
        ),
        "not begun": ("part A\npart B\n2026-03-01 media b.jpg shows=B", []),
        "a second article, a photo of the first": (
            (
                "part A\n2026-03-01\n    made A\n    media a.jpg shows=A\n2026-03-02 scrapped A\n"
                "2026-03-03 made A"
            ),
            ["observation A"],
        ),
        "a second article, a photo of it": (
            (
                "part A\n2026-03-01 made A\n2026-03-02 scrapped A\n2026-03-03\n    made A\n"
                "    media a.jpg shows=A"
            ),
            [],
        ),
        "scrapped": ("part A\n2026-03-01 made A\n2026-03-02 scrapped A", []),
        "a photo after the day stood on": (
            "part A\n2026-03-01 made A\n2026-03-09 media a.jpg shows=A\non 2026-03-02",
            ["observation A"],
        ),
    },
)

"""The rule `media-unreadable`: a file missing or broken; one finding a file."""

from __future__ import annotations

from tests.rules.histories import found, table

BROKEN = "broken a.jpg 'it is not there'\npart A\n"

test_media_unreadable = table(
    "media-unreadable",
    {
        "in media": (BROKEN + "2026-03-01 media a.jpg shows=A", ["minor a.jpg"]),
        "as a document": (BROKEN + "2026-03-01 made A document=a.jpg", ["minor a.jpg"]),
        "whole": ("broken a.jpg ''\npart A\n2026-03-01 media a.jpg shows=A", []),
        "another file": (BROKEN + "2026-03-01 media b.jpg shows=A", []),
        "in two entries, one finding": (
            BROKEN + "2026-03-01 media a.jpg shows=A\n2026-03-02 media a.jpg shows=A",
            ["minor a.jpg"],
        ),
        "two files": (
            BROKEN + "broken b.jpg 'not a photo'\n2026-03-01\n    media b.jpg\n    media a.jpg",
            ["minor a.jpg", "minor b.jpg"],
        ),
        "only after the day stood on": (
            BROKEN + "2026-03-01 made A\n2026-03-09 media a.jpg\non 2026-03-02",
            [],
        ),
        "in a folder, with a number": (
            (
                "broken 2026/10.jpg gone\nbroken 2026/9.jpg gone\n2026-03-01\n    media 2026/10.jpg\n"
                "    media 2026/9.jpg"
            ),
            ["minor 2026/9.jpg", "minor 2026/10.jpg"],
        ),
        "nobody refers to it": (BROKEN + "2026-03-01 made A", []),
        "by a record struck through: it stays readable": (
            BROKEN
            + "2026-03-01 made A document=a.jpg\n2026-03-02 voided A entry=2026-03-01-1 record=1 reason=no",
            ["minor a.jpg"],
        ),
    },
)


def test_it_names_every_entry() -> None:
    (finding,) = found(
        "media-unreadable",
        BROKEN + "2026-03-01 media a.jpg\n2026-03-01 made A document=a.jpg\n2026-03-02 media a.jpg",
    )
    assert "it is not there" in finding.message
    assert "2026-03-01-1, 2026-03-01-2 and 2026-03-02-1" in finding.message
    assert finding.entry == "2026-03-01-1"

"""The rule `place-contradicts`: records of where an item is that cannot all be so."""

from __future__ import annotations

from tests.rules.histories import found, table

P = "part W\npart V\npart A\n2026-03-01 made W,V,A\n"
PUT = "2026-03-02 installed A on=W\n"
OUT = "2026-03-04 removed A from=W\n"
PAIR = "part W items=L,R\npart A items=L,R parent=W\n2026-03-01 made W,A\n"
JUST_A = ["minor A"]

test_place_contradicts = table(
    "place-contradicts",
    {
        "put in and taken out": (P + PUT + OUT, []),
        "put in, taken out, put in elsewhere": (P + PUT + OUT + "2026-03-05 installed A on=V", []),
        "installed while elsewhere": (P + PUT + "2026-03-03 installed A on=V", JUST_A),
        "put in again where it was": (P + PUT + "2026-03-03 installed A on=W", []),
        "elsewhere by the parts list alone": (
            "part W\npart V\npart A parent=W\n2026-03-01 made W,V,A\n2026-03-02 installed A on=V",
            [],
        ),
        "the removal is written up later": (
            P + PUT + "2026-03-05 installed A on=V\n2026-03-08 removed A from=W date=2026-03-04",
            [],
        ),
        "two moves of one day, no order": (P + PUT + OUT + "2026-03-04 installed A on=V", []),
        "put in elsewhere first, by their times": (
            P + PUT + "2026-03-04 09:00 installed A on=V\n2026-03-04 15:00 removed A from=W",
            JUST_A,
        ),
        "removed first, by their times": (
            P + PUT + "2026-03-04 15:00 installed A on=V\n2026-03-04 09:00 removed A from=W",
            [],
        ),
        "taken out and put in, in one entry": (
            P + PUT + "2026-03-04\n    removed A from=W\n    installed A on=V",
            [],
        ),
        "put in and taken out, in one entry, in that order": (
            P + PUT + "2026-03-04\n    installed A on=V\n    removed A from=W",
            JUST_A,
        ),
        "removed from what it is not in": (P + PUT + "2026-03-04 removed A from=V", JUST_A),
        "removed twice": (P + PUT + OUT + "2026-03-05 removed A from=W", JUST_A),
        "removed twice, and nobody says from where": (
            P + PUT + "2026-03-04 removed A\n2026-03-05 removed A",
            JUST_A,
        ),
        "removed first of all: it had been there": (P + OUT, []),
        "removed first of all, against the parts list": (
            "part W\npart V\npart A parent=V\n2026-03-01 made W,V,A\n" + OUT,
            [],
        ),
        "removed first of all, from nowhere": (P + "2026-03-04 removed A", []),
        "removed from what holds what it is in": (
            "part V\npart W parent=V\npart A\n2026-03-01 made V,W,A\n" + PUT + "2026-03-04 removed A from=V",
            [],
        ),
        "inside itself": (P + "2026-03-02 installed A on=A", JUST_A),
        "inside what is inside it": (P + PUT + "2026-03-03 installed W on=A", ["minor W"]),
        "inside what was inside it once": (P + PUT + OUT + "2026-03-05 installed W on=A", []),
        "inside what is inside it, by the parts list": (
            "part W\npart A parent=W\n2026-03-01 made W,A\n2026-03-02 installed W on=A",
            ["minor W"],
        ),
        "on a scrapped article": (P + "2026-03-02 scrapped W\n2026-03-03 installed A on=W", JUST_A),
        "on an article sent back": (P + "2026-03-02 returned W\n2026-03-03 installed A on=W", JUST_A),
        "on the day it was scrapped, no order": (P + "2026-03-02 scrapped W\n" + PUT, []),
        "on the article that came after it": (
            P + "2026-03-02 scrapped W\n2026-03-03 made W\n2026-03-04 installed A on=W",
            [],
        ),
        "on a scrapped article, and another came later": (
            P + "2026-03-02 scrapped W\n2026-03-03 installed A on=W\n2026-03-04 made W",
            JUST_A,
        ),
        "scrapped with it inside: it went along": (P + PUT + "2026-03-03 scrapped W", []),
        "on what went on under a new name": (
            P + "2026-03-02 reidentified W as=V\n2026-03-03 installed A on=W",
            [],
        ),
        "on what no record made": ("part W\npart A\n2026-03-01 made A\n" + PUT, []),
        "a second article put in where the first one was": (
            P + PUT + "2026-03-03 scrapped A\n2026-03-04 made A\n2026-03-05 installed A on=V",
            [],
        ),
        "the first article contradicted itself, and is gone": (
            P + PUT + "2026-03-03 installed A on=V\n2026-03-04 scrapped A\n2026-03-05 made A",
            [],
        ),
        "received twice, with two serial numbers": (
            "part A\n2026-03-01 received A serial=1\n2026-03-02 received A serial=2",
            JUST_A,
        ),
        "received twice, the first sent back": (
            ("part A\n2026-03-01 received A serial=1\n2026-03-02 returned A\n2026-03-03 received A serial=2"),
            [],
        ),
        "received and made up, with one serial number": (
            "part A\n2026-03-01 received A serial=007\n2026-03-02 made A serial=007",
            [],
        ),
        "serial numbers that look like one number": (
            "part A\n2026-03-01 received A serial=007\n2026-03-02 received A serial=7",
            JUST_A,
        ),
        "received twice, a serial number only once": (
            "part A\n2026-03-01 received A\n2026-03-02 received A serial=2",
            [],
        ),
        "left and right on one side": (PAIR + "2026-03-02 installed A/R on=W/L", ["minor A/R"]),
        "left and right swapped": (
            (
                PAIR + "2026-03-02 removed A/L\n2026-03-02 removed A/R\n2026-03-03 installed A/R on=W/L\n"
                "2026-03-04 installed A/L on=W/R"
            ),
            [],
        ),
        "the other half does not exist": (
            (
                "part W items=L,R\npart A items=L,R parent=W\n2026-03-01 made W,A/R\n"
                "2026-03-02 installed A/R on=W/L"
            ),
            [],
        ),
        "numbered ones in one place, as there are several": (
            "part W\npart A items=1,2 parent=W\n2026-03-01 made W,A\n2026-03-02 installed A/1,A/2 on=W",
            [],
        ),
        "the move was struck": (
            P + PUT + "2026-03-03 installed A on=V\n"
            "2026-03-04 voided A entry=2026-03-03-1 record=1 reason=wrong",
            [],
        ),
        "the move before it was struck": (
            P + PUT + "2026-03-03 installed A on=V\n"
            "2026-03-04 voided A entry=2026-03-02-1 record=1 reason=wrong",
            [],
        ),
        "on the leap day": (
            (
                "part W\npart V\npart A\n2024-02-01 made W,V,A\n2024-02-28 installed A on=W\n"
                "2024-02-29 installed A on=V\n2024-03-01 removed A from=V"
            ),
            JUST_A,
        ),
        "before the second move": (P + PUT + "2026-03-03 installed A on=V\non 2026-03-02", []),
        "carried on under a new name, and taken out under that": (
            P + "part N\n" + PUT + "2026-03-03 reidentified A as=N\n2026-03-04 removed N from=W",
            [],
        ),
        "taken out before it was renamed, and again after": (
            P + "part N\n" + PUT + "2026-03-03 removed A\n2026-03-04 reidentified A as=N\n"
            "2026-03-05 removed N from=W",
            ["minor N"],
        ),
    },
)


def test_it_points_at_the_move_and_at_what_it_contradicts() -> None:
    (finding,) = found("place-contradicts", P + PUT + "2026-03-03 installed A on=V")
    assert [rest.entry for rest in finding.rests] == ["2026-03-03-1", "2026-03-02-1"]
    assert "V" in finding.message
    assert "W" in finding.message

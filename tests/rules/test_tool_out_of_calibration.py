"""The rule `tool-out-of-calibration`: a reading by a tool past its due day then, or never calibrated."""

from __future__ import annotations

import pytest

from tests.rules.histories import found, table

LOG = (
    "part A\npart B\ntool T calibrated=2025-03-01 due=2026-03-01\n"
    "tool G calibrated=2026-01-01 due=2027-01-01\ntool N\n2026-02-01 made A,B\n"
)
READ = "measured A what=gap value=1 tool="

test_tool_out_of_calibration = table(
    "tool-out-of-calibration",
    {
        "past its due day": (LOG + f"2026-03-02 {READ}T", ["minor A"]),
        "on its due day": (LOG + f"2026-03-01 {READ}T", []),
        "before": (LOG + f"2026-02-03 {READ}T", []),
        "never calibrated": (LOG + f"2026-02-03 {READ}N", ["minor A"]),
        "a due day alone is taken for a calibration": (
            LOG + f"tool D due=2026-03-01\n2026-03-01 {READ}D\n2026-03-02 measured B what=gap value=1 tool=D",
            ["minor B"],
        ),
        "calibrated, with no day it is due": (LOG + f"tool D calibrated=2020-01-01\n2026-03-02 {READ}D", []),
        "calibrated since: the list no longer says what was before": (
            LOG + f"tool D calibrated=2026-03-05 due=2027-03-05\n2026-03-02 {READ}D",
            [],
        ),
        "no tool named": (LOG + "2026-03-02 measured A what=gap value=1", []),
        "torqued": (LOG + "2026-03-02 torqued A value='60 in-lb' tool=T", ["minor A"]),
        "weighed": (LOG + "2026-03-02 weighed A value='6 kg' tool=T", ["minor A"]),
        "tested": (LOG + "2026-03-02 tested A by=okafor result=passed tool=T", ["minor A"]),
        "drilled with it: no reading": (LOG + "2026-03-02 modified A tool=T", []),
        "inspected with it at hand: no reading": (LOG + "2026-03-02 accepted A to-drawing okafor tool=T", []),
        "read in time, written up later": (LOG + f"2026-03-09 {READ}T date=2026-03-01", []),
        "read late, in an entry begun in time": (LOG + f"2026-03-01 {READ}T date=2026-03-02", ["minor A"]),
        "good to the leap day, read on it": (
            "part A\ntool T calibrated=2023-02-28 due=2024-02-29\n2024-02-29 measured A value=1 tool=T",
            [],
        ),
        "good to the leap day, read the day after": (
            "part A\ntool T calibrated=2023-02-28 due=2024-02-29\n2024-03-01 measured A value=1 tool=T",
            ["minor A"],
        ),
        "taken again with a good tool": (LOG + f"2026-03-02 {READ}T\n2026-03-03 {READ}G", []),
        "taken again in other letters": (
            LOG + f"2026-03-02 {READ}T\n2026-03-03 measured A what=Gap value=1 tool=G",
            [],
        ),
        "taken before with a good tool": (LOG + f"2026-02-28 {READ}G\n2026-03-02 {READ}T", ["minor A"]),
        "taken again the same day, no order between": (
            LOG + f"2026-03-02 {READ}T\n2026-03-02 {READ}G",
            ["minor A"],
        ),
        "taken again the same day, by the clock": (
            LOG + f"2026-03-02 09:00 {READ}T\n2026-03-02 10:00 {READ}G",
            [],
        ),
        "taken again of another characteristic": (
            LOG + f"2026-03-02 {READ}T\n2026-03-03 measured A what=width value=1 tool=G",
            ["minor A"],
        ),
        "taken again, of what is not said": (
            LOG + "2026-03-02 measured A value=1 tool=T\n2026-03-03 measured A value=1 tool=G",
            ["minor A"],
        ),
        "taken again by no tool that is named": (
            LOG + f"2026-03-02 {READ}T\n2026-03-03 measured A what=gap value=1",
            ["minor A"],
        ),
        "taken again with a tool as bad: the last one is flagged": (
            LOG + f"2026-03-02 {READ}T\n2026-03-03 {READ}N",
            ["minor A"],
        ),
        "taken again, and that struck through": (
            LOG + f"2026-03-02 {READ}T\n2026-03-03 {READ}G\n"
            "2026-03-04 voided A entry=2026-03-03-1 record=1 reason=wrong",
            ["minor A"],
        ),
        "another fastener torqued again": (
            LOG + "2026-03-02 torqued A fastener=1 value='60 in-lb' tool=T\n"
            "2026-03-03 torqued A fastener=2 value='60 in-lb' tool=G",
            ["minor A"],
        ),
        "the same fastener torqued again": (
            LOG + "2026-03-02 torqued A fastener=1 value='60 in-lb' tool=T\n"
            "2026-03-03 torqued A fastener=1 value='60 in-lb' tool=G",
            [],
        ),
        "all of them torqued again": (
            LOG
            + "2026-03-02 torqued A value='60 in-lb' tool=T\n2026-03-03 torqued A value='60 in-lb' tool=G",
            [],
        ),
        "weighed again": (
            LOG + "2026-03-02 weighed A value='6 kg' tool=T\n2026-03-03 weighed A value='6 kg' tool=G",
            [],
        ),
        "weighed again on the other item": (
            LOG + "2026-03-02 weighed A value='6 kg' tool=T\n2026-03-03 weighed B value='6 kg' tool=G",
            ["minor A"],
        ),
        "one tool, several readings, one finding": (
            LOG + f"2026-03-02 {READ}T\n2026-03-03 measured A what=width value=1 tool=T",
            ["minor A"],
        ),
        "two tools, two findings": (
            LOG + f"2026-03-02 {READ}T\n2026-03-03 measured A what=width value=1 tool=N",
            ["minor A", "minor A"],
        ),
        "struck through": (
            LOG + f"2026-03-02 {READ}T\n2026-03-03 voided A entry=2026-03-02-1 record=1 reason=wrong",
            [],
        ),
        "on the first article, not the second": (
            LOG + f"2026-03-02 {READ}T\n2026-03-03 scrapped A\n2026-03-04 made A",
            [],
        ),
        "on the second article": (
            LOG + f"2026-02-02 {READ}T\n2026-03-03 scrapped A\n2026-03-04 made A\n2026-03-05 {READ}T",
            ["minor A"],
        ),
        "a designator like a number": (
            "part A items=007,1E5\ntool T due=2026-03-01\n2026-03-02 measured A/1E5 value=1 tool=T",
            ["minor A/1E5"],
        ),
        "of a part on no list": (
            "tool T due=2026-03-01\n2026-03-02 measured X-1 value=1 tool=T",
            ["minor X-1"],
        ),
        "no list of tools": ("part A\n2026-03-02 measured A value=1 tool=T", []),
        "after the day stood on": (LOG + f"2026-03-02 {READ}T\non 2026-03-01", []),
    },
)


@pytest.mark.parametrize(
    ("tool", "said"),
    [
        ("T", "T (Bent gauge), whose calibration was good until 2026-03-01"),
        ("N", "N (N), which the list of tools has no calibration of"),
    ],
)
def test_it_names_the_tool_and_what_was_read(tool: str, said: str) -> None:
    text = (
        'part A\ntool T name="Bent gauge" calibrated=2025-03-01 due=2026-03-01\ntool N\n2026-02-01 made A\n'
        f"2026-03-02 measured A what=gap value=1 tool={tool}\n2026-03-04 torqued A value='9 Nm' tool={tool}"
    )
    (finding,) = found("tool-out-of-calibration", text)
    assert finding.message == f"On 2026-03-02 gap was measured with {said}; and 1 more reading after that."
    assert [rest.entry for rest in finding.rests] == ["2026-03-02-1", "2026-03-04-1"]

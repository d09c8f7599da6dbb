"""Any bytes give facts or a located error, never a traceback."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from buildlog.reader.assemble import assemble
from buildlog.reader.read import read_sheet
from buildlog.reader.sheets import Sheet, decode, encode
from tests.reader.conftest import PARTS, SETTINGS, TASKS
from tests.reader.test_entries import WHOLE

GOOD = {
    "buildlog.toml": SETTINGS,
    "parts.csv": PARTS,
    "tasks.csv": TASKS,
    "lots.csv": "lot,material,expires\nE,x,2026-01-01\n",
    "tools.csv": "tool,name,due\nT,x,2026-01-01\n",
    "parts/TN-57-1100.md": "A *note* with [a link](x).\n\n~~~ shop only\nx\n~~~\n",
    "entries/2026/2026-03-14-x.md": WHOLE,
}
PIECES = st.sampled_from(
    [
        "---\n",
        "—-\n",
        "records:\n",
        "  - made: ",
        "hours: ",
        "{",
        "}",
        "[",
        "]",
        ": ",
        "- ",
        "&a ",
        "*a ",
        "!t ",
        "#",
        " #",
        "|",
        ">",
        '"',
        "'",
        "“",
        "”",
        "\t",
        "\n",
        "\r",
        "\u2028",
        "\x85",
        "\0",
        "\ufeff",
        "~~~ shop only\n",
        "~~~\n",
        "<b>",
        "<!--",
        "](",
        "[a]: ",
        "javascript:",
        ",",
        ";",
        "\\",
        "2026-03-14",
        "2:30",
        "each",
        "=",
        "[people.a]\n",
        "name = ",
        "draft: true\n",
        "by: okafor\n",
        "\ud83d\udcf7".encode("utf-16", "surrogatepass").decode("utf-16"),
        "`",
        "\u202e",
        "%YAML 1.1\n",
        "? ",
        "<<: ",
    ]
)


def check(sheet: Sheet, file: str) -> None:
    facts = (
        sheet.entry,
        sheet.draft,
        sheet.note,
        sheet.settings,
        sheet.parts,
        sheet.tasks,
        sheet.lots,
        sheet.tools,
    )
    assert any(facts) or sheet.problems or file.endswith(".csv")
    for problem in sheet.problems:
        assert problem.where.file == file
        assert problem.where.line >= 1 or problem.found.startswith("and ")
        assert problem.found
        assert "\n" not in str(problem)
    assert decode(encode(sheet)) == sheet
    log, problems = assemble([sheet])
    assert log is None or not problems


@pytest.mark.parametrize("file", GOOD)
@given(data=st.binary(max_size=300))
def test_any_bytes(file: str, data: bytes) -> None:
    check(read_sheet(file, data), file)


@pytest.mark.parametrize("file", GOOD)
@given(data=st.lists(PIECES | st.text(max_size=4), max_size=25).map("".join))
@settings(max_examples=300)
def test_any_text_of_telling_pieces(file: str, data: str) -> None:
    check(read_sheet(file, data.encode("utf-8", "surrogatepass")), file)


@pytest.mark.parametrize("file", GOOD)
@given(data=st.data())
@settings(max_examples=300, suppress_health_check=[HealthCheck.too_slow])
def test_good_files_with_a_change(file: str, data: st.DataObject) -> None:
    text = GOOD[file]
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(text)))
        gone = data.draw(st.integers(0, 5))
        text = text[:at] + data.draw(PIECES | st.text(max_size=3)) + text[at + gone :]
    check(read_sheet(file, text.encode("utf-8", "surrogatepass")), file)


@given(st.lists(PIECES | st.text(max_size=4), max_size=25).map("".join))
def test_any_header(inside: str) -> None:
    file = "entries/2026-03-14-x.md"
    check(read_sheet(file, f"---\n{inside}\n---\nx\n".encode("utf-8", "surrogatepass")), file)


@given(st.text(max_size=40))
def test_any_file_name(name: str) -> None:
    file = f"entries/{name}.md"
    sheet = read_sheet(file, b"")
    assert sheet.entry or sheet.problems

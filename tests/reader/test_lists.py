"""The four lists, as spreadsheets export them."""

from __future__ import annotations

import csv
import datetime
import io
from fractions import Fraction

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from buildlog.model.key import Audience
from buildlog.reader.csvtext import rows_of
from buildlog.reader.limits import ITEMS_OF_A_PART
from buildlog.reader.read import read_sheet
from buildlog.reader.reading import Reading
from buildlog.reader.sheets import Sheet


def parts(text: str | bytes) -> Sheet:
    return read_sheet("parts.csv", text.encode() if isinstance(text, str) else text)


def tasks(text: str) -> Sheet:
    return read_sheet("tasks.csv", text.encode())


def test_every_column_of_parts() -> None:
    sheet = parts(
        "number,name,class,items,parent,system,drawing,revision,source,use,joins,audience,spoken,supplier,cost,note\n"
        '007,"Spar, left",critical,L R,TN-57,57,D-1,1.10,made,not-for-flight,A B,public,'
        "left spar|the spar,Acme,12.50,x\n"
    )
    assert sheet.problems == ()
    (part,) = sheet.parts
    assert (part.number, part.name, part.class_, part.items) == ("007", "Spar, left", "critical", ("L", "R"))
    assert (part.parent, part.system, part.drawing, part.revision) == ("TN-57", "57", "D-1", "1.10")
    assert (part.source, part.use, part.joins, part.audience) == (
        "made",
        "not-for-flight",
        ("A", "B"),
        Audience.PUBLIC,
    )
    assert (part.spoken, part.supplier, part.cost, part.note) == (
        ("left spar", "the spar"),
        "Acme",
        "12.50",
        "x",
    )
    assert (part.where.line, part.where.column) == (2, 1)


def test_every_column_of_the_other_lists() -> None:
    sheet = tasks(
        "task,title,discipline,milestone,after,estimate,low,high,parts,audience\n"
        "W-1,Splice,wood,first-taxi,W-0 V-1,5.5,4,10,TN-1/L|TN 2,shop\n"
    )
    assert sheet.problems == ()
    (task,) = sheet.tasks
    assert (task.after, task.parts) == (("W-0", "V-1"), ("TN-1/L", "TN 2"))
    assert (task.low, task.estimate, task.high) == (4, Fraction(11, 2), 10)
    (lot,) = read_sheet(
        "lots.csv",
        b"lot,material,received,expires,document,supplier,cost,note\nE-1,Epoxy,2025-01-01,2026-01-01,c.pdf,A,1,n\n",
    ).lots
    assert (lot.lot, lot.expires) == ("E-1", datetime.date(2026, 1, 1))
    (tool,) = read_sheet(
        "tools.csv", b"tool,name,calibrated,due,document,note\nT-1,Wrench,2025-01-01,2026-01-01,c.pdf,n\n"
    ).tools
    assert (tool.tool, tool.due, tool.document) == ("T-1", datetime.date(2026, 1, 1), "c.pdf")


PLAIN = "number,name,items\nA,Spar,L R\nB,Rib,4\n"


@pytest.mark.parametrize(
    "text",
    [
        PLAIN.replace(",", ";"),
        PLAIN.replace("\n", "\r\n"),
        "\ufeff" + PLAIN,
        "sep=;\n" + PLAIN.replace(",", ";"),
        PLAIN.rstrip("\n"),
        PLAIN.replace("\n", ",,\n"),
        PLAIN.replace("number", "Number").replace("items", " ITEMS "),
        '"number","name","items"\n"A","Spar","L R"\n"B","Rib","4"\n',
        "number,name,items\n\nA,Spar,L R\n,,\nB,Rib,4\n\n",
    ],
    ids=["semicolon", "crlf", "bom", "sep", "no-end", "trailing", "capitals", "quoted", "blank-rows"],
)
def test_a_spreadsheets_export_works_as_it_is(text: str) -> None:
    sheet = parts(text)
    assert sheet.problems == ()
    assert [(each.number, each.name, each.items) for each in sheet.parts] == [
        ("A", "Spar", ("L", "R")),
        ("B", "Rib", ("1", "2", "3", "4")),
    ]


def test_quotes_and_line_breaks_in_cells_keep_the_lines_true() -> None:
    sheet = parts('number,name,note\nA,"Spar ""main""","one\ntwo\nthree"\nB,Rib,x\nB,Rib,y\n')
    assert sheet.parts[0].name == 'Spar "main"'
    assert sheet.parts[0].note == "one\ntwo\nthree"
    assert sheet.parts[1].where.line == 5
    (problem,) = sheet.problems
    assert (problem.where.line, problem.where.column) == (6, 1)
    assert problem.found == '"B" is on this list twice; the first is on line 5'


def test_cells_have_their_columns() -> None:
    sheet = parts('number,name,note,use\n"A,1","Sp""ar","x\ny",fly\nB,Rib,,fly\n"é",é,,fly\n')
    places = [(each.where.line, each.where.column) for each in sheet.problems]
    assert places == [(3, 4), (4, 8), (5, 8)]


def test_decimal_commas_where_semicolons_separate() -> None:
    sheet = tasks("task;title;estimate\nW-1;Splice;2,5\n")
    assert sheet.tasks[0].estimate == Fraction(5, 2)
    (problem,) = tasks('task,title,estimate\nW-1,Splice,"2,5"\n').problems
    assert (problem.where.line, problem.where.column) == (2, 12)
    assert "behind a point" in problem.todo


@pytest.mark.parametrize(
    ("text", "line", "column", "found", "todo"),
    [
        ("number,nme,name\n", 1, 8, 'no column "nme"', 'the nearest is "name"'),
        ("number,zzzz,name\n", 1, 8, 'no column "zzzz"', ""),
        ("number,name,name\n", 1, 13, '"name" is here twice', "keep one"),
        ("number,items\nA,4\n", 1, 1, "the column `name` is missing", "number, name"),
        ("", 1, 1, "the list is empty", "names the columns"),
        ("\n\n", 1, 1, "the list is empty", "names the columns"),
        ("number\tname\nA\tSpar\n", 1, 1, "tabs separate", "CSV"),
        ("number,name\nA\n", 2, 1, "`name` is empty", "fill it in"),
        ("number,name\n,Spar\n", 2, 1, "`number` is empty", "fill it in"),
        ("number,name\nA,Spar,left\n", 2, 8, '"left" stands behind the last column', "quotes"),
        ("number;name\nA;Spar;left\n", 2, 8, '"left" stands behind the last column', "take it out"),
        ("number,name,\nA,Spar,left\n", 2, 8, "a column without a name", "name it"),
        ('number,name\nA,Spar\nB,"Rib\n', 3, 1, "never closed", "twice"),
        ('number,name\nA,"Spar" x\n', 2, 1, "not in order", "twice"),
        ('number,name\nA,"' + "x" * 200_000 + '"\n', 2, 1, "too large", "shorten"),
        ("number,name,use\nA,Spar,fligt\n", 2, 8, '"fligt" is not `flight`', '"flight"'),
        ("number,name,audience\nA,Spar,me\n", 2, 8, '"me" is not', ""),
        ("number,name,items\nA,Spar,0\n", 2, 8, "no number of items", "empty for one"),
        ("number,name,items\nA,Spar,501\n", 2, 8, "more items than one part", "bulk"),
        ("number,name,items\nA,Spar,9999999999\n", 2, 8, "more items than one part", "bulk"),
        ("number,name,items\nA,Spar,L L\n", 2, 10, '"L" is here twice', "keep one"),
        ("number,name,items\nA,Spar,L/R\n", 2, 8, "holds a `/`", ""),
        ("number,name,items\nA,Spar,a\u202eb\n", 2, 8, "U+202E", ""),
        ("number,name,items\nA,Spar,L R\nA/L,Half,\n", 3, 1, '"A/L" is also an item', "another name"),
        ("number,name,joins\nA,Spar,B B\n", 2, 10, '"B" is in `joins` twice', ""),
        ("number,name\n" + "x" * 201 + ",Spar\n", 2, 1, "201 characters", "shorten"),
        ("number," + ",".join(f"c{n}" for n in range(120)) + "\n", 1, 1, "121 columns", "limit"),
    ],
)
def test_what_is_wrong_in_a_list(text: str, line: int, column: int, found: str, todo: str) -> None:
    problems = parts(text).problems
    assert len(problems) == 1
    assert (problems[0].where.line, problems[0].where.column) == (line, column)
    assert found in problems[0].found
    assert todo in problems[0].todo


def test_too_many_designators() -> None:
    listed = " ".join(f"d{number}" for number in range(ITEMS_OF_A_PART + 1))
    assert "501 designators" in parts(f"number,name,items\nA,Spar,{listed}\n").problems[0].found


def test_500_items_are_allowed_and_007_is_a_designator() -> None:
    first, second, third = parts("number,name,items\nA,Spar,500\nB,Rib,007\nC,Nut,2 4\n").parts
    assert len(first.items) == 500
    assert first.items[-1] == "500"
    assert second.items == ("007",)
    assert third.items == ("2", "4")


def test_numbers_keep_their_text() -> None:
    numbers = [
        "007",
        "1E5",
        "NO",
        "1.10",
        "10:30",
        "TN/1",
        "#?%",
        "<a>",
        ".x",
        "CON",
        "aux",
        "AUX",
        "x" * 200,
        "Ærø",
    ]
    text = "number,name\n" + "".join(f'"{number}",x\n' for number in numbers)
    sheet = parts(text)
    assert sheet.problems == ()
    assert [part.number for part in sheet.parts] == numbers


def test_estimates_in_order() -> None:
    (problem,) = tasks("task,title,estimate,low,high\nA,x,3,4,5\n").problems
    assert (problem.where.line, "out of order" in problem.found) == (2, True)
    assert tasks("task,title,estimate,low,high\nA,x,5,5,7\nB,x,,1,2\nC,x,,,\n").problems == ()


def test_a_row_with_a_mistake_keeps_its_name_for_others_to_find() -> None:
    sheet = parts("number,name,use\nA,,fly\n")
    assert [part.number for part in sheet.parts] == ["A"]
    assert len(sheet.problems) == 2


CELLS = st.text(st.characters(exclude_categories=("Cs", "Cc")) | st.sampled_from(',;"\n'), max_size=8)


def _read_back(text: str) -> list[list[str]] | None:
    reading = Reading("parts.csv")
    grid = rows_of(reading, text)
    assert reading.problems() == () or grid is None
    return [[cell.text for cell in row.cells] for row in (grid.head, *grid.rows)] if grid else None


@given(st.lists(st.lists(CELLS, min_size=3, max_size=3), max_size=5), st.sampled_from(",;"))
def test_what_python_writes_is_read_back(rows: list[list[str]], delimiter: str) -> None:
    """RFC 4180, judged by Python's `csv` writer."""
    table = [["number", "name", "note"], *rows]
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator="\n").writerows(table)
    assert _read_back(out.getvalue()) == [row for row in table if any(cell.strip() for cell in row)]


@given(st.lists(st.lists(CELLS, min_size=3, max_size=3), max_size=5), st.sampled_from(",;"))
def test_what_pandas_writes_is_read_back(rows: list[list[str]], delimiter: str) -> None:
    """RFC 4180, judged by PyPI `pandas`."""
    frame = pd.DataFrame(rows, columns=["number", "name", "note"])
    text = frame.to_csv(index=False, sep=delimiter, lineterminator="\n")
    table = [["number", "name", "note"], *rows]
    assert _read_back(text) == [row for row in table if any(cell.strip() for cell in row)]


@given(st.lists(st.lists(CELLS, min_size=3, max_size=3), min_size=1, max_size=5))
def test_every_cell_stands_where_its_place_says(rows: list[list[str]]) -> None:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n", quoting=csv.QUOTE_ALL).writerows([["number", "name", "note"], *rows])
    lines = out.getvalue().split("\n")
    grid = rows_of(Reading("parts.csv"), out.getvalue())
    assert grid
    for row in grid.rows:
        for cell in row.cells:
            first = cell.text.replace('"', '""').partition("\n")[0]
            assert lines[cell.line - 1][cell.column - 1 :].startswith(f'"{first}')

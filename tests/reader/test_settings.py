"""buildlog.toml: what it says, and where it says it."""

from __future__ import annotations

import datetime

import pytest

from buildlog.reader.read import read_sheet
from buildlog.reader.sheets import Sheet

WHOLE = """\
format = 1

[project]
title = "Tansy"
about = \"\"\"
A trainer
[people.nobody]
name = 'not a table'
\"\"\"
zone  = "Europe/Oslo"

[people.marit]
name   = "Marit Solheim"
public = "Marit"
roles  = ["builder"]

[people."j.okafor"]
name        = "J. Okafor"
roles       = [
  "inspector",
  "engineer",
]
may_inspect = ["to-drawing", "pre-close"]
from        = 2024-05-01
until       = "2027-05-01"
certificate = "A-1234"
contact     = "42"

[stages.rigging]
title = "Rigging"
undone_by = ["made", "installed"]
undone_by_inside = "removed"
before = "closed"

[classes.critical]
stages      = ["to-drawing"]
independent = true
signatures  = 2
signed      = true

[classes.hardware]
stages = []
bulk   = true

[kinds]
harmless = ["cleaning", "filing papers"]

[milestones.first-taxi]
title = "First taxi"
needs = ["powered-up"]
items = ["TN-32-0040"]

[milestones]
powered-up = { title = "Powered up" }

[editions.public]
address    = "https://example.org/tansy/"
declassify = ["hours", "readiness"]
"""


def settings(text: str) -> Sheet:
    return read_sheet("buildlog.toml", text.encode())


def test_whole_settings() -> None:
    text = WHOLE.replace('[milestones]\npowered-up = { title = "Powered up" }\n', "[milestones.powered-up]\n")
    sheet = settings(text)
    assert [str(problem) for problem in sheet.problems] == []
    got = sheet.settings
    assert got
    assert (got.title, got.zone, got.harmless) == ("Tansy", "Europe/Oslo", ("cleaning", "filing papers"))
    marit, okafor = got.people
    assert (marit.key, marit.public, marit.roles, marit.may_inspect) == ("marit", "Marit", ("builder",), None)
    assert (okafor.key, okafor.roles) == ("j.okafor", ("inspector", "engineer"))
    assert okafor.may_inspect == ("to-drawing", "pre-close")
    assert (okafor.from_, okafor.until) == (datetime.date(2024, 5, 1), datetime.date(2027, 5, 1))
    assert (okafor.where.line, okafor.where.column) == (17, 2)
    (stage,) = got.stages
    assert (stage.undone_by, stage.undone_by_inside, stage.before) == (
        ("made", "installed"),
        ("removed",),
        "closed",
    )
    critical, hardware = got.classes
    assert (critical.independent, critical.signatures, critical.signed, critical.bulk) == (
        True,
        2,
        True,
        False,
    )
    assert (hardware.stages, hardware.bulk) == ((), True)
    assert [each.key for each in got.milestones] == ["first-taxi", "powered-up"]
    (public,) = got.editions
    assert (public.key, public.declassify) == ("public", ("hours", "readiness"))
    lines = text.split("\n")
    for mention in sheet.mentions:
        assert lines[mention.where.line - 1][mention.where.column - 1 :].startswith(f'"{mention.text}"')


P = '[project]\ntitle = "T"\n'


@pytest.mark.parametrize(
    ("text", "line", "column", "found", "todo"),
    [
        (P + "[peple.a]\nname = 'x'\n", 3, 2, 'no setting "peple"', '"people"'),
        (P + "[people.a]\nnme = 'x'\nname = 'y'\n", 4, 1, '[people.a] has no key "nme"', '"name"'),
        (P + "[people.a]\n", 3, 2, "[people.a] needs `name`", "text"),
        (P + "[people.a]\nname = 1\n", 4, 1, "holds a number", "in quotes"),
        (P + "[people.a]\nname = 'x'\ncertificate = 1234\n", 5, 1, "holds a number", "in quotes"),
        (P + "[people.a]\nname = 'x'\nroles = ['bilder']\n", 5, 10, '"bilder" is not', '"builder"'),
        (P + "[people.a]\nname = 'x'\nfrom = '01.05.2024'\n", 5, 8, "not a date", "2024-05-01"),
        (P + "[people.a]\nname = 'x'\nfrom = 2024-05-01T10:00:00\n", 5, 1, "holds a number, date", "a date"),
        (P + "[people]\na = 'x'\n", 4, 1, "`people.a` is not a table", "[people.a]"),
        (P + "[people.\"a\\u202Eb\"]\nname = 'x'\n", 3, 2, "U+202E", "anew"),
        ("people = 3\n" + P, 1, 1, "`people` is not a table", "[people]"),
        (P + "[classes.a]\nsigned = 'yes'\n", 4, 10, '"yes" is not `true`', ""),
        (P + "[classes.a]\nsignatures = 0\n", 4, 14, "1 or more", ""),
        (P + "[classes.a]\nsignatures = true\n", 4, 1, "holds a number, date or flag", ""),
        (P + "[classes.a]\nstages = { a = 1 }\n", 4, 1, "holds a table", ""),
        (P + "[stages.a]\nundone_by = ['maid']\n", 4, 14, '"maid" is no kind of record', '"made"'),
        (P + "[editions.club]\n", 3, 2, 'no edition "club"', "public, inspector, shop"),
        *(
            (P + f"[editions.public]\naddress = '{address}'\n", 4, 11, "not an https address", "https://")
            for address in (
                "ftp://x",
                "http://x/",
                "https://x/?a=1",
                "https://x/#a",
                "https://u:p@x/",
                "x.org",
            )
        ),
        (P + "[editions.public]\ndeclassify = ['hous']\n", 4, 15, '"hous" is not', '"hours"'),
        (P + "zone = 'Europe/Olso'\n", 3, 8, "no IANA time zone", '"Europe/Oslo"'),
        ("[project]\nname = 'x'\ntitle = 'T'\n", 2, 1, '[project] has no key "name"', ""),
        ("[project]\n", 1, 2, "[project] needs `title`", ""),
        ("[project]\ntitle = ''\n", 2, 9, "`title` is empty", ""),
        ("format = 1\n", 1, 1, "the table `[project]` is missing", "title"),
        ("format = 2\n" + P, 1, 1, 'the format is "2"', "newer tool"),
        ("format = '1'\n" + P, 1, 1, "this tool reads format 1", ""),
        (P + "title = 'again'\n", 3, None, "not TOML", ""),
        ("[project\ntitle = 'x'\n", 1, None, "not TOML", "[table]"),
        ("[project]\ntitle = 'x\n", 3, None, "not TOML", ""),
        ("[project]\ntitle = '''x\n", 3, None, "not TOML", ""),
        ("a = " + "9" * 5000, 1, None, "not TOML", ""),
        ("a = " + "[" * 300, 1, 1, "nested too deep", ""),
        ("a = " + "[\n" * 90_000, 1, 1, "nested too deep", ""),
        ("a." * 20 + "b = 1", 1, 1, "nested too deep", ""),
    ],
)
def test_what_is_wrong_in_settings(text: str, line: int, column: int | None, found: str, todo: str) -> None:
    problems = settings(text).problems
    assert len(problems) == 1, [str(problem) for problem in problems]
    assert problems[0].where.line == line
    if column is not None:
        assert problems[0].where.column == column
    assert found in problems[0].found
    assert todo in problems[0].todo


def test_inline_tables_and_dotted_keys_are_placed_as_well_as_can_be() -> None:
    text = P + "[people]\na = { name = 'A', roles = ['bilder'] }\nb.name = 'B'\nb.roles = ['x']\n"
    sheet = settings(text)
    assert [(each.where.line, each.where.column) for each in sheet.problems] == [(4, 1), (6, 12)]


def test_a_text_that_is_escaped_is_placed_at_its_value() -> None:
    problems = settings(P + '[people.a]\nname = "x"\nroles = ["bi\\u006cder", "b\\u0069lde"]\n').problems
    assert [(each.where.line, each.where.column) for each in problems] == [(5, 9), (5, 9)]


def test_long_prose_with_dots_is_no_deep_key() -> None:
    assert (
        settings(
            '[project]\ntitle = "T"\nabout = """\nA. B. C. D.\n'
            'E one. Two. Three. Four. Five. Six. Seven. Eight. Nine. Ten = x\n"""\n'
        ).problems
        == ()
    )

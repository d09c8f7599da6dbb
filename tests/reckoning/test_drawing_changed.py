"""What a change of its drawing does to acceptances of an article."""

from __future__ import annotations

import pytest

from buildlog.model.settings import STANDARD_STAGES, Stage
from tests.reckoning.logs import entry, ok, rec, stage, status

FIT = Stage(key="fit", title="Fits", undone_by=("drawing_changed",))
INSIDE = Stage(key="inside", title="Inside", undone_by_inside=("drawing_changed",))
STAGES = (*STANDARD_STAGES, FIT, INSIDE)
MADE = entry(1, rec("made", "CLIP BOX"), key="a")
PASSED = entry(2, ok("CLIP", "to-drawing"), ok("CLIP", "fit"), ok("BOX", "inside"), key="b")


def changed(effect: str, day: int = 3) -> object:
    return entry(day, rec("drawing_changed", "CLIP", to="B", effect=effect), key="c")


@pytest.mark.parametrize(
    ("effect", "to_drawing", "fit", "inside"),
    [
        ("reinspect", "undone", "undone", "undone"),
        ("none", "current", "current", "current"),
        ("", "current", "undone", "undone"),
    ],
)
def test_reinspect_undoes_none_does_not_and_without_a_word_the_stage_says(
    effect: str, to_drawing: str, fit: str, inside: str
) -> None:
    history = (MADE, PASSED, changed(effect))
    assert status("CLIP", "to-drawing", *history, stages=STAGES) == to_drawing
    assert status("CLIP", "fit", *history, stages=STAGES) == fit
    assert status("BOX", "inside", *history, stages=STAGES) == inside


def test_only_what_was_accepted_before_it() -> None:
    assert status("CLIP", "to-drawing", MADE, changed("reinspect", 1), PASSED) == "current"
    again = entry(4, ok("CLIP"), key="d")
    assert status("CLIP", "to-drawing", MADE, PASSED, changed("reinspect"), again) == "current"


def test_on_the_same_day_with_no_order_it_is_unclear() -> None:
    assert status("CLIP", "to-drawing", MADE, PASSED, changed("reinspect", 2)) == "unclear"


def test_struck_through_it_undoes_nothing() -> None:
    strike = entry(5, rec("voided", "CLIP", entry="2026-06-03-c", record=1, reason="no"), key="v")
    assert status("CLIP", "to-drawing", MADE, PASSED, changed("reinspect"), strike) == "current"


def test_it_begins_no_article_and_asks_nothing_of_one_not_made() -> None:
    assert status("CLIP", "to-drawing", changed("reinspect")) == "-"


def test_what_undid_it_is_named() -> None:
    found = stage("CLIP", "to-drawing", MADE, PASSED, changed("reinspect"))
    assert [each.kind for each in found.against] == ["drawing_changed"]
    assert stage("BOX", "to-drawing", MADE, PASSED, changed("reinspect")).against == ()

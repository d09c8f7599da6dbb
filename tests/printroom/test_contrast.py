"""Contrast of the stylesheet's colours, by the formula of WCAG 2.2, in light, dark and print."""

from __future__ import annotations

import re

import pytest

from tests.pages.tiny_log import THEME

CSS = (THEME / "sheet.css").read_text("utf-8")


def luminance(colour: str) -> float:
    told = colour.lstrip("#")
    told = "".join(2 * each for each in told) if len(told) == 3 else told
    channels = [int(told[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_gives_the_published_ratios() -> None:
    # WCAG 2.2, contrast of #767676 and #777777 on white
    assert round(contrast("#767676", "#ffffff"), 2) == 4.54
    assert round(contrast("#777777", "#ffffff"), 2) == 4.48


def colours(block: str) -> dict[str, str]:
    return dict(re.findall(r"--([a-z]+): (#[0-9a-f]{3,6});", block))


ROOTS = re.findall(r":root \{(.*?)\}", CSS, re.DOTALL)
LIGHT, DARK = colours(ROOTS[0]), colours(ROOTS[1])
PAPER = {**LIGHT, **colours(next(root for root in ROOTS if "--desk: #fff" in root))}


@pytest.mark.parametrize("theme", [LIGHT, DARK, PAPER], ids=["light", "dark", "print"])
@pytest.mark.parametrize("ground", ["paper", "wash", "desk"])
def test_text_stands_out(theme: dict[str, str], ground: str) -> None:
    # WCAG 2.2, 1.4.3: 4.5 to 1 for text; ours is small, so ask for more where it is read at length
    for name in ("soft", "link", "seen", "good", "warn", "bad"):
        assert contrast(theme[name], theme[ground]) >= 4.5, (name, ground)
    assert contrast(theme["ink"], theme[ground]) >= 7


@pytest.mark.parametrize("theme", [LIGHT, DARK, PAPER], ids=["light", "dark", "print"])
def test_lines_that_tell_something_stand_out(theme: dict[str, str]) -> None:
    # WCAG 2.2, 1.4.11: 3 to 1 for what is needed to understand a graphic or find a field
    assert contrast(theme["frame"], theme["paper"]) >= 3


def test_both_themes_name_every_colour() -> None:
    assert set(LIGHT) == set(DARK)


def test_the_words_of_a_chart_are_ink_on_paper_or_wash() -> None:
    assert re.findall(r"\.chart text \{ fill: (.*?);", CSS) == ["var(--ink)"]
    assert re.findall(r"\.chart \.band \{ fill: (.*?);", CSS) == ["var(--wash)"]

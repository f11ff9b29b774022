"""Colours: contrast as WCAG 2.2 asks for it, and options told apart with any eyes.

Contrast: criteria 1.4.3 and 1.4.11, with their own formula. Colour blindness: simulated by the
library colorspacious (Machado, Oliveira, Fernandes 2009), distances in CAM02-UCS.
"""

import re
from itertools import combinations

import numpy as np
import pytest
from colorspacious import cspace_convert, deltaE

from panelworth import templates_folder

TEXT, MARKS = 4.5, 3.0
NAMED = re.compile(r"--([\w-]+):\s*(#[0-9a-f]{6})")


def schemes() -> dict[str, dict[str, str]]:
    """Return the colours of the stylesheet, light and dark."""
    style = (templates_folder() / "assets" / "style" / "1-ground.css").read_text(encoding="utf-8")
    light, _, rest = style.partition("prefers-color-scheme: dark")
    dark, _, _ = rest.partition(".option-1 {")
    return {"light": dict(NAMED.findall(light)), "dark": dict(NAMED.findall(dark))}


def luminance(colour: str) -> float:
    """Return the relative luminance: https://www.w3.org/TR/WCAG22/#dfn-relative-luminance."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio: https://www.w3.org/TR/WCAG22/#dfn-contrast-ratio.

    >>> round(contrast("#000000", "#ffffff"), 6)
    21.0
    """
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_text_and_marks_stand_out_from_paper_and_sheet(scheme: str) -> None:
    colours = schemes()[scheme]
    options = [name for name in colours if name.startswith("option-")]
    assert len(options) == 8
    for ground in ("paper", "sheet"):
        for name in ("ink", "soft", "accent"):
            assert contrast(colours[name], colours[ground]) >= TEXT, (name, ground)
        for name in ("line", *options):
            assert contrast(colours[name], colours[ground]) >= MARKS, (name, ground)
    assert contrast(colours["accent"], colours["tint"]) >= TEXT


@pytest.mark.parametrize("kind", ["", "deuteranomaly", "protanomaly", "tritanomaly"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_option_colours_are_told_apart_with_any_eyes(scheme: str, kind: str) -> None:
    """A distance of 10 is seen at a glance; marks and fill tell options apart besides."""
    colours = schemes()[scheme]
    named = [colours[f"option-{number}"] for number in range(1, 9)]
    seen = np.array([[int(each[at : at + 2], 16) / 255 for at in (1, 3, 5)] for each in named])
    if kind:
        sight = {"name": "sRGB1+CVD", "cvd_type": kind, "severity": 100}
        seen = np.clip(cspace_convert(seen, sight, "sRGB1"), 0, 1)
    apart = {
        (one, other): float(deltaE(seen[one], seen[other], input_space="sRGB1"))
        for one, other in combinations(range(8), 2)
    }
    assert min(apart.values()) >= 15
    assert min(each for pair, each in apart.items() if max(pair) < 4) >= 20

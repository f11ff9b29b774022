"""Colours by the contrast that WCAG 2.2 asks for: criteria 1.4.3 and 1.4.11, its own formula."""

import re

import pytest

from panelworth import templates_folder

TEXT, MARKS = 4.5, 3.0
NAMED = re.compile(r"--([\w-]+):\s*(#[0-9a-f]{6})")


def schemes() -> dict[str, dict[str, str]]:
    """Return the colours of the stylesheet, light and dark."""
    style = (templates_folder() / "assets" / "style.css").read_text(encoding="utf-8")
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

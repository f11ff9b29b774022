"""Draws charts as SVG with vl-convert, and makes them small enough to be part of a page."""

import re
from functools import cache, lru_cache

import vl_convert

from panelworth.publishing.templates import FONT_FOLDER, templates_folder

MOST_KEPT = 500  # pictures of some 10 KB each
CLIP = re.compile(r"\bclip\d+\b")
TAG = re.compile(r"<[^>]*>")
UNUSED = re.compile(
    r' (?:class|role|aria-\w+|pointer-events|version)="[^"]*"'
    r'| opacity="1"| font-weight="normal"| text-anchor="start"| stroke-width="1"'
)
COORDINATES = re.compile(r' (?:d|transform|[xy][12]?)="[^"]*"')
MORE_DECIMALS = re.compile(r"(\.\d)\d+")
FONTS = (re.compile(r' font-family="[^"]*"'), re.compile(r' font-size="[^"]*"'))
EMPTY = re.compile(r'<path d="(?:M0,0h[\d.]+v[\d.]+h-?[\d.]+Z)?"(?: display="none")?/>')


@lru_cache(maxsize=MOST_KEPT)
def rendered(specification: str) -> str:
    """Draw a Vega-Lite specification (JSON) as SVG.

    The same specification always gives the same picture, so pictures are cached: during a preview
    only the charts that have changed are drawn again.
    """
    _register_fonts()
    return thinned(renumbered(vl_convert.vegalite_to_svg(specification)))


@cache
def _register_fonts() -> None:
    """Register the pages' fonts, so that a picture is the same on every computer."""
    vl_convert.register_font_directory(str(templates_folder() / FONT_FOLDER))


def renumbered(svg: str) -> str:
    """Give clip paths numbers from 1; Vega continues its count from picture to picture.

    Otherwise the bytes would depend on the pictures drawn before.
    """
    names = dict.fromkeys(CLIP.findall(svg))
    numbers = {name: f"clip{number}" for number, name in enumerate(names, start=1)}
    return CLIP.sub(lambda clip: numbers[clip.group()], svg)


def thinned(svg: str) -> str:
    """Remove what is not visible from a picture, which is half of its bytes.

    This is: attributes for scripts and screen readers (the page has the description), empty paths,
    decimals below a tenth of a pixel, and the font and size that every text repeats.

    >>> thinned('<svg><path class="a" d="M1.23456,7"/><text>class="b" 1.23456</text></svg>')
    '<svg><path d="M1.2,7"/><text>class="b" 1.23456</text></svg>'
    """
    thinner = EMPTY.sub("", TAG.sub(lambda tag: _thin_tag(tag.group()), svg))
    for font in FONTS:
        thinner = _on_top_element(font, thinner)
    return thinner


def _on_top_element(attribute: re.Pattern[str], svg: str) -> str:
    """Move an attribute to the top element if all texts have it with the same value."""
    values = set(attribute.findall(svg))
    if len(values) != 1:
        return svg
    return TAG.sub(lambda tag: attribute.sub("", tag.group()), svg).replace(
        "<svg", f"<svg{values.pop()}", 1
    )


def _thin_tag(tag: str) -> str:
    return COORDINATES.sub(
        lambda coordinates: MORE_DECIMALS.sub(r"\1", coordinates.group()), UNUSED.sub("", tag)
    )

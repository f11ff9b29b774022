"""Draws what it is asked for; needs little of this package, so that a process soon has it."""

import io
import re

import vl_convert
from PIL.PngImagePlugin import PngImageFile

from panelworth.publishing.charts import lettering

CLIP = re.compile(r"\bclip\d+\b")
TAG = re.compile(r"<[^>]*>")
IDLE = re.compile(
    r' (?:class|role|aria-\w+|pointer-events|version)="[^"]*"'
    r'| opacity="1"| font-weight="normal"| text-anchor="start"| stroke-width="1"'
)
PLACES = re.compile(r' (?:d|transform|[xy][12]?)="[^"]*"')
FINER = re.compile(r"(\.\d)\d+")
FONTS = (re.compile(r' font-family="[^"]*"'), re.compile(r' font-size="[^"]*"'))
EMPTY = re.compile(r'<path d="(?:M0,0h[\d.]+v[\d.]+h-?[\d.]+Z)?"(?: display="none")?/>')


def drawn(order: str) -> bytes:
    """Return a picture: of SVG as PNG, of a specification (JSON) as SVG."""
    lettering.installed()
    if order.startswith("<svg"):
        return repacked(vl_convert.svg_to_png(order))
    return thinned(renumbered(vl_convert.vegalite_to_svg(order))).encode()


def repacked(png: bytes) -> bytes:
    """Return the same picture in a quarter of the bytes."""
    packed = io.BytesIO()
    PngImageFile(io.BytesIO(png)).save(packed, "PNG", optimize=True)
    return packed.getvalue()


def renumbered(svg: str) -> str:
    """Give clip paths numbers from 1; Vega counts on from picture to picture in one process."""
    names = dict.fromkeys(CLIP.findall(svg))
    order = {name: f"clip{number}" for number, name in enumerate(names, start=1)}
    return CLIP.sub(lambda found: order[found.group()], svg)


def thinned(svg: str) -> str:
    """Leave out of a picture what nobody sees: half of its bytes.

    That is, what only scripts and readers of a page would use, empty paths, what is finer than a
    tenth of a pixel, and font and size again in every text.

    >>> thinned('<svg><path class="a" d="M1.23456,7"/><text>class="b" 1.23456</text></svg>')
    '<svg><path d="M1.2,7"/><text>class="b" 1.23456</text></svg>'
    """
    found = EMPTY.sub("", TAG.sub(lambda tag: _thin_tag(tag.group()), svg))
    for font in FONTS:
        found = _once(font, found)
    return found


def _once(font: re.Pattern[str], svg: str) -> str:
    """Say at the top, once, what every text says."""
    said = set(font.findall(svg))
    if len(said) != 1:
        return svg
    return TAG.sub(lambda tag: font.sub("", tag.group()), svg).replace(
        "<svg", f"<svg{said.pop()}", 1
    )


def _thin_tag(tag: str) -> str:
    return PLACES.sub(lambda place: FINER.sub(r"\1", place.group()), IDLE.sub("", tag))

"""The letters of pictures: the pages' own fonts, so that a picture is the same on any machine.

A browser takes a face in two parts (`tests/fonts.py` tells why); what draws pictures, measures
their words and lays out paper needs each face whole, as a TrueType file.
"""

import io
import math
from collections.abc import Iterator, Mapping
from functools import cache
from hashlib import sha256
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from panelworth.publishing.site.folder import for_now
from panelworth.publishing.templates import WHOLE, templates_folder

if TYPE_CHECKING:
    from fontTools.ttLib import TTFont

HEADS, FAMILY = "Panelworth Heads", "Panelworth Sans"
WEIGHTS = {400: "text", 600: "strong"}  # its files
FACES = {**{name: (FAMILY, weight) for weight, name in WEIGHTS.items()}, "heads": (HEADS, 600)}
SHEET = "assets/fonts.css"


@cache
def edition() -> str:
    """Return a name for these very fonts: what is drawn with others is another picture."""
    return sha256(b"".join(map(_packed, FACES))).hexdigest()


@cache
def installed() -> TemporaryDirectory[str]:
    """Have the drawing library know the fonts; it reads them as long as the folder is there."""
    import vl_convert  # noqa: PLC0415

    folder = for_now({f"{name}.ttf": whole(name) for name in WEIGHTS.values()})
    vl_convert.register_font_directory(folder.name)
    return folder


@cache
def whole(name: str) -> bytes:
    """Return a face with all its letters, as a TrueType file."""
    font = _font(_packed(name))
    out = io.BytesIO()
    font.save(out)
    return out.getvalue()


def _packed(name: str) -> bytes:
    """Return the file of a face as it is kept."""
    return (templates_folder() / WHOLE / f"{name}.woff2").read_bytes()


def width(words: str, size: float) -> float:
    """Return how wide words are in bold, unkerned."""
    return math.fsum(widths(words, size))


def widths(words: str, size: float) -> Iterator[float]:
    """Yield how wide each letter is in bold; one that the font lacks fills a square."""
    known = _bold()
    return (size * known.get(ord(letter), 1.0) for letter in words)


@cache
def _bold() -> Mapping[int, float]:
    """Return the width of every letter of the bold face, in parts of its size."""
    font = _font(whole(WEIGHTS[600]))
    unit = font["head"].unitsPerEm
    return {code: font["hmtx"][name][0] / unit for code, name in font.getBestCmap().items()}


def for_paper() -> Mapping[str, bytes]:
    """Return the style sheet of the fonts, and these, for what lays out PDFs.

    It would take the two parts of a face for one font, and set letters of the one in the other.
    """
    rules, files = [], {}
    for name, (family, weight) in FACES.items():
        file = f"fonts/{name}.ttf"
        files[f"assets/{file}"] = whole(name)
        rules.append(_rule(family, weight, file))
    return {**files, SHEET: "".join(rules).encode()}


def _rule(family: str, weight: int, source: str) -> str:
    return f'@font-face{{font-family:"{family}";font-weight:{weight};src:url({source})}}'


def _font(content: bytes) -> "TTFont":
    from fontTools.ttLib import TTFont  # noqa: PLC0415

    font = TTFont(io.BytesIO(content), recalcTimestamp=False)
    font.flavor = None
    return font

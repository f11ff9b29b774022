"""The letters of pictures: the pages' own fonts, so that a picture is the same on any machine.

A browser takes a face in two parts (`tests/fonts.py` tells why); what draws
pictures and what measures their words need TrueType files, and paper each face whole.
"""

import io
import logging
import math
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from functools import cache
from hashlib import sha256
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from panelworth.publishing.site import for_now
from panelworth.publishing.templates import FONTS, templates_folder

if TYPE_CHECKING:
    from fontTools.ttLib import TTFont

HEADS, FAMILY = "Panelworth Heads", "Panelworth Sans"
WEIGHTS = {400: "text", 600: "strong"}  # its files
FACES = {**{name: (FAMILY, weight) for weight, name in WEIGHTS.items()}, "heads": (HEADS, 600)}
SHEET = "assets/fonts.css"
PARTS = ("", "-more")


@cache
def bundled() -> Mapping[str, bytes]:
    """Return every font of the pages by the name of its file."""
    folder = templates_folder() / FONTS
    return {path.name: path.read_bytes() for path in sorted(folder.glob("*.woff2"))}


@cache
def edition() -> str:
    """Return a name for these very fonts: what is drawn with others is another picture."""
    return sha256(b"".join(bundled().values())).hexdigest()


@cache
def installed() -> TemporaryDirectory[str]:
    """Have the drawing library know the fonts; it reads them as long as the folder is there.

    It takes the two parts of a face as they are: it looks for each letter in both.
    """
    import vl_convert  # noqa: PLC0415

    names = [f"{name}{part}" for name in WEIGHTS.values() for part in PARTS]
    folder = for_now({f"{name}.ttf": _saved(_font(bundled()[f"{name}.woff2"])) for name in names})
    vl_convert.register_font_directory(folder.name)
    return folder


@cache
def whole(name: str) -> bytes:
    """Return a face as one TrueType file, its parts put together."""
    from fontTools import merge  # noqa: PLC0415

    with _quiet():
        parts = [_font(bundled()[f"{name}{part}.woff2"]) for part in PARTS]
        made = merge.Merger().merge([io.BytesIO(_saved(each)) for each in parts])
        made.recalcTimestamp = False
        then = parts[0]["head"].modified
        made["head"].created = made["head"].modified = then  # else the time of this build
        return _saved(made)


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


def _saved(font: "TTFont") -> bytes:
    out = io.BytesIO()
    font.save(out)
    return out.getvalue()


@contextmanager
def _quiet() -> Iterator[None]:
    """Keep the font library from telling each step."""
    logger = logging.getLogger("fontTools")
    level = logger.level
    logger.setLevel(logging.ERROR)
    try:
        yield
    finally:
        logger.setLevel(level)

"""Cuts the bundled fonts anew: `python tests/fonts.py FOLDER`, where two packages are unpacked.

They are @fontsource-variable/besley and @fontsource/ibm-plex-sans-condensed, 5.3.0, of npm
(`npm pack` gets one). Each face becomes two files of the site: what English pages need, which
every page loads, and the rest of Latin, which a browser fetches for the pages that have such a
letter. A third file, TrueType, has all of them: for drawing charts and paper. No site has it.
The cuts have names of their own: "Plex" is a reserved name (OFL 1.1, clause 3), and a full
font of the same name on a reader's machine must not take their place.
"""

import logging
import sys
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from fontTools import merge, subset
from fontTools.ttLib import TTFont
from fontTools.ttLib.scaleUpem import scale_upem
from fontTools.ttLib.tables._g_l_y_f import Glyph
from fontTools.varLib import instancer

FONTS = Path(__file__).parents[1] / "templates" / "assets" / "fonts"
WHOLE = FONTS.parents[1] / "fonts"
EVERYWHERE = {*range(0x20, 0x7F), *map(ord, "\u00a0§°±·×÷½–—‘’“”…€£−")}
# Thin and narrow spaces (in parts of a letter's height), and marks that take no room.
SPACES = {0x2009: 0.2, 0x202F: 0.2, 0x200B: 0.0, 0x2060: 0.0}
LETTERS = {*range(0xA0, 0x180), *map(ord, "ȘșȚțẞ‚„‹›•′″†‡™↑↓")}
CURRENCIES = set(map(ord, "₡₤₦₨₩₪₫₭₮₱₲₴₵₸₹₺₽₿"))
REST = (LETTERS | CURRENCIES) - EVERYWHERE
THEN = 3_786_912_000  # 2024-01-01, in seconds from 1904
NAMES = {"kept": [0, 13, 14], "family": [1, 16], "style": [2, 17], "full": [4], "postscript": [6]}


@dataclass(frozen=True, kw_only=True)
class Face:
    """One face: its files here and in the package, its names, its weight."""

    file: str
    source: str
    family: str
    style: str
    weight: int


PLEX = "*/ibm-plex-sans-condensed-{part}-{weight}-normal.woff2"
FACES = (
    Face(
        file="heads",
        source="*/besley-{part}-wght-normal.woff2",
        family="Panelworth Heads",
        style="SemiBold",
        weight=600,
    ),
    Face(file="text", source=PLEX, family="Panelworth Sans", style="Regular", weight=400),
    Face(file="strong", source=PLEX, family="Panelworth Sans", style="SemiBold", weight=600),
)


def whole(face: Face, folder: Path, work: Path) -> Path:
    """Put the two Latin parts of a package together, at one weight and 1,000 units a letter."""
    parts = []
    for part in ("latin", "latin-ext"):
        [found] = folder.rglob(face.source.format(part=part, weight=face.weight))
        font = TTFont(found, recalcTimestamp=False)
        if "fvar" in font:
            font = instancer.instantiateVariableFont(font, {"wght": face.weight})
            scale_upem(font, 1000)
        font.flavor = None
        parts.append(str(work / f"{face.file}-{part}.ttf"))
        font.save(parts[-1])
    made = work / f"{face.file}.ttf"
    merge.Merger().merge(parts).save(made)
    return made


def with_spaces(font: TTFont) -> TTFont:
    """Add what the packages leave out and sums need: narrow spaces, and the word joiner."""
    known, order = font.getBestCmap(), font.getGlyphOrder()
    for code in sorted(SPACES.keys() - known.keys()):
        name = f"uni{code:04X}"
        order.append(name)
        font["glyf"][name] = Glyph()
        font["hmtx"][name] = (round(1000 * SPACES[code]), 0)
        for table in font["cmap"].tables:
            if table.isUnicode():
                table.cmap[code] = name
    font.setGlyphOrder(order)
    return font


def named(font: TTFont, face: Face) -> None:
    """Give a cut its own names; the notices of copyright and licence stay."""
    table = font["name"]
    table.names = [each for each in table.names if each.nameID in NAMES["kept"]]
    full = f"{face.family} {face.style}"
    texts = {"family": face.family, "style": face.style, "full": full}
    texts["postscript"] = full.replace(" ", "")
    for kind, text in texts.items():
        for number in NAMES[kind]:
            table.setName(text, number, 3, 1, 0x409)
    font["OS/2"].usWeightClass = face.weight
    font["head"].created = font["head"].modified = THEN  # the same cut, the same bytes


def cut(source: Path, face: Face, letters: set[int]) -> TTFont:
    """Return a face with these letters alone: kerned, figures of one width, without hints."""
    font = with_spaces(TTFont(source, recalcTimestamp=False))
    options = subset.Options(hinting=False, layout_features=["kern", "tnum"], name_IDs=["*"])
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=letters)
    cutter.subset(font)
    named(font, face)
    return font


def main(folder: Path) -> None:
    """Cut every face into its files."""
    logging.disable(logging.WARNING)
    with TemporaryDirectory() as work:
        for face in FACES:
            source = whole(face, folder, Path(work))
            first = EVERYWHERE | SPACES.keys()
            for part, letters in (("", first), ("-more", REST)):
                font = cut(source, face, letters)
                font.flavor = "woff2"
                font.save(FONTS / f"{face.file}{part}.woff2")
            cut(source, face, first | REST).save(WHOLE / f"{face.file}.ttf")


if __name__ == "__main__":
    main(Path(sys.argv[1]))

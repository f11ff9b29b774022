"""The pages' own fonts for charts and paper, which then look the same on every computer.

A browser loads a face in two files (`tests/fonts.py` explains why). The libraries that draw charts
and lay out PDFs need each face as one TrueType file.
"""

from collections.abc import Mapping

from panelworth.publishing.templates import FONT_FOLDER, templates_folder

HEADS, FAMILY = "Panelworth Heads", "Panelworth Sans"
FACES = {"text": (FAMILY, 400), "strong": (FAMILY, 600), "heads": (HEADS, 600)}  # by file
SHEET = "assets/fonts.css"


def paper_fonts() -> Mapping[str, bytes]:
    """Return a style sheet of the fonts, and the fonts, for the layout of PDFs.

    The pages' own style sheet cannot be used: the layout engine would treat the two files of a face
    as one font, and would take letters from the wrong file.
    """
    rules, files = [], {}
    for name, (family, weight) in FACES.items():
        file = f"{FONT_FOLDER}/{name}.ttf"
        files[f"assets/{file}"] = (templates_folder() / file).read_bytes()
        rules.append(f'@font-face{{font-family:"{family}";font-weight:{weight};src:url({file})}}')
    return {**files, SHEET: "".join(rules).encode()}

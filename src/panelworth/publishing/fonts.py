"""The pages' own fonts, for charts and paper, which then look the same on any machine.

A browser takes a face in two files (`tests/fonts.py` tells why). What draws charts and lays out
paper needs each face in one, as a TrueType file.
"""

from collections.abc import Mapping

from panelworth.publishing.templates import WHOLE, templates_folder

HEADS, FAMILY = "Panelworth Heads", "Panelworth Sans"
FACES = {"text": (FAMILY, 400), "strong": (FAMILY, 600), "heads": (HEADS, 600)}  # by file
SHEET = "assets/fonts.css"


def paper_fonts() -> Mapping[str, bytes]:
    """Return the style sheet of the fonts, and these, for what lays out PDFs.

    The pages' own style sheet would not do: the layout engine would take the two files of a face
    for one font, and set letters of the one in the other.
    """
    rules, files = [], {}
    for name, (family, weight) in FACES.items():
        file = f"{WHOLE}/{name}.ttf"
        files[f"assets/{file}"] = (templates_folder() / file).read_bytes()
        rules.append(f'@font-face{{font-family:"{family}";font-weight:{weight};src:url({file})}}')
    return {**files, SHEET: "".join(rules).encode()}
